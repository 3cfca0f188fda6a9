"""Where the eye sees the shadow's edge, against the umbra's geometric one.

The light rises from the umbra's edge outwards over the whole width of the penumbra. On a screen
the eye takes for the edge the place where the tone changes fastest: an assumption, common
practice, no source.
"""

import numpy as np
from scipy import ndimage

from moonreach.photo.shading import sunlight

REACH = (-0.06, 0.08)  # about the geometric edge, in shadow radii: where the eye's is sought
ALONG = 0.015  # how far single places may lie from the line that all together show, in its radius


def to_tone(light):
    """Return sRGB tones, 0 to 1, of linear light: the reverse of `picture.to_linear`.

    >>> to_tone(np.array([0.0, 0.214, 2.0])).round(3)
    array([0. , 0.5, 1. ])
    """
    light = np.clip(light, 0, 1)
    return np.where(light < 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)


def steepest(radii, tone):
    """Return the radius at which a row of tones, one for each of evenly spaced radii, rises most.

    >>> float(steepest(np.arange(5.0), np.array([0, 0, 0.1, 0.9, 1.0])))
    2.5
    """
    place = np.argmax(np.diff(tone))
    return (radii[place] + radii[place + 1]) / 2


def visible_edge(shadow_ratio, sun_ratio=1.03, exposure=0.9, glow=1.5e-3, blur=0.01, tone=None):
    """Return the radius at which the eye sees the edge on an even Moon, in radii of the Moon.

    Parameters: ``shadow_ratio`` of the geometric umbra; ``sun_ratio``, the Sun's semidiameter over
    the Moon's; ``exposure``, the linear level of full light, 1 is white; ``glow``, light at the
    umbra's edge as a share of full light; ``blur`` in Moon radii; ``tone``, 0 to 1: the radius at
    which the screen is that bright, in place of the steepest.

    >>> edge = visible_edge(2.7)
    >>> bool(1.005 < edge / 2.7 < 1.03), bool(visible_edge(2.7, tone=0.5) > 1.1 * 2.7)
    (True, True)
    """
    radii = np.linspace(shadow_ratio * (1 + REACH[0]), shadow_ratio + 2 * sun_ratio, 4000)
    glowing = glow * np.exp(np.minimum(radii - shadow_ratio, 0) * 1.2)
    tones = to_tone(exposure * (sunlight(radii, shadow_ratio, sun_ratio) + glowing))
    if tone is not None:
        return float(np.interp(tone, tones, radii))
    tones = ndimage.gaussian_filter1d(tones, blur / (radii[1] - radii[0]))
    return float(steepest(radii, tones))


def edge_points(light, moon, shadow, count=6, reach=0.88):
    """Return points of the edge as the eye sees it in a picture, count x 2, in px.

    Parameters: ``light``, the picture's linear light; ``moon`` and ``shadow``, dictionaries x, y,
    radius in px; how many points; how much of the Moon's disc to use, as no edge is to be seen
    at the limb. Along rays from the shadow's centre the place is taken where the tone, averaged
    along the edge, rises most, near the circle on which that is so on the whole.
    """
    shadow_middle = np.array([shadow["x"], shadow["y"]])
    across = np.array([moon["x"], moon["y"]]) - shadow_middle
    apart, towards = np.hypot(*across), np.arctan2(across[1], across[0])
    cosine = (apart**2 + shadow["radius"] ** 2 - (reach * moon["radius"]) ** 2) / (
        2 * apart * shadow["radius"]
    )
    widest = np.arccos(np.clip(cosine, -1, 1))
    radii = shadow["radius"] * np.linspace(1 + REACH[0], 1 + REACH[1], 241)
    step = radii[1] - radii[0]
    # One row of tones for each ray; neighbours within a twelfth of the arc are averaged.
    angles = towards + np.linspace(-widest, widest, 12 * count + 1)
    x = shadow_middle[0] + np.outer(np.cos(angles), radii)
    y = shadow_middle[1] + np.outer(np.sin(angles), radii)
    tones = to_tone(ndimage.map_coordinates(light, [y, x], order=1, mode="nearest"))
    tones = ndimage.gaussian_filter(tones, (4, 0.01 * moon["radius"] / step))
    chosen = np.linspace(3, len(angles) - 4, count).round().astype(int)
    # The eye follows one line: a plain's shore away from it is no edge.
    line = steepest(radii, tones.mean(axis=0))
    near = np.abs(radii / line - 1) < ALONG
    found = [steepest(radii[near], tones[k][near]) for k in chosen]
    turn = np.stack([np.cos(angles[chosen]), np.sin(angles[chosen])], axis=1)
    return shadow_middle + turn * np.array(found)[:, None]
