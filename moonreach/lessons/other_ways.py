"""Two more ways to the Moon: one Moon, seen from two places at one moment.

From two places the Moon stands before different points of the sky. The angle between the two
directions, the parallax shift, and the line between the places make a triangle with the Moon at
its tip. Antiquity took the shift from a solar eclipse, total at one place and partial at another;
two schools can take it from zenith distances, or from two photographs of the Moon among stars.

Symbols: N and S the northern and the southern place, z zenith distances, positive towards the
south; D the Moon's distance from Earth's centre in Earth radii. Near a shift of zero D explodes;
its inverse, sin p with p the Moon's horizontal parallax, does not, and so the uncertainty is
carried through that.

Nobody looks at the Sun: the covered part is read from a projected image or from a report.
"""

import numpy as np
from astropy import units as u

from moonreach.lessons.refuse import require, require_positive


def shift_from_zenith_distances(latitude_difference, north_zenith, south_zenith):
    """Return the Moon's parallax shift between two places on one meridian.

    Parameters: the northern latitude less the southern, and the Moon's two zenith distances at one
    moment, positive where it stands south. Returns an angle, zero or less where the readings leave
    no distance. Source: the directions of the two zeniths differ by the latitudes' difference;
    what is left is the Moon's.

    >>> shift_from_zenith_distances(80 * u.deg, 41 * u.deg, -40.3 * u.deg).round(1)
    <Quantity 1.3 deg>
    """
    return north_zenith - south_zenith - latitude_difference


def shift_from_covered_parts(deeper_part, other_part, sun_angle, sun_distance_ratio=np.inf):
    """Return the Moon's parallax shift from what it covers of the Sun at two places.

    Parameters: the covered parts of the Sun's diameter (1 where the eclipse is total) at the place
    of the deeper eclipse and at the other, the Sun's angular diameter, and n. Returns an angle.
    Raises `Impossible` for parts outside 0 to 1. Source: Hipparchus' eclipse, total at the
    Hellespont and 4/5 at Alexandria (Pappus, Cleomedes), for equal discs with the Moon's middle
    before the Sun's at the place of totality. The Sun's own shift is 1/n of the Moon's.

    >>> shift_from_covered_parts(1, 0.8, 33.2 * u.arcmin).round(2)
    <Quantity 6.64 arcmin>
    """
    for part in (deeper_part, other_part):
        require((part >= 0) & (part <= 1), "a covered part must lie from 0 to 1, found {}", part)
    require(sun_distance_ratio > 1, "n must be greater than 1, found {}", sun_distance_ratio)
    return (deeper_part - other_part) * sun_angle / (1 - 1 / sun_distance_ratio)


def sine_of_parallax(shift, latitude_difference, north_zenith):
    """Return 1/D, the sine of the Moon's horizontal parallax, from places on one meridian.

    Parameters: the shift, the northern latitude less the southern, and the zenith distance at the
    northern place, positive where the Moon stands south. Returns a plain number, of the shift's
    sign. Source: sin p times sin z is each place's own parallax, and their difference the shift:
    1/D = sin(shift) / sqrt(sin^2 zN + sin^2 zS - 2 sin zN sin zS cos(shift)).

    >>> (1 / sine_of_parallax(1.2 * u.deg, 80 * u.deg, 41 * u.deg)).round(1)
    <Quantity 62.1>
    """
    south_zenith = north_zenith - latitude_difference - shift
    north, south = np.sin(north_zenith), np.sin(south_zenith)
    base = np.sqrt(north**2 + south**2 - 2 * north * south * np.cos(shift))
    return np.sin(shift) / base


def distance_in_earth_radii(shift, latitude_difference, north_zenith):
    """Return D, the Moon's distance from Earth's centre in Earth radii.

    Parameters and source: as `sine_of_parallax`. Returns a plain number. Raises `Impossible` for a
    shift that is not positive, as then the two lines never meet.

    >>> distance_in_earth_radii(6.65 * u.arcmin, 10 * u.deg, 44 * u.deg).round(1)
    <Quantity 70.9>
    """
    require_positive(shift=shift)
    return 1 / sine_of_parallax(shift, latitude_difference, north_zenith)


def shift_at(distance, latitude_difference, north_zenith):
    """Return the shift of a Moon at this distance, the reverse of `distance_in_earth_radii`.

    Parameters: D in Earth radii, the difference of latitudes, and the zenith distance at the
    northern place. Returns an angle. Raises `Impossible` for a Moon inside the Earth.

    >>> shift_at(62.14, 80 * u.deg, 41 * u.deg).round(2)
    <Quantity 1.2 deg>
    """
    require(distance > 1, "the Moon's centre cannot be inside the Earth: found D = {}", distance)
    at_north = np.arcsin(np.sin(north_zenith) / distance)
    true_south = north_zenith - at_north - latitude_difference  # as from Earth's centre
    at_south = np.arctan2(np.sin(true_south), distance - np.cos(true_south))
    return (at_north - at_south).to(u.deg)


def sine_of_parallax_anywhere(latitudes, longitudes, zenith_distances, azimuths, flattening=0):
    """Return 1/D from two places anywhere, each with zenith distance and azimuth at one moment.

    Parameters: four pairs of angles, the first of each pair of the one place, the second of the
    other; azimuths from north through east; and the Earth's flattening, 0 for a globe. Returns a
    plain number, in equatorial radii of the Earth. Only what lies in the plane of the two places
    and the Moon counts, as the rest is error. Source: plane trigonometry in that plane; places on
    the ellipsoid as in WGS 84 (NIMA TR8350.2).

    >>> sine = sine_of_parallax_anywhere(
    ...     (50, -30) * u.deg, (0, 0) * u.deg, (41, 40.2) * u.deg, (180, 0) * u.deg)
    >>> (1 / sine).round(1)
    <Quantity 62.1>
    """
    grounds, ups, lines = [], [], []
    for latitude, longitude, zenith, azimuth in zip(
        latitudes, longitudes, zenith_distances, azimuths, strict=True
    ):
        up, east, north = _axes(latitude, longitude)
        across = 1 / np.sqrt(1 - flattening * (2 - flattening) * np.sin(latitude) ** 2)
        grounds.append((across * up[0], across * up[1], across * (1 - flattening) ** 2 * up[2]))
        ups.append(up)
        level = [
            np.cos(azimuth) * n + np.sin(azimuth) * e for n, e in zip(north, east, strict=True)
        ]
        lines.append(
            [np.cos(zenith) * h + np.sin(zenith) * f for h, f in zip(up, level, strict=True)]
        )
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


def _cross(a, b):
    return [a[i - 2] * b[i - 1] - a[i - 1] * b[i - 2] for i in range(3)]


def _dot(a, b):
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
