"""Rendered photographs: the light that was asked for, the truth beside it, the mark upon it."""

import json
from datetime import datetime

import numpy as np
import pytest
from PIL import Image

from moonreach.photo import read_picture
from moonreach.photo.penumbra import sunlight
from moonreach.photo.picture import MARK, to_linear
from moonreach.photo.rendered import (
    Camera,
    Scene,
    invented_plains,
    offset_for,
    render,
    save_photograph,
    share_in_shadow,
)

CLEAN = Camera(exposure=0.9, noise=0.0, blur=0.3)


def test_light_follows_the_penumbra():
    # With no plains, the picture along the axis is the light curve, checked elsewhere against the
    # exact area of two discs.
    scene = Scene(2.7, 2.9, position_angle=-90.0, plains_depth=0.0, glow=0.0)  # shadow to the right
    picture, truth = render(scene, CLEAN, 100.0, (301, 301))
    row = to_linear(picture[150, :, 1] / 255)
    column = np.arange(70, 215, 12)
    distance = np.abs(truth["shadow"]["x"] - column) / 100
    expected = 0.9 * sunlight(distance, 2.7)
    assert np.allclose(row[column], expected, atol=0.09 * expected.max())
    assert np.median(np.abs(row[column] - expected)) < 0.01


def test_rotation_turns_face_and_shadow_alike():
    scene = Scene(position_angle=20.0)
    plain, _ = render(scene, CLEAN, 40.0, (121, 121))
    turned, truth = render(scene, CLEAN, 40.0, (121, 121), rotation=90.0)
    assert np.abs(np.rot90(plain, 1).astype(int) - turned).max() <= 2
    assert truth["rotation"] == 90.0


@pytest.mark.parametrize("share", [0.15, 0.5, 0.85])
def test_share_in_shadow_counted_on_the_grid(share):
    offset = offset_for(2.7, share)
    assert share_in_shadow(2.7, offset) == pytest.approx(share)
    line = (np.arange(1000) + 0.5) / 500 - 1
    x, y = np.meshgrid(line, line)
    disc = np.hypot(x, y) < 1
    assert (disc & (np.hypot(x - offset, y) < 2.7)).sum() / disc.sum() == pytest.approx(
        share, abs=2e-3
    )


def test_plains_are_as_dark_as_asked():
    line = np.linspace(-1, 1, 200)
    x, y = np.meshgrid(line, line)
    on = np.hypot(x, y) < 0.97
    ground = invented_plains(x[on], y[on], 5, 0.4)
    assert 0.5 < ground.min() < 0.75
    assert 0.1 < np.mean(ground < 0.85) < 0.75
    assert np.array_equal(ground, invented_plains(x[on], y[on], 5, 0.4))


def test_saved_with_its_truth_and_mark(tmp_path):
    when = datetime(2031, 5, 6, 22, 3, 4)
    side = save_photograph(tmp_path / "a.jpg", *render(Scene(), None, 30.0), when)
    truth = json.loads(side.read_text(encoding="utf-8"))
    assert truth["mark"] == MARK and truth["file"] == "a.jpg"
    assert truth["shadow"]["radius"] == pytest.approx(2.7 * 30)
    with Image.open(tmp_path / "a.jpg") as opened:
        exif = opened.getexif()
        assert exif[0x010E] == MARK
        stamps = exif[0x0132], exif.get_ifd(0x8769)[0x9003]
    assert stamps == ("2031:05:06 22:03:04",) * 2
    side.unlink()  # the mark alone tells
    assert read_picture(tmp_path / "a.jpg").rendered
