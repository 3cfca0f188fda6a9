"""Find the Moon: the brightest round thing of a picture, its limb to a fraction of a pixel."""

from dataclasses import replace

import numpy as np
from scipy import ndimage
from scipy.spatial import ConvexHull, QhullError

from moonreach.lessons.refuse import Impossible, require
from moonreach.photo.circle import fit_circle
from moonreach.photo.picture import block_average

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
    _require_size(radius * 1.2)
    for reach in (0.2, 0.12, 0.08):
        fit = fit_circle(_limb_points(light, x, y, radius, reach))
        if np.hypot(fit.x - x, fit.y - y) + abs(fit.radius - radius) > 0.3 * radius:
            raise Impossible("no Moon found: the bright patch has no circular limb")
        x, y, radius = fit.x, fit.y, fit.radius
    if fit.arc < 60 or fit.scatter > max(0.03 * radius, 1.0):
        raise Impossible("no Moon found: the bright patch has no circular limb")
    _require_size(radius)
    over = max(radius - x, radius - y, x + radius - width, y + radius - height)
    if over > 0.02 * radius + 1:
        raise Impossible("the Moon is cut off by the edge of the picture; its whole disc is needed")
    return replace(fit, radius_sd=max(fit.radius_sd, 0.05))


def _require_size(radius):
    """Refuse a Moon too small to measure."""
    require(
        radius >= SMALLEST,
        f"the Moon is too small in this picture: {radius:.0f} px in radius, {SMALLEST} are needed; "
        "use the longest lens",
    )


def _from_hull(small, step):
    """Return a first circle from the convex hull of the largest bright patch."""
    smooth = ndimage.gaussian_filter(small, 1.0)
    sky = np.median(smooth)
    lit = smooth > sky + 0.1 * (smooth.max() - sky)
    peak = np.quantile(smooth[lit], 0.9) if lit.any() else 0.0  # a lamp or a star is not the peak
    if peak < 0.004 or peak < sky + 0.003:
        raise Impossible("no Moon found: the picture is dark all over")
    patches, count = ndimage.label(smooth > sky + 0.2 * (peak - sky))
    sizes = ndimage.sum_labels(np.ones_like(small), patches, np.arange(1, count + 1))
    best = patches == 1 + int(np.argmax(sizes))
    if best.sum() < 40:
        raise Impossible("no Moon found: the brightest patch is only a few pixels wide")
    if best.mean() > 0.8:
        raise Impossible("no Moon found: the picture is bright all over")
    row, column = np.nonzero(best & ~ndimage.binary_erosion(best))
    try:
        hull = ConvexHull(np.stack([column, row], axis=1))
    except QhullError:
        raise Impossible("no Moon found: the brightest patch is a streak") from None
    circle = fit_circle(hull.points[hull.vertices], scatter=0.5)
    shift = (step - 1) / 2
    return circle.x * step + shift, circle.y * step + shift, (circle.radius + 0.5) * step


def _limb_points(light, x, y, radius, reach):
    """Return the points where the light falls by half at a sharp edge, along rays from (x, y)."""
    rays = int(np.clip(2 * radius, 180, 720))
    angle = np.linspace(0, 2 * np.pi, rays, endpoint=False)
    out = np.arange(-reach * radius, reach * radius + 0.25, 0.25 * max(1.0, radius / 200))
    across = (radius + out)[None, :]
    column, row = x + across * np.cos(angle)[:, None], y + across * np.sin(angle)[:, None]
    inside_picture = (column > 0) & (row > 0)
    inside_picture &= (column < light.shape[1] - 1) & (row < light.shape[0] - 1)
    profile = ndimage.map_coordinates(light, [row, column], order=1, mode="nearest")
    wide = max(1, round(0.03 * radius / (out[1] - out[0])))
    mean = ndimage.uniform_filter1d(profile, wide, axis=1, mode="nearest")
    drop = np.zeros_like(mean)  # how far the light falls within 3 % of the radius
    drop[:, wide:-wide] = mean[:, : -2 * wide] - mean[:, 2 * wide :]
    edge = np.argmax(drop, axis=1)
    ray = np.arange(rays)
    high, low = (
        mean[ray, np.maximum(edge - wide, 0)],
        mean[ray, np.minimum(edge + wide, len(out) - 1)],
    )
    bright = np.quantile(high, 0.95)
    good = (high - low > 0.04 * bright) & (high - low > 0.6 * high)
    good &= inside_picture[ray, edge]
    points = []
    for k in np.flatnonzero(good):
        piece = profile[k, max(edge[k] - wide, 0) : edge[k] + wide + 1]
        below = piece < (high[k] + low[k]) / 2
        at = int(np.argmax(below))
        if at == 0:
            continue
        share = (piece[at - 1] - (high[k] + low[k]) / 2) / max(piece[at - 1] - piece[at], 1e-12)
        r = radius + out[max(edge[k] - wide, 0)] + (at - 1 + share) * (out[1] - out[0])
        points.append((x + r * np.cos(angle[k]), y + r * np.sin(angle[k])))
    if len(points) < 12:
        raise Impossible("no Moon found: the bright patch has no sharp, circular limb")
    return points
