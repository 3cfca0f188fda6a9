"""The sighting rod against similar triangles, Archimedes' bounds and common practice."""

import numpy as np
import pytest
from astropy import units as u
from clouds import numbers, three_ways
from hypothesis import given
from hypothesis import strategies as st

from moonreach.lessons import moon_distance, sighting_angle
from moonreach.lessons.refuse import Impossible
from moonreach.lessons.sighting_angle import (
    READINGS,
    angular_diameter,
    bracketed_angular_diameter,
    effective_hole,
    expected_reading,
)
from moonreach.reduction.inputs import limits_of


def test_common_practice():
    # Common practice, no source: 14 mm at 1600 mm is 1 : 114, and over 3.5 about 33 Earths.
    angle = sighting_angle.angular_diameter(14 * u.mm, 1600 * u.mm)
    assert moon_distance.distance_in_moon_diameters(angle).value == pytest.approx(114.3, abs=0.1)
    found = moon_distance.distance_in_earth_diameters(angle, 3.5).value
    assert found == pytest.approx(32.7, abs=0.05)


def test_archimedes_bounds():
    # Sand Reckoner I (Heath 1897, p. 224; fractions from memory): the Sun's angular diameter is
    # less than 1/164 and more than 1/200 of a right angle, found by a cylinder on a rod where it
    # just hid the Sun (too small an angle is impossible) and where it just did not, with the
    # width of what sees allowed for. Worked backwards: a cylinder of 20 mm and an eye of 2 mm.
    bounds = [90 * u.deg / 200, 90 * u.deg / 164]
    assert bounds[0].to_value(u.arcmin) == pytest.approx(27.0, abs=0.01)
    assert bounds[1].to_value(u.arcmin) == pytest.approx(32.93, abs=0.01)
    disc, eye = 20 * u.mm, 2 * u.mm
    hidden = sighting_angle.expected_reading(disc, bounds[0], eye, "vanish")
    shown = sighting_angle.expected_reading(disc, bounds[1], eye, "rim")
    low = sighting_angle.angular_diameter(disc, hidden, eye, "vanish")
    high = sighting_angle.angular_diameter(disc, shown, eye, "rim")
    assert [low.to_value(u.arcmin), high.to_value(u.arcmin)] == pytest.approx(
        [27.0, 32.93], abs=0.01
    )
    # Today's mean solar diameter, 2 x 15.99', lies between them.
    assert low < 31.98 * u.arcmin < high
    # Without the eye's width his two readings would have contradicted each other.
    naive = [sighting_angle.angular_diameter(disc, reading) for reading in (hidden, shown)]
    assert naive[0] > naive[1]


def test_the_hole_is_seven_per_cent():
    # With 14 mm and a hole of 1 mm, leaving the hole out is 7 % (1/14, by the formula).
    angle = sighting_angle.angular_diameter(14 * u.mm, 1500 * u.mm, 1 * u.mm)
    naive = sighting_angle.angular_diameter(14 * u.mm, 1500 * u.mm)
    assert (naive / angle).to_value(u.one) == pytest.approx(14 / 13, rel=1e-4)


@given(st.floats(25, 35), st.floats(5, 50), st.floats(0, 3))
def test_bracket_loses_the_hole(arcmin, disc, hole):
    angle, disc, hole = arcmin * u.arcmin, disc * u.mm, hole * u.mm
    vanish = sighting_angle.expected_reading(disc, angle, hole, "vanish")
    rim = sighting_angle.expected_reading(disc, angle, hole, "rim")
    found = sighting_angle.bracketed_angular_diameter(disc, vanish, rim)
    assert found.to_value(u.arcmin) == pytest.approx(arcmin, rel=1e-9)
    implied = sighting_angle.hole_from_bracket(disc, vanish, rim)
    assert implied.to_value(u.mm) == pytest.approx(hole.value, abs=1e-9)
    for seen, reading in (("vanish", vanish), ("rim", rim)):
        one = sighting_angle.angular_diameter(disc, reading, hole, seen)
        assert one.to_value(u.arcmin) == pytest.approx(arcmin, rel=1e-9)


def test_vanish_by_tracing_rays():
    # From every point of the hole the disc must cover the Moon: try the rays at the hole's edge.
    disc, hole, angle = 14.0, 1.0, np.radians(31 / 60)
    reading = sighting_angle.expected_reading(disc * u.mm, angle * u.rad, hole * u.mm, "vanish")
    limb_ray_at_disc = hole / 2 + reading.to_value(u.mm) * np.tan(angle / 2)
    assert limb_ray_at_disc == pytest.approx(disc / 2)


def test_numbers_arrays_and_clouds_alike():
    for disc, reading, hole, rim in three_ways(14 * u.mm, 1.43 * u.m, 1 * u.mm, 1.65 * u.m):
        found = sighting_angle.angular_diameter(disc, reading, hole, "vanish")
        expected = 2 * np.degrees(np.arctan(13 / 2860)) * 60
        assert numbers(found, u.arcmin) == pytest.approx(expected, rel=1e-9)
        both = sighting_angle.bracketed_angular_diameter(disc, reading, rim)
        assert numbers(both, u.arcmin) == pytest.approx(
            2 * np.degrees(np.arctan(14 / 3080)) * 60, rel=1e-9
        )


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: sighting_angle.angular_diameter(1 * u.mm, 1 * u.m, 1 * u.mm), "never vanishes"),
        (lambda: sighting_angle.angular_diameter(0 * u.mm, 1 * u.m), "disc diameter"),
        (lambda: sighting_angle.angular_diameter(9 * u.mm, -1 * u.m), "sighting distance"),
        (lambda: sighting_angle.angular_diameter(9 * u.mm, 1 * u.m, -1 * u.mm), "hole"),
        (lambda: sighting_angle.angular_diameter(9 * u.mm, 1 * u.m, seen="half"), "'rim'"),
        (
            lambda: sighting_angle.bracketed_angular_diameter(9 * u.mm, 1 * u.m, 0 * u.m),
            "rim distance",
        ),
    ],
)
def test_impossible(call, says):
    with pytest.raises(Impossible, match=says):
        call()


def brightness_of_the_limb(edge, hole, distance=1600.0, wavelength=550e-6):
    """Return what a hole gets of a far point past a straight edge, over what it would get without.

    Parameters: how far the edge's geometric shadow lies beyond the hole's middle, the hole's
    diameter, its distance from the edge and the wavelength, in mm. Source: Fresnel's integrals for
    a straight edge (Born and Wolf, Principles of Optics, 8.7), from scipy.
    """
    from scipy.special import fresnel

    across = np.linspace(-hole / 2, hole / 2, 401)
    width = np.sqrt(np.maximum((hole / 2) ** 2 - across**2, 0))
    sine, cosine = fresnel((across - edge) / np.sqrt(wavelength * distance / 2))
    light = ((cosine + 0.5) ** 2 + (sine + 0.5) ** 2) / 2
    return (width * light).sum() / width.sum()


@pytest.mark.parametrize("hole", [1.0, 1.5])
def test_where_people_may_call_is_what_bent_light_leaves_open(hole):
    # "Gone" between 20 % and 2 % of the light, "begins to fade" between 98 % and 80 %.
    edges = np.linspace(-3, 3, 601)
    light = np.array([brightness_of_the_limb(edge, hole) for edge in edges])
    gone = [2 * edges[np.flatnonzero(light >= level)[-1]] for level in (0.2, 0.02)]
    vanish_call, rim_call = (
        limits_of(name)[1].to_value(u.mm) for name in ("vanish_call", "rim_call")
    )
    assert np.ptp(gone) / 2 == pytest.approx(vanish_call, abs=0.05)
    assert abs(np.mean(gone) - hole) < 0.5 * vanish_call
    fading = -2 * edges[np.flatnonzero(light < 0.8)[0]]
    assert 0 <= hole - fading < 1.05 * rim_call


def test_a_target_tells_the_hole_as_it_is_used():
    # Written out: rays from a hole of 1.3 mm past a disc of 15 mm, to 60 mm at 6 m and to the Moon.
    moon, used = 31.1 * u.arcmin, {"vanish": 1.3 * u.mm, "rim": 1.8 * u.mm}
    holes, readings = [], []
    for seen, sign in (("vanish", -1), ("rim", 1)):
        wide, narrow = 60 * u.mm + sign * used[seen], 15 * u.mm + sign * used[seen]
        at = (6 * u.m * narrow / wide).to(u.m)
        holes.append(effective_hole(15 * u.mm, at, 60 * u.mm, 6 * u.m, seen))
        assert u.isclose(holes[-1], used[seen])
        readings.append((narrow / (2 * np.tan(moon / 2))).to(u.m))
        alone = angular_diameter(15 * u.mm, readings[-1], holes[-1], seen)
        assert u.isclose(alone, moon)
    assert u.isclose(bracketed_angular_diameter(15 * u.mm, *readings, *holes), moon)
    with pytest.raises(Impossible, match="must stand farther off"):
        effective_hole(15 * u.mm, 2 * u.m, 60 * u.mm, 1 * u.m)


def test_a_rim_read_where_a_ring_first_shows_makes_the_moon_too_large():
    # A quarter of the way from vanish to the true rim, 16 mm and 1 mm: 4.5 % in the angle
    # (similar triangles, written out: 2 x 16 / 15 over 2 + 1 / 4 x 2 / 15).
    moon = 31.1 * u.arcmin
    vanish, rim = (expected_reading(16 * u.mm, moon, 1 * u.mm, seen) for seen in READINGS)
    early = bracketed_angular_diameter(16 * u.mm, vanish, vanish + (rim - vanish) / 4)
    assert (early / moon).to_value(u.one) - 1 == pytest.approx(0.045, abs=0.005)
