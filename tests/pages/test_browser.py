"""A live figure in JupyterLab and Chromium, as a student meets it."""

import time

import pytest
from lab_browser import (
    handle_of,
    live_figures,
    open_notebook,
    open_page,
    picture_of,
    press,
    readout_of,
    run_all,
    write_notebook,
)

from moonreach.figures.shadow_cone import Cones

pytestmark = pytest.mark.browser

SHADOW = "Shadow ratio"


@pytest.fixture(scope="module")
def cones(lab):
    """Return the name of a notebook with one live figure."""
    write_notebook(
        lab.folder / "cones.ipynb",
        "from moonreach.figures.live import live\nfrom moonreach.figures.shadow_cone import Cones",
        "live(Cones())",
    )
    return "cones.ipynb"


def test_a_live_figure_moves_by_keyboard_and_asks_nobody_outside(lab, browser, cones):
    with open_page(browser) as (page, watch):
        open_notebook(page, lab, cones)
        assert run_all(page) == []
        figure = live_figures(page).first
        drawing = Cones()
        assert picture_of(page, figure) == drawing.jpeg()
        for width in (1024, 1280):
            page.set_viewport_size({"width": width, "height": 800})
            fits(page, figure)
        assert figure.locator(".widget-image").get_attribute("title") == Cones.alternative
        page.locator(".jp-RenderedMarkdown").filter(has_text="At new moon").wait_for()
        height = figure.bounding_box()["height"]
        for key in ("ArrowRight", "PageUp", "End", "Home"):
            press(page, figure, SHADOW, key)
        assert readout_of(figure, SHADOW) == "1.80"
        wait_for_picture(page, figure, drawing.jpeg(ratio=1.8))
        assert figure.bounding_box()["height"] == height
        press_many(page, figure, 25)
        value = float(readout_of(figure, SHADOW))
        assert 1.8 < value <= 2.05
        wait_for_picture(page, figure, drawing.jpeg(ratio=value))
        figure.get_by_text("Back to start").click()
        wait_for_picture(page, figure, drawing.jpeg())
        assert readout_of(figure, SHADOW) == "2.65"
        assert (watch.errors, watch.failed, watch.outside) == ([], [], [])


def fits(page, figure):
    """See that a figure keeps its shape and that its sliders end within the page."""
    picture = figure.locator(".widget-image").bounding_box()
    assert picture["width"] / picture["height"] == pytest.approx(800 / 450, rel=0.01)
    area = page.locator(".jp-OutputArea-output").filter(has=figure).first.bounding_box()
    for handle in figure.locator(".noUi-handle").all():
        box = handle.bounding_box()
        assert box["x"] + box["width"] <= area["x"] + area["width"]


def press_many(page, figure, count):
    """Hold a key down at 30 Hz, faster than pictures need to come."""
    handle_of(figure, SHADOW).focus()
    for _ in range(count):
        page.keyboard.press("ArrowRight")
        time.sleep(1 / 30)


def wait_for_picture(page, figure, wanted, patience=3):
    end = time.monotonic() + patience
    while picture_of(page, figure) != wanted:
        assert time.monotonic() < end, "the last picture does not belong to the last value"
        time.sleep(0.05)
