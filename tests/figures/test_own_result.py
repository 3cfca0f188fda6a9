"""A group's results as pictures: what is drawn, whose it is, and what it is held against."""

import io
from dataclasses import replace

import pytest
from PIL import Image

from moonreach.figures import own_result
from moonreach.notebook.desk import Desk
from moonreach.notebook.practice_night import practice_readings, practice_rows
from moonreach.notebook.syllabus import SYLLABUS
from moonreach.reduction.group import reduce_group
from moonreach.sheet.origin import Origin


def rows_of(lesson, group):
    labels = {name: words for name, (words, _) in SYLLABUS[lesson].results.items()}
    return {row.name: row for row in own_result.rows_of(group, labels)}


@pytest.mark.parametrize(
    ("lesson", "name", "today"),
    [
        # WGS 84, NIMA TR8350.2; IAU 2015; Meeus, Astronomical Algorithms, ch. 55 (from memory).
        ("earth_size", "earth_diameter", 12_742.0),
        ("shadow_cone", "earth_in_moons", 6371.0 / 1737.4),
        # 2.62 to 2.77 over a century's eclipses (Espenak and Meeus 2009), on average about 2.7.
        ("eclipse_timing", "ratio_chord", 2.7),
        ("sighting_angle", "angle", 31.08),
        ("moon_distance", "distance_earth_diameters", 384_399 / 12_742.0),
        ("sun_distance", "sun_in_earths", 695_700 / 6371.0),
        ("sun_distance", "sun_distance_ratio", 149_597_870.7 / 384_399),
    ],
)
def test_each_result_is_held_against_todays_value(lesson, name, today):
    row = rows_of(lesson, practice_readings())[name]
    assert row.against == pytest.approx(today, rel=1e-3) and row.whose == "practice"


@pytest.mark.parametrize("lesson", SYLLABUS)
def test_each_lesson_has_a_picture_of_its_own(lesson):
    rows = list(rows_of(lesson, practice_readings()).values())
    picture = Image.open(io.BytesIO(own_result.png(rows)))
    assert rows and picture.width == 800 and len(picture.convert("L").getcolors()) > 20


def test_a_groups_own_readings_are_its_own():
    own = reduce_group("Owls", [replace(row, origin=Origin.OWN) for row in practice_rows()])
    assert rows_of("earth_size", own)["earth_diameter"].whose == "yours"


def test_what_is_shared_is_not_called_a_groups_own():
    rows = [replace(row, origin=Origin.SHARED) for row in practice_rows()]
    assert rows_of("earth_size", reduce_group("Owls", rows))["earth_diameter"].whose == "shared"


@pytest.mark.parametrize(
    ("typed", "number"),
    [("12 Earth diameters", 12), ("about 12,5", 12.5), ("no idea", None), ("", None), (None, None)],
)
def test_a_guess_stands_beside_the_result_that_it_is_of(typed, number):
    names = ("distance_earth_diameters", "distance_km", "earth_diameter")
    rows = own_result.rows_of(practice_readings(), dict.fromkeys(names, "It"), typed)
    assert {row.name: row.guess for row in rows} == {
        "distance_earth_diameters": number,
        "earth_diameter": None,
    }
    row = next(row for row in rows if row.name == "distance_earth_diameters")
    bare = own_result.png([replace(row, guess=None)])
    assert (own_result.png([row]) != bare) == (number is not None)


def test_a_card_shows_a_result_when_its_answer_is_found(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    desk = Desk("earth_size")
    desk.keep("guess", "it stays")
    card = desk.result_card()
    assert "Its value follows after answer 5" in card.said.value and card.picture.value == ""
    assert "Your guess was: it stays." in card.said.value
    desk.box("earth_diameter").box.value = f"{desk.practice['earth_diameter'].value:.1f}"
    assert 'alt="Earth&#x27;s diameter, practice"' in card.picture.value
    assert 'download="earth_size_result.png"' in card.save.value
