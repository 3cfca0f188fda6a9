"""Earth's size from two noon shadows.

Two upright gnomons on one meridian, each read at its own local noon, lean against each other by
the arc between their places. As often as that arc goes into 360 degrees, so often the distance
between the places goes into the circumference. (Eratosthenes' way; Cleomedes, Caelestia I.7.)
"""

import numpy as np
from astropy import units as u

from moonreach.lessons import Angle, Duration, Length, today
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


def sun_declination(since_2000: Duration) -> Angle:
    """Return the Sun's declination at a time.

    Parameters
    ----------
    since_2000 : scalar, array or Distribution, time
        Counted from 2000 January 1, 12h; the formula serves from 1950 to 2050.

    Returns
    -------
    scalar, array or Distribution, angle in deg
        Right within 0.01 deg.

    References
    ----------
    Low-precision formulas for the Sun, The Astronomical Almanac, page C5 (page from memory).

    Examples
    --------
    Meeus, Astronomical Algorithms, example 25.a, has -7.785 deg on 1992 October 13.0.

    >>> sun_declination(-2636.5 * u.day).round(1)
    <Quantity -7.8 deg>
    """
    days = since_2000.to_value(u.day)
    anomaly = np.radians(357.528 + 0.9856003 * days)
    longitude = np.radians(
        280.460 + 0.9856474 * days + 1.915 * np.sin(anomaly) + 0.020 * np.sin(2 * anomaly)
    )
    obliquity = np.radians(23.439 - 4e-7 * days)
    return np.arcsin(np.sin(obliquity) * np.sin(longitude)) * (180 / np.pi) * u.deg


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


def setup_error(zenith_distance: Angle, out_of_plumb: Angle, slope: Angle) -> Angle:
    """Return by how much a leaning gnomon and sloping ground change the zenith distance.

    Parameters
    ----------
    zenith_distance : scalar, array or Distribution, angle
        Of the Sun.
    out_of_plumb, slope : scalar, array or Distribution, angle
        Small angles in the plane of gnomon and shadow: of the gnomon's lean away from the Sun, and
        of ground that falls away along the shadow.

    Returns
    -------
    scalar, array or Distribution, angle
        What is read less what is true. With a low Sun the ground matters more than the gnomon.

    References
    ----------
    The derivatives of tan z = shadow / height: cos^2 z of the lean and sin^2 z of the slope.

    Examples
    --------
    With the Sun 60 degrees from the zenith a degree of slope counts three times one of lean.

    >>> setup_error(60 * u.deg, [1, 0] * u.deg, [0, 1] * u.deg).round(2)
    <Quantity [0.25, 0.75] deg>
    """
    return np.cos(zenith_distance) ** 2 * out_of_plumb + np.sin(zenith_distance) ** 2 * slope


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
    By WGS 84 a degree of the meridian is 111.133 km in the mean.

    >>> diameter(1 * u.deg, 111.133 * u.km).round(0)
    <Quantity 12735. km>
    """
    return circumference(arc, distance) / np.pi
