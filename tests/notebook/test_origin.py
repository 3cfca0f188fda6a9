"""Whose every value is: what a desk shows changes with the practice group only where it says so."""

import json
import re

import de421
import numpy as np
import pytest
from asked_in_words import ask, check, show
from astropy.time import Time
from jplephem.ephem import Ephemeris

from moonreach import exercises
from moonreach.exercises.checking import in_unit
from moonreach.notebook.desk import Desk
from moonreach.notebook.half_moon import Call
from moonreach.notebook.practice_night import practice_rows
from moonreach.notebook.shipped import PICTURE, picture
from moonreach.notebook.syllabus import SYLLABUS
from moonreach.photo import Circle
from moonreach.photo.clicks import TRIES, Circles
from moonreach.practice import invented
from moonreach.practice.further import further_rows
from moonreach.practice.real_night import sky_truth
from moonreach.sheet import tables
from moonreach.sheet.quantities import CONTACTS, ROD
from moonreach.sheet.reading import row_of

PATH = picture(PICTURE)
PICTURED = json.loads(PATH.with_suffix(".truth.json").read_text(encoding="utf-8"))
GNOMONS = tuple(
    f"{place}_{what}" for place in ("north", "south") for what in ("gnomon_height", "shadow_length")
)
CHAIN = (*GNOMONS, "north_south_distance", *CONTACTS, "path", *ROD, "hole_diameter")
SHEETS = {  # what the group's own sheet holds; without a group there is none
    "no group": None,
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


@pytest.fixture(params=SHEETS)
def work(request, tmp_path):
    """Return a work folder in which the group Owls has filled in a part of its sheet."""
    folder, filled = tmp_path / "work", SHEETS[request.param]
    if filled is not None:
        sheet = Desk("earth_size", "Owls", folder).sheet
        own = [row_of(row) for row in practice_rows() if row.quantity in filled]
        tables.write(sheet.path, [["Owls", *row[1:]] for row in own])
    return folder


def outputs(lesson, work, practice):
    """Yield the name and the text of everything that a lesson's desk shows of readings."""
    desk = Desk(lesson, work=work, practice=practice)
    if desk.sheet:  # what another desk's attempts settled must not be settled here
        (desk.sheet.path.with_suffix("") / "answers.json").unlink(missing_ok=True)
        desk.choose("Owls")
    yield "desk", repr(desk)
    yield "result", desk.result()
    yield "true distance", desk.true_distance().as_text()
    yield "form", desk.form().as_text()
    if lesson == "sun_distance":
        yield "half Moon", desk.half_moon().as_text()
    if lesson == "other_ways":
        yield "all ways", desk.all_ways().as_text()
    yield "readings", repr(desk.readings())
    asked = exercises.LESSONS[lesson]
    for exercise in asked:  # while no earlier answer is told
        yield f"ask {exercise.key} first", ask(desk, exercise.key)
    for exercise in asked:
        key = exercise.key
        right = in_unit(exercise.answer(desk.readings(*exercise.needs)), exercise.unit)
        for what, answer in (("none", ...), ("one", 123.4), ("other", 567.8), ("right", right)):
            yield f"check {key}, {what}", check(desk, key, answer)
        yield f"show {key}", show(desk, key)
        yield f"ask {key}", ask(desk, key)
    yield "result, all answered", desk.result()


@pytest.mark.parametrize("lesson", SYLLABUS)
def test_no_practice_value_goes_without_its_name(lesson, work):
    one, other = (list(outputs(lesson, work, rows)) for rows in MARKED)
    assert [name for name, _ in one] == [name for name, _ in other]
    for (name, text), (_, elsewhere) in zip(one, other, strict=True):
        others = elsewhere.splitlines()
        for line in [line for line in text.splitlines() if line not in others]:
            if line.startswith("Not yet"):  # which common mistake: a hint tells no value
                continue
            assert "practice" in line.lower(), (name, line)
            assert not re.search(r"\byours?\b", line, re.I), (name, line)


@pytest.mark.parametrize("group", [None, "Owls"])
def test_every_number_on_the_practice_picture_goes_by_its_name(group, tmp_path):
    """Circles, ratio, tries, and the machine's: all are of a picture that was rendered."""
    desk = Desk("eclipse_timing", group, tmp_path)
    overlay = desk.photograph().overlay
    moon, shadow = (Circle(**PICTURED[name]) for name in ("moon", "shadow"))
    texts = [overlay.as_text()]
    for _ in range(TRIES):
        for name, circle, turns in (("moon", moon, (-70, 0, 75)), ("shadow", shadow, (-12, 0, 13))):
            for x, y in circle.at(np.radians(turns)):
                overlay.clicks.take(name, x, y)
        texts.append(overlay.as_text())
        overlay.clicks.keep()
        texts.append(overlay.as_text())
    overlay.clicks.tries[1] = Circles(moon, Circle(shadow.x, shadow.y, 1.02 * shadow.radius))
    texts.append(repr(desk.photograph_by_machine(PATH)))  # a night of one picture: quick
    lines = [line for text in texts for line in text.splitlines() if re.search(r"\d", line)]
    assert len(lines) > 15
    for line in lines:
        assert "practice" in line.lower(), line
        assert not re.search(r"\byours?\b", line, re.I), line


def test_calls_of_half_go_by_the_practice_moon(tmp_path):
    desk = Desk("sun_distance", work=tmp_path)
    desk.half_moon_calls += [Call(89.0, True), Call(89.5, False)]
    *_, mean, sun = desk.half_moon().as_text().splitlines()
    assert "on this practice Moon" in mean and "on this practice Moon" in sun


@pytest.mark.parametrize("lesson", SYLLABUS)
def test_the_marks_are_seen(lesson, tmp_path):
    """The two practice groups differ in what every lesson shows."""
    one, other = (Desk(lesson, work=tmp_path, practice=rows).result() for rows in MARKED)
    assert one != other


def test_a_group_is_held_against_its_own_night_only(tmp_path):
    desk = Desk("moon_distance", "Owls", tmp_path, practice=MARKED[0])
    untold = desk.true_distance().as_text()
    assert "km" not in untold and "eclipse date" in untold and "is not known" in untold
    own = [row for row in MARKED[1] if row.quantity in (*CONTACTS, "eclipse_date")]
    tables.write(desk.sheet.path, [["Owls", *row_of(row)[1:]] for row in own])
    # JPL's DE421 (packages de421 and jplephem) at greatest eclipse, 20:22 UTC (from memory).
    moon = Ephemeris(de421).position("moon", Time("2018-07-27T20:22").tdb.jd)
    told = Desk("moon_distance", "Owls", tmp_path, practice=MARKED[0]).true_distance().as_text()
    km = float(re.search(r"Your night: (\d+ \d+) km", told)[1].replace(" ", ""))
    assert km == pytest.approx(np.linalg.norm(moon), rel=0.0005)
