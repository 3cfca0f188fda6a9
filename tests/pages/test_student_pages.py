"""Pages of lessons in Chromium: what they do that no walk through a lesson meets."""

import json
import re
import time
from base64 import b64encode

import numpy as np
import pytest
from lab_browser import Watch, open_page
from lesson_notebooks import PATHS
from page_browser import LIVE, lay_lessons, open_lesson, start_pages
from PIL import Image

from moonreach.figures.overlay import WIDTH, View
from moonreach.notebook.shipped import PICTURE, picture
from moonreach.photo import Circle

pytestmark = pytest.mark.browser
expect = pytest.importorskip("playwright.sync_api").expect

SIZES = [(1366, 768), (820, 1180)]
TRUTH = json.loads(picture(PICTURE).with_suffix(".truth.json").read_text(encoding="utf-8"))
KERNEL = "JSON.parse(document.getElementById('jupyter-config-data').textContent).kernelId"
DROP = """data => {
    const bytes = Uint8Array.from(atob(data), letter => letter.charCodeAt(0));
    const dataTransfer = new DataTransfer();
    dataTransfer.items.add(new File([bytes], "ours.png", {type: "image/png"}));
    const drop = new DragEvent("drop", {dataTransfer, bubbles: true, cancelable: true});
    document.querySelector("h2").dispatchEvent(drop);
}"""

HIDDEN = """() => {
    Object.defineProperty(document, 'hidden', { get: () => true });
    document.dispatchEvent(new Event('visibilitychange'));
}"""


@pytest.fixture(scope="module")
def address(browser, tmp_path_factory):
    """Return the address of the lessons' page of contents."""
    folder = tmp_path_factory.mktemp("lessons")
    lay_lessons(folder)
    with start_pages(folder) as running:
        yield running


def test_a_closed_page_gives_its_kernel_back_and_a_page_without_one_says_so(address, browser):
    with open_page(browser) as (page, _):
        open_lesson(page, address, PATHS[0].name)
        kernel = page.evaluate(KERNEL)
        assert status(page, kernel) == 200 and page.locator("#asleep").is_hidden()
        cookie = "document.cookie.match('_xsrf=([^;]*)')[1]"
        page.evaluate(
            f"fetch('/voila/api/shutdown/{kernel}', "
            f"{{method: 'POST', headers: {{'X-XSRFToken': {cookie}}}}})"
        )
        wait_for_its_end(page, kernel)
        page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
        page.get_by_role("button", name="Wake it up").click()
        page.locator(LIVE).first.wait_for(timeout=60_000)
        awake = page.evaluate(KERNEL)
        assert awake != kernel
        page.goto(address)
        wait_for_its_end(page, awake)


def status(page, kernel):
    """Return what the server answers when it is asked for a kernel."""
    return page.evaluate(f"async () => (await fetch('/api/kernels/{kernel}')).status")


def wait_for_its_end(page, kernel):
    end = time.monotonic() + 30
    while status(page, kernel) != 404:
        assert time.monotonic() < end, "the kernel of a page that was left runs on"
        time.sleep(0.1)


def test_time_runs_and_stops_off_the_screen_and_in_a_hidden_tab(address, browser):
    with open_page(browser) as (page, watch):
        open_lesson(page, address, PATHS[1].name)
        page.get_by_role("button", name="Skip").click()
        run = page.locator(".motion").first
        figure = page.locator(LIVE).filter(has=run).first
        picture = figure.locator(".widget-image")
        for stop in ("window.scrollTo(0, 0)", HIDDEN):
            run.scroll_into_view_if_needed()
            before = picture.get_attribute("src")
            run.click()
            page.get_by_role("button", name="Stop").wait_for()
            moved = "([image, before]) => image.src !== before && image.naturalWidth === 800"
            page.wait_for_function(moved, arg=[picture.element_handle(), before])
            page.evaluate(stop)
            page.get_by_role("button", name="Run").wait_for()
        assert (watch.errors, watch.failed, watch.outside) == ([], [], [])


def test_a_page_opens_with_what_its_group_has_done_meanwhile(address, browser, tmp_path_factory):
    with open_page(browser) as (page, _):
        open_lesson(page, address, PATHS[0].name)
        name_the_group(page, "Night Owls")
        page.goto(address)
        page.get_by_text("Night Owls").wait_for()
        open_lesson(page, address, PATHS[3].name)  # its kernel was ready before the group was
        page.get_by_text("The sheet of Night Owls still lacks").first.wait_for()


def test_what_is_typed_moves_into_its_boxes_and_a_complaint_moves_nothing(address, browser):
    with open_page(browser, *SIZES[0]) as (page, watch):
        open_lesson(page, address, PATHS[0].name)
        name_the_group(page, "Tidy Owls")
        numbers = page.get_by_placeholder("number").filter(visible=True)
        units = page.locator(".widget-dropdown select")
        place = """boxes => boxes.map(box => {
            const {x, y} = box.getBoundingClientRect();
            return [x, y + scrollY];
        })"""
        places = at_rest(page, numbers, place)
        for number, typed in enumerate(("5 ft 3 in", "about a metre")):
            numbers.nth(number).fill(typed)
            numbers.nth(number).press("Tab")
        page.get_by_text("✗ Found “about a metre”").wait_for()
        assert "0.6\u00a0% of the arc" in page.inner_text("main")  # no line ends before a unit
        assert numbers.first.input_value() == "63"
        assert units.first.locator("option:checked").inner_text() == "inch"
        assert at_rest(page, numbers, place) == places
        numbers.first.focus()
        seen = [page.evaluate("document.activeElement.getBoundingClientRect().x")]
        for _ in range(5):
            page.keyboard.press("Tab")
            seen.append(page.evaluate("document.activeElement.getBoundingClientRect().x"))
        assert seen == sorted(set(seen))  # from left to right, to the last button of the line
        cut = """inputs => inputs.filter(box => {
            const pen = document.createElement("canvas").getContext("2d");
            pen.font = getComputedStyle(box).font;
            return pen.measureText(box.placeholder).width + 16 > box.clientWidth;
        }).map(box => box.placeholder)"""
        shown = page.locator("input[type=text]:visible").filter(visible=True)
        assert shown.evaluate_all(cut) == []
        fold = page.get_by_text("Only if you need them")
        others = page.locator(
            ".widget-vbox:has(> .widget-html b:text-is('Bearing of the road from north'))"
        )
        assert others.count() == 1 and others.is_hidden()  # folded, and open after a click
        fold.click()
        others.wait_for()
        fold.click()
        others.wait_for(state="hidden")
        page.get_by_role("button", name="repeat").first.click()
        page.get_by_text("2.", exact=True).wait_for()
        assert (watch.errors, watch.failed, watch.outside) == ([], [], [])


def test_readings_that_were_there_when_a_page_opened_answer_too(address, browser):
    with open_page(browser, *SIZES[0]) as (page, watch):
        open_lesson(page, address, PATHS[0].name)
        name_the_group(page, "Many Owls")
        numbers = page.get_by_placeholder("number").filter(visible=True)
        numbers.first.fill("100")
        numbers.first.press("Tab")
        page.get_by_role("button", name="repeat").first.click()
        page.get_by_text("2.", exact=True).wait_for()
        numbers.nth(1).fill("101")
        numbers.nth(1).press("Tab")
        page.get_by_text("1 of 5 readings").first.wait_for()
        open_lesson(page, address, PATHS[0].name)
        for number, text in enumerate(("100", "101")):
            expect(numbers.nth(number)).to_have_value(text, timeout=30_000)
        numbers.nth(1).fill("about a metre")
        numbers.nth(1).press("Tab")
        page.get_by_text("✗ Found “about a metre”").wait_for()
        page.get_by_role("button", name="×").filter(visible=True).nth(1).click()
        page.get_by_text("2.", exact=True).wait_for(state="hidden")
        assert (watch.errors, watch.failed, watch.outside) == ([], [], [])


def at_rest(page, shown, ask):
    """Return what a question finds in all that is shown, once it is the same at two looks."""
    shown.first.wait_for()
    before, found = None, shown.evaluate_all(ask)
    while not found or found != before:
        page.wait_for_timeout(200)
        before, found = found, shown.evaluate_all(ask)
    return found


def test_a_photograph_is_dragged_onto_the_page_and_marked_by_touch(address, browser, tmp_path):
    with Image.open(picture(PICTURE)) as opened:  # without the mark of a practice picture
        Image.fromarray(np.asarray(opened)).save(tmp_path / "ours.png")
    (tmp_path / "long.png").write_bytes(b"0" * 60_000_000)
    width, height = SIZES[1]
    context = browser.new_context(viewport={"width": width, "height": height}, has_touch=True)
    page, watch = context.new_page(), Watch()
    watch.follow(page)
    try:
        open_lesson(page, address, PATHS[1].name)
        name_the_group(page, "Photo Owls")
        with page.expect_file_chooser() as asked:
            page.locator(".own-photograph").click()
        asked.value.set_files(tmp_path / "long.png")
        page.get_by_text("✗ Not kept: long.png is larger than 40 MB").wait_for()
        data = b64encode((tmp_path / "ours.png").read_bytes()).decode()
        page.evaluate(DROP, data)
        page.locator("select").filter(has_text="ours.png").wait_for()
        told = page.locator(".widget-html")  # of the own picture: then it stands there
        told.filter(has_text=re.compile(r"^\s*Moon's limb: no points")).first.wait_for()
        canvas = page.locator(".jupyter-matplotlib-canvas-container canvas").last
        canvas.scroll_into_view_if_needed()
        box, view = canvas.bounding_box(), View(tmp_path / "ours.png")
        assert 0.9 * width < box["width"] < width and box["width"] * 3 == 4 * box["height"]
        moon = Circle(**TRUTH["moon"])
        left, top = view.limits["xlim"][0], view.limits["ylim"][1]
        scale = view.scale * WIDTH / box["width"]
        for x, y in (moon.at(np.radians((-60, 0, 60))) - [left, top]) / scale:
            canvas.tap(position={"x": float(x), "y": float(y)})
        page.get_by_text("Moon's limb: 3 points").wait_for()
        radius = float(re.search(r"radius ([0-9.]+) px", page.inner_text("main"))[1])
        assert radius == pytest.approx(moon.radius, abs=2)
        assert (watch.errors, watch.failed, watch.outside) == ([], [], [])
    finally:
        context.close()


def name_the_group(page, name):
    box = page.get_by_placeholder("your group's name")
    box.fill(name)
    box.press("Enter")
    page.get_by_text("Every change is kept").first.wait_for()
