"""What the air does: it lifts every light of the sky towards the zenith."""

import numpy as np
from astropy import units as u

from moonreach.lessons import Angle


def true_zenith_distance(seen: Angle) -> Angle:
    """Return the zenith distance that a light would have without air.

    Parameters
    ----------
    seen : scalar, array or Distribution, angle
        The zenith distance as it is measured; its sign stays.

    Returns
    -------
    scalar, array or Distribution, angle in deg
        At sea level, 1010 hPa and 10 deg C, within 0.1 arcmin down to the horizon.

    References
    ----------
    Bennett, The Journal of Navigation 35 (1982) 255, after Meeus, Astronomical Algorithms, ch. 16
    (from memory). Down to 75 degrees it is 58.3 arcsec times the tangent of the zenith distance.

    Examples
    --------
    At 45 degrees the air lifts by one arcminute.

    >>> (true_zenith_distance(45 * u.deg) - 45 * u.deg).to(u.arcmin).round(1)
    <Quantity 1. arcmin>
    """
    distance = np.abs(seen).to_value(u.deg)
    altitude = 90 - distance
    lift = np.tan(np.radians(distance - 7.31 / (altitude + 4.4)))  # in arcminutes
    return (np.sign(seen.to_value(u.deg)) * (distance + np.maximum(lift, 0) / 60)) * u.deg


def seen_zenith_distance(true: Angle) -> Angle:
    """Return the zenith distance at which a light is seen through the air.

    Parameters
    ----------
    true : scalar, array or Distribution, angle
        The zenith distance without air; its sign stays.

    Returns
    -------
    scalar, array or Distribution, angle in deg

    References
    ----------
    The reverse of `true_zenith_distance`, within 0.1 arcmin down to 85 degrees.

    Examples
    --------
    >>> (60 * u.deg - seen_zenith_distance(60 * u.deg)).to(u.arcmin).round(1)
    <Quantity 1.7 arcmin>
    """
    seen = 2 * true - true_zenith_distance(true)
    return (seen + true - true_zenith_distance(seen)).to(u.deg)
