"""Cut the Moon's disc into patches: mean light and its uncertainty, freed of the halo."""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from scipy import ndimage
from scipy.optimize import nnls

from moonreach.photo.picture import block_average

WIDTH = 0.12  # of a patch, in radii of the Moon
FLOOR = 0.003  # linear light added before the logarithm: a few steps of an 8-bit file
REACHES = (0.15, 0.45)  # radii of the Moon over which a phone may take a local mean
DIM = 0.08  # linear light, below which a phone's gain grows no further
CLIPPED = 0.93  # linear light from which a patch counts as overexposed


@dataclass(frozen=True)
class Patches:
    """Mean light in the patches of one Moon.

    place: x + iy, in radii of the Moon from its middle, x right, y down. level: log(light + FLOOR).
    sd: its standard uncertainty, without the ground's pattern. veil_sd: how sure the sky's light on
    the disc is. overexposed: share of the lit patches lost. blur: of the patches themselves, radii
    of the Moon.
    """

    place: np.ndarray
    level: np.ndarray
    sd: np.ndarray
    veil_sd: float
    overexposed: float
    blur: float
    around: np.ndarray

    @cached_property
    def mu(self):
        """The cosine of the angle between a patch's vertical and the line of sight."""
        return np.sqrt(np.maximum(1 - np.abs(self.place) ** 2, 0.01))

    def part(self, which):
        """Return the patches of an index or mask."""
        columns = {name: getattr(self, name)[which] for name in ("place", "level", "sd", "around")}
        return replace(self, **columns)


def patches_of(picture, moon):
    """Cut the disc of ``moon`` in ``picture`` into square patches and return them as `Patches`."""
    light, place, radius = _around(picture.light, moon)
    apart = np.abs(place)
    veil, veil_sd = _veil(light, apart, radius)
    disc = apart < 1 - max(0.03, 2.5 / radius)
    around = [_log_mean(light, reach * radius)[disc] for reach in REACHES]
    light, veil, place = light[disc], veil[disc], place[disc]
    number = 1000 * np.floor(place.imag / WIDTH) + np.floor(place.real / WIDTH)
    _, number, count = np.unique(number, return_inverse=True, return_counts=True)

    def average(values):
        return np.bincount(number, values) / count

    whole = count > 0.5 * (WIDTH * radius) ** 2
    clipped = average(light > CLIPPED) > 0.05
    variance = np.maximum(average(light**2) - average(light) ** 2, 0)
    mean = average(light - veil)
    lit = whole & (clipped | (mean > 0.25 * mean[whole].max()))
    sd = np.sqrt(variance / count + 0.001**2) / (np.maximum(mean, 0) + FLOOR)
    patches = Patches(
        average(place.real) + 1j * average(place.imag),
        np.log(np.maximum(mean + FLOOR, 0.3 * FLOOR)),
        np.hypot(sd, 0.025),
        veil_sd,
        overexposed=float((clipped & whole).sum() / max(lit.sum(), 1)),
        blur=float(np.hypot(WIDTH / np.sqrt(12), 1.0 / radius)),
        around=np.stack([average(mean) for mean in around], axis=1),
    )
    return patches.part(whole & ~clipped)


def _log_mean(light, sigma):
    """Return the log of the mean light about each pixel, 0 where it is most."""
    mean = ndimage.gaussian_filter(light, sigma, mode="nearest") + DIM
    return np.log(mean / mean.max())


def _around(light, moon):
    """Return the Moon and its sky at 60 to 120 px a radius, the places there, and the radius."""
    reach, step = 1.7 * moon.radius, max(1, int(moon.radius / 60))
    left, top = (max(0, int(v - reach)) for v in (moon.x, moon.y))
    light = light[top : int(moon.y + reach) + 2, left : int(moon.x + reach) + 2]
    light = block_average(light, step).astype(float)
    row, column = step * np.indices(light.shape) + (step - 1) / 2
    place = left + column - moon.x + 1j * (top + row - moon.y)
    return light, place / moon.radius, moon.radius / step


def _veil(light, apart, radius):
    """Return the light that the lens and the air scatter over the disc, learnt from the sky.

    The sky beside the limb holds a constant and the picture's own light, widely blurred; the
    same mixture is then taken off the disc. Saturated parts count as white.
    """
    sky = (apart > 1 + max(0.05, 4 / radius)) & (apart < 1.6)
    if sky.sum() < 100:
        return np.zeros_like(light), 0.002
    parts = [ndimage.gaussian_filter(light, reach * radius) for reach in (0.1, 0.3, 0.8)]
    parts = np.stack([np.ones_like(light), *parts], axis=-1)
    veil = parts @ nnls(parts[sky], light[sky])[0]
    return veil, float(0.0007 + 0.3 * np.median(veil[apart < 1]))
