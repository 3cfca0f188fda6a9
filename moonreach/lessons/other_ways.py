"""Two more ways to the Moon: one Moon, seen from two places at one moment.

Two places see the Moon before different points of the sky. The angle between the two directions is
the parallax shift; with the line between the places it makes a triangle whose tip is the Moon.
Hipparchus took the shift from a solar eclipse, total at one place and partial at another; two
schools can take it from zenith distances, or from two photographs of the Moon among stars.

Symbols: N and S the northern and the southern place, z zenith distances, positive towards the
south; D the Moon's distance from Earth's centre in Earth radii. Near a shift of zero D runs off to
infinity, but its inverse, sin p with p the Moon's horizontal parallax, does not: the uncertainty
goes by that.

Never look at the Sun: the covered part is read from a projected image or from a report.
"""

import numpy as np
from astropy import units as u

from moonreach.lessons import Angle, Number
from moonreach.lessons.refuse import require, require_positive


def shift_from_zenith_distances(
    latitude_difference: Angle, north_zenith: Angle, south_zenith: Angle
) -> Angle:
    """Return the Moon's parallax shift between two places on one meridian.

    Parameters
    ----------
    latitude_difference : scalar, array or Distribution, angle
        The northern latitude less the southern.
    north_zenith, south_zenith : scalar, array or Distribution, angle
        The Moon's zenith distances at one moment, positive where it stands south.

    Returns
    -------
    scalar, array or Distribution, angle
        Zero or less where the readings leave no distance.

    References
    ----------
    The two zeniths differ by the latitudes' difference; what is left is the Moon's. Lalande and
    Lacaille observed in this way in 1751 and 1752 (from memory).

    Examples
    --------
    41 and 40.2 degrees are 81.2; 80 of them are the Earth's.

    >>> shift_from_zenith_distances(80 * u.deg, 41 * u.deg, -40.2 * u.deg).round(1)
    <Quantity 1.2 deg>
    """
    return north_zenith - south_zenith - latitude_difference


def shift_from_covered_parts(
    deeper_part: Number, other_part: Number, sun_angle: Angle, sun_distance_ratio: Number = np.inf
) -> Angle:
    """Return the Moon's parallax shift from what it covers of the Sun at two places.

    Parameters
    ----------
    deeper_part, other_part : scalar, array or Distribution, no unit
        The covered parts of the Sun's diameter at both places, 1 where the eclipse is total.
    sun_angle : scalar, array or Distribution, angle
        The Sun's angular diameter.
    sun_distance_ratio : scalar, array or Distribution, no unit
        n; the Sun's own shift is 1/n of the Moon's.

    Returns
    -------
    scalar, array or Distribution, angle

    Raises
    ------
    Impossible
        For a part outside 0 to 1, or a Sun no farther than the Moon.

    References
    ----------
    Hipparchus' eclipse, total at the Hellespont and 4/5 at Alexandria (Pappus; Cleomedes), for
    equal discs with the Moon's middle before the Sun's at the place of totality.

    Examples
    --------
    A fifth of 33.2':

    >>> shift_from_covered_parts(1, 0.8, 33.2 * u.arcmin).round(2)
    <Quantity 6.64 arcmin>
    """
    for part in (deeper_part, other_part):
        require((part >= 0) & (part <= 1), "a covered part must lie from 0 to 1, found {}", part)
    require(sun_distance_ratio > 1, "n must be greater than 1, found {}", sun_distance_ratio)
    return (deeper_part - other_part) * sun_angle / (1 - 1 / sun_distance_ratio)


def sine_of_parallax(shift: Angle, latitude_difference: Angle, north_zenith: Angle) -> Number:
    """Return 1/D, the sine of the Moon's horizontal parallax, from places on one meridian.

    Parameters
    ----------
    shift : scalar, array or Distribution, angle
        The parallax shift.
    latitude_difference : scalar, array or Distribution, angle
        The northern latitude less the southern.
    north_zenith : scalar, array or Distribution, angle
        At the northern place, positive where the Moon stands south.

    Returns
    -------
    scalar, array or Distribution, no unit
        Of the shift's sign.

    References
    ----------
    Each place's own parallax has the sine sin p sin z, and their difference is the shift:
    1/D = sin(shift) / sqrt(sin^2 zN + sin^2 zS - 2 sin zN sin zS cos(shift)).

    Examples
    --------
    Where the Moon is in the northern zenith all of the parallax is the southern place's. At a
    difference of 90 degrees less the parallax, the Moon stands on the southern horizon.

    >>> sine_of_parallax(30 * u.deg, 60 * u.deg, 0 * u.deg).round(6)
    <Quantity 0.5>
    """
    south_zenith = north_zenith - latitude_difference - shift
    north, south = np.sin(north_zenith), np.sin(south_zenith)
    base = np.sqrt(north**2 + south**2 - 2 * north * south * np.cos(shift))
    return np.sin(shift) / base


def distance_in_earth_radii(
    shift: Angle, latitude_difference: Angle, north_zenith: Angle
) -> Number:
    """Return D, the Moon's distance from Earth's centre in Earth radii.

    Parameters
    ----------
    shift, latitude_difference, north_zenith : scalar, array or Distribution, angle
        As `sine_of_parallax`.

    Returns
    -------
    scalar, array or Distribution, no unit

    Raises
    ------
    Impossible
        For a shift that is not positive, as then the two lines never meet.

    References
    ----------
    1 / `sine_of_parallax`; Hipparchus' 71 to 83 Earth radii (Pappus; Toomer 1974, from memory).

    Examples
    --------
    >>> distance_in_earth_radii(6.65 * u.arcmin, 10 * u.deg, 44 * u.deg).round(0)
    <Quantity 71.>
    """
    require_positive(shift=shift)
    return 1 / sine_of_parallax(shift, latitude_difference, north_zenith)


def shift_at(distance: Number, latitude_difference: Angle, north_zenith: Angle) -> Angle:
    """Return the shift of a Moon at this distance, the reverse of `distance_in_earth_radii`.

    Parameters
    ----------
    distance : scalar, array or Distribution, no unit
        D, in Earth radii.
    latitude_difference, north_zenith : scalar, array or Distribution, angle
        As `sine_of_parallax`.

    Returns
    -------
    scalar, array or Distribution, angle in deg

    Raises
    ------
    Impossible
        For a Moon inside the Earth.

    References
    ----------
    The sine of each place's own parallax is sin z / D.

    Examples
    --------
    >>> shift_at(2, 60 * u.deg, 0 * u.deg).round(6)
    <Quantity 30. deg>
    """
    require(distance > 1, "the Moon's centre cannot be inside the Earth: found D = {}", distance)
    at_north = np.arcsin(np.sin(north_zenith) / distance)
    true_south = north_zenith - at_north - latitude_difference  # as from Earth's centre
    at_south = np.arctan2(np.sin(true_south), distance - np.cos(true_south))
    return (at_north - at_south).to(u.deg)
