"""Figures that the pages of lessons 4 to 7 tell, against the lesson functions and the sky."""

import re
from itertools import pairwise

import numpy as np
import pytest
from astropy import units as u
from lesson_notebooks import PATHS, prose, read
from two_places_sky import pair_rows

from moonreach import sky
from moonreach.figures.all_ways import ANTIQUITY
from moonreach.lessons import (
    moon_distance,
    moon_phase,
    other_ways,
    shadow_cone,
    sun_distance,
    today,
    two_places,
)
from moonreach.lessons.air import true_zenith_distance

PROSE = {path.stem[:2]: " ".join(prose(read(path)).split()) for path in PATHS}
ECLIPSES = sky.lunar_eclipses("2000-01-01", "2041-01-01")
TOTAL = ECLIPSES[ECLIPSES.kind == "total"]
OFF = 100 * (TOTAL.distance / today.MOON_DISTANCE - 1)
MEAN = (today.MOON_DISTANCE / today.EARTH_RADIUS).to_value(u.one)
FAR_SUN = today.SUN_MOON_DISTANCE_RATIO
ARISTARCHUS = sun_distance.distance_ratio(87 * u.deg)
HIS_MOON = 360 * u.deg / 650
MOMENT = "2029-03-25T19:45"
NORTH, SOUTH = sky.Place(50.0 * u.deg, 15.0 * u.deg), sky.Place(-29.0 * u.deg, 24.0 * u.deg)


def ground(altitude):
    """In per cent, how much too small a distance is that is taken for one from Earth's centre."""
    seen = moon_distance.topocentric_distance(
        today.MOON_DISTANCE, altitude * u.deg, today.EARTH_RADIUS
    )
    return 100 * (1 - seen / today.MOON_DISTANCE).to_value(u.one)


def air(ratio=2.7):
    bare = shadow_cone.earth_in_moons(ratio / 1.014)
    return 100 * (shadow_cone.earth_in_moons(ratio) / bare - 1)


def discs(ratio=2.7):
    return 100 * (1 - shadow_cone.earth_in_moons(ratio) / shadow_cone.earth_in_moons(ratio, 1.10))


def arcminute(degrees):
    here, there = (sun_distance.distance_ratio(degrees * u.deg + m * u.arcmin) for m in (0, 1))
    return [float(here), 100 * (float(there / here) - 1)]


def ends_by_time():
    """The elongations from the exact time between the half Moons of two years."""
    halves = sky.half_moons("2029-01-01", "2031-01-01")
    found = [
        sun_distance.elongation_from_times(
            (last.half - first.half).astype(float) / 1000 * u.s, today.SYNODIC_MONTH
        ).value
        for first, last in pairwise(halves)
        if first.waxing
    ]
    return [min(found), max(found)]


def eclipse_with(wider):
    shift = ((1 + wider) / 2 - 0.8) * 2 * today.SUN_SEMIDIAMETER
    return other_ways.distance_in_earth_radii(shift, 10 * u.deg, 44 * u.deg)


def known(apart, so_well):
    shift = other_ways.shift_at(MEAN, apart * u.deg, apart / 2 * u.deg)
    return (so_well / shift).to_value(u.percent)


def hipparchus():
    """Least and greatest: Almagest IV.9 for the Moon's width, IV.11 for how it comes and goes."""
    shift = other_ways.shift_from_covered_parts(1, 4 / 5, HIS_MOON.to(u.arcmin))
    least = other_ways.distance_in_earth_radii(shift, 10 * u.deg, 44 * u.deg)
    part = 247.5 / 3122.5
    return [least, least * (1 + part) / (1 - part)]


def two_schools():
    """A globe's error in per cent; in radii the distance without azimuths, and the true one."""
    rows = pair_rows("two places", NORTH, SOUTH, MOMENT)
    at = {row.quantity: row.value for row in rows}
    kinds = "latitude", "longitude", "zenith_distance", "azimuth"
    pairs = [[at[f"pair_{place}_{kind}"] for place in ("north", "south")] for kind in kinds]
    pairs[2] = [true_zenith_distance(seen) for seen in pairs[2]]
    true = sky.moon_at(MOMENT).distance
    globe = today.EARTH_RADIUS / two_places.sine_of_parallax_anywhere(*pairs, 0)
    (high, low), (zn, zs) = pairs[0], pairs[2]
    shift = other_ways.shift_from_zenith_distances(high - low, zn, -zs)
    alone = other_ways.distance_in_earth_radii(shift, high - low, zn)
    return [100 * (globe / true - 1).value, alone, true / today.EARTH_RADIUS]


PTOLEMY = next(way for way in ANTIQUITY if way.who == "Ptolemy").value
CELL = r" \| ([^|]+?)"
FIGURES = (
    ("04", r"Earth's air (\S+) %, .* at most (\S+) %, standing on the ground (\S+) %",
     [air(), discs(), ground(90)], 0.05),
    ("04", r"Sun between (\S+)′ and (\S+)′ wide", [90 * 60 / 200, 90 * 60 / 164], 0.05),
    ("04", r"Hipparchus, 2nd century BC \| (\S+)′", [HIS_MOON.to_value(u.arcmin)], 0.05),
    ("05", r"At the (\d+) total eclipses of 2000 to 2040 the Moon is (\S+) % nearer than its mean "
     r"to (\S+) % farther", [len(TOTAL), -OFF.min(), OFF.max()], 0.05),
    ("05", r"too small by \| (\S+) % \| (\S+) % \| (\S+) % \| (\S+) % \| (\S+) %",
     [ground(altitude) for altitude in (0, 20, 40, 60, 90)], 0.05),
    ("05", r"Hipparchus, 2nd century BC \| (\S+) \| (\S+) %",
     [(67 + 1 / 3) / 2, 100 * ((67 + 1 / 3) / MEAN - 1)], 0.5),
    ("05", r"Ptolemy, 2nd century AD \| (\S+) \| (\S+) %",
     [PTOLEMY / 2, 100 * (PTOLEMY / MEAN - 1)], 0.5),
    ("05", r"\| today \| (\S+) \|", [MEAN / 2], 0.05),
    *(("06", rf"\| {degrees}° \| (\S+) \| (\S+) % \|", arcminute(degrees), 0.25 if degrees > 89 else
       0.05) for degrees in (60, 80, 87, 89, 89.853)),
    ("06", r"half Moon comes about (\d+) minutes before",
     [moon_phase.lead(FAR_SUN, today.SYNODIC_MONTH).to_value(u.min)], 0.5),
    ("06", r"give elongations from (\d+)° to (\d+)°", ends_by_time(), 0.5),
    ("06", r"Earth in Moons \| (\S+) \| (\S+) \| (\S+) \| (\S+) \|",
     [shadow_cone.earth_in_moons(2.7, 1, n) for n in (5, 19, FAR_SUN, np.inf)], 0.0051),
    ("06", r"Aristarchus, 3rd century BC \| 87° \| (\S+) \| (\S+) \|",
     [ARISTARCHUS, sun_distance.sun_in_earths(ARISTARCHUS, 2)], 0.05),
    ("06", r"today \| (\S+)° \| (\d+) \| (\d+) \|",
     [moon_phase.elongation_at_half(FAR_SUN).to_value(u.deg), FAR_SUN,
      today.SUN_RADIUS / today.EARTH_RADIUS], 0.25),
    ("07", r"distance, in Earth radii \| (\S+) \| (\S+) \| (\S+) \| (\S+) \|",
     [eclipse_with(q) for q in (1, 1.02, 1.05, 1.08)], 0.0501),
    *(("07", rf"\| {apart}° \| ±(\d+) % \| ±(\d+) % \|",
       [known(apart, 0.5 * u.deg), known(apart, 2 * u.arcmin)], 0.5) for apart in (80, 40, 10)),
    ("07", r"changed the distance by (\S+) %.* gave (\d+) Earth radii in place of ([\d.]+\d)",
     two_schools(), 0.5),
    ("07", r"That gives ([\d.]+\d) for .* the greatest ([\d.]+\d)", hipparchus(), 0.05),
)  # fmt: skip


@pytest.mark.parametrize(
    ("lesson", "words", "values", "room"), FIGURES, ids=lambda one: str(one)[:30]
)
def test_a_figure_of_a_page_is_what_computes_it(lesson, words, values, room):
    found = re.search(words, PROSE[lesson])
    assert found, words
    told = [float(one.replace("−", "-")) for one in found.groups()]
    computed = [float(getattr(one, "value", one)) for one in values]
    assert told == pytest.approx(computed, abs=room + 1e-9)


def test_the_half_moons_named_by_date_are_those_of_the_sky():
    place = sky.Place(52.1 * u.deg, 5.2 * u.deg)
    days = [
        f"{one.half.astype('M8[D]').astype(object):%-d %B}"
        for one in sky.half_moons("2029-01-01", "2030-01-01", place)
        if one.up and one.sun_altitude > 1 * u.deg
    ]
    assert days == re.findall(r"(\d+ (?:February|August)) \(", PROSE["06"])
