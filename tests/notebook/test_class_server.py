"""A class's server: which pages rest, short memory, being told to end, and a page that is left."""

import asyncio
import re
import signal
import subprocess
import sys
from contextlib import contextmanager
from pathlib import Path

import psutil
import pytest
from page_browser import Device, lay_lessons
from page_client import Page
from tornado.httpclient import AsyncHTTPClient

from moonreach.exercises.attempts import Answers
from moonreach.notebook import class_room, forked, lab, lesson_page


@pytest.fixture(scope="module")
def open_class(tmp_path_factory):
    """Return a class's folder, server and address; it takes its time, and memory when told."""
    folder = tmp_path_factory.mktemp("class")
    lay_lessons(folder)
    with served(PATIENT + SHORT, folder) as (server, address):
        yield folder, server, address


def test_of_many_open_pages_of_a_group_those_that_rested_longest_fall_asleep(open_class):
    folder, _, address = open_class
    owls, herons = (come_in(folder, address, group) for group in ("Owls", "Herons"))
    other = open_page(herons)
    opened = [open_page(owls) for _ in range(lesson_page.EACH + 3)]
    alive = [owls.ask(f"api/kernels/{kernel}")[0] == 200 for kernel in opened]
    assert alive == [False] * 3 + [True] * lesson_page.EACH
    assert herons.ask(f"api/kernels/{other}")[0] == 200  # no page of another group


def test_a_page_that_is_used_is_the_last_to_fall_asleep(monkeypatch):
    monkeypatch.setattr(lesson_page.Shown, "pages", dict.fromkeys("abc"))
    for used in ("b", "a", "gone"):
        lesson_page.Shown.used(used)
    assert [*lesson_page.Shown.pages] == ["c", "b", "a"]


def come_in(folder, address, group):
    """Return a device that works for a new group."""
    device = Device(address)
    device.ask("login", code=class_room.Codes(folder / ".moonreach").student)
    device.ask("group", new=group)
    return device


def open_page(device):
    """Open a lesson on a device; return its kernel."""
    page = device.ask("voila/render/01_earth_size.ipynb")[2]
    return re.search(r'"kernelId": "([^"]*)"', page)[1]


def test_where_memory_is_short_no_page_opens_and_a_sentence_says_what_to_do(open_class):
    folder, _, address = open_class
    ducks, lesson = come_in(folder, address, "Ducks"), "voila/render/01_earth_size.ipynb"
    (folder / "short").touch()
    status, _, text = ducks.ask(lesson)
    (folder / "short").unlink()
    assert status == 503 and lesson_page.FULL in text and "503" not in text
    assert ducks.ask(lesson)[0] == 200


@contextmanager
def served(code, folder):
    """Serve a class by a script; give its process and the address."""
    port, variables = lab.free_port(), lab.environment(folder)
    options = ["--Pages.in_class=True", "--Pages.show=False", f"--port={port}"]
    server = subprocess.Popen(
        [sys.executable, "-c", BEFORE + code + LAUNCH, folder, *options],
        env=variables,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
    )
    with server:
        try:
            while b"The wall is at" not in server.stdout.readline():
                assert server.poll() is None
            yield server, f"http://127.0.0.1:{port}/"
        finally:
            server.terminate()


# In a shell's background a process begins with Ctrl+C ignored, and so do its children.
BEFORE = """
import signal, sys
from moonreach.notebook import lab, lesson_page, pages
signal.signal(signal.SIGINT, signal.default_int_handler)
"""
LAUNCH = """
pages.Pages.launch_instance(sys.argv[1:], config=pages.settings(sys.argv[1], in_class=True))
"""
PATIENT = "pages.LAST_WORDS = 300"
SHORT = """
from pathlib import Path
usual = lesson_page.psutil.virtual_memory
def virtual_memory():
    there = usual()
    return there._replace(available=0) if Path(sys.argv[1], "short").exists() else there
lesson_page.psutil.virtual_memory = virtual_memory
"""
BUSY = """
import time
from pathlib import Path
from tornado.ioloop import IOLoop
lab.GRACE = 1
def work():
    if Path(sys.argv[1], "go").exists():
        print("busy", flush=True)
        while True:
            time.sleep(0.01)
    IOLoop.current().call_later(0.1, work)
IOLoop.current().call_later(0.1, work)
"""


@pytest.mark.skipif(not forked.FORKS, reason="elsewhere kernels are the server's own children")
@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGINT, signal.SIGKILL])
def test_a_busy_server_ends_when_told_and_its_kernels_with_it(how, tmp_path):
    lay_lessons(tmp_path)
    with served(BUSY, tmp_path) as (server, address):
        open_page(come_in(tmp_path, address, "Owls"))
        (tmp_path / "go").touch()
        assert server.stdout.readline() == b"busy\n"
        begun = psutil.Process(server.pid).children(recursive=True)
        assert len(begun) >= 2  # what forks and a page's kernel
        sockets = Path(begun[0].cmdline()[-1])
        assert [*sockets.iterdir()]
        server.send_signal(how)
        server.wait(60)
    _, alive = psutil.wait_procs(begun, timeout=60)
    assert not alive and not sockets.exists()


@pytest.mark.skipif(not forked.FORKS, reason="elsewhere kernels are the server's own children")
def test_what_was_typed_last_is_kept_when_its_page_is_left(open_class):
    folder, server, address = open_class
    coots = come_in(folder, address, "Coots")
    asyncio.run(type_and_leave(coots, psutil.Process(server.pid)))
    assert Answers(folder / "work" / "coots" / "answers.json").typed("north_zenith") == ["41"]


async def type_and_leave(device, server):
    """Answer on a page and leave it, before its kernel has heard anything of that."""
    page = Page(device.address, device.header())
    await page.open("voila/render/01_earth_size.ipynb")
    await page.rest()
    box, _, reply = next(page.answer_box())
    begun = server.children(recursive=True)
    kernel = max(begun, key=psutil.Process.create_time)  # of the page that opened last
    kernel.suspend()
    heard = asyncio.ensure_future(page.change(box, "41", reply))
    headers = page.headers | {"X-XSRFToken": re.search("_xsrf=([^;]*)", device.header())[1]}
    leave = f"{device.address}voila/api/shutdown/{page.kernel}"
    await AsyncHTTPClient().fetch(leave, method="POST", body="", headers=headers)
    kernel.resume()
    await heard
    await page.close()


@pytest.mark.skipif(sys.platform == "win32", reason="signals are another thing there")
def test_the_command_hands_on_that_it_is_stopped(tmp_path):
    words = ["lessons", "--class", "--no-browser", "--folder", tmp_path / "lessons"]
    command = subprocess.Popen(
        [sys.executable, "-P", "-m", "moonreach", *words], stdout=subprocess.PIPE, text=True
    )
    with command:
        told = ""
        while "The wall is at" not in told:
            assert command.poll() is None
            told = command.stdout.readline()
        begun = psutil.Process(command.pid).children(recursive=True)
        command.terminate()
        command.wait(60)
    _, alive = psutil.wait_procs(begun, timeout=60)
    assert begun and not alive
