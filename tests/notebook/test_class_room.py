"""A class on one server: who gets in, what a device may ask for, and that no change is lost."""

import asyncio
import json
import re
import shutil
import socket
import subprocess
import sys
import time
import unicodedata
from pathlib import Path
from types import SimpleNamespace

import psutil
import pytest
from page_browser import Device, lay_lessons, server_of, start_pages
from tornado.httpclient import HTTPRequest
from tornado.websocket import websocket_connect

from moonreach.notebook import class_room, class_wall, forked, together
from moonreach.notebook.desk import Desk
from moonreach.sheet.collecting import class_in
from moonreach.sheet.group_sheet import GroupSheet, Row


@pytest.fixture(scope="module")
def room(tmp_path_factory):
    """Return the folder, the address and the codes of a running class."""
    folder = tmp_path_factory.mktemp("class")
    lay_lessons(folder)
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


@pytest.mark.parametrize("name", ["../../escape", "/etc/passwd", "..", "a" * 41, ""])
def test_a_name_that_cannot_be_founds_no_group(room, name):
    folder, device = room[0], Device(room[1])
    device.ask("login", code=room[2].student)
    before = {*folder.parent.rglob("*.csv")}
    assert device.ask("group", new=name)[1].endswith("group")
    assert {*folder.parent.rglob("*.csv")} == before


@pytest.mark.parametrize("name", ["a/../../../escape", "b\\..\\..\\escape", "con", "com¹", "c\0d"])
def test_no_name_leads_out_of_the_folder(room, name):
    folder, _, _ = room
    before = {*folder.parent.rglob("*.csv")}
    student(room, name)
    (new,) = {*folder.parent.rglob("*.csv")} - before
    assert new.parent == folder / "work" and new.stem not in ("con", "com¹")


def test_a_class_has_no_more_groups_than_fit(room, monkeypatch):
    folder, _, codes = room
    there = len(class_wall.groups(folder / "work"))
    for number in range(class_room.MOST - there):
        class_wall.found(folder / "work", f"Filler {number}")
    device = Device(room[1])
    device.ask("login", code=codes.student)
    assert "There are 60 groups already" in device.ask("group", new="One more")[2]
    assert not (folder / "work" / "one_more.csv").exists()
    assert device.ask("group", group="Filler 0")[1] == room[1]
    for number in range(class_room.MOST - there):
        shutil.rmtree(folder / "work" / f"filler_{number}")


def test_one_sheet_that_cannot_be_read_stops_no_wall(tmp_path):
    GroupSheet(tmp_path, "Owls")
    GroupSheet(tmp_path, "Herons").store(Row("umbral_contact_1", cells_of("21:10")))
    for name in ("Owls", "Herons"):
        class_wall.found(tmp_path, name)
    (tmp_path / "owls.csv").write_text("hello", encoding="utf-8")
    rows = {row["group"]: row["lessons"] for row in class_wall.now(tmp_path)["groups"]}
    assert rows["Owls"][1][0] == 0 and rows["Herons"][1][0] == 1
    ((group, (told,)),) = class_wall.hints(tmp_path)
    assert group == "owls" and "no table of readings was found" in told
    assert class_wall.chart(tmp_path) == ""


def test_a_sheet_is_its_groups_however_a_system_writes_its_name(tmp_path):
    GroupSheet(tmp_path, "Möwen").store(Row("umbral_contact_1", cells_of("21:10")))
    (path,) = tmp_path.glob("*.csv")
    path.rename(path.with_name(unicodedata.normalize("NFD", path.name)))
    assert [*class_in(tmp_path).groups()] == ["Möwen"]


def test_an_address_is_found_where_no_way_leads_out(monkeypatch):
    def nowhere(*_):
        raise OSError("Network is unreachable")

    inside = [SimpleNamespace(family=socket.AF_INET, address=one) for one in ("127.0.0.1",)]
    radio = [SimpleNamespace(family=socket.AF_INET, address="10.42.0.1")]
    monkeypatch.setattr(socket.socket, "connect", nowhere)
    monkeypatch.setattr(psutil, "net_if_addrs", lambda: {"lo": inside, "radio": radio})
    assert class_room.own_address() == "10.42.0.1"
    request = SimpleNamespace(host="[::1]:8317", protocol="http")
    assert class_room.address(request) == "http://10.42.0.1:8317/"


def cells_of(value):
    return {"value": value, "unit": "", "uncertainty": "", "note": ""}


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
        desk.form()
        other = Desk("earth_size", work=tmp_path)
        seen, sheet = [], tmp_path / "owls.csv"
        for text in ("7", "8"):
            whole = sheet.read_bytes()
            sheet.write_text("hello", encoding="utf-8")  # by a program that saves in place
            await asyncio.sleep(0.05)
            sheet.write_bytes(whole)
            other.keep("guess", text)
            for _ in range(200):
                await asyncio.sleep(0.01)
                if desk.guessed == text:
                    seen.append(text)
                    break
        return seen

    assert asyncio.run(play()) == ["7", "8"]


def test_hints_name_what_is_unlikely_for_the_teacher(tmp_path):
    sheet = GroupSheet(tmp_path, "Owls")
    cells = {"value": "20:61", "unit": "", "uncertainty": "", "note": ""}
    sheet.store(Row("contact_U1", cells))
    for name, value in (("north_gnomon_height", "1 m"), ("north_shadow_length", "11 m")):
        sheet.store(Row(name, cells | {"value": value}))
    class_wall.found(tmp_path, "Owls")
    ((_, (unlikely, unread)),) = class_wall.hints(tmp_path)
    assert "20:61" in unread and unlikely.startswith("North shadow length: ")


@pytest.mark.skipif(not forked.FORKS, reason="kernels are forked on Linux alone")
def test_a_forked_kernel_shares_most_of_its_memory(room):
    herons = student(room, "Herons")
    for _ in range(3):
        herons.ask("voila/render/01_earth_size.ipynb")
    shares = []
    for one in server_of(room[0]).children(recursive=True):
        told = Path(f"/proc/{one.pid}/smaps_rollup").read_text(encoding="utf-8")
        shares.append([int(re.search(rf"^{n}:\s+(\d+)", told, re.M)[1]) for n in ("Rss", "Pss")])
    assert len(shares) >= 4  # the source and the kernels
    resident, own = map(sum, zip(*shares, strict=True))
    print(own / resident, len(shares))
    assert own < 0.5 * resident
