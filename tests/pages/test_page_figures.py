"""Figures that the pages of lessons 1 to 3 tell, against the lesson functions and the sky."""

import re

import numpy as np
import pytest
from astropy import units as u
from lesson_notebooks import PATHS, fresh_desk, prose, read

from moonreach import sky
from moonreach.lessons import earth_size, eclipse_timing, shadow_cone, today
from moonreach.photo import visible_edge

PROSE = {path.stem[:2]: prose(read(path)) for path in PATHS}
ROAD = 800 * u.km
ARC = (ROAD / today.EARTH_RADIUS).to_value(u.one) * u.rad
SHADOW = earth_size.zenith_distance(1 * u.m, 60 * u.cm)
AROUND = np.pi * today.EARTH_DIAMETER
TOTAL = sky.lunar_eclipses("2001-01-01", "2101-01-01")
TOTAL = TOTAL[TOTAL.kind == "total"]
NEAR = TOTAL[TOTAL.path_offset < 0.2]
MEAN_RATIO = 2.70  # about the mean of the century's total eclipses
# NASA/GSFC, F. Espenak: contacts U1 to U4 in UT, umbral magnitude, gamma; the Moon's semidiameter
# from the ephemeris JPL DE421.
NIGHTS = (
    ("2029 June 26", "01:32:18 02:31:08 04:13:01 05:11:50", 1.8436, +0.0124, 16.01),
    ("2018 July 27", "18:24:27 19:30:15 21:13:12 22:19:00", 1.6087, +0.1168, 14.71),
    ("2022 May 16", "02:27:53 03:29:03 04:53:56 05:55:07", 1.4137, -0.2532, 16.50),
)


def percent(part, whole=1):
    return 100 * (float(part / whole) - 1)


def numbers(lesson, words):
    """Return the numbers that a page tells in the places of words where a bracket stands."""
    found = re.search(words, PROSE[lesson])
    assert found, words
    return [float(one.replace("−", "-").replace(" ", "")) for one in found.groups()]


def blur():
    ends = np.tan(SHADOW + [-1, 1] * today.SUN_SEMIDIAMETER)
    return 1000 * np.ptp(ends).value


def one_millimetre():
    return earth_size.zenith_distance(1 * u.m, 601 * u.mm) - SHADOW


def earth_with(more):
    """In per cent, how much too small an arc that is too large by so much makes the Earth."""
    return -percent(earth_size.circumference(ARC + more, ROAD), AROUND)


def late(minutes):
    """By the spherical triangle of pole, zenith and Sun: latitude 40 degrees, the equinox."""
    zenith = np.arccos(np.cos(40 * u.deg) * np.cos(minutes / 4 * u.deg))
    return earth_with(zenith - 40 * u.deg)


def stadia(length):
    return (252_000 * length * u.m).to(u.km)


def own_diameter(s):
    s = s * u.arcmin
    return (2 * s / eclipse_timing.scaled_rate(s)).to_value(u.min)


def mean_ratio(rule):
    angles = 57.04 * u.arcmin, 8.794 * u.arcsec, 15.99 * u.arcmin  # mean parallaxes and Sun
    return shadow_cone.umbra_semidiameter(*angles, rule) / today.MOON_SEMIDIAMETER


def with_watch_wrong(entry, totality, tmp_path):
    """In per cent, what seconds added to the practice group's times change in its ratio."""
    r = fresh_desk("eclipse_timing", tmp_path).readings("timing", "angle")
    moon = r["semidiameter"], r["rate"]
    times = r["entry_time"], r["totality"]
    wrong = times[0] + entry * u.s, times[1] + totality * u.s
    return percent(
        eclipse_timing.ratio_off_centre(*wrong, *moon),
        eclipse_timing.ratio_off_centre(*times, *moon),
    )


def left_out(x=MEAN_RATIO, discs=1, n=np.inf):
    return percent(shadow_cone.earth_in_moons(x), shadow_cone.earth_in_moons(x, discs, n))


def airless(air):
    bare = shadow_cone.without_air(MEAN_RATIO, air)
    return percent(shadow_cone.earth_in_moons(MEAN_RATIO), shadow_cone.earth_in_moons(bare))


def hipparchus():
    s = 360 * u.deg / 650 / 2
    p = shadow_cone.parallax_from_shadow(2.5 * s, s, 7 * u.arcmin)
    return float(shadow_cone.distance_in_earth_radii(p))


def ptolemys_sun(ratio):
    s, p = 15 * u.arcmin + 40 * u.arcsec, np.arcsin(1 / (64 + 1 / 6)) * u.rad
    return float(
        shadow_cone.distance_in_earth_radii(shadow_cone.parallax_from_shadow(ratio * s, s, p))
    )


def tip():
    far = shadow_cone.umbra_length(today.MOON_RADIUS, today.SUN_RADIUS, today.SUN_DISTANCE)
    return far.to_value(u.km) / 1000


def careful():
    """Earth in Moons on each of the century's nights, with nothing left out."""
    bare = shadow_cone.without_air(TOTAL.shadow_ratio, 0.0138)  # Danjon's rule, the mean night
    discs = np.tan(TOTAL.sun_semidiameter) / np.tan(TOTAL.moon_semidiameter)
    return shadow_cone.earth_in_moons(bare, discs, TOTAL.moon_parallax / TOTAL.sun_parallax)


FIGURES = (
    ("01", r"has a blur of (\d+) mm", [blur()], 0.5),
    ("01", r"60 cm is ([\d.]+)′ more angle", [one_millimetre().to_value(u.arcmin)], 0.05),
    ("01", r"more angle: ([\d.]+) % of the arc", [100 * float(one_millimetre() / ARC)], 0.05),
    (
        "01",
        r"near as the Moon \| ([\d.]+) %",
        [earth_with(ROAD / today.MOON_DISTANCE * u.rad)],
        0.05,
    ),
    ("01", r"is 10 minutes off noon \| ([\d.]+) %", [late(10)], 0.05),
    ("01", r"is 30 minutes off noon \| ([\d.]+) %", [late(30)], 0.05),
    (
        "01",
        r"are ([\d ]+) km, ([\d.]+) % too many",
        [stadia(184.9), percent(stadia(184.9), AROUND)],
        0.5,
    ),
    (
        "01",
        r"is ([\d ]+) km, ([\d.]+) % too few",
        [stadia(157.5), -percent(stadia(157.5), AROUND)],
        0.05,
    ),
    ("02", r"fastest is ([\d.]+) % outside", [percent(visible_edge(2.7), 2.7)], 0.05),
    ("02", r"half grey is ([\d.]+) % outside", [percent(visible_edge(2.7, tone=0.5), 2.7)], 0.05),
    ("02", r"is ([\d.]+) minutes for a small Moon", [own_diameter(14.7)], 0.05),
    ("02", r"and ([\d.]+) minutes for a large one", [own_diameter(16.75)], 0.05),
    ("02", r"These are (\d+) of the century's (\d+) total", [len(NEAR), len(TOTAL)], 0),
    ("02", r"85 it is (\d+) % too small", [-100 * TOTAL.simple_timing_error.mean()], 0.5),
    ("02", r"from ([\d.]+) to 2.688", [mean_ratio("airless_equatorial")], 5e-4),
    ("02", r"to ([\d.]+) \(Danjon's rule\)", [mean_ratio("danjon")], 5e-4),
    ("02", r"or ([\d.]+) \(Chauvenet's\)", [mean_ratio("fiftieth")], 5e-4),
    ("02", r"al-Battani, about AD 900 \| ([\d.]+)", [2 * 38.5 / 29.5], 5e-3),  # Zij, ch. 30
    (
        "02",
        r"2100 \| ([\d.]+) to ([\d.]+)",
        [TOTAL.shadow_ratio.min(), TOTAL.shadow_ratio.max()],
        5e-3,
    ),
    (
        "03",
        r"([\d.]+) mm on each metre",
        [2000 * float(today.SUN_RADIUS / today.SUN_DISTANCE)],
        0.05,
    ),
    ("03", r"the Moon. \| (\S+) % to (\S+) %", [left_out(discs=0.94), left_out(discs=1.10)], 0.05),
    ("03", r"infinitely far. \| (\S+) %", [left_out(n=today.SUN_MOON_DISTANCE_RATIO)], 5e-3),
    ("03", r"thought. \| (\S+) %", [left_out(n=19)], 5e-3),
    ("03", r"grazing light through. \| (\S+) %", [airless(0.014)], 0.05),
    ("03", r"With 2 %, \*k\* is wrong by (\S+) %", [airless(0.02)], 0.05),
    ("03", r"on average (\d+) thousand km long", [tip()], 0.5),
    ("03", r"all give the same \*k\*, ([\d.]+)\.", [careful().mean()], 5e-3),
    ("03", r"gives ([\d.]+) Earth radii for the Moon's", [hipparchus()], 0.05),
    ("03", r"2.60 puts the Sun at (\d+)", [ptolemys_sun(2.60)], 0.5),
    (
        "03",
        r"2.55 puts it at (\d+), and 2.65 at (\d+)",
        [ptolemys_sun(2.55), ptolemys_sun(2.65)],
        0.5,
    ),
    ("03", r"\(IAU 2015\): ([\d.]+)\. More", [today.EARTH_RADIUS / today.MOON_RADIUS], 5e-4),
)


@pytest.mark.parametrize(
    ("lesson", "words", "values", "room"), FIGURES, ids=lambda one: str(one)[:30]
)
def test_a_figure_of_a_page_is_what_computes_it(lesson, words, values, room):
    computed = [float(getattr(one, "value", one)) for one in values]
    assert numbers(lesson, words) == pytest.approx(computed, abs=room + 1e-9)


def test_the_published_nights_are_as_both_formulas_find_them():
    """The almanac's own ratio is 2 x magnitude - 1 + |gamma| over the Moon's radius (IAU 1982)."""
    chords, errors = [], []
    for day, clocks, magnitude, gamma, s in NIGHTS:
        times = np.array([f"2000-01-01T{clock}" for clock in clocks.split()], "M8[s]")
        phases = eclipse_timing.phases(*(times - times[0]).astype(int) * u.s)
        almanac = 2 * magnitude - 1 + abs(gamma) / 0.2725
        central = float(eclipse_timing.ratio_through_middle(*phases))
        row = numbers("02", rf"\| {day} \| (\S+) \| (\S+) \| (\S+) \| (\S+) %")
        wanted = [gamma, almanac, central, percent(central, almanac)]
        assert row == pytest.approx(wanted, abs=0.0501) and row[:3] == pytest.approx(
            wanted[:3], abs=0.00501
        )
        s = s * u.arcmin
        chords.append(
            float(eclipse_timing.ratio_off_centre(*phases, s, eclipse_timing.scaled_rate(s)))
        )
        errors.append(percent(chords[-1], almanac))
    words = r"gives (\S+), (\S+) and (\S+): wrong by (\S+) %, (\S+) % and (\S+) %"
    assert numbers("02", words)[:3] == pytest.approx(chords, abs=0.00501)
    assert numbers("02", words)[3:] == pytest.approx(errors, abs=0.0501)


def test_the_nights_of_the_central_formula_are_those_of_the_sky():
    assert np.abs(100 * NEAR.simple_timing_error).max() < 5
    years = NEAR.greatest.astype("M8[Y]").astype(int) + 1970
    assert numbers("02", r"the next are in (\d+), (\d+) and (\d+)") == [*years[years > 2026][:3]]


def test_careful_nights_agree():
    assert len(TOTAL) == 85 and np.ptp(careful()) < 0.003


def test_a_watch_that_is_wrong_changes_the_practice_groups_ratio_so_much(tmp_path):
    told = numbers("02", r"changes \*x\* by (\S+) %\. .* changes it by (\S+) %")
    found = with_watch_wrong(15, -30, tmp_path), with_watch_wrong(0, 60, tmp_path)
    assert told == pytest.approx(found, abs=0.05)
