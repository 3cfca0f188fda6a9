"""A figure and a notebook in JupyterLab and Chromium, as a student meets them.

Lab is the second door: what all lessons do is tried on their pages (`test_unit_walk`).
"""

import re
import shutil
import time

import nbformat
import numpy as np
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
    settle,
    write_notebook,
)
from lesson_notebooks import PATHS, answers, fresh_desk, lesson_of, read
from page_browser import a_key_moves_the_picture

from moonreach.exercises import judge
from moonreach.exercises.checking import in_unit
from moonreach.figures.shadow_cone import Cones
from moonreach.notebook.half_moon import MADE_BY
from moonreach.notebook.practice_night import nights
from moonreach.notebook.saving import VIEW
from moonreach.notebook.syllabus import SYLLABUS

pytestmark = pytest.mark.browser

SHADOW = "Shadow ratio"
READING = "88.5"  # for what the lesson's form asks first
# It has all: sliders, answers, a night, a form, calls by a button.
PATH = next(path for path in PATHS if lesson_of(path) == "sun_distance")
_NOTEBOOK = "jupyterapp.shell.currentWidget"


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


def test_a_lesson_from_opening_it_to_a_right_answer(lab, browser, tmp_path):
    name = f"{PATH.stem}/{PATH.name}"
    (lab.folder / PATH.stem).mkdir()  # one of its own, as no group has sat there yet
    shutil.copy(PATH, lab.folder / name)
    with open_page(browser) as (page, watch):
        open_notebook(page, lab, name)
        assert run_all(page) == []
        page.get_by_role("button", name="Skip").click()
        figures = live_figures(page)
        figures.nth(1).wait_for()
        for number in range(figures.count()):
            a_key_moves_the_picture(page, figures.nth(number))
        answer_wrongly_and_rightly(page, tmp_path)
        choose_a_night(page, lab.folder / PATH.stem)
        fill_the_form(page, lab.folder / PATH.stem)
        call_half(page, lab.folder / PATH.stem)
        settle(page, "jupyterapp.commands.execute('docmanager:save')")
        saved = (lab.folder / name).read_text(encoding="utf-8")
        assert VIEW not in saved and "image/png" in saved
        assert "Traceback" not in (lab.folder / ".moonreach" / "lab.log").read_text("utf-8")
        assert (lab.folder / ".moonreach" / "runtime").is_dir()
        assert (watch.errors, watch.failed, watch.outside) == ([], [], [])


def test_without_a_kernel_the_stored_pictures_show(lab, browser):
    notebook = read(PATH)
    notebook.metadata = {}  # so that Lab asks for a kernel, and gets none
    (lab.folder / "to_read").mkdir(exist_ok=True)
    nbformat.write(notebook, lab.folder / "to_read" / PATH.name)
    with open_page(browser) as (page, watch):
        page.goto(lab.url(f"to_read/{PATH.name}"))
        dialog = page.locator(".jp-Dialog")
        dialog.get_by_role("button", name="No Kernel", exact=True).click()
        dialog.wait_for(state="detached")
        see_the_stored_pictures(page)
        assert page.evaluate(f"{_NOTEBOOK}.sessionContext.session === null")
        assert (watch.errors, watch.failed, watch.outside) == ([], [], [])


def see_the_stored_pictures(page):
    pictures = page.locator(".jp-OutputArea-output img")
    pictures.nth(1).wait_for()
    assert page.locator(".widget-image").count() == 0
    for picture in pictures.all():
        assert picture.evaluate("image => image.decode().then(() => image.naturalWidth)") > 500
    text = page.locator(".jp-Notebook").inner_text()
    assert "model not found" not in text.lower() and "To start:" in text


def answer_wrongly_and_rightly(page, tmp_path):
    desk = fresh_desk(lesson_of(PATH), tmp_path)
    exercise, right = next(answers(lesson_of(PATH), desk))
    typed = [(value, f"That is what you get if {made}")
             for value, made in slips(exercise, desk.readings(*exercise.needs))]  # fmt: skip
    for value, said in [*typed, (right, "✓ Right")]:
        box = page.get_by_placeholder("your answer").first
        box.fill(repr(value))
        box.press("Enter")
        page.get_by_text(said).first.wait_for()
        assert page.get_by_text(exercise.question).first.is_visible()


def slips(exercise, readings):
    """Return the first slip that is told from all others: its answer and what made it."""
    for slip in exercise.wrong_ways:
        value = float(np.ravel(in_unit(slip.value(readings), exercise.unit))[0])
        if judge(exercise, readings, repr(value)).slip == slip.name:
            return [(value, slip.made)]
    raise AssertionError(f"no slip of {exercise.key} is told from the others")


def choose_a_night(page, folder):
    menu = page.locator(".widget-dropdown").filter(has_text="Practice sky")
    menu.locator("select").select_option(nights()["2029-06-26"])
    told = page.get_by_text("an invented practice group under the real sky of 2029-06-26")
    told.first.wait_for()
    kept = folder / "work" / "practice_night.txt"
    wait_for(lambda: kept.exists() and kept.read_text(encoding="utf-8") == "2029-06-26\n")


def fill_the_form(page, folder):
    quantity = SYLLABUS[lesson_of(PATH)].measured[0]
    group = page.get_by_placeholder("your group's name")
    group.scroll_into_view_if_needed()
    group.fill("Night Owls")
    group.press("Enter")
    form = page.locator(".jp-OutputArea-output").filter(has=group)
    box = form.get_by_placeholder(re.compile("number|2029-06-26|22:41:30")).first
    box.fill(READING)
    box.press("Tab")
    sheet = folder / "work" / "night_owls.csv"
    wait_for(lambda: sheet.exists() and READING in sheet.read_text(encoding="utf-8"))
    rows = sheet.read_text(encoding="utf-8").splitlines()
    assert rows[-1].startswith(f"Night Owls,{quantity},{READING},")


def call_half(page, folder):
    button = page.get_by_role("button", name="Now it is half")
    sheet = folder / "work" / "night_owls.csv"
    for count in (1, 2):  # by keyboard alone
        button.press("Enter")
        page.get_by_text(f"{count}. {('growing', 'waning')[count - 1]} light").wait_for()
        wait_for(lambda count=count: sheet.read_text(encoding="utf-8").count(MADE_BY) == count)


def wait_for(condition, patience=10):
    end = time.monotonic() + patience
    while not condition():
        assert time.monotonic() < end, "nothing came within the time"
        time.sleep(0.05)
