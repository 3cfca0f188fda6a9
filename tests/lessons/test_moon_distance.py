"""The distance against today's values and against vectors."""

import numpy as np
import pytest
from astropy import units as u
from clouds import numbers, three_ways
from hypothesis import given
from hypothesis import strategies as st

from moonreach.lessons import moon_distance, today
from moonreach.lessons.refuse import Impossible


def test_mean_modern_values():
    # NASA Moon fact sheet: mean apparent diameter 1864.2", 384 400 km (0.3844e6 km).
    angle = 1864.2 * u.arcsec
    assert moon_distance.distance_in_moon_diameters(angle).value == pytest.approx(110.6, abs=0.1)
    earths = moon_distance.distance_in_earth_diameters(angle, 3.667)
    assert earths.value == pytest.approx(30.17, abs=0.02)
    assert (earths * today.EARTH_DIAMETER).to_value(u.km) == pytest.approx(384_400, rel=1e-3)


def test_range_of_the_month():
    # Published range of the Moon's diameter, 29.4' to 33.5' (Krisciunas 2010, Am. J. Phys. 78,
    # 834), and of its distance, about 356 000 to 407 000 km.
    far, near = (
        moon_distance.distance_in_moon_diameters(angle * u.arcmin) * 2 * today.MOON_RADIUS
        for angle in (29.4, 33.5)
    )
    assert far.to_value(u.km) == pytest.approx(406_300, abs=700)
    assert near.to_value(u.km) == pytest.approx(356_600, abs=700)


def test_sphere_touches_its_cone():
    # A sphere seen from d is touched by a ray of half-angle arcsin(r/d): from the right triangle.
    d = moon_distance.distance_in_moon_diameters(60 * u.deg)
    assert d.value == pytest.approx(1.0)


@given(st.floats(-1, 90), st.floats(55, 65))
def test_topocentric_by_vectors(altitude, distance):
    up = np.array([0.0, 1.0])
    direction = np.array([np.cos(np.radians(altitude)), np.sin(np.radians(altitude))])
    moon = up + distance * direction  # Earth's radius is 1, the place stands at its top
    found = moon_distance.geocentric_distance(distance * u.one, altitude * u.deg, 1 * u.one)
    assert found.value == pytest.approx(np.linalg.norm(moon))
    back = moon_distance.topocentric_distance(found, altitude * u.deg, 1 * u.one)
    assert back.value == pytest.approx(distance)


def test_up_to_one_earth_radius():
    # 1.7 % of the distance, with the Moon in the zenith (one Earth radius in 60).
    share = moon_distance.geocentric_angle(31 * u.arcmin, 90 * u.deg, 3.667) / (31 * u.arcmin)
    assert share.to_value(u.one) == pytest.approx(1 - 1 / 61.4, abs=2e-4)


def test_numbers_arrays_and_clouds_alike():
    for angle, k, altitude in three_ways(31.08 * u.arcmin, 3.667 * u.one, 35 * u.deg):
        earths = moon_distance.distance_in_earth_diameters(angle, k)
        found = moon_distance.geocentric_distance(earths, altitude, 0.5)
        near = 1 / (2 * 3.667 * np.sin(np.radians(31.08 / 120)))
        far = np.sqrt(near**2 + 0.25 + near * np.sin(np.radians(35)))
        assert numbers(found, u.one) == pytest.approx(far, rel=1e-9)
        central = moon_distance.geocentric_angle(angle, altitude, k)
        assert numbers(central, u.arcmin) == pytest.approx(31.08 * near / far, rel=1e-5)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: moon_distance.distance_in_moon_diameters(0 * u.deg), "angle"),
        (lambda: moon_distance.distance_in_moon_diameters(200 * u.deg), "half the sky"),
        (lambda: moon_distance.distance_in_earth_diameters(1 * u.deg, 0), "earth in moons"),
        (lambda: moon_distance.topocentric_distance(1 * u.km, 0 * u.deg, 2 * u.km), "inside"),
    ],
)
def test_impossible(call, says):
    with pytest.raises(Impossible, match=says):
        call()
