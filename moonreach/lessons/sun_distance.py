"""The Sun's distance in Moon distances, from the angle between Sun and Moon at half Moon.

A Moon that looks half lit stands at a right angle between Sun and eye. One more angle of that
triangle can be measured, the elongation e at the eye, and the Sun is n = 1 / cos(e) times as far
as the Moon. Near 90 degrees n runs off to infinity, but its inverse, the Moon's distance over the
Sun's, does not: the uncertainty goes by that.

The Sun itself is never looked at: its direction comes from a shadow.
"""

import numpy as np
from astropy import units as u

from moonreach.lessons import Angle, Duration, Number
from moonreach.lessons.refuse import require, require_positive


def nearness(elongation: Angle) -> Number:
    """Return 1/n, the Moon's distance over the Sun's, at exact half phase.

    Parameters
    ----------
    elongation : scalar, array or Distribution, angle
        Between Sun and Moon at the eye.

    Returns
    -------
    scalar, array or Distribution, no unit
        Zero or less where the readings leave the Sun no end.

    Raises
    ------
    Impossible
        Outside 0 to 180 deg.

    References
    ----------
    The right-angled triangle: 1/n = cos e, after Aristarchus, Prop. 7 (Heath 1913).

    Examples
    --------
    >>> nearness(60 * u.deg).round(6)
    <Quantity 0.5>
    """
    require(
        (elongation > 0 * u.deg) & (elongation < 180 * u.deg),
        "an elongation must lie between 0 and 180 deg, found {}",
        elongation,
    )
    return np.cos(elongation)


def distance_ratio(elongation: Angle) -> Number:
    """Return n, the Sun's distance over the Moon's, at exact half phase.

    Parameters
    ----------
    elongation : scalar, array or Distribution, angle
        Between Sun and Moon at the eye.

    Returns
    -------
    scalar, array or Distribution, no unit

    Raises
    ------
    Impossible
        At 90 deg or more, where the two lines to the Sun never meet, and at 0 or less.

    References
    ----------
    Aristarchus, Prop. 7 (Heath 1913), as n = 1 / cos e.

    Examples
    --------
    His 87 degrees put the Sun between 18 and 20 Moon distances away.

    >>> distance_ratio(87 * u.deg).round(1)
    <Quantity 19.1>
    """
    near = nearness(elongation)
    require(
        elongation < 90 * u.deg,
        "at an elongation of 90 deg or more the lines to the Sun never meet: found {}",
        elongation,
    )
    return 1 / near


def elongation_from_altitudes(
    sun_altitude: Angle, moon_altitude: Angle, azimuth_difference: Angle
) -> Angle:
    """Return the elongation from two altitudes and the angle along the horizon between them.

    Parameters
    ----------
    sun_altitude, moon_altitude : scalar, array or Distribution, angle
        From one place at one moment; the Sun's comes from a shadow.
    azimuth_difference : scalar, array or Distribution, angle
        Along the horizon; the Sun's direction comes from a shadow.

    Returns
    -------
    scalar, array or Distribution, angle in deg

    References
    ----------
    The law of cosines on the sphere (Meeus, Astronomical Algorithms, ch. 17; chapter from memory).

    Examples
    --------
    Along the horizon the difference is the whole angle.

    >>> elongation_from_altitudes(0 * u.deg, 0 * u.deg, 90 * u.deg)
    <Quantity 90. deg>
    """
    cosine = np.sin(sun_altitude) * np.sin(moon_altitude)
    cosine = cosine + np.cos(sun_altitude) * np.cos(moon_altitude) * np.cos(azimuth_difference)
    return np.arccos(cosine).to(u.deg)


def elongation_from_times(half_to_half: Duration, month: Duration) -> Angle:
    """Return the elongation from the time between the two half Moons about a full Moon.

    Parameters
    ----------
    half_to_half : scalar, array or Distribution, time
        From the first half Moon through full Moon to the last one.
    month : scalar, array or Distribution, time
        From new Moon to new Moon, as if the Moon moved evenly.

    Returns
    -------
    scalar, array or Distribution, angle in deg

    Raises
    ------
    Impossible
        For a time that is not positive, or not shorter than the month.

    References
    ----------
    360 deg in a month. The real Moon is up to 6.3 deg before or behind an even one (Meeus,
    Astronomical Algorithms, ch. 47, the largest term; from memory), which spoils the method.

    Examples
    --------
    >>> elongation_from_times(20 * u.day, 30 * u.day).round(6)
    <Quantity 60. deg>
    """
    require_positive(half_to_half=half_to_half, month=month)
    require(half_to_half < month, "the time {} is not shorter than a month", half_to_half)
    return 180 * u.deg * (1 - half_to_half / month).to(u.one)


def earth_in_suns(nearness: Number, shadow_ratio: Number, disc_ratio: Number = 1.0) -> Number:
    """Return the Earth's diameter in Sun diameters.

    Parameters
    ----------
    nearness : scalar, array or Distribution, no unit
        1/n.
    shadow_ratio : scalar, array or Distribution, no unit
        x.
    disc_ratio : scalar, array or Distribution, no unit
        tan s' / tan s, the Sun's apparent size over the Moon's.

    Returns
    -------
    scalar, array or Distribution, no unit
        Zero or less where 1/n is.

    Raises
    ------
    Impossible
        For a shadow ratio or a disc ratio that is not positive.

    References
    ----------
    The Sun is n tan s'/tan s Moons wide; `shadow_cone.earth_in_moons` tells how many make an Earth.

    Examples
    --------
    3 / 19 / (1 + 1/19) = 3/20.

    >>> round(earth_in_suns(1 / 19, 2), 6)
    0.15
    """
    require_positive(shadow_ratio=shadow_ratio, disc_ratio=disc_ratio)
    return (shadow_ratio + disc_ratio) / disc_ratio * nearness / (1 + nearness)


def sun_in_earths(distance_ratio: Number, shadow_ratio: Number, disc_ratio: Number = 1.0) -> Number:
    """Return the Sun's diameter in Earth diameters, the reverse of `earth_in_suns`.

    Parameters
    ----------
    distance_ratio : scalar, array or Distribution, no unit
        n.
    shadow_ratio, disc_ratio : scalar, array or Distribution, no unit
        x and tan s' / tan s.

    Returns
    -------
    scalar, array or Distribution, no unit

    Raises
    ------
    Impossible
        Where one of them is not positive.

    References
    ----------
    Aristarchus, Prop. 15 (Heath 1913), is its case n = 19, x = 2, equal discs: 20/3.

    Examples
    --------
    >>> round(sun_in_earths(19, 2), 2)
    6.67
    """
    require_positive(distance_ratio=distance_ratio)
    return 1 / earth_in_suns(1 / distance_ratio, shadow_ratio, disc_ratio)
