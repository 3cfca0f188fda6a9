"""Which pictures belong to a night, what is asked of the machine, and in which turn."""

import time
from concurrent.futures import Future
from dataclasses import replace
from datetime import timedelta
from threading import Event

import numpy as np
import pytest
from PIL import Image

from moonreach.notebook import by_machine, one_night
from moonreach.notebook.by_machine import Comparison
from moonreach.notebook.desk import Desk
from moonreach.notebook.later import Later, waited_for
from moonreach.notebook.one_night import CLOCKS, begin, folder_of, night_of
from moonreach.notebook.shipped import PICTURE, picture
from moonreach.photo.circle import Circle
from moonreach.photo.clicks import Circles
from moonreach.photo.measure import measure_photographs
from moonreach.photo.night import ANY_MOON
from moonreach.photo.times import Timing
from moonreach.practice.photographs import photographs_of
from moonreach.reduction.photographs import moon_of
from moonreach.sheet.group_sheet import Row
from moonreach.sheet.origin import Origin

PATH = picture(PICTURE)
TRIES = [Circles(Circle(0, 0, 150), Circle(0, 0, 400 + k)) for k in range(3)]
CONTACT = {"value": "2018-07-27T21:30:20+02:00", "unit": "s", "uncertainty": "20", "note": ""}


@pytest.fixture
def desk(tmp_path):
    return Desk("eclipse_timing", "Owls", work=tmp_path / "work")


@pytest.fixture
def asked(monkeypatch):
    """Return what is asked of the machine, which does nothing."""
    monkeypatch.setattr(one_night, "_FITS", {})
    monkeypatch.setattr(one_night, "_measured", lambda *asked, told: asked)


def own(desk, *names):
    """Let files stand for the group's own photographs; return their paths."""
    folder_of(desk.sheet).mkdir(parents=True)
    paths = [folder_of(desk.sheet) / name for name in names]
    for path in paths:
        path.write_bytes(b"picture")
    return paths


def test_the_groups_pictures_are_one_night_and_its_contacts_and_clock_belong_to_them(desk, asked):
    first, second = own(desk, "a.jpg", "b.png")
    desk.sheet.store(Row("umbral_contact_2", dict(CONTACT)))
    assert begin(desk, second).result() == (
        (str(second), str(first)),
        None,
        (("U2", np.datetime64("2018-07-27T19:30:20.000"), 20.0),),
        ANY_MOON,
    )
    desk.photograph().clock.value = "UTC-3:30"
    assert begin(desk, second).result()[1] == -3.5
    again = Desk("eclipse_timing", "Owls", work=desk.work)
    assert begin(again, second).result()[1] == -3.5
    disc, hole = {"value": "14", "unit": "mm"}, {"value": "1.5", "unit": "mm"}
    rod = {
        "disc_diameter": disc,
        "hole_diameter": hole,
        "vanish_distance": {"value": "138", "unit": "cm"},
    }
    for name, cells in rod.items():
        desk.sheet.store(Row(name, CONTACT | cells | {"uncertainty": "0.1"}))
    assert begin(desk, second).result()[3] == moon_of(desk.own()[0]) != ANY_MOON
    paths, offset, contacts, moon = begin(desk, PATH).result()
    assert len(paths) == 6 and offset is None and contacts == () and moon == ANY_MOON


def test_a_fit_tells_how_many_pictures_are_done(desk, monkeypatch):
    monkeypatch.setattr(one_night, "_FITS", {})
    fit = begin(desk, PATH)
    assert len(fit.result(120).photographs) == 6
    assert fit.steps == [(0, 1), *((done, 7) for done in range(1, 8))]


def test_a_picture_from_elsewhere_stands_alone_or_with_those_named(desk, tmp_path):
    own(desk, "a.jpg")
    assert night_of(tmp_path / "b.jpg", (), desk.sheet) == (str(tmp_path / "b.jpg"),)
    named = night_of(PATH, [PATH, tmp_path / "b.jpg"], desk.sheet)
    assert named == (str(PATH), str(tmp_path / "b.jpg"))


def test_the_clocks_are_those_of_zones():
    for hours in CLOCKS.values():
        assert hours is None or Timing(offset=hours).zone.utcoffset(None) == timedelta(hours=hours)
    assert CLOCKS["UTC+5:45"] == 5.75 and CLOCKS["UTC-3:30"] == -3.5 and CLOCKS["UTC+0:00"] == 0


def test_a_night_that_waits_gives_way_to_a_newer_one(desk, monkeypatch, tmp_path):
    go = Event()
    monkeypatch.setattr(one_night, "_FITS", {})
    monkeypatch.setattr(one_night, "_measured", lambda *asked, told: go.wait(30) and asked)

    def start(name):
        return begin(desk, tmp_path / name)

    try:
        # The second is begun before the first has got its thread: neither gives way.
        busy = [start(name) for name in ("first", "second")]
        end = time.monotonic() + 30
        while not all(each.running() for each in busy):
            assert time.monotonic() < end, "a night with a free thread was not begun"
            time.sleep(0.01)
        waiting, newest = start("third"), start("fourth")
        assert waiting.cancelled() and start("fourth") is newest
    finally:
        go.set()
    names = [each.result(30)[0][0] for each in (*busy, newest)]
    assert names == [str(tmp_path / name) for name in ("first", "second", "fourth")]


def test_the_page_counts_the_pictures_that_are_done():
    work = Future()
    work.steps = [(0, 1), (2, 6)]
    later = Later(lambda: waited_for(work))
    later.button.click()
    end = time.monotonic() + 30
    while "value='2' max='6'" not in later.bar.value:
        assert time.monotonic() < end, later.bar.value
        time.sleep(0.01)
    work.set_result(7)
    later.thread.join(30)
    assert later.children[1].value == "7" and not later.button.disabled


@pytest.fixture(scope="module")
def timed(tmp_path_factory):
    """Return invented pictures of 2018 July 27, and what the machine makes of them."""
    paths = photographs_of("2018-07-27", 4, 3, tmp_path_factory.mktemp("timed"))[:4]
    return paths, measure_photographs(paths)


def test_timed_pictures_tell_contacts_in_plain_words(timed):
    # NASA/GSFC: U2 19:30:15, U3 21:13:12 UT.
    paths, measured = timed
    with Image.open(paths[0]) as opened:
        assert opened.getexif().get_ifd(0x8769)[0x9011] == "+00:00"
    text = repr(Comparison(paths[0], measured, TRIES, "by hand", Origin.OWN))
    assert "By machine, with their times: shadow ratio 2." in text
    moment, sd = measured.night.contacts["U3"]
    assert f"U3 {moment.item():%H:%M:%S} ± {sd:.0f} s, U4 " in text
    assert "By machine, that night's pictures together: 2." in text
    assert abs(moment - np.datetime64("2018-07-27T21:13:12")) < np.timedelta64(90, "s")
    alone = replace(measured, night=None)
    for origin in (Origin.OWN, Origin.PRACTICE):  # practice pictures have no menu of clocks
        text = repr(Comparison(paths[0], alone, TRIES, "by hand", origin))
        assert ("choose that of your camera's clock" in text) is (origin is Origin.OWN)


def asks(desk, timed, monkeypatch, rendered):
    """Return what the page shows below the machine's words on a group's timed pictures."""
    paths, measured = timed
    pictures = [replace(each, rendered=rendered) for each in measured.photographs]
    ready = Future()
    ready.set_result(replace(measured, photographs=pictures))
    monkeypatch.setattr(by_machine, "begin", lambda *asked: ready)
    desk.photograph(paths[0]).clicks.tries = TRIES
    return desk.photograph_by_machine().below


def test_a_button_writes_the_contacts_that_nobody_called(desk, timed, monkeypatch):
    (write,) = asks(desk, timed, monkeypatch, rendered=False)
    desk.sheet.store(Row("umbral_contact_2", dict(CONTACT)))
    told = []
    desk.listeners.append(lambda: told.append(len(desk.sheet.readings())))
    for _ in range(2):  # the second time in place of the first
        write.button.click()
        assert "U1, U3, U4 written for Owls into " in write.said.value
        assert "called by eye and left as they were: U2" in write.said.value
    assert told == [4, 4]  # and the page follows
    assert desk.sheet.rows(["umbral_contact_2"])[0].cells == CONTACT
    moment = timed[1].night.contacts["U3"][0].astype("M8[s]")
    assert desk.sheet.rows(["umbral_contact_3"])[0].cells["value"] == f"{moment}Z"
    desk.sheet.path.unlink()
    desk.sheet.path.mkdir()  # so that nothing can be written
    write.button.click()
    assert "✗ Not written" in write.said.value


def test_contacts_of_a_practice_picture_never_enter_a_sheet(desk, timed, monkeypatch):
    assert asks(desk, timed, monkeypatch, rendered=True) == ()
