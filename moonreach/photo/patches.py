"""Cut the Moon's disc into patches: mean light and its uncertainty, freed of the halo."""

from dataclasses import dataclass, replace

import numpy as np
from scipy import ndimage
from scipy.optimize import nnls

from moonreach.photo.picture import block_average

WIDTH = 0.09  # of a patch, in radii of the Moon
FLOOR = 0.003  # linear light added before the logarithm: a few steps of an 8-bit file
CLIPPED = 0.93  # linear light from which a patch counts as overexposed


@dataclass(frozen=True)
class Patches:
    """Mean light in the patches of one Moon; positions in radii of the Moon, x right, y down.

    level: log(light + FLOOR). sd: its standard uncertainty, without the ground's pattern.
    veil_sd: how sure the sky's light on the disc is. overexposed: share of the lit patches lost.
    blur: of the patches themselves, radii of the Moon.
    """

    x: np.ndarray
    y: np.ndarray
    level: np.ndarray
    sd: np.ndarray
    veil_sd: float
    overexposed: float
    blur: float

    @property
    def mu(self):
        """The cosine of the angle between a patch's vertical and the line of sight."""
        return np.sqrt(np.maximum(1 - self.x**2 - self.y**2, 0.01))

    def part(self, which):
        """Return the patches of an index or mask."""
        columns = {name: getattr(self, name)[which] for name in ("x", "y", "level", "sd")}
        return replace(self, **columns)


def patches_of(picture, moon):
    """Cut the disc of ``moon`` in ``picture`` into square patches and return them as `Patches`."""
    light, x, y, radius = _crop(picture.light, moon)
    row, column = np.indices(light.shape)
    across, down = (column - x) / radius, (row - y) / radius
    apart = np.hypot(across, down)
    veil, veil_sd = _veil(light, apart, radius)
    disc = apart < 1 - max(0.03, 2.5 / radius)
    side = int(np.ceil(2 / WIDTH)) + 2
    number = (np.floor(down / WIDTH).astype(int) + side // 2) * side
    number = (number + np.floor(across / WIDTH).astype(int) + side // 2)[disc]

    def total(values):
        return np.bincount(number, values[disc], minlength=side * side)

    count = total(np.ones_like(light))
    use = count > 0.5 * (WIDTH * radius) ** 2
    count = np.maximum(count, 1)
    mean = total(light) / count
    clipped = total((light > CLIPPED).astype(float)) / count > 0.05
    variance = np.maximum(total(light**2) / count - mean**2, 0)
    mean = mean - total(veil) / count
    lit = use & (clipped | (mean > 0.25 * mean[use].max()))
    overexposed = float((clipped & use).sum() / max(lit.sum(), 1))
    use &= ~clipped
    total_light = np.maximum(mean, 0) + FLOOR
    sd = np.sqrt(variance / count + 0.001**2) / total_light
    return Patches(
        x=(total(across) / count)[use],
        y=(total(down) / count)[use],
        level=np.log(np.maximum(mean + FLOOR, 0.3 * FLOOR))[use],
        sd=np.hypot(sd, 0.025)[use],
        veil_sd=veil_sd,
        overexposed=overexposed,
        blur=float(np.hypot(WIDTH / np.sqrt(12), 1.0 / radius)),
    )


def _crop(light, moon):
    """Return the Moon's surroundings at 60 to 120 px a radius, and its circle there."""
    reach = 1.7 * moon.radius
    left, top = (max(0, int(v - reach)) for v in (moon.x, moon.y))
    piece = light[top : int(moon.y + reach) + 2, left : int(moon.x + reach) + 2]
    step = max(1, int(moon.radius / 60))
    shift = (step - 1) / 2
    x, y = ((v - start - shift) / step for v, start in ((moon.x, left), (moon.y, top)))
    return block_average(piece, step).astype(float), x, y, moon.radius / step


def _veil(light, apart, radius):
    """Return the light that the lens and the air scatter over the disc, learnt from the sky.

    The sky beside the limb holds a constant and the picture's own light, widely blurred; the
    same mixture is then taken off the disc. Saturated parts count as white.
    """
    sky = (apart > 1 + max(0.05, 4 / radius)) & (apart < 1.6)
    if sky.sum() < 100:
        return np.zeros_like(light), 0.002
    parts = [np.ones_like(light)]
    parts += [ndimage.gaussian_filter(light, reach * radius) for reach in (0.1, 0.3, 0.8)]
    columns = np.stack([part[sky] for part in parts], axis=1)
    shares, _ = nnls(columns, light[sky])
    veil = sum(share * part for share, part in zip(shares, parts, strict=True))
    return veil, float(0.0007 + 0.3 * np.median(veil[apart < 1]))
