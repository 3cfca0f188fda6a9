"""The slider figure without a browser: pictures, merged steps, the way back."""

import asyncio
import io
from base64 import b64decode

import numpy as np
import pytest
from drawings import ALL
from PIL import Image

from moonreach.figures.live import LiveFigure, live
from moonreach.figures.shadow_cone import Cones
from moonreach.figures.sighting_angle import Rod


def test_live_shows_a_picture_where_nothing_is_live():
    figure = live(Cones())
    bundle, about = figure._repr_mimebundle_()
    with Image.open(io.BytesIO(b64decode(bundle["image/png"]))) as start:
        assert np.array_equal(np.asarray(start), np.asarray(Cones().pixels()))
    assert "application/vnd.jupyter.widget-view+json" in bundle
    assert bundle["text/plain"] == about["image/png"]["alt"] == Cones.alternative
    assert figure.picture.tooltip == Cones.alternative


def test_each_slider_carries_its_label_its_value_and_its_unit():
    figure = live(Rod())
    board = figure.children[1]
    for slider, row in zip(Rod.sliders, board.children[:-1], strict=True):
        handle, unit = row.children
        assert (handle.description, unit.value) == (slider.label, slider.unit)
        assert handle.readout and handle.value == pytest.approx(slider.start)
        assert f"{handle.value:{handle.readout_format}}"


def picture_of(figure):
    return figure.picture.value, figure.drawing.jpeg(**figure.values)


def test_a_moved_slider_moves_the_picture_and_the_button_puts_it_back():
    figure = live(Cones())
    start = figure.picture.value
    figure.handles["ratio"].value = 2.0
    now, wanted = picture_of(figure)
    assert now == wanted != start
    figure.children[1].children[-1].children[-1].click()
    assert figure.values == Cones().start() and figure.picture.value == start


def test_steps_that_wait_are_merged_and_the_last_picture_is_the_last_values(monkeypatch):
    drawn = []
    jpeg = Cones.jpeg
    monkeypatch.setattr(Cones, "jpeg", lambda self, **v: (drawn.append(v), jpeg(self, **v))[1])

    async def drag():
        figure = LiveFigure(Cones())
        drawn.clear()
        for step in range(50):
            figure.handles["ratio"].value = 2 + step / 100
        assert not drawn  # all of them wait
        await asyncio.sleep(0)
        assert [values["ratio"] for values in drawn] == [pytest.approx(2.49)]
        for step in range(3):  # steps that come in one after the other are each drawn
            figure.handles["ratio"].value = 2 + step / 100
            await asyncio.sleep(0)
        figure.handles["ratio"].value = 3
        figure.settle()
        assert len(drawn) == 5
        await asyncio.sleep(0)
        assert len(drawn) == 5  # settled: nothing is drawn twice
        return figure

    now, wanted = picture_of(asyncio.run(drag()))
    assert now == wanted


@pytest.mark.parametrize("drawing", [one for one in ALL if one.runs], ids=lambda one: one.__name__)
def test_time_runs_one_slider_from_its_place_to_its_end(drawing):
    figure = live(drawing())
    motion, _ = figure.children[1].children[-1].children
    handle = figure.handles[drawing.runs]
    (pressed, playing), (step, moved) = ((link.source, link.target) for link in motion.links)
    assert pressed == (motion.button, "value") and playing[1] == "playing" and step[1] == "value"
    assert moved == (handle, "value") and playing[0] is step[0]
    play = step[0]
    assert (play.value, play.min, play.max) == (handle.value, handle.min, handle.max)
    frames = (play.max - play.min) / play.step
    assert not play.repeat and play.interval <= 50 and 100 <= frames <= 360
    assert "Run" in motion.button.description
    motion.button.value = True
    assert "Stop" in motion.button.description


def test_the_moon_runs_through_the_shadow_and_the_sun_through_the_year():
    assert {one.__name__ for one in ALL if one.runs} >= {"MoonPath", "TwoGnomons"}
    assert len(live(Cones()).children[1].children[-1].children) == 1  # nothing runs there


@pytest.mark.parametrize("drawing", [one for one in ALL if one.flips], ids=lambda one: one.__name__)
def test_a_button_flips_between_two_views_and_back(drawing):
    figure = live(drawing())
    board = figure.children[1]
    assert len(board.children) == len(drawing.sliders)  # the views are no row of their own
    flip, _ = board.children[-1].children
    start = figure.picture.value
    flip.click()
    assert figure.values[drawing.flips] == 1 and figure.picture.value != start
    flip.click()
    assert figure.picture.value == start
