"""The menu of real nights: what it offers, what a choice changes, and what stays."""

import re
from datetime import date

import numpy as np
import pytest
from asked_in_words import ask, check, show
from astropy import units as u

from moonreach import exercises
from moonreach.exercises.checking import in_unit
from moonreach.notebook.desk import Desk
from moonreach.notebook.practice_night import USUAL, nights, practice_rows
from moonreach.notebook.syllabus import SYLLABUS
from moonreach.sheet.group_sheet import Row
from moonreach.sheet.reading import row_of


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


def words_of(bundle):
    return (bundle[0] if isinstance(bundle, tuple) else bundle)["text/plain"]


def test_offers_the_total_eclipses_that_are_published():
    # Dates and totality in minutes: NASA/GSFC (F. Espenak), catalogue rows.
    published = {
        "2003-11-09": 22.0,
        "2004-10-28": 80.5,
        "2018-07-27": 103.0,
        "2022-05-16": 84.9,
        "2028-12-31": 71.3,
        "2029-06-26": 101.9,
    }
    for day, minutes in published.items():
        assert f", total for {minutes:.0f} min" in nights()[day]
    # It grazed the edge (4.7 min as published), where no theory fixes the contacts well.
    assert re.search(r", total for [456] min", nights()["2015-04-04"])
    # Partial ones of the same source are not offered.
    assert not {"2013-04-25", "2021-11-19", "2023-10-28", "2026-08-28"} & set(nights())
    assert list(nights()) == sorted(nights())
    assert {date.fromisoformat(day).year for day in nights()} <= set(range(2000, 2041))


def test_says_in_words_how_near_to_the_middle():
    # Gamma and magnitude of NASA/GSFC: 2029 Jun 26 central, 2018 Jul 27 near, 2021 May 26 grazing.
    assert "right through the middle" in nights()["2029-06-26"]
    assert "nearly through the middle" in nights()["2018-07-27"]
    assert "just inside the shadow's edge" in nights()["2021-05-26"]
    assert "just inside the shadow's edge" in nights()["2015-04-04"]


def test_stands_at_the_usual_night_and_reads_well_on_paper(folder):
    menu = Desk("moon_distance").sky_menu()
    assert menu.choice.value == USUAL and len(menu.choice.options) == len(nights()) + 1
    line = words_of(menu._repr_mimebundle_())
    assert line.startswith("The practice group's night: the usual invented night. The menu has ")
    assert "\n" not in line and list(folder.iterdir()) == []


def test_a_choice_changes_the_practice_groups_readings_and_tells_so():
    desk = Desk("eclipse_timing")
    before = ask(desk, "total_phase")
    menu = desk.sky_menu()
    menu.choice.value = "2029-06-26"
    assert "an invented practice group under the real sky of 2029-06-26" in menu.said.value
    assert "2029-06-26: right through" in words_of(menu._repr_mimebundle_())
    assert ask(desk, "total_phase") != before and "2029-06-26" in ask(desk, "total_phase")
    # The totality of that night: 101.9 min (NASA/GSFC); hands scatter by 35 s.
    found = exercises.find("total_phase").answer(desk.readings())
    assert found.to_value(u.min) == pytest.approx(101.9, abs=2)
    menu.choice.value = USUAL
    assert ask(desk, "total_phase") == before


def test_the_night_is_remembered_and_its_truth_is_known():
    Desk("earth_size").sky_menu().choice.value = "2018-07-27"
    desk = Desk("moon_distance")
    assert desk.night.date == "2018-07-27" and desk.sky_menu().choice.value == "2018-07-27"
    # Parallax 3239.7" at greatest eclipse (JPL DE421): 6378.137 km over its sine, 406 100 km.
    truth = desk.readings().truth
    assert truth.distance.to_value(u.km) == pytest.approx(406_100, abs=100)
    assert Desk("earth_size", practice=practice_rows()).night.date == USUAL


@pytest.mark.parametrize("kept", [b"", b"2029-06-25\n", b"yesterday", b"\xff\xfe\x00"])
def test_a_memory_that_names_no_night_is_the_usual_night(kept, folder):
    (folder / "work").mkdir()
    (folder / "work" / "practice_night.txt").write_bytes(kept)
    assert Desk("earth_size").night.date == USUAL


def test_answers_to_other_readings_settle_nothing():
    desk = Desk("earth_size")
    check(desk, "arc", 1)
    check(desk, "arc", 2)
    assert "°." in show(desk, "arc")
    desk.practise("2029-06-26")
    assert "so far there are 0" in show(desk, "arc")


def test_a_night_without_a_total_eclipse_changes_nothing():
    desk = Desk("earth_size")
    assert "The night was not changed" in desk.practise("2029-06-20")
    assert "partial: the timing needs a total one" in desk.practise("2026-08-28")
    assert desk.night.date == USUAL and ask(desk, "arc") == ask(Desk("earth_size"), "arc")


def test_a_folder_that_cannot_be_used_is_named(folder):
    (folder / "work").write_text("a file in the way", encoding="utf-8")
    desk = Desk("earth_size")
    assert "It will not be remembered: work cannot be used" in desk.practise("2029-06-26")
    assert desk.night.date == "2029-06-26"


def test_a_groups_own_readings_stay_its_own():
    desk = Desk("earth_size", "Owls")
    said = desk.practise("2029-06-26")
    assert said.startswith("The sheet of Owls still lacks") and "sky of 2029-06-26" in said
    assert "until then the readings are those of Crane, an invented practice group under" in (
        ask(desk, "arc")
    )


def test_the_menu_says_nothing_where_it_changes_nothing():
    desk = Desk("earth_size", "Owls")
    for _, quantity, value, unit, uncertainty, note in map(row_of, practice_rows()):
        cells = {"value": value, "unit": unit, "uncertainty": uncertainty, "note": note}
        desk.sheet.store(Row(quantity, cells))
    menu = desk.sky_menu()
    before = desk.readings()
    menu.choice.value = "2029-06-26"
    assert desk.readings() == before and menu.said.value == ""


@pytest.mark.parametrize("night", nights())
def test_every_lesson_can_be_worked_under_every_night(night):
    rows = practice_rows(night)
    assert rows == practice_rows(night)
    for lesson in SYLLABUS:
        desk = Desk(lesson, practice=rows)
        assert "The biggest uncertainty comes from" in desk.result() or lesson == "eclipse_timing"
        for exercise in exercises.LESSONS[lesson]:
            right = in_unit(exercise.answer(desk.readings(*exercise.needs)), exercise.unit)
            assert np.isfinite(right)
            assert check(desk, exercise.key, float(right)).startswith("Right"), exercise.key
