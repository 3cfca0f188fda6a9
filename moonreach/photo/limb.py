"""Find the Moon: the brightest round thing of a picture, its limb to a fraction of a pixel."""

from dataclasses import replace

import numpy as np
from scipy import ndimage
from scipy.spatial import ConvexHull, QhullError

from moonreach.lessons.refuse import Impossible, require
from moonreach.photo.circle import fit_circle
from moonreach.photo.picture import REFUSALS, block_average

SMALLEST = 20  # px of the Moon's radius, below which no shadow is measured


def find_moon(picture):
    """Find the Moon's limb circle.

    Parameters: ``picture``, a `Picture`. Returns the limb's `Circle` in px. Errors:
    `Impossible`, one sentence, where nothing round and bright stands out, or where it is too
    small or cut off by the edge.

    The lit part of an eclipsed Moon is the disc less a larger disc, so its convex hull touches
    the limb alone; that gives the first circle, and the fall of light along rays the final one.
    """
    light = picture.light
    height, width = light.shape
    step = max(1, round(max(height, width) / 700))
    x, y, radius = _from_hull(block_average(light, step), step)
    require(1.2 * radius >= SMALLEST, REFUSALS["small"], round(1.2 * radius), SMALLEST)
    for reach in (0.2, 0.12, 0.08):
        fit = fit_circle(_limb_points(light, x, y, radius, reach))
        moved = np.hypot(fit.x - x, fit.y - y) + abs(fit.radius - radius)
        require(moved <= 0.3 * radius, REFUSALS["not_round"])
        x, y, radius = fit.x, fit.y, fit.radius
    round_enough = fit.arc >= 60 and fit.scatter <= max(0.03 * radius, 1.0)
    require(round_enough, REFUSALS["not_round"])
    require(radius >= SMALLEST, REFUSALS["small"], round(radius), SMALLEST)
    over = max(radius - x, radius - y, x + radius - width, y + radius - height)
    require(over <= 0.02 * radius + 1, REFUSALS["cut"])
    return replace(fit, radius_sd=max(fit.radius_sd, 0.05))


def _from_hull(small, step):
    """Return a first circle from the convex hull of the largest bright patch."""
    smooth = ndimage.gaussian_filter(small, 1.0)
    sky = np.median(smooth)
    lit = smooth > sky + 0.1 * (smooth.max() - sky)
    peak = np.quantile(smooth[lit], 0.9) if lit.any() else 0.0  # a lamp or a star is not the peak
    require(peak >= max(0.004, sky + 0.003), REFUSALS["dark"])
    patches, _ = ndimage.label(smooth > sky + 0.2 * (peak - sky))
    best = patches == 1 + np.argmax(np.bincount(patches.ravel())[1:])
    require(best.sum() >= 40, REFUSALS["tiny"])
    require(best.mean() <= 0.8, REFUSALS["bright"])
    row, column = np.nonzero(best & ~ndimage.binary_erosion(best))
    try:
        hull = ConvexHull(np.stack([column, row], axis=1))
    except QhullError:
        raise Impossible(REFUSALS["streak"]) from None
    circle = fit_circle(hull.points[hull.vertices], scatter=0.5)
    shift = (step - 1) / 2
    return circle.x * step + shift, circle.y * step + shift, (circle.radius + 0.5) * step


def _limb_points(light, x, y, radius, reach):
    """Return the points where the light falls by half at a sharp edge, along rays from (x, y)."""
    rays = int(np.clip(2 * radius, 180, 720))
    turn = np.exp(1j * np.linspace(0, 2 * np.pi, rays, endpoint=False))
    out = np.arange(-reach * radius, reach * radius + 0.25, 0.25 * max(1.0, radius / 200))
    place = x + 1j * y + (radius + out) * turn[:, None]
    profile = ndimage.map_coordinates(light, [place.imag, place.real], order=1, mode="nearest")
    wide = max(1, round(0.03 * radius / (out[1] - out[0])))
    mean = ndimage.uniform_filter1d(profile, wide, axis=1, mode="nearest")
    # Where the light falls most within 3 % of the radius to either side.
    start, ray = np.argmax(mean[:, : -2 * wide] - mean[:, 2 * wide :], axis=1), np.arange(rays)
    high, low = mean[ray, start], mean[ray, start + 2 * wide]
    good = (high - low > 0.04 * np.quantile(high, 0.95)) & (high - low > 0.6 * high)
    # The first place of each ray's fall that is darker than half way, and the share before it.
    fall, half = profile[ray[:, None], start[:, None] + np.arange(2 * wide + 1)], (high + low) / 2
    at = np.argmax(fall < half[:, None], axis=1)
    before, after = fall[ray, at - 1], fall[ray, at]
    share = (before - half) / np.maximum(before - after, 1e-12)
    place = x + 1j * y + (radius + out[0] + (start + at - 1 + share) * (out[1] - out[0])) * turn
    height, width = light.shape
    good &= (at > 0) & (place.real > 0) & (place.real < width - 1)
    good &= (place.imag > 0) & (place.imag < height - 1)
    require(good.sum() >= 12, REFUSALS["not_sharp"])
    return np.stack([place.real, place.imag], axis=1)[good]
