"""Each slip undone, found, and not suspected where there is none."""

from dataclasses import replace

import numpy as np
import pytest
from astropy import units as u

from moonreach.exercises import EXERCISES, deviations, mistakes
from moonreach.exercises.deviations import parts_of
from moonreach.exercises.mistakes import Finder
from moonreach.lessons.refuse import Impossible
from moonreach.practice import invented
from moonreach.practice.real_night import sky_truth
from moonreach.practice.slips import SLIPS
from moonreach.reduction.summary import ClassSummary
from moonreach.report.content import report_of
from moonreach.sheet import tables

TRUTH = invented.Truth(offset=0.35, south_zenith_distance=31.4 * u.deg)


def group(name, seed=3):
    rows = invented.group_rows(name, TRUTH, invented.Hands(), np.random.default_rng(seed))
    return rows


def finder_of(sheet):
    return Finder(ClassSummary(sheet))


def class_with(slip):
    """Return the finder of a class of five, the first of whom, who has everything, slipped."""
    rows = invented.practice_class([TRUTH] * 5, 5)
    first = [row for row in rows if row.group == "Heron"]
    rest = [row for row in rows if row.group != "Heron"]
    return finder_of(tables.of_rows(SLIPS[slip].made(first) + rest))


def as_timed(rows):
    """Return the readings with the two phases in place of the contacts."""
    partial, total = TRUTH.phases
    kept = [row for row in rows if not row.quantity.startswith("umbral")]
    for name, lasts in (("partial_phase", partial), ("total_phase", total)):
        phase = {"value": lasts.to(u.min).round(1), "resolution": 0.05 * u.min}
        kept.append(replace(rows[0], quantity=name, **phase))
    return kept


OF_PHASES = ("totality for entry time", "hours for minutes")


@pytest.mark.parametrize("slip", SLIPS)
def test_there_is_a_way_back(slip):
    right = as_timed(group("Heron")) if slip in OF_PHASES else group("Heron")
    wrong = tables.of_rows(SLIPS[slip].made(right)).readings
    expected = parts_of(right).values
    assert parts_of(wrong).values != expected or slip == "readings swapped"
    back = [parts_of(undone).values for _, undone in SLIPS[slip].ways(wrong)]
    # Minutes, and readings that lose a digit in another unit, leave a trace.
    assert any(values == pytest.approx(expected, rel=0.05) for values in back)


# A rod that was tried on a target needs no hole, and without one nobody knows where people call.
UNSEEN = ("forgot the hole",)
PLANTED = [slip for slip in SLIPS if slip not in (*OF_PHASES, *UNSEEN)]


@pytest.mark.parametrize("slip", PLANTED)
def test_a_planted_slip_is_named(slip):
    likely = class_with(slip).likely("Heron")
    assert likely.name == slip
    assert "{" not in likely.told
    assert likely.undone.outcome("distance_earth_diameters").value == pytest.approx(30.17, rel=0.05)


def test_only_a_gain_beyond_chance_is_enough():
    # Source: chi-square with one degree of freedom (scipy): three groups of 1000 by chance.
    from scipy.stats import chi2

    assert chi2.sf(mistakes.ENOUGH, 1) == pytest.approx(0.0027, rel=0.01)
    assert chi2.sf(deviations.EXCUSE**2 * 4, 4) == pytest.approx(0.003, abs=5e-4)


def test_many_ways_must_gain_more():
    # One part back from five standard uncertainties to one, the other untouched: 25 - 1. Each of
    # n ways may help by chance, which makes the best of them look 2 ln n better than it is.
    before, after = {"rod": 25.0, "timing": 2.0}, {"rod": 1.0, "timing": 2.0}
    assert mistakes.gain(before, after, 1) == 24
    assert mistakes.gain(before, after, 8) == pytest.approx(24 - 2 * np.log(8))


def test_an_own_interval_excuses_from_the_usual_to_twice_that():
    assert deviations.excused(0.02, 0.015) == 0.02
    assert deviations.excused(0.005, 0.015) == 0.015
    assert deviations.excused(0.20, 0.015) == pytest.approx(0.03)


def test_the_timing_is_judged_with_the_angle_of_group_and_class():
    # The chord formula's ratio goes as the square of the angle: a rod read 3 % too far spoils both,
    # and nothing is wrong with the contacts. A class of 30 knows the angle far better than a group.
    finder = finder_of(tables.of_rows(invented.practice_class([TRUTH] * 30, 5)))
    rod = "vanish_distance", "rim_distance"
    far = [
        replace(row, value=1.03 * row.value) if row.quantity in rod else row
        for row in finder.rows["Heron"]
    ]
    right, wrong = finder.parts["Heron"], parts_of(far)
    angles, ratios = ((right.values[part] / wrong.values[part]) for part in ("angle", "timing"))
    assert ratios == pytest.approx(angles**2, rel=0.003)
    expected, judged = finder.expected("Heron"), finder.judged("Heron")
    before, after = (found.deviations(expected, judged) for found in (right, wrong))
    assert abs(after["angle"] - before["angle"]) > 1
    assert after["timing"] == pytest.approx(before["timing"], abs=0.3)


def test_hundredths_beyond_59_are_no_minutes():
    slip, right = SLIPS["minutes as decimal hours"], as_timed(group("Heron"))
    hours = {"partial_phase": 1.02 * u.h, "total_phase": 1.44 * u.h}

    def ways(**changed):
        told = hours | changed
        return slip.ways([replace(r, value=told.get(r.quantity, r.value)) for r in right])

    assert ways() and not ways(total_phase=1.65 * u.h)
    assert slip.chance == pytest.approx(0.6**2)  # 60 of the 100 hundredths, in both phases


@pytest.mark.parametrize("seed", [1])
def test_nobody_is_accused_without_a_slip(seed):
    finder = finder_of(tables.of_rows(invented.practice_class([TRUTH] * 12, seed)))
    assert [finder.likely(name) for name in finder.rows] == [None] * 12


def test_what_no_slip_explains_is_left_alone():
    sheet = tables.of_rows(invented.practice_class([TRUTH] * 8, 5))
    sheet.readings = [
        replace(row, value=row.value * 1.08)
        if row.group == "Heron" and row.quantity == "disc_diameter"
        else row
        for row in sheet.readings
    ]
    assert finder_of(sheet).likely("Heron") is None
    together = report_of(sheet).groups[0].right
    assert any("your readings stand" in part.text for part in together)


def test_an_impossible_group_is_not_taken_for_whatever_happens_to_fit():
    rows = invented.practice_class([TRUTH] * 5, 5)
    discs = ("Heron", "disc_diameter")
    wide = [replace(r, value=24.1 * u.mm) if (r.group, r.quantity) == discs else r for r in rows]
    assert finder_of(tables.of_rows(wide)).likely("Heron") is None


def test_a_class_of_one_is_held_against_what_is_possible():
    rows = SLIPS["radius for diameter"].made(group("Heron"))
    assert finder_of(tables.of_rows(rows)).likely("Heron").name == "radius for diameter"
    assert finder_of(tables.of_rows(group("Heron"))).likely("Heron") is None


def test_groups_of_different_nights_are_not_held_against_each_other():
    near = invented.practice_class([sky_truth("2029-06-26")] * 4, 5)
    far = invented.practice_class([sky_truth("2018-07-27")] * 1, 5)
    far = [replace(row, group="Apogee") for row in far]  # 1.09 times as far, so as much smaller
    finder = finder_of(tables.of_rows(near + far))
    assert finder.likely("Apogee") is None
    assert finder.expected("Apogee")["angle"][0] == pytest.approx(29.4, abs=0.2)


def test_names_are_those_of_the_exercises():
    known = {slip.name for exercise in EXERCISES.values() for slip in exercise.wrong_ways}
    assert len(set(SLIPS) & known) >= 8


def test_a_slip_needs_its_readings():
    with pytest.raises(Impossible, match="Otter has no readings for that mistake"):
        invented.practice_class([TRUTH] * 2, 5, slips={1: "circles swapped"})
