"""The penumbra's light curve, and where in it the eye sees the shadow's edge.

How much of the Sun still shows from a point of the Moon is geometry: light rises from the umbra's
edge outwards over the whole width of the penumbra. On a screen the eye takes for the edge the
place where the tone changes fastest: an assumption, common practice, no source.
"""

import numpy as np
from scipy import ndimage

from moonreach.photo.picture import to_tone

# Limb darkening I(mu) = sum a_i mu^i at 541.76 nm, Neckel and Labs 1994, Solar Physics 153, 91
# (from memory; the coefficients sum to 1, as they must at the disc's centre).
LIMB_DARKENING = (0.26892, 1.34319, -1.58427, 1.91271, -1.31350, 0.37295)
REACH = (-0.06, 0.08)  # about the geometric edge, in shadow radii: where the eye's is sought
ALONG = 0.015  # how far single places may lie from the line that all together show, in its radius


def sunlight(distance, shadow_ratio, sun_ratio=1.03, limb_darkening=LIMB_DARKENING, rings=200):
    """Return the fraction of the Sun's light that reaches points in the Earth's shadow.

    All lengths are in radii of the Moon, seen from the Earth. Seen from the Moon, the Earth is a
    disc of radius ``shadow_ratio + sun_ratio`` over a Sun of radius ``sun_ratio``, their centres
    ``distance`` apart: nothing shows inside the umbra, everything outside the penumbra.

    Parameters
    ----------
    distance : distance from the shadow's axis, number or array
    shadow_ratio : radius of the umbra
    sun_ratio : the Sun's semidiameter over the Moon's
    limb_darkening : coefficients of the brightness in powers of mu; ``(1,)`` is an even disc
    rings : number of rings of equal area into which the Sun is cut

    Returns the fraction, 0 to 1, shaped as ``distance``.

    Formula: plane geometry of two discs, each ring cut by the Earth's circle; flat Earth limb
    without air, whose effect on the size of the umbra lies in ``shadow_ratio``.

    >>> sunlight([2.6, 3.73, 4.8], 2.7).round(3)
    array([0.   , 0.528, 1.   ])
    """
    distance = np.asarray(distance, dtype=float)
    share = (np.arange(rings) + 0.5) / rings  # share of the disc's area inside each ring
    ring, mu = sun_ratio * np.sqrt(share), np.sqrt(1 - share)
    brightness = np.polynomial.polynomial.polyval(mu, limb_darkening)
    apart = np.maximum(np.abs(distance), 1e-9)[..., None]
    earth = shadow_ratio + sun_ratio
    cosine = (apart**2 + ring**2 - earth**2) / (2 * apart * ring)
    shown = 1 - np.arccos(np.clip(cosine, -1, 1)) / np.pi
    return shown @ brightness / brightness.sum()


def glow_at(distance, shadow_ratio, glow, fading=1.2, beyond=0.0):
    """Return the light that the Earth's air bends into the shadow, as a share of full sunlight.

    Parameters: ``distance`` from the axis, in Moon radii; ``shadow_ratio``, the umbra's radius;
    ``glow`` at the umbra's edge; ``fading`` of its log inwards, per Moon radius; ``beyond``, how
    far outside the edge it still grows.

    >>> glow_at(np.array([1.7, 2.7, 4.0]), 2.7, 1.0).round(3)
    array([0.301, 1.   , 1.   ])
    """
    return glow * np.exp(fading * np.minimum(distance - shadow_ratio, beyond))


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
    light = sunlight(radii, shadow_ratio, sun_ratio) + glow_at(radii, shadow_ratio, glow)
    tones = to_tone(exposure * light)
    if tone is not None:
        return float(np.interp(tone, tones, radii))
    tones = ndimage.gaussian_filter1d(tones, blur / (radii[1] - radii[0]))
    return float(steepest(radii, tones))


def edge_points(light, moon, shadow, count=6, reach=0.88):
    """Return points of the edge as the eye sees it in a picture, count x 2, in px.

    Parameters: ``light``, the picture's linear light; ``moon`` and ``shadow``, `Circle` in px;
    how many points; how much of the Moon's disc to use, as no edge is to be seen at the limb.
    Along rays from the shadow's centre the place is taken where the tone, averaged along the
    edge, rises most, near the circle on which that is so on the whole.
    """
    apart, towards = shadow.towards(moon)
    beyond = apart**2 + shadow.radius**2 - (reach * moon.radius) ** 2
    widest = np.arccos(np.clip(beyond / (2 * apart * shadow.radius), -1, 1))
    shares = np.linspace(1 + REACH[0], 1 + REACH[1], 241)
    step = shadow.radius * (shares[1] - shares[0])
    # One row of tones for each ray; neighbours within a twelfth of the arc are averaged.
    angles = towards + np.linspace(-widest, widest, 12 * count + 1)
    x, y = np.moveaxis(shadow.at(angles[:, None], shares), -1, 0)
    tones = to_tone(ndimage.map_coordinates(light, [y, x], order=1, mode="nearest"))
    tones = ndimage.gaussian_filter(tones, (4, 0.01 * moon.radius / step))
    chosen = np.linspace(3, len(angles) - 4, count).round().astype(int)
    # The eye follows one line: a plain's shore away from it is no edge.
    line = steepest(shares, tones.mean(axis=0))
    near = np.abs(shares / line - 1) < ALONG
    return shadow.at(angles[chosen], [steepest(shares[near], tones[k][near]) for k in chosen])
