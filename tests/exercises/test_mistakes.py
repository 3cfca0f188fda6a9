"""Each slip undone, found, and not suspected where there is none."""

from dataclasses import replace

import numpy as np
import pytest
from astropy import units as u

from moonreach.exercises import EXERCISES
from moonreach.exercises.mistakes import Finder, parts_of
from moonreach.lessons.refuse import Impossible
from moonreach.practice import invented, slips
from moonreach.practice.real_night import sky_truth
from moonreach.reduction.summary import ClassSummary
from moonreach.report.content import report_of
from moonreach.sheet import tables

TRUTH = invented.Truth(offset=0.35, south_zenith_distance=31.4 * u.deg)


def group(name, seed=3):
    rows = invented.group_rows(name, TRUTH, invented.Hands(), np.random.default_rng(seed))
    return rows


def finder_of(sheet):
    return Finder(ClassSummary(sheet), sheet.groups())


def class_with(slip):
    """Return the finder of a class of five, the first of whom, who has everything, slipped."""
    rows = invented.practice_class([TRUTH] * 5, 5)
    first = [row for row in rows if row[0] == "Heron"]
    rest = [row for row in rows if row[0] != "Heron"]
    return finder_of(tables.of_rows(invented.SLIPS[slip](first) + rest))


@pytest.mark.parametrize("slip", invented.SLIPS)
def test_there_is_a_way_back(slip):
    right = tables.of_rows(group("Heron")).readings
    wrong = tables.of_rows(invented.SLIPS[slip](group("Heron"))).readings
    expected = parts_of(right).values
    assert parts_of(wrong).values != expected or slip == "readings swapped"
    back = [
        undone for undo in slips.SLIPS if undo.name == slip for undone in undo.ways(wrong).values()
    ]
    # Minutes, and readings written to four digits, leave a trace.
    assert any(parts_of(undone).values == pytest.approx(expected, rel=0.05) for undone in back)


@pytest.mark.parametrize("slip", invented.SLIPS)
def test_a_planted_slip_is_named(slip):
    likely = class_with(slip).likely("Heron")
    assert likely.name == slip
    assert "{" not in likely.made
    assert likely.undone.outcome("distance_earth_diameters").value == pytest.approx(30.17, rel=0.05)


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
    together = report_of(sheet).groups[0].together
    assert any("your readings stand" in sentence for sentence in together)


def test_an_impossible_group_is_not_taken_for_whatever_happens_to_fit():
    rows = invented.practice_class([TRUTH] * 5, 5)
    wide = [[*r[:2], "24.1", *r[3:]] if r[:2] == ["Heron", "disc_diameter"] else r for r in rows]
    assert finder_of(tables.of_rows(wide)).likely("Heron") is None


def test_a_class_of_one_is_held_against_what_is_possible():
    rows = invented.SLIPS["radius for diameter"](group("Heron"))
    assert finder_of(tables.of_rows(rows)).likely("Heron").name == "radius for diameter"
    assert finder_of(tables.of_rows(group("Heron"))).likely("Heron") is None


def test_groups_of_different_nights_are_not_held_against_each_other():
    near = invented.practice_class([sky_truth("2029-06-26")] * 4, 5)
    far = invented.practice_class([sky_truth("2018-07-27")] * 1, 5)
    far = [["Apogee", *row[1:]] for row in far]  # 1.09 times as far, so as much smaller
    finder = finder_of(tables.of_rows(near + far))
    assert finder.likely("Apogee") is None
    assert finder._expected("Apogee")["angle"][0] == pytest.approx(29.4, abs=0.2)


def test_names_are_those_of_practice_and_exercises():
    names = {undo.name for undo in slips.SLIPS}
    assert set(invented.SLIPS) <= names
    known = {slip.name for exercise in EXERCISES.values() for slip in exercise.slips}
    assert len(names & known) >= 8


def test_a_slip_needs_its_readings():
    with pytest.raises(Impossible, match="Otter has no readings for that slip"):
        invented.practice_class([TRUTH] * 2, 5, slips={1: "circles swapped"})
