"""The Sun's distance in Moon distances, from the angle between Sun and Moon at half Moon.

When the Moon looks half lit, the lines from the Moon to the Sun and from the Moon to the eye
stand at right angles. The triangle of Sun, Moon and eye then has one more angle that can be
measured, the elongation e at the eye, and the Sun is n = 1 / cos(e) times as far as the Moon.
Near 90 degrees n explodes; its inverse, the Moon's distance over the Sun's, does not, and so the
uncertainty is carried through that.

The Sun itself is never looked at: its direction comes from a shadow.
"""

import numpy as np
from astropy import units as u

from moonreach.lessons.refuse import require, require_positive


def nearness(elongation):
    """Return 1/n, the Moon's distance over the Sun's, at exact half phase.

    Parameters: the elongation, the angle between Sun and Moon at the eye. Returns a plain number,
    which is zero or less where the readings leave the Sun no end. Raises `Impossible` outside 0 to
    180 deg. Source: the right-angled triangle, 1/n = cos(e).

    >>> nearness(60 * u.deg).round(3)
    <Quantity 0.5>
    """
    require(
        (elongation > 0 * u.deg) & (elongation < 180 * u.deg),
        "an elongation must lie between 0 and 180 deg, found {}",
        elongation,
    )
    return np.cos(elongation)


def distance_ratio(elongation):
    """Return n, the Sun's distance over the Moon's, at exact half phase.

    Parameters: the elongation. Returns a plain number. Raises `Impossible` at 90 deg or more, where
    the two lines never meet. Source: Aristarchus, Prop. 7 (Heath 1913), as n = 1 / cos(e).

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


def elongation_at_half(distance_ratio):
    """Return the elongation at which the Moon is exactly half lit, the reverse of `distance_ratio`.

    Parameters: n. Returns an angle. Raises `Impossible` for a Sun no farther than the Moon.

    >>> elongation_at_half(389.2).to(u.deg).round(3)
    <Quantity 89.853 deg>
    """
    require(distance_ratio > 1, "n must be greater than 1, found {}", distance_ratio)
    return np.arccos(u.Quantity(1 / distance_ratio)).to(u.deg)


def elongation_from_altitudes(sun_altitude, moon_altitude, azimuth_difference):
    """Return the elongation from two altitudes and the angle along the horizon between them.

    Parameters: three angles, all from one place at one moment. Returns an angle. The Sun's altitude
    and direction come from a shadow. Source: the spherical law of cosines.

    >>> elongation_from_altitudes(30 * u.deg, 40 * u.deg, 120 * u.deg).round(1)
    <Quantity 90.6 deg>
    """
    cosine = np.sin(sun_altitude) * np.sin(moon_altitude)
    cosine = cosine + np.cos(sun_altitude) * np.cos(moon_altitude) * np.cos(azimuth_difference)
    return np.arccos(cosine).to(u.deg)


def elongation_from_times(half_to_half, month):
    """Return the elongation from the time between the two half Moons about a full Moon.

    Parameters: the time from the first half Moon through full Moon to the last one, and the length
    of the month from new Moon to new Moon, as if the Moon moved evenly. Returns an angle. Raises
    `Impossible` where the time is not shorter than the month. Source: 360 deg in a month; the real
    Moon is up to 6.3 deg before or behind an even one, which spoils the method.

    >>> elongation_from_times(15.3 * u.day, 29.53 * u.day).round(2)
    <Quantity 86.74 deg>
    """
    require_positive(half_to_half=half_to_half, month=month)
    require(half_to_half < month, "the time {} is not shorter than a month", half_to_half)
    return 180 * u.deg * (1 - half_to_half / month).to(u.one)


def lead(distance_ratio, month):
    """Return how long before first quarter (after last quarter) the Moon is exactly half lit.

    Parameters: n, and the length of the month from new Moon to new Moon, as if the Moon moved
    evenly. Returns a time. Raises `Impossible` for a Sun no farther than the Moon. Quarter is where
    the elongation is 90 deg.

    >>> lead(389.2, 29.530589 * u.day).to(u.min).round(1)
    <Quantity 17.4 min>
    """
    return month * ((90 * u.deg - elongation_at_half(distance_ratio)) / (360 * u.deg)).to(u.one)


def phase_angle(elongation, distance_ratio):
    """Return the angle at the Moon between the Sun and the eye: 90 deg at half phase.

    Parameters: the elongation, and n. Returns an angle. Raises `Impossible` for an n not positive.
    Source: the triangle of Sun, Moon and eye.

    >>> phase_angle(87 * u.deg, 19.107).round(2)
    <Quantity 90. deg>
    """
    require_positive(distance_ratio=distance_ratio)
    across = distance_ratio * np.sin(elongation)
    return np.arctan2(across, 1 - distance_ratio * np.cos(elongation)).to(u.deg)


def lit_fraction(phase_angle):
    """Return the lit fraction of the Moon's disc.

    Parameters: the phase angle. Returns a plain number from 0 to 1.
    Source: (1 + cos i) / 2 (Meeus, Astronomical Algorithms, ch. 48; from memory).

    >>> lit_fraction(90 * u.deg).round(2)
    <Quantity 0.5>
    """
    return (1 + np.cos(phase_angle)) / 2


def earth_in_suns(nearness, shadow_ratio, disc_ratio=1.0):
    """Return the Earth's diameter in Sun diameters.

    Parameters: 1/n, the shadow ratio x, and tan s'/tan s, the Sun's apparent size over the Moon's.
    Returns a plain number, zero or less where 1/n is. Raises `Impossible` for a ratio that is not
    positive. Source: the Sun is n tan s'/tan s Moons wide, and the exact cone of `shadow_cone`
    tells how many Moons make an Earth.

    >>> round(earth_in_suns(1 / 19, 2), 3)
    0.15
    """
    require_positive(shadow_ratio=shadow_ratio, disc_ratio=disc_ratio)
    return (shadow_ratio + disc_ratio) / disc_ratio * nearness / (1 + nearness)


def sun_in_earths(distance_ratio, shadow_ratio, disc_ratio=1.0):
    """Return the Sun's diameter in Earth diameters.

    Parameters: n, and as `earth_in_suns`, whose reverse it is. Returns a plain number. Raises
    `Impossible` where one is not positive. Source: Aristarchus, Prop. 15 (Heath 1913), is its case
    n = 19, x = 2, equal discs.

    >>> round(sun_in_earths(19, 2), 2)
    6.67
    """
    require_positive(distance_ratio=distance_ratio)
    return 1 / earth_in_suns(1 / distance_ratio, shadow_ratio, disc_ratio)
