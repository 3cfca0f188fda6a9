"""A class on one server: who gets in, what a device may ask for, and that no change is lost."""

import asyncio
import json
import re
import subprocess
import sys
import time
from pathlib import Path

import pytest
from page_browser import Device, lay_lessons, start_pages
from tornado.httpclient import HTTPRequest
from tornado.websocket import websocket_connect

from moonreach.notebook import class_room, class_wall, forked, together
from moonreach.notebook.desk import Desk
from moonreach.sheet.group_sheet import GroupSheet, Row


@pytest.fixture(scope="module")
def room(tmp_path_factory):
    """Return the folder, the address and the codes of a running class."""
    folder = tmp_path_factory.mktemp("class")
    lay_lessons(folder)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(class_room, "SLOWEST", 1)
        with start_pages(folder, in_class=True) as address:
            yield folder, address, class_room.Codes(folder / ".moonreach")


def student(room, group):
    device = Device(room[1])
    device.ask("login", code=room[2].student.upper())
    assert device.ask("group", new=group)[1] == room[1]
    return device


def test_nobody_gets_anything_without_the_code(room):
    device = Device(room[1])
    for path in ("", "group", "wall", "wall/now", "wall/hints", "voila/render/01_earth_size.ipynb"):
        assert "Write the class code" in device.ask(path)[2], path
    began = time.monotonic()
    for _ in range(2):
        status, _, text = device.ask("login", code="amber apple arrow")
        assert status == 403 and "That is not the code" in text
    assert time.monotonic() - began > 0.5  # the second waited longer
    assert Device(room[1]).ask("login", code=room[2].student)[1].endswith("group")
    began = time.monotonic()
    assert device.ask("login", code="amber apple arrow")[0] == 403
    assert time.monotonic() - began > 0.45  # a right code has not taken back all wrong ones
    assert device.ask("group")[1].partition("?")[0].endswith("login")


def test_a_student_sees_names_and_no_readings_of_other_groups(room):
    folder, _, codes = room
    owls = student(room, "Night Owls")
    sheet = GroupSheet(folder / "work", "Herons")
    sheet.store(
        Row(
            "north_shadow_length",
            {"value": "76.9", "unit": "cm", "uncertainty": "", "note": "SECRET"},
        )
    )
    (folder / "work" / "herons").mkdir(exist_ok=True)
    (folder / "work" / "herons" / "moon.png").write_bytes(b"SECRET")
    assert "Herons" in owls.ask("group")[2]
    for path in ("", "group", "wall", "wall/now", "wall/chart", "wall/hints", "work/herons.csv",
                 "voila/files/work/herons.csv", "voila/files/work/herons/moon.png", "api/kernels",
                 "voila/files/..%2f.moonreach/class.json", "voila/tree"):  # fmt: skip
        text = owls.ask(path)[2]
        assert "76.9" not in text and "SECRET" not in text, path
        assert codes.student not in text and codes.teacher not in text, path
    teacher = Device(room[1])
    assert teacher.ask("login", code=codes.teacher)[1].endswith("/wall")
    now = json.loads(teacher.ask("wall/now")[2])
    assert [row["group"] for row in now["groups"]] == ["Herons", "Night Owls"]
    assert now["groups"][0]["lessons"][0][0] == 1
    wall = teacher.ask("wall")[2]
    assert "viewBox" in class_wall.qr(room[1] + "a" * 200)  # a long one is not cut off
    assert codes.student in wall and codes.teacher not in wall and "<svg" in wall


@pytest.mark.parametrize("name", ["../../escape", "/etc/passwd", "con", "..", "a" * 41, "a\0b", ""])
def test_no_name_leads_out_of_the_folder(room, name):
    device = Device(room[1])
    device.ask("login", code=room[2].student)
    device.ask("group", new=name)
    work = room[0] / "work"
    assert {path.parent for path in room[0].rglob("*.csv") if "data" not in path.parts} <= {work}
    assert not list(room[0].parent.glob("escape*"))


def test_a_page_has_its_group_and_runs_no_code_of_its_own(room):
    owls = student(room, "Night Owls")
    page = owls.ask("voila/render/01_earth_size.ipynb")[2]
    kernel = re.search(r'"kernelId": "([^"]*)"', page)[1]

    async def replies_to(*messages):
        address = f"{room[1].replace('http', 'ws')}api/kernels/{kernel}/channels"
        socket = await websocket_connect(HTTPRequest(address, headers={"Cookie": owls.header()}))
        for what, content in messages:
            header = {"msg_id": what, "msg_type": what, "username": "", "session": "s"}
            header |= {"version": "5.3", "date": "2029-06-26T00:00:00Z"}
            message = {"header": header, "parent_header": {}, "metadata": {}, "content": content}
            await socket.write_message(json.dumps(message | {"channel": "shell"}))
        replies = [""]
        while replies[-1] != "kernel_info_reply":  # the last that is asked
            replies.append(json.loads(await socket.read_message())["msg_type"])
        socket.close()
        await asyncio.sleep(0.2)  # so that it is closed
        return replies

    harm = room[0] / "harm"
    code = {"code": f"open({str(harm)!r}, 'w')", "silent": False, "store_history": False}
    code |= {"user_expressions": {}, "allow_stdin": False}
    asked = ("execute_request", code), ("kernel_info_request", {})
    replies = asyncio.run(replies_to(*asked))
    assert "execute_reply" not in replies and not harm.exists()
    stranger = Device(room[1])
    assert stranger.ask(f"api/kernels/{kernel}")[0] == 403


def test_codes_stay_and_are_read_in_any_case(tmp_path):
    codes = class_room.Codes(tmp_path)
    again = class_room.Codes(tmp_path)
    assert vars(codes) == vars(again) and len(codes.student.split()) == 3
    assert codes.whose(f"  {codes.student.upper()} ") == "student"
    assert codes.whose(codes.teacher) == "teacher"
    assert codes.whose("") is codes.whose(codes.student + "x") is None


WRITER = """
import sys
from moonreach.notebook import together
together.take("Owls")
from moonreach.notebook.desk import Desk
from moonreach.exercises import Verdict
from moonreach.sheet.group_sheet import Row
desk, name = Desk("earth_size", work=sys.argv[1]), sys.argv[2]
for number in range(20):
    cells = {"value": str(50 + number), "unit": "cm", "uncertainty": "", "note": name}
    desk.sheet.store(Row("north_shadow_length", cells))
    desk.keep(f"{name}{number}", "kept")
    print(number, flush=True)
"""


def test_two_devices_that_write_at_once_lose_nothing_and_a_killed_one_keeps_what_it_told(tmp_path):
    work = tmp_path / "work"
    GroupSheet(work, "Owls")
    writers = [
        subprocess.Popen([sys.executable, "-c", WRITER, work, name], stdout=subprocess.PIPE)
        for name in ("first", "second", "killed")
    ]
    for _ in range(8):
        writers[2].stdout.readline()
    writers[2].kill()
    counts = [20, 20, 8 + len(writers[2].stdout.read().split())]
    assert [writer.wait(60) for writer in writers[:2]] == [0, 0]
    for writer in writers:
        writer.stdout.close()
        writer.wait()
    rows = GroupSheet(work, "Owls").rows(["north_shadow_length"])
    notes = json.loads((work / "owls" / "page.json").read_text(encoding="utf-8"))["earth_size"]
    for name, count in zip(("first", "second", "killed"), counts, strict=True):
        assert sum(row.cells["note"] == name for row in rows) >= count
        assert sum(key.startswith(name) for key in notes) >= count


@pytest.fixture
def two(tmp_path, monkeypatch):
    """Return two desks of one group, as on two devices, with their forms."""
    monkeypatch.setitem(together._seat, "group", "Owls")
    desks = [Desk("earth_size", work=tmp_path) for _ in range(2)]
    return [(desk, desk.form()) for desk in desks]


def line(form, quantity="north_shadow_length"):
    return next(one for one in form.lines if one.row.quantity == quantity)


def test_the_last_change_of_a_reading_wins_on_both_devices(two):
    (first, form), (second, other) = two
    line(form).boxes["value"].value = "80"
    second.read_again()
    assert line(other).boxes["value"].value == "80"
    line(other).boxes["value"].value = "81"
    line(form).boxes["value"].value = "82"  # before it has seen the 81
    for desk in (first, second):
        desk.read_again()
    assert [row.cells["value"] for row in first.sheet.rows(["north_shadow_length"])] == ["82"]
    assert line(form).boxes["value"].value == line(other).boxes["value"].value == "82"
    box, seen = first.box("north_zenith"), second.box("north_zenith")
    box.box.value = "45"
    second.read_again()
    assert seen.box.value == "45" and len(second.answers.held["north_zenith"]) == 1
    assert seen.reply.value == box.reply.value != ""
    box.box.value = "46"
    second.read_again()
    assert "Earlier: 45" in seen.reply.value and seen.show.layout.display is None
    first.keep("guess", "12")
    second.read_again()
    assert second.guessed == "12"


def test_in_a_class_the_group_is_chosen_at_the_door_alone(two, tmp_path):
    desk, form = two[0]
    assert "is that of Owls" in desk.choose("Herons") and desk.group == "Owls"
    assert form.group.disabled and not form.group.options
    desk.practise("2029-06-26")
    assert not (tmp_path / "practice_night.txt").exists() and not (tmp_path / "group.txt").exists()


def test_what_another_device_writes_is_followed_within_two_seconds(tmp_path, monkeypatch):
    assert together.EVERY <= 1
    monkeypatch.setattr(together, "EVERY", 0.01)
    monkeypatch.setitem(together._seat, "group", "Owls")

    async def play():
        desk = Desk("earth_size", work=tmp_path)
        Desk("earth_size", work=tmp_path).keep("guess", "7")
        for _ in range(200):
            await asyncio.sleep(0.01)
            if desk.guessed:
                return desk.guessed

    assert asyncio.run(play()) == "7"


def test_hints_name_what_is_unlikely_for_the_teacher(tmp_path):
    sheet = GroupSheet(tmp_path, "Owls")
    cells = {"value": "20:61", "unit": "", "uncertainty": "", "note": ""}
    sheet.store(Row("contact_U1", cells))
    class_wall.found(tmp_path, "Owls")
    ((_, lines),) = class_wall.hints(tmp_path)
    assert "20:61" in lines[0]


@pytest.mark.skipif(not forked.FORKS, reason="kernels are forked on Linux alone")
def test_a_forked_kernel_shares_most_of_its_memory(room):
    student(room, "Herons").ask("voila/render/01_earth_size.ipynb")
    shares = []
    for path in Path("/proc").glob("[0-9]*/cmdline"):
        try:
            if b"notebook.forking" in path.read_bytes():
                told = (path.parent / "smaps_rollup").read_text()
                shares.append(
                    [int(re.search(rf"^{n}:\s+(\d+)", told, re.M)[1]) for n in ("Rss", "Pss")]
                )
        except OSError:
            continue
    assert len(shares) >= 2  # the source and a kernel
    resident, own = map(sum, zip(*shares, strict=True))
    assert own < 0.8 * resident
