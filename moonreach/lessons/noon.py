"""What a noon shadow needs besides its length: the Sun's declination, and what stands true."""

import numpy as np
from astropy import units as u

from moonreach.lessons import Angle, Duration


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
