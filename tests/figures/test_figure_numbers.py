"""The numbers that the drawings show are those of the lesson functions."""

import numpy as np
import pytest
from astropy import units as u
from drawings import shown

from moonreach.figures.earth_size import EarthCosts, NearSun, TwoGnomons
from moonreach.figures.eclipse_timing import MoonPath, PathCost, TwoTriangles
from moonreach.figures.moon_distance import ASSUMPTIONS, EXACT, UNITS, WAY, WholeChain
from moonreach.figures.other_ways import BeforeTheStars
from moonreach.figures.shadow_cone import ConeCosts, Cones, DiscShadow, MoonHalves
from moonreach.figures.shapes import covered_fraction
from moonreach.figures.sighting_angle import HoleCost, Rod
from moonreach.figures.sun_distance import HalfMoonTriangle
from moonreach.figures.to_scale import HowFar, ToScale, month_range
from moonreach.lessons import (
    earth_size,
    eclipse_timing,
    moon_distance,
    shadow_cone,
    sighting_angle,
    today,
)
from moonreach.reduction.inputs import assumption, typical_scatter
from moonreach.reduction.propagation import propagate
from moonreach.reduction.steps import work_out
from moonreach.reduction.uncertainty import normal


def test_two_gnomons_find_the_earth_they_stand_on():
    drawing = TwoGnomons()
    for earth, day in ((40_000, 80), (25_000, 355), (80_000, 173), (40_000, 120)):
        text = shown(drawing, earth=earth, day=day)
        arc = 360 * 800 / earth
        assert f"{earth} km" in text and f"{arc:.2f}°" in text
    # At a solstice the Sun stands 23.44 degrees from the equator (Meeus, Astronomical Algorithms,
    # ch. 22), so 8.44 degrees north of overhead at a latitude of 15 degrees, or 38.44 south of it.
    for day, then, angle in ((173, "21 June", 8.44), (356, "21 December", 38.44)):
        text, casts = shown(drawing, day=day), 100 * np.tan(np.radians(angle))
        assert then in text and f"{casts:.1f} cm | {angle:.2f}°" in text


def test_costs_agree_with_mistakes_made_by_hand():
    text = shown(EarthCosts(), road=800, bearing=60, days=0, edge=100)
    assert "+100.0 % | " in text and " | 0.0 % | " in text
    north_south = earth_size.north_south_distance(800 * u.km, 60 * u.deg)
    arc = (north_south / today.EARTH_RADIUS).to_value(u.one) * u.rad
    edge = ((arc / (arc - today.SUN_SEMIDIAMETER)).to_value(u.one) - 1) * 100
    assert f"+{edge:.1f} %" in text


def test_near_sun_fits_two_places_and_never_three():
    drawing = NearSun()
    text = shown(drawing, height=6350, second=800, third=5000)
    assert "12.6 cm | 12.6 cm | 0.0 cm" in text  # fits the second place
    assert "-21.1 cm" in text  # 100 tan(5000/6371) = 99.9, 100 x 5000/6350 = 78.7


def test_path_finds_its_own_shadow_again():
    text = shown(MoonPath(), offset=0.4, ratio=2.5, moon=16)
    s = 16 * u.arcmin
    t1, t2 = eclipse_timing.expected_phases(2.5, 0.4, s, eclipse_timing.scaled_rate(s))
    simple = eclipse_timing.ratio_through_middle(t1, t2)
    for number in (f"{t1.to_value('min'):.0f} min", f"{simple:.2f}", "2.50", "0.40 S"):
        assert number in text


def test_path_cost_is_within_5_percent_near_the_middle_and_exact_with_the_nights_rate():
    found = PathCost().numbers(ratio=2.7)
    offset, error = found["central"].T
    # As the caption says: up to a fifth of the shadow's radius.
    assert np.abs(error[offset <= 0.2]).max() < 5 < np.abs(error[offset > 0.21]).min()
    assert np.abs(found["scaled"][:, 1]).max() < 1e-9


def test_two_triangles_lose_the_path_and_keep_the_ratio():
    drawing = TwoTriangles()
    for offset in (0, 0.25, 0.5):
        text = shown(drawing, offset=offset, ratio=2.5)
        assert "(S + s)² | 12.25" in text and f"b² | {(2.5 * offset) ** 2:.2f}" in text
        assert text.count("10.00") == 2


def test_cones_show_the_exact_formula():
    found = Cones().numbers(sun=19, ratio=2, discs=1)
    exact = shadow_cone.earth_in_moons(2, 1, 19)  # Aristarchus' numbers: 2.85
    assert found["earth"] == exact and found["narrows"] == exact - 2
    assert found["wrong"] == pytest.approx(100 * (3 / exact - 1))
    text = shown(Cones(), sun=19, ratio=2, discs=1)
    assert f"| {exact:.2f} |" in text and f"{exact - 2:.2f} Moon" in text


@pytest.mark.parametrize("drawing", [Cones, ConeCosts])
def test_the_cones_begin_with_todays_sun(drawing):
    sun = drawing.sliders[0]
    assert (sun.name, sun.start) == ("sun", today.SUN_MOON_DISTANCE_RATIO)


def test_cone_costs_are_those_of_the_shadow_cone_module():
    text = shown(ConeCosts(), sun=19, ratio=2.7, discs=1.05, air=2)
    bare = shadow_cone.without_air(2.7, 0.02)
    exact = shadow_cone.earth_in_moons(bare, 1.05, 19)
    assert f"{exact:.3f}" in text and "+5.3 %" in text  # 1/19
    assert f"{100 * (3.7 / exact - 1):+.1f} %" in text


def test_rod_shows_the_moon_gone_at_vanish_and_all_round_at_rim():
    drawing = Rod()  # a disc of 14 mm: common practice, no source
    for hole, angle in ((0.5, 33.5), (1, 31.1), (3, 29.4)):
        lit = []
        for seen, state in (("vanish", "is gone"), ("rim", "all round")):
            at = sighting_angle.expected_reading(
                14 * u.mm, angle * u.arcmin, hole * u.mm, seen
            ).to_value(u.m)
            step = -1e-9 if seen == "vanish" else 1e-9
            assert state in shown(drawing, disc=14, distance=at + step, hole=hole, angle=angle)
            limb = np.abs(drawing.apart - angle / 2 + 0.5) < 0.3
            lit.append(drawing.through_hole(at, 14, hole, angle)[limb, 0].mean())
        assert lit[0] < 45 and lit[1] > 150


def test_a_disc_shadow_narrows_alike_for_every_disc():
    # The Sun is 695 700 km in radius at 149 597 871 km (IAU): a shadow loses 1/107 of the way.
    for disc in (4, 6, 10):
        assert "Narrower than the disc by" in (text := shown(DiscShadow(), disc=disc, card=3))
        assert f"| {disc - 2.8:.1f} cm | " in text and "2.8 cm" in text  # 300 cm / 107.5
    assert "a ring of the Sun" in shown(DiscShadow(), disc=2, card=3)


def test_moon_halves_are_as_the_distances_from_the_place():
    # Overhead one Earth radius nearer, at the horizon as far as from Earth's centre, to 0.02 %.
    overhead = 100 * (384_399 / (384_000 - 6371) - 1)
    assert f"+{overhead:.1f} %" in shown(MoonHalves(), away=-0.1, altitude=90)
    assert "+0.1 %" in shown(MoonHalves(), away=-0.1, altitude=0)


def test_hole_cost_is_seven_percent_for_one_millimetre():
    # Similar triangles: 15 mm over 13.5 mm are 11.1 % too much.
    assert "+11.1 %" in shown(HoleCost(), hole=1.5, disc=15) and "0.0 %" in shown(HoleCost())


def test_month_range_is_the_moons():
    # Meeus, Astronomical Algorithms, ch. 50 (from memory): 356 400 km to 406 700 km.
    least, mean, greatest = month_range()
    assert mean == today.MOON_DISTANCE.value
    assert abs(least - 356_400) < 500
    assert abs(greatest - 406_700) < 500


@pytest.mark.parametrize("moved", [{}, {"partial_phase": 58}, {"rim_distance": 1.9}, {"factor": 2}])
def test_chain_shows_the_distance_interval_and_budget_that_the_report_gives(moved):
    drawing = WholeChain()
    values = drawing.start() | moved
    text = shown(drawing, **moved)
    inputs = {name: assumption(name) for name in ASSUMPTIONS}
    for name, unit in UNITS.items():
        value = values[name] * unit
        typical = typical_scatter(name, {**EXACT, name: value})
        inputs[name] = normal(name, value, values["factor"] * typical)
    if values["factor"] != 1:  # the report has no such slider for the assumptions
        inputs |= {
            name: normal(name, one.value, values["factor"] * one.cloud.pdf_std())
            for name, one in inputs.items()
            if name in ASSUMPTIONS
        }

    def way(clouds):
        values = {**clouds, **EXACT}
        work_out(WAY, values)
        return {name: values[name] for name in ("ratio_chord", "angle", "distance_km")}

    found = propagate(way, inputs)
    distance = found["distance_km"]
    assert f"{round(distance.value, -3):.0f} km" in text
    assert f"{found['ratio_chord'].value:.2f}" in text and f"{found['angle'].value:.1f}′" in text
    low, high = 1000 * np.array(drawing.numbers(**moved)["interval"])[:, 0]
    width = distance.high - distance.low
    assert abs(low - distance.low) < 0.06 * width and abs(high - distance.high) < 0.06 * width
    shares = drawing.numbers(**moved)["shares"]
    (bars,) = (part for pane in drawing.panes for part in pane["parts"] if "bars" in part)
    for (name, _), share in zip(bars["rows"], shares, strict=True):
        assert f"{name} | {share:.0f}" in text
    report = [100 * distance.shares.get(name, 0) for name in (*UNITS, *ASSUMPTIONS)]
    assert np.allclose(shares, report, atol=2.5)


def test_to_scale_keeps_the_scale():
    drawing = ToScale()
    text = shown(drawing, altitude=90)
    here = moon_distance.distance_in_earth_diameters(30.5 * u.arcmin, 3.67) * 12750
    assert f"{round(float(here), -2):.0f} km" in text
    numbers = drawing.numbers(altitude=90)
    globe, moon = (2 * numbers[name][2] for name in ("globe", "moon"))
    assert globe / moon == pytest.approx(3.67, rel=1e-3)
    apart = numbers["own"][0][0] - drawing.left
    assert apart == numbers["moon"][0] - numbers["globe"][0]
    assert apart / globe == pytest.approx(float(here) / 12750 + 0.5, rel=1e-3)


def test_covered_fraction_of_two_discs():
    # Two unit circles with their centres one radius apart overlap in 2 pi/3 - sqrt(3)/2 (plane
    # geometry, the lens of the vesica).
    lens = 2 * np.pi / 3 - np.sqrt(3) / 2
    assert covered_fraction(1, 1, 1) == pytest.approx(lens / np.pi)
    assert np.allclose(covered_fraction(1, 3, np.array([0, 1, 2, 4, 5])), [1, 1, 1, 0, 0])
    assert covered_fraction(2, 1, 0) == pytest.approx(0.25)


def test_a_guessed_gap_keeps_the_bodies_sizes():
    drawing = HowFar()
    text = shown(drawing, earths=20)
    # 1737.4 km and 6371.0 km (IAU 2015, WGS 84): a ball of 8.2 cm beside a globe of 30 cm.
    assert "| 20.0 |" in text and "a ball of 8 cm, at a distance of | 6.0 m" in text
    numbers = drawing.numbers(earths=20)
    earth, moon = (2 * numbers[name][2] for name in ("earth", "moon"))
    assert earth / moon == pytest.approx(3.667, rel=1e-3)
    assert np.ptp(np.array(numbers["way"])[:, 0]) / earth == pytest.approx(20)


def test_the_moon_jumps_before_the_stars_by_both_parallaxes():
    # Each place sees the Moon off by sin p = sin z / D (plane trigonometry), z at the place:
    # 40 degrees from the zenith at Earth's centre, 40.62 at the place with D = 60.3 radii.
    found = BeforeTheStars().numbers(apart=80)
    shift = 2 * np.degrees(np.arcsin(np.sin(np.radians(40.619)) / 60.3))
    assert found["shift"] == pytest.approx(shift, abs=2e-3)
    assert found["moons"] == pytest.approx(shift * 60 / 31.08, abs=0.01)
    other = BeforeTheStars().numbers(apart=80, school=1)
    jump = other["moon"][1] - found["moon"][1]  # from the south it stands farther north
    assert jump / BeforeTheStars.px_per_degree == pytest.approx(shift, abs=2e-3)


def test_the_sun_beside_the_earth_is_to_one_scale():
    # Aristarchus' 87 degrees: n = 19.1 Moons, and 20.1 / 3.7 Earths with a shadow ratio of 2.7.
    sun = HalfMoonTriangle().numbers(degrees=87)["sun_beside"]
    for across in np.ptp(sun, axis=0):
        assert across / HalfMoonTriangle.px_per_earth == pytest.approx(20.107 / 3.7, rel=1e-2)
    for degrees in (60, 89):  # it grows away from the Earth
        left = HalfMoonTriangle().numbers(degrees=degrees)["sun_beside"][:, 0].min()
        assert left == pytest.approx(HalfMoonTriangle.beside[0])
