"""From the shadow's width at the Moon to the Moon's size: the shadow-cone argument.

Symbols: R and r the radii of Earth and Moon, x the shadow ratio, s and s' the semidiameters of
Moon and Sun, p and p' their horizontal parallaxes, S the umbra's angular radius at the Moon,
n the Sun's distance in Moon distances.

Why Earth's shadow has lost one Moon by the time it reaches the Moon: over every stretch a shadow
narrows by the Sun's angular size. Sun and Moon look alike in size, so the Moon's own shadow, one
Moon wide, comes to a point just about at the Earth. Over the same stretch Earth's loses as much.
"""

import numpy as np
from astropy import units as u

from moonreach.lessons import Angle, Length, Number
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


def earth_in_moons(
    ratio: Number, disc_ratio: Number = 1.0, sun_distance_ratio: Number = np.inf
) -> Number:
    """Return R/r, Earth's diameter in Moon diameters.

    Parameters
    ----------
    ratio : scalar, array or Distribution, no unit
        x, the shadow's diameter in Moon diameters.
    disc_ratio : scalar, array or Distribution, no unit
        tan s' / tan s, the Sun's apparent size over the Moon's; 1 for equal discs.
    sun_distance_ratio : scalar, array or Distribution, no unit
        n; infinite for a distant Sun.

    Returns
    -------
    scalar, array or Distribution, no unit

    Raises
    ------
    Impossible
        Where one of them is not positive.

    References
    ----------
    Similar triangles: R/r = (x + tan s'/tan s) / (1 + 1/n). Aristarchus, Prop. 17 (Heath 1913), is
    its case of equal discs.

    Examples
    --------
    >>> earth_in_moons(2.75)
    3.75

    Aristarchus' own x = 2 and n = 19 make 3 / (20/19) = 2.85 Moons.

    >>> round(earth_in_moons(2, sun_distance_ratio=19), 3)
    2.85
    """
    require_positive(shadow_ratio=ratio, disc_ratio=disc_ratio)
    require(sun_distance_ratio > 0, "n must be greater than zero, found {}", sun_distance_ratio)
    return (ratio + disc_ratio) / (1 + 1 / sun_distance_ratio)


def without_air(ratio: Number, enlargement: Number) -> Number:
    """Return x of the bare Earth from x as seen, when air makes the umbra larger by a fraction.

    Parameters
    ----------
    ratio : scalar, array or Distribution, no unit
        x as seen.
    enlargement : scalar, array or Distribution, no unit
        The fraction: 0.014 (Danjon), 0.02 (older almanacs).

    Returns
    -------
    scalar, array or Distribution, no unit

    References
    ----------
    Espenak and Meeus 2009, NASA/TP-2009-214173, sec. 1.5.

    Examples
    --------
    >>> round(without_air(2.754, 0.02), 3)
    2.7
    """
    return ratio / (1 + enlargement)


def umbra_semidiameter(
    moon_parallax: Angle, sun_parallax: Angle, sun_semidiameter: Angle, rule: str = "danjon"
) -> Angle:
    """Return S, the umbra's angular radius at the Moon, from modern parallaxes.

    Parameters
    ----------
    moon_parallax, sun_parallax, sun_semidiameter : scalar, array or Distribution, angle
        p, p' and s'.
    rule : {"danjon", "fiftieth", "airless_equatorial", "airless_mid_latitude"}
        What the air does, and where the Earth's radius is taken; see `SHADOW_RULES`.

    Returns
    -------
    scalar, array or Distribution, angle
        In the unit of the Moon's parallax.

    Raises
    ------
    Impossible
        For another rule.

    References
    ----------
    Espenak and Meeus 2009, NASA/TP-2009-214173, sec. 1.5: with Danjon's rule 1.01 p - s' + p'.

    Examples
    --------
    Round numbers by hand: 60.6 - 16 + 0.1 = 44.7.

    >>> umbra_semidiameter(60 * u.arcmin, 0.1 * u.arcmin, 16 * u.arcmin).round(6)
    <Quantity 44.7 arcmin>
    """
    require_one_of(SHADOW_RULES, rule=rule)
    parallax_factor, whole = SHADOW_RULES[rule]
    return whole * (parallax_factor * moon_parallax - sun_semidiameter + sun_parallax)


def parallax_from_shadow(
    shadow_semidiameter: Angle, sun_semidiameter: Angle, other_parallax: Angle = 0 * u.arcmin
) -> Angle:
    """Return one parallax from the shadow's size, the Sun's and the other body's parallax.

    Parameters
    ----------
    shadow_semidiameter, sun_semidiameter : scalar, array or Distribution, angle
        S and s'.
    other_parallax : scalar, array or Distribution, angle
        The Sun's, where the Moon's is wanted, or the Moon's, where the Sun's is.

    Returns
    -------
    scalar, array or Distribution, angle

    Raises
    ------
    Impossible
        Where nothing is left.

    References
    ----------
    S + s' = p + p', as Hipparchus and Ptolemy used it (Swerdlow 1969, Centaurus 14; Almagest V.15).

    Examples
    --------
    Hipparchus' Sun parallax of 7': 41.54' + 16.62' - 7'.

    >>> parallax_from_shadow(41.54 * u.arcmin, 16.62 * u.arcmin, 7 * u.arcmin)
    <Quantity 51.16 arcmin>
    """
    parallax = shadow_semidiameter + sun_semidiameter - other_parallax
    require_positive(parallax=parallax)
    return parallax


def distance_in_earth_radii(parallax: Angle) -> Number:
    """Return a body's distance in Earth radii from its horizontal parallax.

    Parameters
    ----------
    parallax : scalar, array or Distribution, angle
        The horizontal parallax.

    Returns
    -------
    scalar, array or Distribution, no unit

    Raises
    ------
    Impossible
        For an angle that is not positive.

    References
    ----------
    The definition of the horizontal parallax: 1 / sin p.

    Examples
    --------
    Hipparchus' 51.16' puts the Moon at 67 1/3 (Swerdlow 1969, Centaurus 14).

    >>> distance_in_earth_radii(51.16 * u.arcmin).round(0)
    <Quantity 67.>
    """
    require_positive(parallax=parallax)
    return 1 / np.sin(parallax)


def umbra_length(earth_radius: Length, sun_radius: Length, sun_distance: Length) -> Length:
    """Return the length of Earth's shadow, from Earth's centre to its tip.

    Parameters
    ----------
    earth_radius, sun_radius : scalar, array or Distribution, length
        The radii of both bodies.
    sun_distance : scalar, array or Distribution, length
        From centre to centre.

    Returns
    -------
    scalar, array or Distribution, length

    Raises
    ------
    Impossible
        For a length that is not positive, or a Sun no larger than the Earth, whose shadow would
        never end.

    References
    ----------
    Similar triangles: R D / (R' - R).

    Examples
    --------
    A Sun of 11 Earths in a distance of 100 radii: the shadow is 100 / 10 radii long.

    >>> umbra_length(1 * u.km, 11 * u.km, 100 * u.km)
    <Quantity 10. km>
    """
    require_positive(earth_radius=earth_radius, sun_radius=sun_radius, sun_distance=sun_distance)
    require(sun_radius > earth_radius, "a Sun no larger than the Earth leaves a shadow without end")
    return earth_radius * sun_distance / (sun_radius - earth_radius)
