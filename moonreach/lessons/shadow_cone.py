"""From the shadow's width at the Moon to the Moon's size: the shadow-cone argument.

Symbols: R and r the radii of Earth and Moon, x the shadow ratio, s and s' the semidiameters of
Moon and Sun, p and p' their horizontal parallaxes, S the umbra's angular radius at the Moon,
n the Sun's distance in Moon distances.

Why "the shadow narrows by one Moon": a shadow narrows by the Sun's angular size over each length.
The Moon looks as large as the Sun, so its own shadow narrows from one Moon to a point on the way
from the Moon to the Earth. Over the same distance Earth's shadow narrows just as much.
"""

import numpy as np
from astropy import units as u

from moonreach.lessons.refuse import require, require_one_of, require_positive

# Each rule for the umbra's radius: what multiplies the Moon's parallax, then the whole. Espenak and
# Meeus (2009), NASA/TP-2009-214173, section 1.5, equations 1-3 and 1-4.
SHADOW_RULES = {
    # Danjon (1951): air of 1/85 of the Earth's radius, less the flattening at latitude 45 deg:
    # 1 + 1/85 - 1/594 = 1.01.
    "danjon": (1.01, 1.0),
    # Chauvenet's 1/50 of the whole, in almanacs until lately.
    "fiftieth": (0.998340, 1.02),
    # No air, and an Earth as wide as its equator.
    "airless_equatorial": (1.0, 1.0),
    # No air, and an Earth as wide as at latitude 45 deg.
    "airless_mid_latitude": (0.998340, 1.0),
}


def earth_in_moons(ratio, disc_ratio=1.0, sun_distance_ratio=np.inf):
    """Return R/r, Earth's diameter in Moon diameters.

    Parameters
    ----------
    ratio : x, the shadow's diameter in Moon diameters.
    disc_ratio : tan s' / tan s, the Sun's apparent size over the Moon's; 1 for equal discs.
    sun_distance_ratio : n; infinite for a distant Sun.

    Returns a plain number. Raises `Impossible` where one of them is not positive.
    Source: similar triangles, R/r = (x + tan s'/tan s) / (1 + 1/n); Aristarchus, Prop. 17
    (Heath 1913) is its case of equal discs.

    >>> earth_in_moons(2.5)
    3.5
    >>> round(earth_in_moons(2, sun_distance_ratio=19), 3)
    2.85
    """
    require_positive(shadow_ratio=ratio, disc_ratio=disc_ratio)
    require(sun_distance_ratio > 0, "n must be greater than zero, found {}", sun_distance_ratio)
    return (ratio + disc_ratio) / (1 + 1 / sun_distance_ratio)


def without_air(ratio, enlargement):
    """Return x of the bare Earth from x as seen, when air makes the umbra larger by a fraction.

    Parameters: x as seen, and a fraction such as 0.014 (Danjon) or 0.02 (older almanacs).
    Returns a plain number. Source: Espenak & Meeus 2009, NASA/TP-2009-214173, sec. 1.5.

    >>> round(without_air(2.70, 0.014), 3)
    2.663
    """
    return ratio / (1 + enlargement)


def umbra_semidiameter(moon_parallax, sun_parallax, sun_semidiameter, rule="danjon"):
    """Return S, the umbra's angular radius at the Moon, from modern parallaxes.

    Parameters: three angles, and the rule for the air: ``"danjon"`` 1.01 p - s' + p',
    a name in `SHADOW_RULES`.
    Returns an angle. Raises `Impossible` for another rule.
    Source: Espenak & Meeus 2009, NASA/TP-2009-214173, sec. 1.5.

    >>> umbra_semidiameter(57.04 * u.arcmin, 8.794 * u.arcsec, 15.99 * u.arcmin).round(2)
    <Quantity 41.77 arcmin>
    """
    require_one_of(SHADOW_RULES, rule=rule)
    parallax_factor, whole = SHADOW_RULES[rule]
    return whole * (parallax_factor * moon_parallax - sun_semidiameter + sun_parallax)


def parallax_from_shadow(shadow_semidiameter, sun_semidiameter, other_parallax=0 * u.arcmin):
    """Return one parallax from the shadow's size, the Sun's and the other body's parallax.

    Parameters: three angles. Given the Sun's parallax it returns the Moon's, and given the Moon's
    the Sun's. Raises `Impossible` where nothing is left.
    Source: S + s' = p + p', as Hipparchus and Ptolemy used it (Swerdlow 1969; Almagest V.15).

    >>> parallax_from_shadow(41.54 * u.arcmin, 16.62 * u.arcmin, 7 * u.arcmin)
    <Quantity 51.16 arcmin>
    """
    parallax = shadow_semidiameter + sun_semidiameter - other_parallax
    require_positive(parallax=parallax)
    return parallax


def distance_in_earth_radii(parallax):
    """Return a body's distance in Earth radii from its horizontal parallax, 1 / sin p.

    Parameters: an angle. Returns a plain number. Raises `Impossible` for an angle not positive.

    >>> distance_in_earth_radii(51.16 * u.arcmin).round(1)
    <Quantity 67.2>
    """
    require_positive(parallax=parallax)
    return 1 / np.sin(parallax)


def umbra_length(earth_radius, sun_radius, sun_distance):
    """Return the length of Earth's shadow, from Earth's centre to its tip.

    Parameters: three lengths. Returns a length. Raises `Impossible` for a Sun that is not larger
    than the Earth: its shadow would never end. Source: similar triangles.

    >>> umbra_length(6371 * u.km, 695_700 * u.km, 149_597_871 * u.km).round(-2)
    <Quantity 1382600. km>
    """
    require_positive(earth_radius=earth_radius, sun_radius=sun_radius, sun_distance=sun_distance)
    require(sun_radius > earth_radius, "a Sun no larger than the Earth leaves a shadow without end")
    return earth_radius * sun_distance / (sun_radius - earth_radius)
