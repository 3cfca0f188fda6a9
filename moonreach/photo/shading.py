"""How much of the Sun still shows from a point of the Moon: the penumbra's light curve."""

import numpy as np

# Limb darkening I(mu) = sum a_i mu^i at 541.76 nm, Neckel and Labs 1994, Solar Physics 153, 91
# (from memory; the coefficients sum to 1, as they must at the disc's centre).
LIMB_DARKENING = (0.26892, 1.34319, -1.58427, 1.91271, -1.31350, 0.37295)


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
