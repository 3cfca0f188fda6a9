"""The desk: what cells of a notebook say, with a group and without."""

import json
import os
import subprocess
import sys
from dataclasses import replace

import nbformat
import numpy as np
import pytest
from asked_in_words import ask, check, show
from astropy import units as u
from nbclient import NotebookClient

from moonreach import exercises
from moonreach.exercises.checking import in_unit
from moonreach.lessons.refuse import Impossible
from moonreach.notebook import practice_night, progress
from moonreach.notebook.desk import Desk, Said
from moonreach.notebook.syllabus import SYLLABUS
from moonreach.practice import invented
from moonreach.reduction import summary
from moonreach.reduction.results import MEASUREMENTS, RESULTS
from moonreach.reduction.words import rounded
from moonreach.sheet import tables
from moonreach.sheet.quantities import QUANTITIES
from moonreach.sheet.reading import row_of


def practice_rows():
    """Return the practice group's rows as texts, to be typed into a sheet."""
    return [row_of(reading) for reading in practice_night.practice_rows()]


OWN = [row for row in practice_rows() if "umbral" not in row[1]]


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


def fill(group, rows):
    """Write a group's sheet, as its form would."""
    desk = Desk("earth_size", group)
    tables.write(desk.sheet.path, [[group, *row[1:]] for row in rows])


def right(key, readings):
    exercise = exercises.find(key)
    return float(in_unit(exercise.answer(readings), exercise.unit))


def test_all_lessons_are_laid_out():
    assert list(SYLLABUS) == list(exercises.LESSONS)
    named = {name for lesson in SYLLABUS.values() for name in lesson.measured + lesson.optional}
    assert named <= set(QUANTITIES)
    assert {name for name, term in QUANTITIES.items() if term.kind != "picture"} - named == set()
    for lesson in SYLLABUS.values():
        assert set(lesson.needs) <= set(MEASUREMENTS)
        for name, (_, key) in lesson.results.items():
            assert name in RESULTS and (not key or key in exercises.EXERCISES)


@pytest.mark.parametrize("lesson", SYLLABUS)
def test_without_a_group_every_cell_goes_on_with_the_practice_group(lesson, folder):
    desk = Desk(lesson)
    assert repr(desk).startswith("No group is chosen yet, so the readings are those of Crane")
    assert "invented practice group" in desk.result()
    for exercise in exercises.LESSONS[lesson]:
        assert exercise.question in ask(desk, exercise.key)
        assert "Not answered yet" in check(desk, exercise.key, "")
        answer = right(exercise.key, desk.practice)
        assert check(desk, exercise.key, answer).startswith("Right")
    assert list(folder.iterdir()) == []  # nothing is kept for nobody


def test_cells_say_the_same_in_another_session():
    for lesson in SYLLABUS:
        one, two = Desk(lesson), Desk(lesson)
        assert one.result() == two.result()
        for exercise in exercises.LESSONS[lesson]:
            assert ask(one, exercise.key) == ask(two, exercise.key)


def test_no_right_answer_is_printed_before_two_honest_attempts():
    for lesson in SYLLABUS:
        desk = Desk(lesson)
        answers = {e.key: f"{right(e.key, desk.practice):.4g}" for e in exercises.LESSONS[lesson]}
        for key, answer in answers.items():
            exercise = exercises.find(key)
            printed = [
                ask(desk, key),
                check(desk, key, ""),
                show(desk, key),
                check(desk, key, "seven"),
                check(desk, key, 1234.5),
                check(desk, key, 1234.5),
                show(desk, key),
                desk.result(),
            ]
            texts = [str(text).replace(exercise.question, "").replace(" ", "") for text in printed]
            assert not any(answer in text for text in texts), (key, answer, printed)
        for key, answer in answers.items():
            check(desk, key, 1e7)
            told = str(show(desk, key)).replace(" ", "").replace("−", "-")
            assert answer in told or float(answer) >= 1e4


def test_the_group_is_remembered_for_the_next_notebook_and_day():
    fill("Night Owls", practice_rows())
    for lesson in SYLLABUS:
        desk = Desk(lesson)
        assert desk.group == "Night Owls" and "Crane" not in ask(
            desk, exercises.LESSONS[lesson][0].key
        )
    assert Desk("earth_size", "Herons").group == "Herons"
    assert Desk("earth_size").group == "Herons"


def test_what_a_group_lacks_comes_whole_from_the_practice_group():
    fill("Owls", [row for row in practice_rows() if row[1] != "south_shadow_length"])
    desk = Desk("earth_size")
    said = ask(desk, "arc")
    assert "The sheet of Owls still lacks south shadow length: until then" in said
    assert desk.readings().group == "Crane"
    timing = Desk("eclipse_timing")
    assert timing.readings().group == "Owls" and "Crane" not in ask(timing, "total_phase")


def test_what_the_shadow_ratio_lacks_is_told_both_ways():
    gone = ("umbral_contact_3", "photo_moon_radius")
    fill("Owls", [row for row in practice_rows() if row[1] not in gone])
    said = ask(Desk("shadow_cone"), "earth_in_moons")
    assert "still lacks U3; or else photo Moon radius: until then" in said


def test_a_ratio_timed_on_an_unknown_path_comes_with_a_caution():
    # docs/accuracy.md: through the middle is wrong by -25 % on average over 85 eclipses.
    rows = [row for row in practice_rows() if not row[1].startswith(("disc", "vanish", "rim"))]
    timed = [row for row in rows if not row[1].startswith("photo")]
    fill("Owls", timed)
    desk = Desk("shadow_cone")
    for said in (ask(desk, "earth_in_moons"), desk.result()):
        assert "as if the Moon had passed through the middle" in said
    assert "through the middle" not in ask(desk, "moon_percent")  # said once is enough
    fill("Herons", [*timed, ["", "path", "central", "", "", ""]])
    assert "through the middle" not in Desk("shadow_cone").result()
    fill("Otters", rows)  # a photograph does not hang on the path
    assert "photo shadow radius" in Desk("shadow_cone").result()
    assert "through the middle" not in Desk("shadow_cone").result()


def test_a_step_on_the_practice_group_stands_on_none_of_the_groups_own_answers():
    contacts = zip((1, 2, 3, 4), ("02:27:53", "03:29:03", "04:53:56", "05:55:07"), strict=True)
    fill("Otter", [["", f"umbral_contact_{n}", clock, "", "", ""] for n, clock in contacts])
    desk = Desk("eclipse_timing", "Otter")
    assert "From: your answer 1;" in ask(desk, "ratio_middle")  # its own readings
    said = ask(desk, "ratio_off_centre")  # needs the angle, which the group lacks
    heron = right("partial_phase", desk.practice)
    assert "invented practice group" in said and f"group: answer 1 ({heron:.4g} min)" in said
    assert " answer 4" in said and "your answer" not in said  # asked of the practice group as well


def test_an_answer_for_the_practice_group_is_none_once_the_group_has_readings(folder):
    desk = Desk("earth_size", "Owls")
    check(desk, "arc", right("arc", desk.practice))
    check(desk, "circumference", 1)
    check(desk, "circumference", 2)
    assert desk.settled("arc") and desk.settled("circumference")
    assert "1 of 6 answers" in progress.standing(desk)
    fill("Owls", [[*row[:2], "150", *row[3:]] if "gnomon" in row[1] else row for row in OWN])
    desk = Desk("earth_size", "Owls")
    assert not desk.settled("arc") and "so far there are 0" in show(desk, "circumference")
    assert "0 of 6 answers" in progress.standing(desk)
    assert progress.done(desk.work, "Owls", "earth_size").answers == 0
    assert "Its value follows after" in desk.result()
    check(desk, "arc", right("arc", desk.readings()))
    assert desk.settled("arc") and "1 of 6 answers" in progress.standing(desk)


def test_a_way_to_the_moon_that_is_still_asked_for_is_not_drawn():
    desk = Desk("other_ways")
    part = desk.all_ways()
    assert "shadow and rod: " in part.as_text() and "two places: " not in part.as_text()
    assert "comes here after answer 2 and answer 5" in part.said.value
    check(desk, "pair_distance", right("pair_distance", desk.practice))
    desk.changed()
    assert "two places: " in part.as_text() and "group, solar eclipse" not in part.as_text()
    assert part.said.value.endswith("comes here after answer 2.</i>")


def test_contacts_that_cannot_be_placed_are_told_with_the_reason():
    clocks = {"umbral_contact_1": "08:00", "umbral_contact_2": "15:05"}
    fill("Owls", [[*row[:2], clocks.get(row[1], row[2]), *row[3:]] for row in practice_rows()])
    said = ask(Desk("eclipse_timing"), "total_phase")
    assert "still lacks U1" in said and "those of one eclipse at most 4 h" in said


def test_readings_show_themselves_as_lines(folder):
    text = repr(Desk("eclipse_timing").readings())
    assert text.startswith("Crane, an invented practice group\n  north gnomon height: 108.9 cm")
    last = next(row for row in practice_rows() if row[1] == "umbral_contact_4")
    assert f"U4: {last[2]}" in text


def test_a_desk_waits_for_no_widgets_and_no_drawings():
    code = "import sys, moonreach.notebook.desk as d; d.Desk('earth_size').result(); "
    code += "print([m for m in ('ipywidgets', 'matplotlib', 'scipy') if m in sys.modules])"
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True,
                           env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)})  # fmt: skip
    assert found.stdout.strip() == "[]"


def test_readings_are_those_of_the_reduction_and_their_owner_is_told():
    desk = Desk("sighting_angle")
    readings, whose = desk.readings_and_whose()
    assert "invented practice group" in whose and readings.invented
    rows = [float(row[2]) for row in practice_rows() if row[1] == "vanish_distance"]
    assert readings["vanish_distance"].to_value(u.m) == pytest.approx(np.mean(rows))
    fill("Owls", practice_rows())
    own, whose = Desk("sighting_angle").readings_and_whose()
    assert own["vanish_distance"] == readings["vanish_distance"] and whose == ""


def test_results_agree_with_the_class_report():
    fill("Owls", practice_rows())
    report = summary.ClassSummary(tables.read("work/owls.csv")).groups[0]
    desk = Desk("moon_distance")
    before = desk.result()
    assert "known to ±" in before and "Earth diameters, 95 %" not in before
    assert check(desk, "moon_distance", report["distance_km"]).startswith("Right")
    km = report.outcome("distance_km")
    shown = rounded(km.value, km.low, km.high)
    assert "{} km, 95 % from {} to {} km".format(*shown) in desk.result()
    assert "The biggest uncertainty comes from" in desk.result()


def test_attempts_are_kept_with_the_group_and_settle_an_exercise():
    fill("Owls", practice_rows())
    desk = Desk("earth_size")
    value = right("earth_diameter", desk.readings())
    assert "get if you divide by 2π" in check(desk, "earth_diameter", value / 2)
    check(desk, "earth_diameter", value / 2)  # the cell was only run again
    assert "shown after 2 different attempts; so far there is 1" in show(desk, "earth_diameter")
    again = Desk("earth_size")
    assert "Not yet" in check(again, "earth_diameter", "40000 km")
    assert f"{value:,.0f} km: circumference / π.".replace(",", " ") in show(again, "earth_diameter")
    kept = json.loads((again.sheet.path.with_suffix("") / "answers.json").read_text("utf-8"))
    first, second = kept["earth_diameter"]
    assert (first["state"], first["slip"]) == ("slip", "radius for diameter")
    assert second["answer"] == "40000 km" and first["at"].endswith("+00:00")


@pytest.mark.parametrize(
    "text", ["", "{", "[1]", '{"arc": [1]}', '{"arc": [{"value": "x"}]}', "\0", "[" * 100_000]
)
def test_a_broken_file_of_attempts_is_named_and_set_aside(text, folder):
    fill("Owls", practice_rows())
    path = folder / "work" / "owls" / "answers.json"
    path.parent.mkdir()
    path.write_text(text, encoding="utf-8")
    desk = Desk("earth_size")
    assert "answers.unreadable-1.json" in repr(desk)
    assert "Not yet" in check(desk, "arc", 1)
    assert path.with_name("answers.unreadable-1.json").read_text("utf-8") == text
    assert json.loads(path.read_text("utf-8"))["arc"][0]["value"] == 1


def test_what_cannot_be_is_met_with_sentences(folder, monkeypatch):
    with pytest.raises(Impossible, match="no lesson 'earth'; there are"):
        Desk("earth")
    desk = Desk("earth_size")
    with pytest.raises(Impossible, match="no exercise 'arcs'; there are arc"):
        desk.box("arcs")
    assert "The answer is in km, but the question asks for deg" in check(desk, "arc", 3 * u.km)
    assert "The group was not changed" in desk.choose("../up")
    assert desk.group is None and list(folder.iterdir()) == []
    (folder / "work").write_text("a file in the way", encoding="utf-8")
    assert "nothing can be kept there" in desk.choose("Owls")


def test_readings_that_give_no_answer_are_met_with_the_reason():
    rows = [["", name, "1", "m", "", ""] for name in practice_heights()]
    fill("Owls", [*rows, ["", "north_south_distance", "800", "km", "", ""]])
    assert "give no arc" in check(Desk("earth_size"), "arc", 7)
    assert "give no arc" in Desk("earth_size").result()


def test_radii_of_different_kinds_are_met_with_the_reason():
    radii = [["", "photo_shadow_radius", "43", "mm", "", ""]]
    radii += [["", "photo_moon_radius", "160", "px", "", ""]]
    fill("Owls", radii)
    assert "cannot be compared" in check(Desk("shadow_cone"), "earth_in_moons", 3.7)
    assert "cannot be compared" in Desk("shadow_cone").result()


def test_lengths_without_end_are_met_without_a_warning():
    change = {"north_south_distance": ["20000", "km"], "south_shadow_length": ["0", "mm"]}
    rows = [row for row in practice_rows() if row[1] not in change]
    fill("Owls", rows + [["", name, *cells, "", ""] for name, cells in change.items()])
    for lesson in SYLLABUS:
        assert "The biggest uncertainty comes from" in Desk(lesson).result()


def practice_heights():
    return (
        "north_gnomon_height",
        "north_shadow_length",
        "south_gnomon_height",
        "south_shadow_length",
    )


def test_other_practice_rows_take_the_place_of_the_usual_ones():
    rows = invented.practice_class([invented.Truth()], 3)
    rows = [replace(row, group="Lynx") for row in rows]
    assert "Lynx, an invented practice group" in ask(Desk("earth_size", practice=rows), "arc")


def test_what_is_said_is_plain_text_and_safe_in_a_browser():
    said = Said("<script>alert(1)</script>\nb & c")
    assert repr(said) == "<script>alert(1)</script>\nb & c"
    assert "<script>" not in said._repr_html_() and "&lt;script&gt;" in said._repr_html_()
    assert "&lt;b&gt;" in Desk("earth_size").choose("<b>")._repr_html_()


def test_a_notebook_runs_in_an_empty_folder_without_a_browser(folder, monkeypatch):
    monkeypatch.setenv("PYTHONPATH", os.pathsep.join(sys.path))
    cells = [
        'from moonreach.notebook.desk import Desk\ndesk = Desk("earth_size")\ndesk',
        "desk.form()",
        'desk.box("arc")',
        "desk.result()",
    ]
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(c) for c in cells])
    client = NotebookClient(notebook, timeout=60, resources={"metadata": {"path": str(folder)}})
    client.execute()
    texts = [cell.outputs[0].data["text/plain"] for cell in notebook.cells]
    assert texts[0].startswith("No group is chosen yet")
    assert "north gnomon height: 108.9 cm" in texts[1]
    assert exercises.find("arc").question in texts[2]
    assert "Earth's diameter (practice), in km: known to ±" in texts[3]
