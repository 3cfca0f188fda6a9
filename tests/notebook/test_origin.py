"""Whose every value is: what a desk shows changes with the practice group only where it says so."""

import re

import numpy as np
import pytest

from moonreach import exercises
from moonreach.notebook.desk import Desk
from moonreach.notebook.practice_night import practice_rows
from moonreach.notebook.syllabus import SYLLABUS
from moonreach.practice import invented
from moonreach.practice.further import further_rows
from moonreach.practice.real_night import sky_truth
from moonreach.sheet import tables
from moonreach.sheet.quantities import CONTACTS, GNOMONS, ROD
from moonreach.sheet.reading import row_of

CHAIN = (*GNOMONS, "north_south_distance", *CONTACTS, "path", *ROD, "hole_diameter")
SHEETS = {  # what the group's own sheet holds
    "empty": (),
    "only the rod": (*ROD, "hole_diameter"),
    "only Earth": (*GNOMONS, "north_south_distance"),
    "no altitude": CHAIN,
    "no night": (*CHAIN, "moon_altitude"),
}


def marked(night, seed):
    """Return the rows of a practice group whose every measured value marks the group."""
    name, random = invented.group_name(0), np.random.default_rng(seed)
    rows = invented.group_rows(name, sky_truth(night), invented.Hands(), random)
    return rows + further_rows(name, np.random.default_rng([seed, seed]))


# Two groups that agree in no measured number: what differs between their desks is practice.
MARKED = marked("2029-06-26", 101), marked("2018-07-27", 202)


@pytest.fixture(params=["only the rod"])
def work(request, tmp_path):
    """Return a work folder in which the group Owls has filled in a part of its sheet."""
    folder = tmp_path / "work"
    sheet = Desk("earth_size", "Owls", folder).sheet
    own = [row_of(row) for row in practice_rows() if row.quantity in SHEETS[request.param]]
    tables.write(sheet.path, [["Owls", *row[1:]] for row in own])
    return folder


def outputs(lesson, work, practice, capsys):
    """Yield the name and the text of everything that a lesson's desk shows."""
    desk = Desk(lesson, work=work, practice=practice)
    (desk.sheet.path.with_suffix("") / "answers.json").unlink(missing_ok=True)
    desk = Desk(lesson, work=work, practice=practice)
    yield "desk", repr(desk)
    yield "result", desk.result()
    yield "true distance", desk.true_distance()
    yield "form", desk.form().as_text()
    if lesson == "eclipse_timing":
        yield "photograph", desk.photograph().as_text()
        yield "by machine", repr(desk.photograph_by_machine())
    if lesson == "sun_distance":
        yield "half Moon", desk.half_moon().as_text()
    if lesson == "other_ways":
        yield "all ways", repr(desk.all_ways())
    yield "readings", repr(desk.readings())
    for quantity in SYLLABUS[lesson].measured:
        capsys.readouterr()
        value = desk.value(quantity)
        yield f"value {quantity}", f"{capsys.readouterr().out.strip()} {value}"
    for key in (exercise.key for exercise in exercises.LESSONS[lesson]):
        yield f"ask {key}", desk.ask(key)
        for answer in (..., 123.4, 567.8):
            yield f"check {key}, {answer}", desk.check(key, answer)
        yield f"show {key}", desk.show(key)
    yield "result, all answered", desk.result()


@pytest.mark.parametrize("lesson", SYLLABUS)
def test_no_practice_value_goes_without_its_name(lesson, work, capsys):
    one, other = (list(outputs(lesson, work, rows, capsys)) for rows in MARKED)
    assert [name for name, _ in one] == [name for name, _ in other]
    for (name, text), (_, elsewhere) in zip(one, other, strict=True):
        lines, others = text.splitlines(), elsewhere.splitlines()
        if name == "readings" and "practice" in lines[0]:  # a list under one heading
            continue
        for line in [line for line in lines if line not in others]:
            if name.startswith("check") and line.startswith("Not yet"):  # tells no value
                assert "practice" in text.lower(), (name, text)
                continue
            assert "practice" in line.lower(), (name, line)
            assert not re.search(r"\byours?\b", line, re.I), (name, line)


@pytest.mark.parametrize("lesson", SYLLABUS)
def test_the_marks_are_seen(lesson, tmp_path):
    """The two practice groups differ in what every lesson shows."""
    one, other = (Desk(lesson, work=tmp_path, practice=rows).result() for rows in MARKED)
    assert one != other


def test_a_group_is_held_against_its_own_night_only(tmp_path):
    desk = Desk("moon_distance", "Owls", tmp_path, practice=MARKED[0])
    untold = desk.true_distance()
    assert "km" not in untold and "eclipse date" in untold and "is not told" in untold
    own = [row for row in MARKED[1] if row.quantity in (*CONTACTS, "eclipse_date")]
    tables.write(desk.sheet.path, [["Owls", *row_of(row)[1:]] for row in own])
    # NASA/GSFC, F. Espenak: on 2018-07-27 the Moon's horizontal parallax was 53'55" (from memory
    # 53.9'), so its distance 1 / sin of that in equatorial radii of 6378.137 km.
    told = Desk("moon_distance", "Owls", tmp_path, practice=MARKED[0]).true_distance()
    km = float(re.search(r"Your night: (\d+ \d+) km", told)[1].replace(" ", ""))
    assert km == pytest.approx(6378.137 / np.sin(np.radians(53.9 / 60)), rel=0.003)
