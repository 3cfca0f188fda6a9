"""Refraction against ERFA's, and the two places under a sky with air."""

import erfa
import numpy as np
import pytest
from astropy import units as u

from moonreach import sky
from moonreach.lessons import earth_size, noon, two_places
from moonreach.lessons.air import seen_zenith_distance, true_zenith_distance
from moonreach.lessons.today import EARTH_EQUATORIAL_RADIUS

FLATTENING = 1 / 298.257223563  # WGS 84, NIMA TR8350.2


def lift(seen):
    """Return ERFA's refraction at sea level, 1010 hPa, 10 deg C, in visible light."""
    first, third = erfa.refco(1010, 10, 0.5, 0.55)
    tangent = np.tan(seen)
    return (first * tangent + third * tangent**3) * u.rad


@pytest.mark.parametrize("zenith", [0, 20, 45, 60, 70, 75])
def test_refraction_is_erfas(zenith):
    seen = zenith * u.deg
    found = true_zenith_distance(seen) - seen
    assert found.to_value(u.arcsec) == pytest.approx(lift(seen).to_value(u.arcsec), abs=6)
    assert true_zenith_distance(-seen) == -true_zenith_distance(seen)


def test_down_to_75_degrees_it_is_a_multiple_of_the_tangent():
    # 58.3" tan z (The Astronomical Almanac; from memory).
    seen = np.array([30, 45, 60, 75]) * u.deg
    found = (true_zenith_distance(seen) - seen).to_value(u.arcsec)
    assert found == pytest.approx(58.3 * np.tan(seen).value, rel=0.03)


@pytest.mark.parametrize("zenith", [0, 30, 60, 80, 85])
def test_there_and_back(zenith):
    there = seen_zenith_distance(zenith * u.deg)
    assert abs(true_zenith_distance(there) - zenith * u.deg) < 0.1 * u.arcmin


@pytest.mark.parametrize(
    ("north", "south", "moment"),
    [
        ((52.5, 13.4), (-33.9, 18.4), "2029-03-25T20:15"),
        ((60.0, 24.9), (-26.0, 28.0), "2029-02-24T19:30"),
        ((40.4, -3.7), (5.6, -0.2), "2029-05-22T19:45"),
        ((45.5, -73.6), (-33.5, -70.7), "2029-04-23T01:30"),
    ],
)
def test_two_places_with_air_in_the_sky(north, south, moment):
    # The air is ERFA's, which the course does not use; without it taken off the distance is some
    # 3 % too large, always to one side.
    places = [sky.Place(*(angle * u.deg for angle in place)) for place in (north, south)]
    moons = [sky.moon_at(moment, place) for place in places]
    true = u.Quantity([90 * u.deg - moon.altitude for moon in moons])
    seen = true - lift(true - lift(true))
    assert np.all(seen < 75 * u.deg)
    where = [u.Quantity([getattr(p, name) for p in places]) for name in ("latitude", "longitude")]
    azimuths = u.Quantity([moon.azimuth for moon in moons])
    far = sky.moon_at(moment).distance
    errors = []
    for zeniths in (true_zenith_distance(seen), seen):
        sine = two_places.sine_of_parallax_anywhere(*where, zeniths, azimuths, FLATTENING)
        errors.append((EARTH_EQUATORIAL_RADIUS / sine / far - 1).to_value(u.one))
    assert abs(errors[0]) < 0.005
    assert 0.01 < errors[1] < 0.12


def test_winter_noons_in_the_north():
    # Between Oslo (59.9 N) and Copenhagen (55.7 N) at the winter solstice the air makes the arc
    # 1.2 % too small, and so the Earth too large (ERFA's refraction).
    true = np.array([59.9, 55.7]) + 23.44
    seen = true * u.deg - lift(true * u.deg - lift(true * u.deg))
    raw = earth_size.arc(*seen).to_value(u.deg)
    mended = earth_size.arc(*true_zenith_distance(seen)).to_value(u.deg)
    assert 4.2 / raw - 1 == pytest.approx(0.012, abs=0.003)
    assert mended == pytest.approx(4.2, rel=0.002)


@pytest.mark.parametrize("zenith", [20, 52, 75])
def test_a_leaning_gnomon_and_sloping_ground_by_exact_geometry(zenith):
    # A gnomon along (sin l, cos l), ground along (cos s, -sin s), a ray from the zenith distance.
    z, lean, slope = np.radians([zenith, 0.3, 0.2])
    tip = np.array([np.sin(lean), np.cos(lean)])
    ray, ground = np.array([np.sin(z), -np.cos(z)]), np.array([np.cos(slope), -np.sin(slope)])
    along, _ = np.linalg.solve(np.column_stack([ground, -ray]), tip)
    read = np.degrees(np.arctan(along))
    error = noon.setup_error(zenith * u.deg, 0.3 * u.deg, 0.2 * u.deg).to_value(u.deg)
    assert read - zenith == pytest.approx(error, abs=0.012)
