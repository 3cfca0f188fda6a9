"""A tablet loads again, its laptop sleeps, its server is killed: all that was kept is there."""

import re
import time
from contextlib import contextmanager
from functools import partial
from urllib.parse import urlsplit

import pytest
from class_browser import (
    all_is_there,
    answer,
    come_in,
    has,
    open_at_once,
    open_device,
    reading,
    right_answers,
    write,
)
from page_browser import LIVE, a_key_moves_the_picture, lay_lessons, server_of, start_pages

from moonreach.exercises import LESSONS
from moonreach.exercises.attempts import Answers
from moonreach.notebook import class_room
from moonreach.notebook.syllabus import SYLLABUS
from moonreach.sheet.group_sheet import GroupSheet

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    """Return a folder of lessons that is served to a class, and the address."""
    folder = tmp_path_factory.mktemp("lessons")
    lay_lessons(folder)
    with start_pages(folder, in_class=True) as address:
        yield folder, address


@pytest.fixture
def page(browser):
    """Return an empty page on a tablet."""
    with open_device(browser) as tablet:
        yield tablet


def begin(page, folder, address, group):
    """Come in as a new group, open lesson 1, and measure."""
    come_in(page, address, class_room.Codes(folder / ".moonreach").student, group)
    open_at_once([page], address, "01_earth_size.ipynb")
    keep(page, 0, "99.5")


class Wire:
    """A page's connection to its server: it can lose what goes each way, and it can break."""

    def __init__(self, page, path="/channels"):
        self.lost, self.sockets = set(), []
        page.route_web_socket(re.compile(path), self._join)

    def _join(self, socket):
        server = socket.connect_to_server()
        socket.on_message(lambda sent: "to the server" in self.lost or server.send(sent))
        server.on_message(lambda sent: "to the page" in self.lost or socket.send(sent))
        self.sockets.append(socket)

    def breaks(self):
        """Close it; the next one is whole."""
        self.lost.clear()
        self.sockets[-1].close()


def keep(page, number, text):
    """Type a reading, and wait until the page says that it is kept."""
    write(reading(page, number), text)
    page.get_by_text(f"{number + 1} of 5 readings").first.wait_for()


def all_is_kept(folder, page, group, readings, answered=()):
    """Look for what a page has shown as kept: on the page as it is now, and in the files."""
    for number, text in enumerate(readings):
        has(reading(page, number), text)
    for number, text in enumerate(answered):
        has(answer(page, number), text)
    sheet = GroupSheet(folder / "work", group)
    # What was typed while the server slept may arrive and be counted first.
    assert soon(page, partial(in_sheet, sheet), readings) == readings
    kept = Answers(sheet.path.with_suffix("") / "answers.json")
    for exercise, text in zip(LESSONS["earth_size"], answered, strict=False):
        assert kept.typed(exercise.key)[-1] == text


def in_sheet(sheet):
    """Return a group's readings of the lesson as they stand in its file."""
    return [row.cells["value"] for row in sheet.rows(SYLLABUS["earth_size"].measured)]


def soon(page, look, wanted):
    """Return what a look finds, once that is as wanted or some seconds have gone by.

    It is the page that waits: what it sends goes through this process where a test routes it.
    """
    end = time.monotonic() + 10
    while (found := look()) != wanted and time.monotonic() < end:
        page.wait_for_timeout(50)
    return found


def test_a_page_that_loads_again_has_its_figures_and_all_that_was_kept(served, page):
    folder, address = served
    begin(page, folder, address, "Owls")
    right = right_answers(folder, "earth_size", "Owls")[:1]
    write(answer(page, 0), right[0])
    page.get_by_text("✓ Right").wait_for()
    page.reload()
    all_is_there(page)
    a_key_moves_the_picture(page, page.locator(LIVE).first)
    all_is_kept(folder, page, "Owls", ["99.5"], right)


def test_a_page_goes_on_by_itself_when_its_laptop_has_slept(served, page):
    folder, address = served
    wire, silent = Wire(page), page.get_by_text("The server does not answer")
    begin(page, folder, address, "Herons")
    with asleep(server_of(folder)):
        wire.breaks()  # as after some minutes
        write(reading(page, 1), "77.5")
        silent.wait_for()
    silent.wait_for(state="hidden")
    has(reading(page, 0), "99.5")
    keep(page, 1, "66.5")
    all_is_kept(folder, page, "Herons", ["99.5", "66.5"])


@pytest.mark.parametrize("lost", ["to the server", "to the page"])
def test_what_a_broken_connection_lost_is_typed_again(served, page, lost):
    folder, address = served
    group, wire = f"Swans {lost}", Wire(page)
    begin(page, folder, address, group)
    wire.lost = {lost}
    write(reading(page, 1), "77.5")
    if lost == "to the page":
        found = partial(in_sheet, GroupSheet(folder / "work", group))
        assert soon(page, found, ["99.5", "77.5"]) == ["99.5", "77.5"]
    reading(page, 2).fill("120")  # and is still in that box
    page.wait_for_timeout(300)
    wire.breaks()
    page.get_by_text("3 of 5 readings").first.wait_for()
    all_is_kept(folder, page, group, ["99.5", "77.5", "120"])
    write(reading(page, 1), "66.5")  # the box still speaks
    all_is_kept(folder, page, group, ["99.5", "66.5", "120"])
    assert not page.locator("#lost").is_visible()


def test_what_another_device_wrote_during_a_break_stays(served, page, browser):
    folder, address = served
    wire = Wire(page)
    begin(page, folder, address, "Geese")
    with open_device(browser) as other:
        come_in(other, address, class_room.Codes(folder / ".moonreach").student, "Geese")
        open_at_once([other], address, "01_earth_size.ipynb")
        wire.lost = {"to the server", "to the page"}
        write(reading(page, 1), "77.5")
        keep(other, 1, "66.5")
    wire.breaks()
    page.get_by_text("This was not kept: “77.5” (north shadow length").wait_for()
    all_is_kept(folder, page, "Geese", ["99.5", "66.5"])


def test_a_page_whose_connection_breaks_while_it_opens_loads_again(served, page):
    folder, address = served
    wire = Wire(page, "/execution/")  # which tells what the cells have shown
    come_in(page, address, class_room.Codes(folder / ".moonreach").student, "Cranes")
    wire.lost = {"to the page"}
    page.locator('a[href$="01_earth_size.ipynb"]').click(no_wait_after=True)
    soon(page, lambda: bool(wire.sockets), True)
    wire.breaks()
    all_is_there(page)
    keep(page, 0, "99.5")


@contextmanager
def asleep(server):
    """Stop a server and its kernels, as a laptop's sleep does."""
    whole = [server, *server.children(recursive=True)]
    for process in whole:
        process.suspend()
    try:
        yield
    finally:
        for process in whole:
            process.resume()


def test_a_page_whose_server_was_killed_says_what_to_press(served, page):
    folder, address = served
    begin(page, folder, address, "Ducks")
    server_of(folder).kill()
    page.get_by_text("The server does not answer").wait_for()
    write(reading(page, 1), "77.5")
    with start_pages(folder, in_class=True, port=urlsplit(address).port):
        page.get_by_role("button", name="Wake it up").click()
        all_is_kept(folder, page, "Ducks", ["99.5", "77.5"])
        keep(page, 2, "66.5")
        all_is_kept(folder, page, "Ducks", ["99.5", "77.5", "66.5"])
        # What a group has typed into nothing goes to no other one that comes in on its tablet.
        server_of(folder).kill()
        page.get_by_text("The server does not answer").wait_for()
        write(reading(page, 3), "120")
    with start_pages(folder, in_class=True, port=urlsplit(address).port):
        page.goto(address + "group")
        page.fill("#new", "Terns")
        page.get_by_role("button", name="Start").click()
        open_at_once([page], address, "01_earth_size.ipynb")
        page.wait_for_timeout(3000)
        assert [reading(page, number).input_value() for number in range(4)] == [""] * 4
