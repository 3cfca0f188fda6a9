"""The shadow cone against Aristarchus, Hipparchus, Ptolemy and today's constants."""

import numpy as np
import pytest
from astropy import units as u
from clouds import numbers, three_ways
from hypothesis import given
from hypothesis import strategies as st

from moonreach import sky
from moonreach.lessons import shadow_cone, today
from moonreach.lessons.refuse import Impossible


def test_aristarchus_bounds():
    # Heath 1913, Aristarchus of Samos, Props. 15 and 17: with the Sun 18 to 20 Moon distances
    # away and a shadow of 2 Moons, Moon/Earth is between 43:108 and 19:60, and Sun/Earth between
    # 19:3 and 43:6.
    moon = 1 / shadow_cone.earth_in_moons(2, sun_distance_ratio=19)
    assert moon == pytest.approx(0.351, abs=5e-4)
    assert 19 / 60 < moon < 43 / 108
    assert 19 / 3 < 19 * moon < 43 / 6
    assert 19 * moon == pytest.approx(6.67, abs=0.01)


def test_mean_modern_values():
    # From today's radii and distances (modern.py): the exact formula returns R/r = 3.667.
    s = np.arctan(today.MOON_RADIUS / today.MOON_DISTANCE)
    sun = np.arctan(today.SUN_RADIUS / today.SUN_DISTANCE)
    n = (today.SUN_DISTANCE / today.MOON_DISTANCE).to_value(u.one)
    true = (today.EARTH_RADIUS / today.MOON_RADIUS).to_value(u.one)
    length = shadow_cone.umbra_length(today.EARTH_RADIUS, today.SUN_RADIUS, today.SUN_DISTANCE)
    # Width of the cone where the Moon is, straight from similar triangles.
    umbra = today.EARTH_RADIUS * (1 - today.MOON_DISTANCE / length)
    x = (umbra / today.MOON_RADIUS).to_value(u.one)
    assert x == pytest.approx(2.647, abs=0.001)
    discs = (np.tan(sun) / np.tan(s)).to_value(u.one)
    assert discs == pytest.approx(1.029, abs=0.001)
    assert true == pytest.approx(3.667, abs=5e-4)
    assert shadow_cone.earth_in_moons(x, discs, n) == pytest.approx(true, rel=1e-9)
    assert shadow_cone.earth_in_moons(x) == pytest.approx(3.647, abs=0.001)
    assert 3.5 / true - 1 == pytest.approx(-0.046, abs=5e-4)


def test_umbra_length():
    # 1 382 600 km, 217 Earth radii, from today's constants; an astronomy textbook's round figure
    # is 850 000 miles (1 368 000 km).
    length = shadow_cone.umbra_length(today.EARTH_RADIUS, today.SUN_RADIUS, today.SUN_DISTANCE)
    assert length.to_value(u.km) == pytest.approx(1_382_600, abs=100)
    assert (length / today.EARTH_RADIUS).to_value(u.one) == pytest.approx(217, abs=0.5)
    assert length.to_value(u.imperial.mile) == pytest.approx(850_000, rel=0.015)


@pytest.mark.parametrize(
    ("sun_parallax", "radii"),
    # Hipparchus (Swerdlow 1969, Centaurus 14, 287-305): Moon 1/650 of a circle, shadow 2.5 Moons;
    # a solar parallax of 7' gives 67 1/3 Earth radii, none at all 59.
    [(7, 67 + 1 / 3), (0, 59)],
)
def test_hipparchus(sun_parallax, radii):
    s = 360 * u.deg / 650 / 2
    p = shadow_cone.parallax_from_shadow(2.5 * s, s, sun_parallax * u.arcmin)
    assert shadow_cone.distance_in_earth_radii(p).value == pytest.approx(radii, rel=0.003)


def test_ptolemy():
    # Almagest V.13 to V.15 (Berry 1898, sec. 49): s = 15' 40", shadow 2.6 Moons, Moon at 64 1/6
    # Earth radii, which put the Sun at 1210.
    s = (15 + 40 / 60) * u.arcmin
    moon_parallax = np.arcsin(1 / (64 + 1 / 6)) * u.rad
    p = shadow_cone.parallax_from_shadow(2.6 * s, s, moon_parallax)
    assert shadow_cone.distance_in_earth_radii(p).value == pytest.approx(1210, rel=0.01)


@pytest.mark.parametrize(
    ("parallax", "sun", "sun_parallax", "umbra"),
    [
        # Astronomical yearbook of the IAA RAS for 2011 and 2018, rule of 1/50 without its factor
        # for latitude 45 deg: 2628.18" on 2011 June 15 and 2740.94" on 2018 January 31.
        (3512.99, 944.74, 8.66, 2628.18),
        (3652.46, 974.00, 8.93, 2740.94),
    ],
)
def test_shadow_rules_against_an_almanac(parallax, sun, sun_parallax, umbra):
    p, s, q = parallax * u.arcsec, sun * u.arcsec, sun_parallax * u.arcsec
    bare = shadow_cone.umbra_semidiameter(p, q, s, "airless_equatorial")
    assert (1.02 * bare).to_value(u.arcsec) == pytest.approx(umbra, abs=0.5)
    fiftieth = shadow_cone.umbra_semidiameter(p, q, s, "fiftieth")
    # That factor, 0.998340, takes 1.02 x 0.00166 of the parallax off (NASA/TP-2009-214173).
    assert (1.02 * bare - fiftieth).to_value(u.arcsec) == pytest.approx(0.0016932 * parallax)
    danjon = shadow_cone.umbra_semidiameter(p, q, s)
    assert bare < danjon < fiftieth


def test_the_two_ways_to_leave_out_the_air():
    # An Earth as wide as its equator, or as wide as at latitude 45 deg, where the radius is
    # 0.998340 of the equator's (NASA/TP-2009-214173, sec. 1.5): 0.00166 of 57' are 5.68".
    p, q, s = 57.04 * u.arcmin, 8.794 * u.arcsec, 15.99 * u.arcmin
    wide, narrow = (
        shadow_cone.umbra_semidiameter(p, q, s, rule)
        for rule in ("airless_equatorial", "airless_mid_latitude")
    )
    assert (wide - narrow).to_value(u.arcsec) == pytest.approx(5.68, abs=0.005)
    for rule in shadow_cone.SHADOW_RULES:  # the sky and the lesson mean the same by one name
        there, _ = sky.shadow_radii(p.value, q.to_value(u.arcmin), s.value, rule)
        here = shadow_cone.umbra_semidiameter(p, q, s, rule)
        assert there == pytest.approx(here.to_value(u.arcmin), rel=1e-12)


def test_danjon_magnitude_is_smaller_by_five_thousandths():
    # Espenak (NASA/GSFC, on shadow enlargement): Danjon's umbral magnitudes are about 0.005
    # smaller than those of the 1/50 rule.
    p, q, s = 57.04 * u.arcmin, 8.794 * u.arcsec, 15.99 * u.arcmin
    change = shadow_cone.umbra_semidiameter(p, q, s, "fiftieth") - shadow_cone.umbra_semidiameter(
        p, q, s
    )
    assert (change / (2 * today.MOON_SEMIDIAMETER)).to_value(u.one) == pytest.approx(
        0.005, abs=0.0015
    )


@given(st.floats(1.1, 5), st.floats(0.8, 1.2), st.floats(1, 1000))
def test_exact_cone_is_similar_triangles(x, discs, n):
    # Put Sun, Earth and Moon on one line and let the two tangent lines say it.
    moon, distance = 1.0, 200.0
    sun = discs * moon / distance * n * distance
    earth = shadow_cone.earth_in_moons(x, discs, n)
    slope = (sun - earth) / (n * distance)
    assert earth - slope * distance == pytest.approx(x * moon, rel=1e-9)


def test_limits():
    assert shadow_cone.earth_in_moons(2.5, 1, 1e12) == pytest.approx(3.5)
    assert shadow_cone.without_air(2.7, 0) == 2.7


def test_numbers_arrays_and_clouds_alike():
    for x, discs in three_ways(2.7 * u.one, 1.03 * u.one):
        found = shadow_cone.earth_in_moons(shadow_cone.without_air(x, 0.014), discs)
        assert numbers(found, u.one) == pytest.approx(3.6927, abs=1e-4)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: shadow_cone.earth_in_moons(-1), "shadow ratio"),
        (lambda: shadow_cone.earth_in_moons(2, 0), "disc ratio"),
        (lambda: shadow_cone.earth_in_moons(2, 1, -3), "n must"),
        (lambda: shadow_cone.umbra_length(6 * u.km, 5 * u.km, 1 * u.km), "without end"),
        (lambda: shadow_cone.distance_in_earth_radii(0 * u.deg), "parallax"),
        (
            lambda: shadow_cone.umbra_semidiameter(1 * u.deg, 0 * u.deg, 0 * u.deg, "loose"),
            "'danjon'",
        ),
    ],
)
def test_impossible(call, says):
    with pytest.raises(Impossible, match=says):
        call()
