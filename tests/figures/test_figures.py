"""Every drawing at every end of its sliders: it moves, it reads well, it is drawn right."""

import io
import subprocess
import sys
from itertools import combinations

import matplotlib
import numpy as np
import pytest
from astropy import units as u
from drawings import ALL, corners, ends, shown
from PIL import Image

from moonreach.figures import style
from moonreach.figures.drawing import Drawing, Slider
from moonreach.figures.eclipse_timing import MoonPath
from moonreach.figures.shadow_cone import Cones
from moonreach.lessons import earth_size

COMMON = np.asarray(Cones().pixels())


@pytest.fixture(scope="module", params=ALL, ids=lambda drawing: drawing.__name__)
def drawing(request):
    return request.param()


def test_moves_at_every_end_of_every_slider(drawing):
    start = np.asarray(drawing.pixels())
    assert start.shape == (450, 800, 3) and start.std() > 10
    for slider in drawing.sliders:
        assert slider.least <= slider.start <= slider.greatest
        for value in ends(slider):
            picture = np.asarray(drawing.pixels(**{slider.name: value}))
            assert not drawing._refusal.get_visible(), drawing._refusal.get_text()
            assert (picture != start).any() == (value != slider.start), (slider.name, value)


def test_moves_at_every_pair_of_ends(drawing):
    for one, other in combinations(drawing.sliders, 2):
        for value in (one.least, one.greatest):
            for second in (other.least, other.greatest):
                drawing.set(**{one.name: value, other.name: second})
                assert not drawing._refusal.get_visible(), drawing._refusal.get_text()
                for line in (line for axes in drawing.figure.axes for line in axes.lines):
                    assert np.isfinite(line.get_xydata()).any(), (one, other)


def test_moving_only_what_moves_gives_the_picture_drawn_anew(drawing, tmp_path):
    for values in ({}, *corners(drawing)):
        drawing.save(tmp_path / "anew.png", **values)
        with Image.open(tmp_path / "anew.png") as anew:
            moved = drawing.pixels(**values)
            assert np.array_equal(np.asarray(anew.convert("RGB")), np.asarray(moved)), values


def test_words_are_large_enough_inside_the_picture_and_clear_of_each_other(drawing):
    texts = [text for axes in drawing.figure.axes for text in axes.texts] + drawing.figure.texts
    single = ({s.name: v} for s in drawing.sliders for v in ends(s))
    for values in ({}, *single, *corners(drawing)):
        drawing.pixels(**values)
        renderer = drawing.canvas.get_renderer()
        boxes = []
        with style.look():
            for text in texts:
                if text.get_text() and text.get_visible():
                    assert text.get_fontsize() >= 9, text
                    boxes.append((text, text.get_window_extent(renderer)))
        for text, box in boxes:
            inside = box.x0 >= 0 and box.x1 <= 800 and box.y0 >= 0 and box.y1 <= 450
            assert inside, (values, text, box)
        for (text, box), (other, other_box) in combinations(boxes, 2):
            assert not box.padded(-2).overlaps(other_box.padded(-1)), (values, text, other)


def test_says_what_it_shows(drawing):
    assert drawing.title and drawing.caption.endswith((".", ".)")) and len(drawing.alternative) > 60
    for slider in drawing.sliders:
        ends = np.array([slider.least, slider.start])
        steps = np.ptp(np.log10(ends) if slider.log else ends) / slider.step
        assert abs(steps - round(steps)) < 1e-6, f"{slider.name} cannot come back to its start"
        assert len(slider.label) <= 26, slider.label
    assert len({slider.name for slider in drawing.sliders}) == len(drawing.sliders)


def test_every_part_is_fed(drawing):
    assert drawing.feeds.keys() <= drawing.numbers().keys()
    # What has the name of an attribute stands still, so no value that moves may have it.
    assert not [name for name in drawing.numbers() if hasattr(drawing, name)]


def test_what_stands_still_lies_in_its_pane(drawing):
    for axes in drawing.figure.axes:
        still = [line.get_xydata() for line in axes.lines if not line.get_animated()]
        low, high = np.transpose([axes.get_xlim(), axes.get_ylim()])
        for points in still:
            assert np.allclose(points, np.clip(points, low, high), equal_nan=True)


@pytest.mark.parametrize("ending", ["png", "svg", "pdf"])
def test_saves_for_slides(tmp_path, ending):
    path = tmp_path / f"cones.{ending}"
    Cones().save(path, sun=19)
    assert path.stat().st_size > 5000
    if ending == "svg":
        assert "it narrows by" in path.read_text(encoding="utf-8")


def test_a_drawing_needs_no_notebook_and_no_window():
    code = (
        "import sys; from moonreach.figures.shadow_cone import Cones; Cones().png();"
        "print([m for m in ('ipywidgets', 'matplotlib.pyplot') if m in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def test_the_house_style_leaves_the_users_own_figures_alone():
    with matplotlib.rc_context({"font.size": 20, "lines.linewidth": 9}):
        before = dict(matplotlib.rcParams)
        assert np.array_equal(np.asarray(Cones().pixels()), COMMON)
        assert dict(matplotlib.rcParams) == before


def test_an_unknown_slider_is_named():
    with pytest.raises(TypeError, match="Cones has no slider season; it has sun, ratio, discs"):
        Cones().set(season=3)


class Refusing(Drawing):
    """A drawing whose lesson refuses."""

    sliders = (Slider("arc", "Arc", -1, 1, 1, 0.1),)

    def work_out(self, arc):
        """Ask for the Earth."""
        return {"found": earth_size.circumference(arc * u.deg, 100 * u.km)}


def test_a_refusal_is_said_in_the_picture_and_goes_again():
    drawing = Refusing()
    clear = np.asarray(drawing.pixels())
    refused = np.asarray(drawing.pixels(arc=-1))
    assert "the arc must be greater than zero" in shown(drawing, arc=-1)
    assert (refused != clear).any()
    assert np.array_equal(np.asarray(drawing.pixels(arc=1)), clear)


def test_a_picture_without_numbers_has_none_at_its_axes_and_keeps_the_names():
    drawing = MoonPath()
    ticks, name = (60, 405, 540, 416), (100, 80, 190, 100)  # below the axis; U1 above the Moon
    with Image.open(io.BytesIO(drawing.without_numbers(ticks, offset=0.3))) as picture:
        assert picture.size == (480, 11) and np.ptp(np.asarray(picture)) == 0
    with Image.open(io.BytesIO(drawing.without_numbers(name, offset=0.3))) as picture:
        assert np.array_equal(picture, drawing.pixels().crop(name)) and np.ptp(picture) > 100
    assert np.ptp(np.asarray(drawing.pixels().crop(ticks))) > 100  # they are back
