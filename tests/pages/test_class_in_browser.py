"""A class in Chromium at tablet size: lessons 1 and 5 with the wall beside them."""

import shutil
from contextlib import ExitStack
from tempfile import TemporaryDirectory

import pytest
from lesson_notebooks import answers
from page_browser import LIVE, lay_lessons, start_pages

from moonreach.notebook import class_room
from moonreach.notebook.desk import Desk
from moonreach.notebook.syllabus import SYLLABUS
from moonreach.practice.invented import Truth, practice_class
from moonreach.sheet.group_sheet import ROW, GroupSheet, Row
from moonreach.sheet.reading import row_of

expect = pytest.importorskip("playwright.sync_api").expect
pytestmark = pytest.mark.browser

TABLET, WALL = (820, 1180), (1366, 768)
FIRST, FIFTH = "01_earth_size.ipynb", "05_moon_distance.ipynb"
GROUP = "Night Owls"
PATIENCE = 120_000  # ms, for a machine that others use too


@pytest.fixture
def folder(tmp_path):
    """Return a folder of lessons for a class."""
    lay_lessons(tmp_path)
    return tmp_path


@pytest.fixture
def device(browser):
    """Return what opens one more device of a size, with an empty page."""
    with ExitStack() as open_devices:

        def another(size):
            width, height = size
            shape = {"viewport": {"width": width, "height": height}, "has_touch": size == TABLET}
            page = open_devices.enter_context(browser.new_context(**shape)).new_page()
            page.set_default_timeout(PATIENCE)
            return page

        yield another


def come_in(page, address, code, group):
    """Write the class code, and choose or found a group."""
    page.goto(address)
    page.fill("#code", code)
    page.get_by_role("button", name="Come in").click()
    page.get_by_text("start a new group").wait_for()
    known = page.get_by_role("button", name=group, exact=True)
    if known.count():
        known.click()
    else:
        page.fill("#new", group)
        page.get_by_role("button", name="Start").click()
    page.get_by_text("Your group").wait_for()


def open_at_once(pages, address, name):
    """Open a lesson on all these devices, and wait until all of it is there on each."""
    for page in pages:
        page.goto(address)
        page.locator(f'a[href$="{name}"]').click(no_wait_after=True)
    for page in pages:
        page.locator(f"{LIVE} .noUi-handle").first.wait_for()
        page.get_by_placeholder("Your answer", exact=True).wait_for()  # the last of its cells
        assert page.evaluate("document.documentElement.scrollWidth") <= TABLET[0]


def reading(page, number):
    return page.get_by_placeholder("number", exact=True).nth(number)


def answer(page, number):
    return page.get_by_placeholder("your answer", exact=True).nth(number)


def write(box, text):
    """Write into a box and leave it."""
    box.fill(text)
    box.press("Tab")


def has(box, text):
    """Wait until a box shows a text."""
    expect(box).to_have_value(text, timeout=PATIENCE)


def by_turns(boxes_of, pages, texts, shown):
    """Write the first half on one device of a group and the rest on the other; both show all."""
    half = len(texts) // 2
    for numbers, writer in ((range(half), 0), (range(half, len(texts)), 1)):
        for number in numbers:
            write(boxes_of(pages[writer], number), texts[number])
        for number in numbers:
            for page in pages:
                has(boxes_of(page, number), shown[number])


def measure(pages, cells):
    """Type lesson 1's readings on a group's two devices."""
    typed = [cells[name][0] for name in SYLLABUS["earth_size"].measured]
    texts = [f"{one['value']} {one['unit']}" for one in typed]
    by_turns(reading, pages, texts, [one["value"] for one in typed])


def answer_all(folder, lesson, pages):
    """Answer all of a lesson rightly on a group's two devices; both are told that it is right."""
    with TemporaryDirectory() as copy:
        shutil.copytree(folder / "work", copy, dirs_exist_ok=True)
        right = [f"{value:.8g}" for _, value in answers(lesson, Desk(lesson, GROUP, copy))]
    by_turns(answer, pages, right, right)
    for page in pages:
        expect(page.get_by_text("✓ Right")).to_have_count(len(right), timeout=PATIENCE)


def measure_the_rest(folder, group, cells):
    """Put what an invented group has read, and nobody has typed, into a group's sheet."""
    sheet = GroupSheet(folder / "work", group)
    for name in cells.keys() - {row.quantity for row in sheet.rows(cells)}:
        for each in cells[name]:
            sheet.store(Row(name, each))


def invented(seed):
    """Return the cells of an invented group's readings, a list for each quantity."""
    found = {}
    for _, name, *texts in map(row_of, practice_class([Truth()], seed)):
        found.setdefault(name, []).append(dict(zip(ROW, texts, strict=True)))
    return found


def test_three_tablets_go_through_lessons_1_and_5_with_the_wall_beside_them(folder, device):
    codes, cells = class_room.Codes(folder / ".moonreach"), invented(3)
    with start_pages(folder, in_class=True) as address:
        wall = device(WALL)
        wall.goto(f"{address}wall")
        wall.fill("#code", codes.teacher)
        wall.get_by_role("button", name="Come in").click()
        wall.get_by_text("No group yet").wait_for()
        *owls, heron = pages = [device(TABLET) for _ in range(3)]
        for page, group in zip(pages, (GROUP, GROUP, "Herons"), strict=True):
            come_in(page, address, codes.student, group)
        open_at_once(pages, address, FIRST)
        measure(owls, cells)
        wall.get_by_text("5/5 · 0/6").wait_for()
        write(reading(heron, 0), "1.234 m")
        wall.get_by_text("1/5 · 0/6").wait_for()
        answer_all(folder, "earth_size", owls)
        wall.get_by_text("5/5 · 6/6 ✓").wait_for()
        measure_the_rest(folder, GROUP, cells)
        measure_the_rest(folder, "Herons", invented(5))
        open_at_once(pages, address, FIFTH)
        answer_all(folder, "moon_distance", owls)
        for page in owls:
            page.get_by_text(f"The arrow marks {GROUP}").wait_for()
        wall.get_by_role("button", name="Show the class chart").click()
        for group in (GROUP, "Herons"):  # its letters are drawn; their text stands beside them
            named = "name => document.querySelector('#chart svg')?.innerHTML.includes(name)"
            wall.wait_for_function(named, arg=group)
        assert wall.evaluate("document.documentElement.scrollWidth") <= WALL[0]
