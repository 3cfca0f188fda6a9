"""Circles laid on a photograph with the mouse, in JupyterLab and Chromium."""

import json

import numpy as np
import pytest
from lab_browser import (
    open_notebook,
    open_page,
    restart_kernel,
    run_all,
    write_notebook,
)
from PIL import Image

from moonreach.figures.overlay import HEIGHT, WIDTH, View
from moonreach.notebook.shipped import PICTURE, picture
from moonreach.photo import Circle
from moonreach.sheet import tables

pytestmark = pytest.mark.browser

WIDE, NARROW = 1280, 1024
GROUP = "Owls"
PATH = picture(PICTURE)
TRUTH = json.loads(PATH.with_suffix(".truth.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def overlays(lab):
    """Write a notebook that shows the photograph; return the folder of the groups' sheets."""
    with Image.open(PATH) as opened:  # no mark of a rendered picture: as a group's own photograph
        Image.fromarray(np.asarray(opened)).save(lab.folder / "ours.png")
    write_notebook(
        lab.folder / "overlay.ipynb",
        f"from moonreach.notebook.desk import Desk\ndesk = Desk('eclipse_timing', '{GROUP}')",
        "desk.photograph('ours.png')",
    )
    return lab.folder / "work"


def on_circle(name, degrees, view):
    """Return points of a true circle in px of the canvas; angles about the Moon's bright side."""
    circle, moon, shadow = (Circle(**TRUTH[each]) for each in (name, "moon", "shadow"))
    points = circle.at(shadow.towards(moon)[1] + np.radians(degrees))
    left, top = view.limits["xlim"][0], view.limits["ylim"][1]
    return (points - [left, top]) / view.scale


def canvas_of(page):
    """Return the canvas that takes the clicks, scrolled into sight."""
    page.wait_for_selector(".jupyter-matplotlib-canvas-container canvas")
    canvas = page.locator(".jupyter-matplotlib-canvas-container canvas").last
    canvas.scroll_into_view_if_needed()
    return canvas


def press(page, words):
    page.get_by_role("button", name=words).click()


def wait_for(page, words):
    page.locator(".widget-html").filter(has_text=words).first.wait_for(timeout=5000)


def mark(page, canvas, points):
    for x, y in points:
        canvas.click(position={"x": float(x), "y": float(y)})


def drag_there_and_back(page, canvas, place):
    """Take hold of a mark, move it and bring it back: the ratio changes, no mark is added."""
    box = canvas.bounding_box()
    x, y = box["x"] + place[0], box["y"] + place[1]
    ratio = page.locator(".widget-html").first
    before = ratio.inner_text()
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x - 40, y + 10, steps=8)
    page.wait_for_function("before => document.body.innerText.indexOf(before) < 0", arg=before)
    page.mouse.move(x, y, steps=8)
    page.mouse.up()
    wait_for(page, "Shadow's edge: 6 points")
    page.wait_for_function(  # the mark came back, to the pixel of a hand's click
        """before => {
            const ratio = text => Number(text.match(/Shadow ratio: ([0-9.]+)/)?.[1]);
            return Math.abs(ratio(document.body.innerText) - ratio(before)) < 0.15;
        }""",
        arg=before,
    )


def assert_whole(page, canvas):
    """The picture has a pixel of the screen for each of its own, and nothing of it is cut off."""
    box = canvas.bounding_box()
    assert (box["width"], box["height"]) == (WIDTH, HEIGHT)
    area = page.locator(".jp-OutputArea-output").filter(has=canvas).first.bounding_box()
    assert box["x"] + box["width"] <= area["x"] + area["width"]


def test_circles_by_mouse_reach_the_sheet(lab, browser, overlays):
    view = View(PATH)
    with open_page(browser, WIDE) as (page, watch):
        open_notebook(page, lab, "overlay.ipynb")
        assert run_all(page) == []
        canvas = canvas_of(page)
        assert_whole(page, canvas)
        page.set_viewport_size({"width": NARROW, "height": 800})
        canvas.scroll_into_view_if_needed()
        assert_whole(page, canvas)
        for number in range(3):
            press(page, "Moon's limb")
            mark(page, canvas, on_circle("moon", (-70, -20, 25, 75), view))
            wait_for(page, "Moon's limb: 4 points")
            press(page, "Shadow's edge")
            mark(page, canvas, on_circle("shadow", (-18, -11, -4, 4, 11, 18), view))
            wait_for(page, "Shadow's edge: 6 points")
            wait_for(page, "Shadow ratio: 2.")
            if number == 1:
                drag_there_and_back(page, canvas, on_circle("shadow", (18,), view)[0])
            press(page, "Keep this try")
            wait_for(page, f"Tries kept, {number + 1} of 3" if number < 2 else "All 3 tries")
        press(page, "Write to the sheet")
        wait_for(page, "Both radii written")
        restart_kernel(page)
        assert run_all(page) == []
        wait_for(page, "All 3 tries")  # another kernel, the same marks
        assert (watch.errors, watch.failed, watch.outside) == ([], [], [])
    found = {r.quantity: r for r in tables.read(overlays / f"{GROUP.lower()}.csv").readings}
    moon = found["photo_moon_radius"].value.value
    shadow = found["photo_shadow_radius"].value.value
    assert moon == pytest.approx(TRUTH["moon"]["radius"], abs=1.5)  # px: clicks arrive within 1
    assert shadow / moon == pytest.approx(TRUTH["shadow_ratio"], rel=0.1)
    assert len(found) == 2
