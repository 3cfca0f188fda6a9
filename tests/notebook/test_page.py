"""The parts of a lesson page: what a student types and what stands there afterwards."""

import html
import re

import pytest

from moonreach import exercises
from moonreach.exercises.checking import in_unit
from moonreach.figures.earth_size import TwoGnomons
from moonreach.lessons.refuse import Impossible
from moonreach.notebook import practice_night
from moonreach.notebook.desk import Desk
from moonreach.sheet import tables
from moonreach.sheet.group_sheet import Row
from moonreach.sheet.reading import row_of


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


def words(widget):
    """Return what a widget's HTML says, without its tags."""
    return " ".join(html.unescape(re.sub("<[^>]*>", " ", widget.value)).split())


def right(desk, key):
    exercise = exercises.find(key)
    return float(in_unit(exercise.answer(desk.readings(*exercise.needs)), exercise.unit))


def fill(group, change=lambda row: row):
    """Write a group's sheet with the practice group's readings, changed."""
    desk = Desk("earth_size", group)
    rows = [change(row_of(reading)) for reading in practice_night.practice_rows()]
    tables.write(desk.sheet.path, [[group, *row[1:]] for row in rows])


def taller(row):
    """Make the northern gnomon a tenth taller than the practice group's."""
    taller = row[1] == "north_gnomon_height"
    return [*row[:2], f"{float(row[2]) * 1.1:.1f}", *row[3:]] if taller else row


@pytest.mark.parametrize("key", exercises.EXERCISES)
def test_a_box_keeps_its_question_beside_every_reply(key):
    lesson = next(name for name, known in exercises.LESSONS.items() if exercises.find(key) in known)
    desk = Desk(lesson)
    box = desk.box(key)
    question = exercises.find(key).question
    assert question in words(box.question) and "From the practice group" in words(box.question)
    assert box.reply.value == "" and box.show.layout.display == "none"
    for typed, reply in (
        ("seven", "? Found 'seven'"),
        ("123456.7", "✗ Not yet."),
        (f"{right(desk, key):.6f}", "✓ Right:"),
    ):
        box.box.value = typed
        assert words(box.reply).startswith(reply) and question in words(box.question)
    assert "Earlier: 123456.7" in words(box.reply)


def test_an_answer_may_be_a_line_of_arithmetic_in_the_unit_of_the_menu():
    desk = Desk("earth_size")
    box = desk.box("north_zenith")
    height, shadow = (
        desk.readings()[f"north_{one}"].value for one in ("gnomon_height", "shadow_length")
    )
    box.box.value = f"atan({shadow:.2f}/{height:.1f})".replace(".", ",")
    assert words(box.reply).startswith("✓ Right")
    radians = next(unit for sign, unit in box.unit.options if sign == "rad")
    box.unit.value = radians
    assert words(box.reply).startswith("✗")
    box.box.value = f"{right(desk, 'north_zenith') * 3.14159265 / 180:.4f}"
    assert words(box.reply).startswith("✓ Right")


def test_the_way_is_shown_after_two_honest_tries():
    desk = Desk("earth_size")
    box = desk.box("earth_diameter")
    for typed in ("1000", "1000.5"):  # one and the same try
        box.box.value = typed
        assert box.show.layout.display == "none"
    box.box.value = "20"
    assert box.show.layout.display is None
    box.show.click()
    assert "circumference / π" in words(box.way)


def test_the_way_does_not_say_again_whose_the_readings_are():
    desk = Desk("other_ways", "Owls")  # a group without a solar eclipse
    rows = [row_of(reading) for reading in practice_night.practice_rows()]
    tables.write(desk.sheet.path, [row for row in rows if not row[1].startswith("solar_")])
    box = desk.box("eclipse_shift")
    for answer in ("17", "18"):
        box.box.value = answer
    box.show.click()
    assert "still lacks" in box.asked.whose and "still lacks" not in box.way.value
    assert "<b>The practice group's: " in html.unescape(box.way.value)


def test_todays_value_stands_beside_a_right_answer():
    desk = Desk("earth_size")
    box = desk.box("earth_diameter")
    box.box.value = f"{right(desk, 'earth_diameter'):.0f}"
    assert "(Today: 12 742 km.)" in words(box.reply)


def test_the_next_day_everything_is_there_again():
    fill("Owls")
    desk = Desk("earth_size", "Owls")
    guess = desk.guess("it grows", "it stays")
    guess.box.value = "it stays"
    guess.keep()
    notes = desk.notes("look", 1, 2)
    notes.boxes["look_2"].value = "the difference stays"
    answer = f"{right(desk, 'arc'):.4f}"
    desk.box("arc").box.value = answer
    again = Desk("earth_size")
    assert again.group == "Owls" and again.guessed == "it stays"
    assert "it stays" in words(again.guess("it grows", "it stays").said)
    kept = [box.value for box in again.notes("look", 1, 2).boxes.values()]
    assert kept == ["", "the difference stays"]
    box = again.box("arc")
    assert box.box.value == answer and words(box.reply).startswith("✓ Right")
    assert len(again.answers.held["arc"]) == 1  # opening a page is no attempt


def test_every_box_follows_a_changed_reading_and_an_old_answer_is_recognised():
    desk = Desk("earth_size")
    box = desk.box("north_zenith")
    box.box.value = f"{right(desk, 'north_zenith'):.3f}"
    assert "for the practice group" in words(box.reply)
    fill("Owls", taller)
    desk.choose("Owls")
    assert "Crane" not in words(box.question)
    assert "right for the practice group; use your own readings" in words(box.reply)
    box.box.value = f"{right(desk, 'north_zenith'):.3f}"
    assert words(box.reply).startswith("✓ Right")
    (row,) = desk.sheet.rows(["north_gnomon_height"])
    form = desk.form()
    line = next(line for line in form.lines if line.row.quantity == row.quantity)
    line.boxes["value"].value = "150"
    assert "150 cm" in words(box.question) and words(box.reply).startswith("✗")


def test_a_figure_comes_when_the_guess_is_kept_or_left_out():
    for keep in (True, False):
        desk = Desk("earth_size")
        shown, guess = desk.after_guess(TwoGnomons()), desk.guess(unit="mm")
        assert shown.figure is None and "guess is kept" in words(shown.children[0])
        guess.keep()  # nothing typed
        assert shown.figure is None and "no guess is marked" in words(guess.said)
        if keep:
            guess.box.value = "7"
            guess.keep()
            assert desk.guessed == "7 mm" and "7 mm" in words(guess.said)
        else:
            guess.skip.click()
            assert desk.guessed == "" and "No guess" in words(guess.said)
        assert shown.figure is not None and shown.figure in shown.children


def test_a_guess_before_there_is_a_group_becomes_the_groups():
    desk = Desk("earth_size")
    desk.keep("guess", "it stays")
    desk.choose("Owls")
    assert Desk("earth_size", "Owls").guessed == "it stays"
    desk.choose("Herons")  # it was not theirs
    assert desk.guessed is None


def test_a_file_of_notes_that_is_broken_is_set_aside_and_said(folder):
    desk = Desk("earth_size", "Owls")
    desk.keep("season", "it stays")
    path = desk.page_notes.path
    path.write_text('{"earth_size": 7}', encoding="utf-8")
    again = Desk("earth_size", "Owls")
    assert again.page_notes.held == {} and "guesses and notes any more" in repr(again)
    assert list(path.parent.glob("page.unreadable*"))


def test_the_strip_counts_and_says_what_is_next():
    desk = Desk("earth_size")
    strip = desk.strip()
    assert "no guess yet · 0 of 5 readings · 0 of 6 answers · next: your guess" in words(strip.said)
    desk.choose("Owls")
    desk.keep("guess", "it stays")
    assert "next: enter north gnomon height" in words(strip.said)
    for quantity, value, unit in (
        ("north_gnomon_height", "100", "cm"),
        ("north_shadow_length", "128", "cm"),
        ("south_gnomon_height", "100", "cm"),
        ("south_shadow_length", "98", "cm"),
        ("north_south_distance", "800", "km"),
    ):
        desk.sheet.store(
            Row(quantity, {"value": value, "unit": unit, "uncertainty": "", "note": ""})
        )
    desk.changed()
    assert "5 of 5 readings · 0 of 6 answers · next: answer 1" in words(strip.said)
    for exercise in exercises.LESSONS["earth_size"]:
        desk.box(exercise.key).box.value = f"{right(desk, exercise.key):.5f}"
    assert words(strip.said).endswith("6 of 6 answers · done")


def test_a_box_for_an_unknown_exercise_says_which_there_are():
    with pytest.raises(Impossible, match="no exercise 'arcs'"):
        Desk("earth_size").box("arcs")


def test_what_is_typed_never_becomes_part_of_the_page():
    box = Desk("earth_size").box("arc")
    box.box.value = "<img src=x onerror=alert(1)>"
    assert "<img" not in box.reply.value and "&lt;img" in box.reply.value


def test_a_guess_is_a_number_where_a_number_is_asked_for():
    guess = Desk("moon_distance").guess(unit="Moons")
    for typed, kept in (("abc", None), ("about 12", None), ("12 Moons", "12 Moons")):
        guess.box.value = typed
        guess.keep()
        assert guess._desk.guessed == kept


def test_an_answer_for_the_practice_group_tells_nothing_of_ones_own(tmp_path):
    desk = Desk("earth_size", "Owls", tmp_path)
    first = desk.box("arc")
    first.box.value = f"{first.asked.exercise.answer(desk.practice).to_value('deg'):.2f}"
    assert "for the practice group" in first.reply.value
    own = {
        "north_gnomon_height": "100 cm",
        "north_shadow_length": "80 cm",
        "south_gnomon_height": "100 cm",
        "south_shadow_length": "60 cm",
        "north_south_distance": "800 km",
    }
    for name, value in own.items():
        desk.sheet.store(Row(name, {"value": value, "unit": "", "uncertainty": "", "note": ""}))
    desk.changed()
    second = desk.box("circle_parts")
    assert "practice" not in second.question.value
    assert "7.69" not in second.question.value  # atan(80 / 100) - atan(60 / 100), never typed
    first.box.value = "7.696"
    assert "7.696" in second.question.value
