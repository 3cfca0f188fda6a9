"""Earth's size from two noon shadows.

Two vertical gnomons on one meridian, each read at its own local noon, stand at an angle to each
other: the arc between their places. The whole circle is as many times longer than the road
between them as 360 degrees are more than the arc. (Eratosthenes' way; Cleomedes, Caelestia I.7.)
"""

import numpy as np
from astropy import units as u

from moonreach.lessons import today
from moonreach.lessons.refuse import Impossible, mostly, require, require_positive

EDGES = ("middle", "full_shadow")
SIDES = ("same_side", "opposite_sides")


def zenith_distance(gnomon_height, shadow_length, edge="middle"):
    """Return the zenith distance of the Sun's centre from a vertical gnomon's noon shadow.

    Parameters
    ----------
    gnomon_height, shadow_length : lengths; a shadow of zero means the Sun in the zenith.
    edge : ``"middle"`` of the blurred end, which the Sun's centre casts, or ``"full_shadow"``,
        the end of the full shadow, which the upper limb casts: the centre then stands one solar
        semidiameter (16') further from the zenith.

    Returns an angle. Raises `Impossible` for a gnomon of no height or a negative shadow.
    Source: tan z = shadow / height, plane trigonometry.

    >>> zenith_distance(1 * u.m, 12.6 * u.cm).round(2)
    <Quantity 7.18 deg>
    """
    require_positive(gnomon_height=gnomon_height)
    require(
        shadow_length >= 0 * u.m, "a shadow cannot be shorter than nothing: found {}", shadow_length
    )
    angle = np.arctan(shadow_length / gnomon_height).to(u.deg)
    return angle + today.SUN_SEMIDIAMETER if _one_of(edge, EDGES) == "full_shadow" else angle


def sun_declination(since_2000):
    """Return the Sun's declination at a time since 2000 January 1, 12h.

    Source: low-precision formula of the Astronomical Almanac, within 0.01 deg for 1950 to 2050.

    >>> sun_declination(0 * u.day).round(2)
    <Quantity -23.03 deg>
    """
    days = since_2000.to_value(u.day)
    anomaly = np.radians(357.528 + 0.9856003 * days)
    longitude = np.radians(
        280.460 + 0.9856474 * days + 1.915 * np.sin(anomaly) + 0.020 * np.sin(2 * anomaly)
    )
    obliquity = np.radians(23.439 - 4e-7 * days)
    return np.arcsin(np.sin(obliquity) * np.sin(longitude)) * (180 / np.pi) * u.deg


def arc(north_zenith_distance, south_zenith_distance, shadows="same_side", declination_change=None):
    """Return the arc of the meridian between the two places.

    Parameters
    ----------
    north_zenith_distance, south_zenith_distance : angles, each at its own local noon.
    shadows : ``"same_side"`` when both shadows point the same way, so that the arc is their
        difference; ``"opposite_sides"`` when one points north and one south: their sum.
    declination_change : angle, the Sun's declination at the northern noon less that at the
        southern, when the noons lie hours or days apart; nothing when they do not.

    Returns an angle. Raises `Impossible` where no arc is left: parallel gnomons measure nothing.
    Draws of a cloud that fall below zero count as zero, an Earth without end.
    Source: latitude = declination + zenith distance, counted northwards.

    >>> arc(7.2 * u.deg, 0 * u.deg)
    <Quantity 7.2 deg>
    """
    if _one_of(shadows, SIDES) == "opposite_sides":
        result = north_zenith_distance + south_zenith_distance
    else:
        result = north_zenith_distance - south_zenith_distance
        # Where both shadows point south (the southern hemisphere) the southern one is longer.
        result = result * np.where(mostly(result < 0 * u.deg), -1, 1)
    if declination_change is not None:
        result = result + declination_change
    require(
        result > 0 * u.deg,
        "the two noon shadows give no arc between the places: with equal zenith distances the "
        "gnomons stand parallel, and no circle can be found from them",
    )
    return np.maximum(result, 0 * u.deg)


def north_south_distance(road_distance, road_bearing):
    """Return the north-south part of a straight road, as only that part lies along the arc.

    Parameters: the road's length, and its bearing as an angle from north. Returns a length.
    Raises `Impossible` for a road that runs due east or west. Source: plane trigonometry.

    >>> north_south_distance(800 * u.km, 60 * u.deg).round(6)
    <Quantity 400. km>
    """
    require_positive(road_distance=road_distance)
    part = np.abs(np.cos(road_bearing))
    require(part > 1e-6, "a road due east or west has no north-south part to measure the Earth by")
    return road_distance * part


def circumference(arc, distance):
    """Return Earth's circumference from an arc and the north-south distance that spans it.

    Parameters: an angle and a length. Returns a length. Raises `Impossible` for an arc of zero.
    Source: proportion; 1/50 of a circle and 5000 stadia give 250 000 stadia (Cleomedes I.7).

    >>> circumference(7.2 * u.deg, 5000 * u.km)
    <Quantity 250000. km>
    """
    require_positive(arc=arc, north_south_distance=distance)
    return 360 * u.deg / arc * distance


def diameter(arc, distance):
    """Return Earth's diameter, the circumference over pi; see `circumference`.

    >>> diameter(7.2 * u.deg, 800 * u.km).round(0)
    <Quantity 12732. km>
    """
    return circumference(arc, distance) / np.pi


def _one_of(word, words):
    if word not in words:
        raise Impossible(f"found {word!r}, accepted are {' and '.join(map(repr, words))}")
    return word
