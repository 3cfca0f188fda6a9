"""How the Moon is lit, and when it looks half lit: the triangle of Sun, Moon and eye.

Symbols: e the elongation, the angle between Sun and Moon at the eye; i the phase angle, the angle
between Sun and eye at the Moon; n the Sun's distance in Moon distances.
"""

import numpy as np
from astropy import units as u

from moonreach.lessons import Angle, Duration, Number
from moonreach.lessons.refuse import require, require_positive


def elongation_at_half(distance_ratio: Number) -> Angle:
    """Return the elongation at which the Moon is exactly half lit.

    Parameters
    ----------
    distance_ratio : scalar, array or Distribution, no unit
        n.

    Returns
    -------
    scalar, array or Distribution, angle in deg

    Raises
    ------
    Impossible
        For a Sun no farther than the Moon.

    References
    ----------
    The right-angled triangle: e = arccos(1/n), after Aristarchus, Prop. 7 (Heath 1913).

    Examples
    --------
    >>> elongation_at_half(2).round(6)
    <Quantity 60. deg>
    """
    require(distance_ratio > 1, "n must be greater than 1, found {}", distance_ratio)
    return np.arccos(u.Quantity(1 / distance_ratio)).to(u.deg)


def lead(distance_ratio: Number, month: Duration) -> Duration:
    """Return how long before first quarter (after last quarter) the Moon is exactly half lit.

    Parameters
    ----------
    distance_ratio : scalar, array or Distribution, no unit
        n.
    month : scalar, array or Distribution, time
        From new Moon to new Moon, as if the Moon moved evenly.

    Returns
    -------
    scalar, array or Distribution, time
        In the unit of the month.

    Raises
    ------
    Impossible
        For a Sun no farther than the Moon.

    References
    ----------
    360 deg in a month, and quarter where the elongation is 90 deg.

    Examples
    --------
    30 of 360 degrees are a twelfth of the month.

    >>> lead(2, 30 * u.day).round(6)
    <Quantity 2.5 d>
    """
    return month * ((90 * u.deg - elongation_at_half(distance_ratio)) / (360 * u.deg)).to(u.one)


def phase_angle(elongation: Angle, distance_ratio: Number) -> Angle:
    """Return the phase angle: 90 deg where the Moon is half lit.

    Parameters
    ----------
    elongation : scalar, array or Distribution, angle
        Between Sun and Moon at the eye.
    distance_ratio : scalar, array or Distribution, no unit
        n.

    Returns
    -------
    scalar, array or Distribution, angle in deg

    Raises
    ------
    Impossible
        For an n that is not positive.

    References
    ----------
    tan i = n sin e / (1 - n cos e) (Meeus, Astronomical Algorithms, ch. 48; from memory).

    Examples
    --------
    >>> phase_angle(60 * u.deg, 2).round(6)
    <Quantity 90. deg>
    """
    require_positive(distance_ratio=distance_ratio)
    across = distance_ratio * np.sin(elongation)
    return np.arctan2(across, 1 - distance_ratio * np.cos(elongation)).to(u.deg)


def lit_fraction(phase_angle: Angle) -> Number:
    """Return the lit fraction of the Moon's disc.

    Parameters
    ----------
    phase_angle : scalar, array or Distribution, angle
        Between Sun and eye at the Moon.

    Returns
    -------
    scalar, array or Distribution, no unit
        From 0 to 1.

    References
    ----------
    (1 + cos i) / 2 (Meeus, Astronomical Algorithms, ch. 48; from memory).

    Examples
    --------
    >>> lit_fraction(60 * u.deg).round(6)
    <Quantity 0.75>
    """
    return (1 + np.cos(phase_angle)) / 2
