"""The Moon's distance, from its angular size and from how many Moons make an Earth.

A thing that looks an angle theta wide is 1 / (2 sin(theta/2)) of its own diameters away, the Moon
about 110. Lesson 3 says that 3.67 Moons make an Earth, and 110 / 3.67 are 30 Earth diameters. The
rod measures from the class's place; the Moon's distance is counted from Earth's centre.
"""

import numpy as np
from astropy import units as u

from moonreach.lessons import Angle, Length, Number
from moonreach.lessons.refuse import require, require_positive


def distance_in_moon_diameters(angle: Angle) -> Number:
    """Return the distance of the Moon's centre from the eye, in Moon diameters.

    Parameters
    ----------
    angle : scalar, array or Distribution, angle
        The Moon's angular diameter.

    Returns
    -------
    scalar, array or Distribution, no unit

    Raises
    ------
    Impossible
        For an angle of zero, or of half the sky or more.

    References
    ----------
    The cone that touches a sphere: 1 / (2 sin(theta/2)).

    Examples
    --------
    The sine of 30 degrees is one half.

    >>> distance_in_moon_diameters(60 * u.deg).round(6)
    <Quantity 1.>
    """
    require_positive(angle=angle)
    require(angle < 180 * u.deg, "the Moon cannot look {} wide, half the sky or more", angle)
    return 0.5 / np.sin(angle / 2)


def distance_in_earth_diameters(angle: Angle, earth_in_moons: Number) -> Number:
    """Return the distance of the Moon's centre from the eye, in Earth diameters.

    Parameters
    ----------
    angle : scalar, array or Distribution, angle
        The Moon's angular diameter.
    earth_in_moons : scalar, array or Distribution, no unit
        R/r, the Earth in Moons.

    Returns
    -------
    scalar, array or Distribution, no unit

    Raises
    ------
    Impossible
        For an Earth in Moons that is not positive, and as `distance_in_moon_diameters`.

    References
    ----------
    D / 2R = (r/R) / (2 sin(theta/2)), after Aristarchus, Props. 11 and 17 (Heath 1913).

    Examples
    --------
    Today's mean values: 384 399 km over 12 742 km are 30.17 (encyclopaedias; WGS 84).

    >>> distance_in_earth_diameters(31.08 * u.arcmin, 3.667).round(1)
    <Quantity 30.2>
    """
    require_positive(earth_in_moons=earth_in_moons)
    return distance_in_moon_diameters(angle) / earth_in_moons


def geocentric_distance(
    topocentric: Length | Number, altitude: Angle, earth_radius: Length | Number
) -> Length | Number:
    """Return the distance from Earth's centre of what stands at an altitude above a place.

    Parameters
    ----------
    topocentric, earth_radius : scalar, array or Distribution, length
        The distance from the place, and Earth's radius; or both with no unit, in one measure.
    altitude : scalar, array or Distribution, angle
        Of the Moon above the horizon.

    Returns
    -------
    scalar, array or Distribution, length
        In the unit, or the measure, of the distance from the place.

    Raises
    ------
    Impossible
        For a distance or a radius that is not positive.

    References
    ----------
    The law of cosines (Euclid, Elements II.12): D^2 = d^2 + R^2 + 2 d R sin(altitude).

    Examples
    --------
    In the zenith the whole radius is added.

    >>> geocentric_distance(378_028 * u.km, 90 * u.deg, 6371 * u.km)
    <Quantity 384399. km>
    """
    require_positive(topocentric_distance=topocentric, earth_radius=earth_radius)
    square = topocentric**2 + earth_radius**2 + 2 * topocentric * earth_radius * np.sin(altitude)
    return np.sqrt(square)


def topocentric_distance(
    geocentric: Length | Number, altitude: Angle, earth_radius: Length | Number
) -> Length | Number:
    """Return the distance from a place that sees the Moon at an altitude.

    Parameters
    ----------
    geocentric, earth_radius : scalar, array or Distribution, length
        The distance from Earth's centre, and Earth's radius; or both with no unit, in one measure.
    altitude : scalar, array or Distribution, angle
        Of the Moon above the horizon.

    Returns
    -------
    scalar, array or Distribution, length
        In the unit, or the measure, of the distance from the centre.

    Raises
    ------
    Impossible
        For a Moon inside the Earth.

    References
    ----------
    The law of cosines, as `geocentric_distance`, whose reverse it is.

    Examples
    --------
    >>> topocentric_distance(384_399 * u.km, 90 * u.deg, 6371 * u.km)
    <Quantity 378028. km>
    """
    require(geocentric > earth_radius, "the Moon's centre cannot be inside the Earth")
    across = earth_radius * np.cos(altitude)
    return np.sqrt(geocentric**2 - across**2) - earth_radius * np.sin(altitude)


def geocentric_angle(angle: Angle, altitude: Angle, earth_in_moons: Number) -> Angle:
    """Return the angular diameter that the Moon would show from Earth's centre.

    Parameters
    ----------
    angle, altitude : scalar, array or Distribution, angle
        The Moon's angular diameter from the place, and its altitude there.
    earth_in_moons : scalar, array or Distribution, no unit
        R/r, the Earth in Moons.

    Returns
    -------
    scalar, array or Distribution, angle
        Up to 1.7 % smaller than from the place.

    Raises
    ------
    Impossible
        For an angle or an Earth in Moons that is not positive.

    References
    ----------
    `geocentric_distance` in Moon diameters.

    Examples
    --------
    A Moon in the zenith, 109.1 of its diameters away, is 109.1 + 3.667 / 2 from the centre.

    >>> geocentric_angle(31.51 * u.arcmin, 90 * u.deg, 3.667).to(u.arcmin).round(1)
    <Quantity 31. arcmin>
    """
    from_place = distance_in_moon_diameters(angle)
    return 2 * np.arcsin(0.5 / geocentric_distance(from_place, altitude, earth_in_moons / 2))
