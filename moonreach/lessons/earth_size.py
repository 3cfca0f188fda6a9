"""Earth's size from two noon shadows.

Two upright gnomons on one meridian, each read at its own local noon, lean against each other by
the arc between their places. As often as that arc goes into 360 degrees, so often the distance
between the places goes into the circumference. (Eratosthenes' way; Cleomedes, Caelestia I.7.)
"""

import numpy as np
from astropy import units as u

from moonreach.lessons import Angle, Length, today
from moonreach.lessons.refuse import mostly, require, require_one_of, require_positive

EDGES = ("middle", "full_shadow")
SIDES = ("same_side", "opposite_sides")


def zenith_distance(gnomon_height: Length, shadow_length: Length, edge: str = "middle") -> Angle:
    """Return the zenith distance of the Sun's centre from a vertical gnomon's noon shadow.

    Parameters
    ----------
    gnomon_height, shadow_length : scalar, array or Distribution, length
        A shadow of zero means the Sun in the zenith.
    edge : {"middle", "full_shadow"}
        Where the blurred end was read: its middle, which the Sun's centre casts, or the end of the
        full shadow, which the upper limb casts, one solar semidiameter nearer to the zenith.

    Returns
    -------
    scalar, array or Distribution, angle in deg

    Raises
    ------
    Impossible
        For a gnomon of no height, a negative shadow, or another edge.

    References
    ----------
    tan z = shadow / height, plane trigonometry.

    Examples
    --------
    A fiftieth of a circle is 7.2 degrees, whose tangent is 0.1263.

    >>> zenith_distance(1 * u.m, 12.63 * u.cm).round(1)
    <Quantity 7.2 deg>
    """
    require_positive(gnomon_height=gnomon_height)
    require(
        shadow_length >= 0 * u.m, "a shadow cannot be shorter than nothing: found {}", shadow_length
    )
    require_one_of(EDGES, edge=edge)
    angle = np.arctan(shadow_length / gnomon_height).to(u.deg)
    return angle + today.SUN_SEMIDIAMETER if edge == "full_shadow" else angle


def arc(
    north_zenith_distance: Angle,
    south_zenith_distance: Angle,
    shadows: str = "same_side",
    declination_change: Angle | None = None,
) -> Angle:
    """Return the arc of the meridian between the two places.

    Parameters
    ----------
    north_zenith_distance, south_zenith_distance : scalar, array or Distribution, angle
        Each at its own local noon.
    shadows : {"same_side", "opposite_sides"}
        Whether both shadows point the same way, so that the arc is their difference, or one north
        and one south, so that it is their sum.
    declination_change : scalar, array or Distribution, angle, or None
        The Sun's declination at the northern noon less that at the southern, for noons that lie
        hours or days apart; None for noons of one moment.

    Returns
    -------
    scalar, array or Distribution, angle
        Draws of a Distribution that fall below zero count as zero, an Earth without end.

    Raises
    ------
    Impossible
        Where no arc is left, as parallel gnomons measure nothing, or for another word.

    References
    ----------
    Latitude = declination + zenith distance, counted northwards (Cleomedes, Caelestia I.7, for a
    Sun in the zenith of the southern place).

    Examples
    --------
    >>> arc(7.2 * u.deg, 0 * u.deg)
    <Quantity 7.2 deg>
    """
    require_one_of(SIDES, shadows=shadows)
    if shadows == "opposite_sides":
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


def north_south_distance(road_distance: Length, road_bearing: Angle) -> Length:
    """Return the north-south part of a straight road, as only that part lies along the arc.

    Parameters
    ----------
    road_distance : scalar, array or Distribution, length
        Of the whole road.
    road_bearing : scalar, array or Distribution, angle
        From north.

    Returns
    -------
    scalar, array or Distribution, length

    Raises
    ------
    Impossible
        For a road of no length, or one that runs due east or west.

    References
    ----------
    The side of a right-angled triangle, plane trigonometry.

    Examples
    --------
    The cosine of 60 degrees is one half.

    >>> north_south_distance(800 * u.km, 60 * u.deg).round(6)
    <Quantity 400. km>
    """
    require_positive(road_distance=road_distance)
    part = np.abs(np.cos(road_bearing))
    require(part > 1e-6, "a road due east or west has no north-south part to measure the Earth by")
    return road_distance * part


def circumference(arc: Angle, distance: Length) -> Length:
    """Return Earth's circumference from an arc and the north-south distance that spans it.

    Parameters
    ----------
    arc : scalar, array or Distribution, angle
        Between the two places.
    distance : scalar, array or Distribution, length
        Along the meridian.

    Returns
    -------
    scalar, array or Distribution, length

    Raises
    ------
    Impossible
        For an arc or a distance that is not positive.

    References
    ----------
    Proportion, Cleomedes, Caelestia I.7: 1/50 of a circle and 5000 stadia make 250 000 stadia.

    Examples
    --------
    >>> circumference(360 / 50 * u.deg, 5000 * u.km)
    <Quantity 250000. km>
    """
    require_positive(arc=arc, north_south_distance=distance)
    return 360 * u.deg / arc * distance


def diameter(arc: Angle, distance: Length) -> Length:
    """Return Earth's diameter, the circumference over pi.

    Parameters
    ----------
    arc : scalar, array or Distribution, angle
        Between the two places.
    distance : scalar, array or Distribution, length
        Along the meridian.

    Returns
    -------
    scalar, array or Distribution, length

    Raises
    ------
    Impossible
        As `circumference`.

    References
    ----------
    As `circumference`, for a globe.

    Examples
    --------
    By WGS 84 a degree of the meridian is 111.133 km on average.

    >>> diameter(1 * u.deg, 111.133 * u.km).round(0)
    <Quantity 12735. km>
    """
    return circumference(arc, distance) / np.pi
