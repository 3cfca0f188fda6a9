"""A class's tablets in Chromium: they come in, open a lesson, type, and show what is there."""

import shutil
from contextlib import contextmanager
from tempfile import TemporaryDirectory

import pytest
from lesson_notebooks import answers
from page_browser import LIVE

from moonreach.notebook.desk import Desk

expect = pytest.importorskip("playwright.sync_api").expect

TABLET = (820, 1180)
PATIENCE = 120_000  # ms, for a machine that others use too


@contextmanager
def open_device(browser, size=TABLET):
    """Open an empty page on a device of its own."""
    width, height = size
    shape = {"viewport": {"width": width, "height": height}, "has_touch": size == TABLET}
    context = browser.new_context(**shape)
    page = context.new_page()
    page.set_default_timeout(PATIENCE)
    try:
        yield page
    finally:
        context.close()


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
        all_is_there(page)


def all_is_there(page):
    """Wait until a page has its first figure and the last of its cells, and is no wider than it."""
    page.locator(f"{LIVE} .noUi-handle").first.wait_for()
    page.get_by_placeholder("Your answer", exact=True).wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") <= TABLET[0]


def reading(page, number):
    """Return the box of a reading."""
    return page.get_by_placeholder("number", exact=True).nth(number)


def answer(page, number):
    """Return the box of an answer."""
    return page.get_by_placeholder("your answer", exact=True).nth(number)


def write(box, text):
    """Write into a box and leave it."""
    box.fill(text)
    box.press("Tab")


def has(box, text):
    """Wait until a box shows a text."""
    expect(box).to_have_value(text, timeout=PATIENCE)


def right_answers(folder, lesson, group):
    """Return the right answers to a lesson's exercises, as a group types them."""
    with TemporaryDirectory() as copy:
        shutil.copytree(folder / "work", copy, dirs_exist_ok=True)
        return [f"{value:.8g}" for _, value in answers(lesson, Desk(lesson, group, copy))]
