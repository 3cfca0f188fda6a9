"""The Moon's distance from zenith distance and azimuth at two places anywhere on the Earth.

The further step of `other_ways`, whose two places lie on one meridian.
"""

import numpy as np

from moonreach.lessons import Angle, Number


def sine_of_parallax_anywhere(
    latitudes: Angle,
    longitudes: Angle,
    zenith_distances: Angle,
    azimuths: Angle,
    flattening: Number = 0,
) -> Number:
    """Return 1/D from two places anywhere, each with zenith distance and azimuth at one moment.

    Parameters
    ----------
    latitudes, longitudes, zenith_distances, azimuths : two of scalar, array or Distribution, angle
        Pairs, the one place first; azimuths from north through east. Only what lies in the plane
        of the two places and the Moon counts, as the rest is error.
    flattening : scalar, array or Distribution, no unit
        The Earth's; 0 for a globe.

    Returns
    -------
    scalar, array or Distribution, no unit
        In equatorial radii of the Earth.

    References
    ----------
    Plane trigonometry in that plane; places on the ellipsoid as in WGS 84 (NIMA TR8350.2).

    Examples
    --------
    Zenith distances of 41 and 40.2 degrees over 80 degrees of one meridian, a shift of 1.2 degrees:
    62.1 Earth radii by `other_ways.distance_in_earth_radii`, and the same here.

    >>> from astropy import units as u
    >>> sine = sine_of_parallax_anywhere(
    ...     (50, -30) * u.deg, (0, 0) * u.deg, (41, 40.2) * u.deg, (180, 0) * u.deg
    ... )
    >>> (1 / sine).round(1)
    <Quantity 62.1>
    """
    grounds, lines = [], []
    places = zip(latitudes, longitudes, zenith_distances, azimuths, strict=True)
    for latitude, longitude, zenith, azimuth in places:
        up, east, north = _axes(latitude, longitude)
        across = 1 / np.sqrt(1 - flattening * (2 - flattening) * np.sin(latitude) ** 2)
        grounds.append((across * up[0], across * up[1], across * (1 - flattening) ** 2 * up[2]))
        lines.append(_turned(up, _turned(north, east, azimuth), zenith))
    base = [b - a for a, b in zip(*grounds, strict=True)]
    upright = _cross(base, [a + b for a, b in zip(*lines, strict=True)])
    # 1 / the way from the first place to the Moon, by the sines in the triangle.
    near = _dot(_cross(*lines), upright) / _dot(_cross(base, lines[1]), upright)
    ground = grounds[0]
    return near / np.sqrt(1 + 2 * near * _dot(ground, lines[0]) + near**2 * _dot(ground, ground))


def _axes(latitude, longitude):
    """The directions to the zenith, to the east and to the north of a place."""
    sine, cosine = np.sin(latitude), np.cos(latitude)
    east = -np.sin(longitude), np.cos(longitude), 0 * sine
    up = cosine * east[1], -cosine * east[0], sine
    return up, east, (-sine * east[1], sine * east[0], cosine)


def _turned(first, second, angle):
    """The direction at an angle from the first towards the second, square to it."""
    return [np.cos(angle) * a + np.sin(angle) * b for a, b in zip(first, second, strict=True)]


def _cross(a, b):
    return [a[i - 2] * b[i - 1] - a[i - 1] * b[i - 2] for i in range(3)]


def _dot(a, b):
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
