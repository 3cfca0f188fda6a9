"""The half Moon's triangle against Aristarchus, today's values, vectors and astropy's sphere."""

import numpy as np
import pytest
from astropy import units as u
from astropy.coordinates import SkyCoord
from clouds import numbers, three_ways
from hypothesis import given
from hypothesis import strategies as st

from moonreach.lessons import moon_phase, shadow_cone, sun_distance, today
from moonreach.lessons.refuse import Impossible


def test_aristarchus_bounds():
    # Heath 1913: Hyp. 4, one thirtieth of a quadrant less than a quadrant; Prop. 7, the Sun's
    # distance between 18 and 20 Moon distances; Prop. 9, its diameter likewise; Prop. 15, between
    # 19:3 and 43:6 Earth diameters, with a shadow of two Moons (Hyp. 5).
    ratio = float(sun_distance.distance_ratio(90 * u.deg * (1 - 1 / 30)))
    assert 18 < ratio < 20 and ratio == pytest.approx(19.107, abs=1e-3)
    assert 19 / 3 < sun_distance.sun_in_earths(ratio, 2) < 43 / 6


def test_todays_elongation():
    # 384 400 km and the astronomical unit of IAU 2012 Resolution B2: arccos of their ratio.
    ratio = 149_597_870.7 / 384_400
    assert moon_phase.elongation_at_half(ratio).value == pytest.approx(89.8528, abs=1e-4)
    assert float(sun_distance.distance_ratio(89.853 * u.deg)) == pytest.approx(389, abs=1)


def test_todays_sun_in_earths():
    # Nominal radii, IAU 2015 Resolution B3: 695 700 km and 6378.1 km, so 109.1. The bare Earth's
    # shadow and the discs' ratio at mean distances follow from S + s' = p + p'.
    parallaxes = [
        np.arcsin((today.EARTH_EQUATORIAL_RADIUS / distance).value)
        for distance in (today.MOON_DISTANCE, today.SUN_DISTANCE)
    ]
    sun, moon = (
        np.arcsin((radius / distance).value)
        for radius, distance in (
            (today.SUN_RADIUS, today.SUN_DISTANCE),
            (today.MOON_RADIUS, today.MOON_DISTANCE),
        )
    )
    ratio = (sum(parallaxes) - sun) / moon
    found = sun_distance.sun_in_earths(today.SUN_MOON_DISTANCE_RATIO, ratio, sun / moon)
    assert found == pytest.approx(695_700 / 6378.1, rel=2e-3)


def test_the_sun_in_earths_is_the_exact_cone_turned_over():
    for n, x, q in ((19, 2, 1), (5, 2.7, 1.03), (389, 2.65, 0.98)):
        moons = shadow_cone.earth_in_moons(x, q, n)
        assert sun_distance.sun_in_earths(n, x, q) == pytest.approx(n * q / moons)


@given(st.floats(1.01, 1e5))
def test_elongation_and_ratio_are_reverses(ratio):
    found = moon_phase.elongation_at_half(ratio)
    assert float(sun_distance.distance_ratio(found)) == pytest.approx(ratio, rel=1e-6)
    # And there the Moon is lit from the side.
    assert moon_phase.phase_angle(found, ratio).value == pytest.approx(90, abs=1e-6)
    assert float(moon_phase.lit_fraction(90 * u.deg)) == pytest.approx(0.5)


@given(st.floats(1, 179), st.floats(1.1, 500))
def test_phase_angle_by_vectors(elongation, ratio):
    moon = np.array([np.cos(np.radians(elongation)), np.sin(np.radians(elongation))])
    to_sun, to_eye = np.array([ratio, 0]) - moon, -moon
    cosine = to_sun @ to_eye / np.linalg.norm(to_sun)
    found = moon_phase.phase_angle(elongation * u.deg, ratio).value
    assert found == pytest.approx(np.degrees(np.arccos(cosine)), abs=1e-4)


@given(st.floats(-1, 89), st.floats(-1, 89), st.floats(1, 179))
def test_elongation_against_astropys_separation(sun, moon, apart):
    # astropy's SkyCoord.separation (Vincenty), a general-purpose reference.
    found = sun_distance.elongation_from_altitudes(sun * u.deg, moon * u.deg, apart * u.deg)
    one, other = SkyCoord(0 * u.deg, sun * u.deg), SkyCoord(apart * u.deg, moon * u.deg)
    assert found.value == pytest.approx(one.separation(other).deg, abs=1e-4)


def test_times():
    # A Sun infinitely far: half a month from half to half. The lead, four times, is the difference.
    month = today.SYNODIC_MONTH
    assert sun_distance.elongation_from_times(month / 2, month).to_value(u.deg) == pytest.approx(90)
    lead = moon_phase.lead(389.2, month)
    assert lead.to_value(u.min) == pytest.approx(17.4, abs=0.1)
    longer = month / 2 + 2 * lead
    found = sun_distance.elongation_from_times(longer, month)
    assert found.value == pytest.approx(89.853, abs=1e-3)


def test_limits():
    assert float(sun_distance.nearness(90 * u.deg)) == pytest.approx(0, abs=1e-12)
    assert sun_distance.nearness(91 * u.deg) < 0
    assert moon_phase.elongation_at_half(1e9).value == pytest.approx(90, abs=1e-6)
    full, new = (float(moon_phase.lit_fraction(angle * u.deg)) for angle in (0, 180))
    assert (full, new) == pytest.approx((1, 0))


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (lambda: sun_distance.distance_ratio(90 * u.deg), "never meet"),
        (lambda: sun_distance.distance_ratio(120 * u.deg), "never meet"),
        (lambda: sun_distance.nearness(0 * u.deg), "between 0 and 180"),
        (lambda: moon_phase.elongation_at_half(1), "greater than 1"),
        (lambda: sun_distance.elongation_from_times(30 * u.day, 29.5 * u.day), "not shorter"),
        (lambda: sun_distance.sun_in_earths(0, 2.7), "distance ratio"),
        (lambda: moon_phase.phase_angle(60 * u.deg, -2), "distance ratio"),
    ],
)
def test_refuses_what_cannot_be(wrong, said):
    with pytest.raises(Impossible, match=said):
        wrong()


def test_numbers_arrays_and_clouds():
    for (elongation,) in three_ways(60 * u.deg):
        found = numbers(sun_distance.distance_ratio(elongation), u.one)
        assert np.all(np.abs(found - 2) < 1e-9)
    for angles in three_ways(30 * u.deg, 40 * u.deg, 120 * u.deg):
        found = numbers(sun_distance.elongation_from_altitudes(*angles), u.deg)
        assert np.all(np.abs(found - found.flat[0]) < 1e-9)
    for n, x in three_ways(19 * u.one, 2 * u.one):
        found = numbers(sun_distance.sun_in_earths(n, x), u.one)
        assert np.all(np.abs(found - 20 / 3) < 1e-9)
