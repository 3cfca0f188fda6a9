"""Half Moon called on the rendered face: what a call is worth, and that it is kept."""

import numpy as np
import pytest
from astropy import units as u

from moonreach.figures.half_moon_face import HALF, STEP, STEPS, HalfMoonFace
from moonreach.lessons import sun_distance
from moonreach.notebook.desk import Desk
from moonreach.notebook.half_moon import MADE_BY, Call
from moonreach.sheet import tables
from moonreach.sheet.origin import Origin


@pytest.fixture(autouse=True)
def in_an_empty_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)


def call(moon, off=0.0):
    """Call half so many degrees past the true one; return the step at which that was."""
    drawing = moon.drawing
    step = round(drawing.hidden + off / STEP * (1 if drawing.waxing else -1))
    moon.handles["later"].value = step
    moon.call.click()
    return step


def test_at_true_half_just_half_of_the_disc_is_lit():
    face = HalfMoonFace()
    for waxing in (True, False):
        face.waxing = waxing
        lit = [
            (face.numbers(later=step)["face"] > 12).any(axis=-1).sum()
            for step in (0, face.hidden, STEPS)
        ]
        disc = np.isfinite(face.z).sum()
        assert lit[1] / disc == pytest.approx(0.5, abs=0.02)
        assert (lit[0] < lit[1] < lit[2]) == waxing
        assert face.elongation(face.hidden) == HALF
    # Today's elongation at half phase: arccos(384 400 / 149 597 870.7), IAU 2012 Resolution B2.
    assert pytest.approx(89.853, abs=0.001) == HALF


def test_a_call_says_how_far_off_it_was():
    # The mean Moon moves 360 deg against the Sun in 29.53 days: 1 deg in 1.97 hours.
    late = Call(HALF + 1, waxing=True)
    assert late.hours_late == pytest.approx(1.97, abs=0.01) and "too late" in str(late)
    assert "2.0 h too early" in str(Call(HALF + 1, waxing=False))


def test_each_try_begins_elsewhere_and_the_light_takes_turns():
    moon = Desk("sun_distance").half_moon()
    seen = []
    for _ in range(6):
        seen.append((moon.drawing.hidden, moon.drawing.waxing, moon.drawing.tilt))
        assert moon.handles["later"].value == 0
        call(moon)
    assert len({hidden for hidden, *_ in seen}) > 3 and len({tilt for *_, tilt in seen}) == 6
    assert [waxing for _, waxing, _ in seen] == [True, False] * 3


def test_several_calls_lead_to_a_least_distance():
    desk = Desk("sun_distance")
    moon = desk.half_moon()
    assert "press the button" in moon.as_text()
    for off in (-1.2, 0.6, 0.0, 0.9):
        call(moon, off)
    text = moon.as_text()
    assert text.count("you called half") == 4 and "Mean 90.0°" in text
    assert "at least" in text and "no upper limit" in text
    assert "Choose a group" in moon.said.value
    # What the cell said before it is run again is not lost.
    assert desk.half_moon().as_text() == text
    for _ in range(8):
        call(moon, 5.0)
    assert "lines to the Sun never meet" in moon.as_text() or "at least" in moon.as_text()


def test_calls_are_kept_in_the_groups_sheet_and_other_rows_stay():
    desk = Desk("sun_distance", "Owls")
    path = desk.sheet.path
    path.write_text(path.read_text(encoding="utf-8") + "Owls,half_moon_elongation,88.0,deg,,mine\n")
    moon = desk.half_moon()
    for off in (-0.6, 0.6):
        call(moon, off)
    assert f"Kept in {path}" in moon.said.value
    rows = [r for r in tables.read(path).readings if r.quantity == "half_moon_elongation"]
    assert [r.note.startswith(MADE_BY) for r in rows] == [False, True, True]
    # The rendered Moon is invented: what is called on it is no reading of the sky.
    assert [r.origin for r in rows] == [Origin.OWN, Origin.PRACTICE, Origin.PRACTICE]
    assert [r.value.value for r in rows][1:] == pytest.approx([HALF - 0.6, HALF + 0.6], abs=0.1)
    assert desk.readings().group == "Owls"
    assert "at least" in desk.result() or "known" in desk.result()


def test_the_form_shows_a_call_at_once():
    desk = Desk("sun_distance", "Owls")
    form, moon = desk.form(), desk.half_moon()
    call(moon)
    (line,) = [one for one in form.lines if one.row.quantity == "half_moon_elongation"]
    assert line.boxes["value"].value == f"{desk.half_moon_calls[0].elongation:.1f}"


def test_what_cannot_be_kept_is_said():
    desk = Desk("sun_distance", "Owls")
    moon = desk.half_moon()
    desk.sheet.path.write_text("no table at all", encoding="utf-8")
    call(moon)
    assert "Not kept" in moon.said.value and "you called half" in moon.as_text()
    assert desk.sheet.path.read_text(encoding="utf-8") == "no table at all"


def test_on_paper_it_is_a_picture_and_words():
    bundle, about = Desk("sun_distance").half_moon()._repr_mimebundle_()
    assert "press the button" in bundle["text/plain"] and len(bundle["image/png"]) > 5000
    assert about["image/png"]["alt"] == HalfMoonFace.alternative


def test_the_world_of_the_calls_is_the_real_one():
    assert float(sun_distance.distance_ratio(HALF * u.deg)) == pytest.approx(389.2)
