"""Rendered photographs of real nights, and radii written into a group's sheet."""

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from moonreach import __main__ as cli
from moonreach.sheet import tables

SHIPPED = Path(__file__).parents[2] / "data" / "eclipse_photographs"


def own(folder):
    """A picture that does not say it is rendered stands in for a group's own photograph."""
    with Image.open(SHIPPED / "partial_1.jpg") as opened:
        Image.fromarray(np.asarray(opened)).save(folder / "ours.png")
    return folder / "ours.png"


def run(capsys, *words):
    code = cli.main([str(word) for word in words])
    captured = capsys.readouterr()
    return code, captured.out, captured.err


@pytest.fixture(scope="module")
def night(tmp_path_factory):
    folder = tmp_path_factory.mktemp("night")
    words = ["practice", "--eclipse", "2018-07-27", "--photos", "3", "--out", str(folder / "new")]
    assert cli.main(words) == 0
    return folder / "new"


def test_geometry_is_that_of_the_night(night):
    # NASA/GSFC: 2018 July 27, magnitude 1.6087 and gamma 0.1168 give x = 2.646; the Moon's
    # centre passed gamma / 0.2725 = 0.43 of its radii from the axis.
    truths = [json.loads(path.read_text(encoding="utf-8")) for path in night.glob("p*.json")]
    assert len(truths) == 3
    for truth in truths:
        assert truth["shadow_ratio"] == pytest.approx(2.646, abs=0.003)
        assert "invented plains" in truth["mark"]
        assert 0.15 < truth["in_shadow"] < 0.85
        moon, shadow = truth["moon"], truth["shadow"]
        apart = np.hypot(shadow["x"] - moon["x"], shadow["y"] - moon["y"]) / moon["radius"]
        assert apart == pytest.approx(truth["scene"]["offset"])
        # Between the contacts (NASA/GSFC: U1 18:24:27, U2 19:30:15, U3 21:13:12, U4 22:19:00).
        clock = truth["time"][11:19]
        assert "18:24:00" < clock < "19:30:20" or "21:13:00" < clock < "22:19:10"


def test_shadow_comes_from_the_left_and_leaves_to_the_right(night):
    # North up, the Moon moves east, which is left: it meets the shadow with its left limb.
    first, last = (
        json.loads((night / f"partial_{number}.truth.json").read_text(encoding="utf-8"))
        for number in (1, 3)
    )
    assert first["shadow"]["x"] < first["moon"]["x"]
    assert last["shadow"]["x"] > last["moon"]["x"]


def test_nothing_is_overwritten(night, capsys):
    words = ("practice", "--eclipse", "2018-07-27", "--photos", 3, "--out", night)
    before = (night / "partial_1.jpg").read_bytes()
    code, _, err = run(capsys, *words, "--seed", 1)
    assert code == 2
    assert "nothing was written" in err
    assert (night / "partial_1.jpg").read_bytes() == before


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--photos", 3), "needs --eclipse"),
        (("--photos", 3, "--eclipse", "2021-11-19"), "is partial"),
        (("--photos", 0, "--eclipse", "2018-07-27"), "1 to 20"),
        (("--photos", 3, "--eclipse", "2018-07-20"), "nearest"),
    ],
)
def test_bad_words_are_one_sentence(capsys, tmp_path, words, says):
    code, _, err = run(capsys, "practice", "--out", tmp_path / "new", *words)
    assert code == 2
    assert says in err


def test_radii_go_into_the_sheet_and_are_replaced(capsys, tmp_path):
    sheet = tmp_path / "class.csv"
    sheet.write_text("group,quantity,value,unit\nFoxes,disc_diameter,14,mm\n", encoding="utf-8")
    picture = own(tmp_path)
    for _ in range(2):
        code, _, err = run(capsys, "photo", picture, "--group", "Owls", "--sheet", sheet)
        assert (code, "written for Owls" in err) == (1, True)  # doubted: no camera data in it
    found = tables.read(sheet)
    assert found.problems == []
    assert len(found.readings) == 3
    shadow, moon = found.groups()["Owls"]
    truth = json.loads((SHIPPED / "partial_1.truth.json").read_text(encoding="utf-8"))
    assert moon.value.value == pytest.approx(truth["moon"]["radius"], rel=0.01)
    off = abs(shadow.value.value - truth["shadow"]["radius"])
    assert off < 3 * shadow.uncertainty.value


def test_radii_by_hand_are_not_mixed_with_the_machines(capsys, tmp_path):
    sheet = tmp_path / "class.csv"
    by_hand = "group,quantity,value,unit\nOwls,photo_moon_radius,150,px\n"
    sheet.write_text(by_hand, encoding="utf-8")
    code, _, err = run(capsys, "photo", own(tmp_path), "--group", "Owls", "--sheet", sheet)
    assert code == 2
    assert "take them out first" in err
    assert sheet.read_text(encoding="utf-8").splitlines()[1:] == by_hand.splitlines()[1:]


def test_group_without_a_sheet(capsys):
    code, _, err = run(capsys, "photo", SHIPPED / "partial_1.jpg", "--group", "Owls")
    assert code == 2
    assert "go together" in err


def test_a_practice_picture_never_enters_a_sheet(capsys, tmp_path):
    sheet = tmp_path / "class.csv"
    sheet.write_text("group,quantity,value,unit\nOwls,disc_diameter,14,mm\n", encoding="utf-8")
    before = sheet.read_bytes()
    words = ("photo", SHIPPED / "partial_1.jpg", "--group", "Owls", "--sheet", sheet)
    code, _, err = run(capsys, *words)
    assert code == 2
    assert "never enter a group's sheet" in err
    assert sheet.read_bytes() == before
