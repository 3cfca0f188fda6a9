"""The Moon's distance, from its angular size and from how many Moons make an Earth.

What looks an angle theta wide is 1 / (2 sin(theta/2)) of its own diameters away: about 110 Moon
diameters. The shadow tells that 3.67 Moons make one Earth. So the Moon is 110 / 3.67 = 30 Earth
diameters away. The rod measures from where the class stands; the distance is counted from
Earth's centre.
"""

import numpy as np
from astropy import units as u

from moonreach.lessons.refuse import require, require_positive


def distance_in_moon_diameters(angle):
    """Return the distance of the Moon's centre from the eye, in Moon diameters.

    Parameters: the Moon's angular diameter. Returns a plain number. Raises `Impossible` for an
    angle of zero or of half a circle or more. Source: the cone that touches a sphere.

    >>> distance_in_moon_diameters(31.08 * u.arcmin).round(1)
    <Quantity 110.6>
    """
    require_positive(angle=angle)
    require(angle < 180 * u.deg, "the Moon cannot look {} wide, half the sky or more", angle)
    return 0.5 / np.sin(angle / 2)


def distance_in_earth_diameters(angle, earth_in_moons):
    """Return the distance of the Moon's centre from the eye, in Earth diameters.

    Parameters: an angle, and R/r. Returns a plain number. Raises `Impossible` as
    `distance_in_moon_diameters`, and for R/r not positive. Source: D/2R = (r/R) / (2 sin(theta/2)).

    >>> distance_in_earth_diameters(31.08 * u.arcmin, 3.667).round(2)
    <Quantity 30.16>
    """
    require_positive(earth_in_moons=earth_in_moons)
    return distance_in_moon_diameters(angle) / earth_in_moons


def geocentric_distance(topocentric, altitude, earth_radius):
    """Return the distance from Earth's centre of what stands at an altitude above a place.

    Parameters: the distance from the place, the altitude of the Moon, Earth's radius in the unit
    of the distance. Returns a distance in that unit. Source: law of cosines,
    D^2 = d^2 + R^2 + 2 d R sin(altitude).

    >>> geocentric_distance(378_028 * u.km, 90 * u.deg, 6371 * u.km)
    <Quantity 384399. km>
    """
    require_positive(topocentric_distance=topocentric, earth_radius=earth_radius)
    square = topocentric**2 + earth_radius**2 + 2 * topocentric * earth_radius * np.sin(altitude)
    return np.sqrt(square)


def topocentric_distance(geocentric, altitude, earth_radius):
    """Return the distance from a place that sees the Moon at an altitude.

    The reverse of `geocentric_distance`, with the same parameters and source.

    >>> topocentric_distance(384_399 * u.km, 90 * u.deg, 6371 * u.km)
    <Quantity 378028. km>
    """
    require(geocentric > earth_radius, "the Moon's centre cannot be inside the Earth")
    across = earth_radius * np.cos(altitude)
    return np.sqrt(geocentric**2 - across**2) - earth_radius * np.sin(altitude)


def geocentric_angle(angle, altitude, earth_in_moons):
    """Return the angular diameter the Moon would show from Earth's centre.

    Parameters: the angular diameter from the place, the Moon's altitude, R/r.
    Returns an angle, up to 1.7 % smaller. Source: `geocentric_distance` in Moon diameters.

    >>> geocentric_angle(31.6 * u.arcmin, 90 * u.deg, 3.667).to(u.arcmin).round(2)
    <Quantity 31.08 arcmin>
    """
    from_place = distance_in_moon_diameters(angle)
    return 2 * np.arcsin(0.5 / geocentric_distance(from_place, altitude, earth_in_moons / 2))
