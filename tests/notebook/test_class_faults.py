"""What may go wrong in a class: killed and stopped servers, a full disk, devices that meet."""

import errno
import itertools
import multiprocessing
import os
import random
import re
import signal
import subprocess
import sys
from contextlib import contextmanager
from pathlib import Path

import psutil
import pytest
from page_browser import Device, lay_lessons, start_pages

from moonreach.exercises.attempts import Answers
from moonreach.notebook import class_room, forked, lab, lesson_page, together
from moonreach.notebook.desk import Desk
from moonreach.notebook.form import Form
from moonreach.notebook.own_photograph import MOST, keep
from moonreach.notebook.page_notes import PageNotes
from moonreach.sheet import writing
from moonreach.sheet.group_sheet import GroupSheet

KILLS, PROCESSES, GROUPS = 10, 3, 15
# Of the two devices of a group each has a reading, an exercise and a note of its own.
DEVICES = [
    ("north_shadow_length", "arc", "look_1"),
    ("south_shadow_length", "north_zenith", "look_2"),
]


def write_for_ever(work, number, start, told):
    """Be the pages of some groups' devices: write, and tell what the page shows as kept."""
    pages = []
    for group in range(GROUPS * 2)[number::PROCESSES]:
        name, (quantity, key, note) = f"Group {group // 2}", DEVICES[group % 2]
        together.take(name)
        desk = Desk("earth_size", work=work)
        parts = Form(desk, [quantity]), desk.box(key), desk.notes("look", int(note[-1]))
        pages.append((name, quantity, key, note, *parts))
    for count in itertools.count(start):
        text = f"{count / 1000}"  # cm
        for name, quantity, key, note, form, box, notes in pages:
            form.lines[0].boxes["value"].value = text
            box.box.value = notes.boxes[note].value = text
            if "Not kept" not in form.remark.value + box.reply.value + notes.said.value:
                told.send(((name, quantity, key, note), float(text)))


def run_class(work, told, word):
    """Let pages write from one word to the next, and kill them; again and again."""
    Desk("earth_size", work=work / "unused").box("arc")  # the first one takes long
    for kill in range(KILLS):
        word.recv()
        pages = []
        for number in range(PROCESSES):
            if not (page := os.fork()):
                write_for_ever(work / "work", number, 1000 * (30 + kill), told)
            pages.append(page)
        word.recv()
        for page in pages:
            os.kill(page, signal.SIGKILL)
        for page in pages:
            os.waitpid(page, 0)
        told.send(None)


@pytest.mark.skipif(sys.platform == "win32", reason="there is no fork there")
def test_what_a_page_has_shown_as_kept_outlives_ten_kills(tmp_path):
    context = multiprocessing.get_context("forkserver")
    (heard, told), (word, giving) = context.Pipe(duplex=False), context.Pipe(duplex=False)
    running = context.Process(target=run_class, args=(tmp_path, told, word), daemon=True)
    running.start()
    told.close()
    shown = {}
    for _ in range(KILLS):
        giving.send("write")  # what was kept before has been looked at: no lock is laid meanwhile
        end = random.randint(2 * GROUPS, 4 * GROUPS)
        for count in itertools.count():
            if count == end:
                giving.send("kill")
            if not (one := heard.recv()):
                break
            shown |= [one]
        for (name, quantity, key, note), value in shown.items():
            sheet = GroupSheet(tmp_path / "work", name)
            answers = Answers(sheet.path.with_suffix("") / "answers.json")
            notes = PageNotes(answers.path.with_name("page.json"))
            assert not [*sheet.notes, *answers.notes, *notes.notes]  # no file was damaged
            (row,) = sheet.rows([quantity])
            assert float(row.cells["value"]) >= value
            assert float(answers.typed(key)[-1]) >= value
            assert float(notes.get("earth_size", note)) >= value
            for path in (sheet.path, answers.path, notes.path):
                with path.with_name(f".{path.name}.lock").open("ab") as lock:
                    assert writing._locked(lock)  # none is left
    running.join()
    assert len(shown) == 2 * GROUPS
    writing.sweep(tmp_path)
    assert not [*tmp_path.rglob("*.part"), *tmp_path.rglob("*unreadable*")]


def test_on_a_full_disk_each_part_of_the_page_says_so_and_nothing_is_lost(tmp_path, monkeypatch):
    desk = Desk("earth_size", "Owls", tmp_path)
    form, box, notes, guess = (
        desk.form(),
        desk.box("north_zenith"),
        desk.notes("look", 1),
        desk.guess(),
    )
    overlay = desk.photograph().overlay

    def enter(text):
        form.lines[0].boxes["value"].value = box.box.value = notes.boxes["look_1"].value = text
        guess.box.value = text
        guess.keep()
        overlay.buttons["clear"].click()
        told = form.remark, box.reply, notes.said, guess.said, overlay.told
        return ["Not kept" in one.value for one in told]

    def full(_):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    assert not any(enter("41"))
    (tmp_path / "owls" / "page.json").unlink()  # so that there is a guess to keep again
    desk.page_notes.held = {}
    desk.read_again()
    before = contents(tmp_path)
    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", full)
        overlay.clicks.tries = []
        assert enter("42") == [True, True, True, True, False]  # there was no mark to clear
        desk.read_again()
        assert notes.boxes["look_1"].value == box.box.value == guess.box.value == "42"
        assert form.lines[0].boxes["value"].value == "42"
        assert desk.guessed is None and "No space left on device" in notes.said.value
        with pytest.raises(OSError, match="No space left"):
            keep(desk.sheet, "ours.png", b"0" * 100)
    assert contents(tmp_path) == before
    assert not any(enter("43"))
    again = Desk("earth_size", "Owls", tmp_path)
    assert again.sheet.rows([form.lines[0].row.quantity])[0].cells["value"] == "43"
    assert again.answers.typed("north_zenith")[-1] == again.guessed == "43"


def contents(folder):
    return {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_a_group_has_no_more_photographs_than_fit_and_none_leads_out_of_its_folder(tmp_path):
    work = tmp_path / "lessons" / "of_owls" / "work"  # room above it to be led out to
    sheet = GroupSheet(work, "Owls")
    names = ["../../../out.png", "..\\..\\out.png", "/etc/out.png", "..png"]
    for number, name in enumerate([*names, *["moon.jpg"] * (MOST - len(names))]):
        keep(sheet, name, b"%d" % number)
    with pytest.raises(ValueError, match=f"moon.jpg is one too many: {MOST} photographs are kept"):
        keep(sheet, "moon.jpg", b"one more")
    keep(sheet, "moon.jpg", b"4")  # it is there already
    found = {path.parent for path in tmp_path.rglob("*.[pj]*g")}
    assert found == {work / "owls" / "photographs"}


def test_of_many_open_pages_of_a_group_those_that_rested_longest_fall_asleep(tmp_path):
    lay_lessons(tmp_path)
    with start_pages(tmp_path, in_class=True) as address:
        owls, herons = (come_in(tmp_path, address, group) for group in ("Owls", "Herons"))
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


def test_where_memory_is_short_no_page_opens_and_a_sentence_says_what_to_do(tmp_path):
    lay_lessons(tmp_path)
    with served(SHORT, tmp_path) as (_, address):
        status, _, text = come_in(tmp_path, address, "Owls").ask("voila/render/01_earth_size.ipynb")
        assert status == 503 and lesson_page.FULL in text and "503" not in text


@contextmanager
def served(code, folder):
    """Serve a class by a script; give its process and the address."""
    port, variables = lab.free_port(), lab.environment(folder)
    options = ["--Pages.in_class=True", "--Pages.show=False", f"--port={port}"]
    server = subprocess.Popen(
        [sys.executable, "-c", HEARS + code, folder, *options],
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
HEARS = """
import signal
signal.signal(signal.SIGINT, signal.default_int_handler)
"""
SHORT = """
import sys
from moonreach.notebook import lesson_page, pages
lesson_page.LEAST = 1e18
pages.Pages.launch_instance(sys.argv[1:], config=pages.settings(sys.argv[1], in_class=True))
"""
BUSY = """
import sys
from pathlib import Path
from tornado.ioloop import IOLoop
from moonreach.notebook import lab, pages
lab.GRACE = 1
def work():
    if Path(sys.argv[1], "go").exists():
        print("busy", flush=True)
        while True:
            pass
    IOLoop.current().call_later(0.1, work)
IOLoop.current().call_later(0.1, work)
pages.Pages.launch_instance(sys.argv[1:], config=pages.settings(sys.argv[1], in_class=True))
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
