"""What may go wrong in a class: killed servers, a full disk, more photographs than fit."""

import errno
import itertools
import multiprocessing
import os
import random
import signal
import sys

import pytest

from moonreach.exercises.attempts import Answers
from moonreach.notebook import together
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


def open_pages(work):
    """Return the pages of all devices: their group, what each writes, and its parts."""
    pages = []
    for device in range(2 * GROUPS):
        name, (quantity, key, note) = f"Group {device // 2}", DEVICES[device % 2]
        together.take(name)
        desk = Desk("earth_size", work=work)
        parts = Form(desk, [quantity]), desk.box(key), desk.notes("look", int(note[-1]))
        pages.append((desk, name, quantity, key, note, *parts))
    return pages


def write_for_ever(pages, start, told):
    """Let some pages write, and tell what each shows as kept."""
    for desk, *_ in pages:
        desk.read_again()
    for count in itertools.count(start):
        text = f"{count / 1000}"  # cm
        for _, name, quantity, key, note, form, box, notes in pages:
            form.lines[0].boxes["value"].value = text
            box.box.value = notes.boxes[note].value = text
            if "Not kept" not in form.remark.value + box.reply.value + notes.said.value:
                told.send(((name, quantity, key, note), float(text)))


def run_class(work, told, word):
    """Let pages write from one word to the next, and kill them; again and again."""
    pages = open_pages(work / "work")
    for kill in range(KILLS):
        word.recv()
        servers = []
        for number in range(PROCESSES):
            if not (server := os.fork()):
                mine = pages[number::PROCESSES]
                write_for_ever(mine[kill:] + mine[:kill], 1000 * (30 + kill), told)
            servers.append(server)
        word.recv()
        for server in servers:
            os.kill(server, signal.SIGKILL)
        for server in servers:
            os.waitpid(server, 0)
        told.send(None)


@pytest.mark.skipif(sys.platform == "win32", reason="there is no fork there")
def test_what_a_page_has_shown_as_kept_outlives_ten_kills(tmp_path):
    context = multiprocessing.get_context("forkserver")
    (heard, told), (word, giving) = context.Pipe(duplex=False), context.Pipe(duplex=False)
    running = context.Process(target=run_class, args=(tmp_path, told, word), daemon=True)
    running.start()
    told.close()
    shown = {}
    for kill in range(KILLS):
        giving.send("write")  # what was kept before has been looked at: no lock is laid meanwhile
        writing_on, least = True, 2 * GROUPS if kill == KILLS - 1 else 0
        end = random.randint(10, 25)
        for count in itertools.count(1):
            if not (one := heard.recv()):
                break
            shown |= [one]
            if writing_on and count >= end and len(shown) >= least:
                giving.send("kill")
                writing_on = False
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
