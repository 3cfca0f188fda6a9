"""When a picture was taken: tables, cameras' clocks, files' names; and what is refused."""

from datetime import datetime, timedelta, timezone

import numpy as np
import pytest
from PIL import Image

from moonreach.lessons.refuse import Impossible
from moonreach.photo import read_picture
from moonreach.photo.picture import Picture
from moonreach.photo.times import Timing, read_times

NOON = np.datetime64("2031-05-06T10:00:00")
LIGHT = np.zeros((2, 2))


def shot(file="a.jpg", taken=None):
    return Picture(file, LIGHT, taken=taken)


def written(folder, text):
    path = folder / "times.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_the_cameras_own_time_with_its_offset(tmp_path):
    # CIPA DC-008 (EXIF 2.31): 0x9003 DateTimeOriginal, 0x9011 OffsetTimeOriginal.
    exif = Image.Exif()
    exif.get_ifd(0x8769).update({0x9003: "2031:05:06 12:00:00", 0x9011: "+02:00"})
    Image.new("RGB", (30, 30)).save(tmp_path / "a.jpg", exif=exif)
    assert Timing().moment(read_picture(tmp_path / "a.jpg")) == NOON


@pytest.mark.parametrize("stamp", ["0000:00:00 00:00:00", "yesterday", "2031:13:06 12:00:00", ""])
def test_a_stamp_that_is_no_time_is_none(tmp_path, stamp):
    exif = Image.Exif()
    exif.get_ifd(0x8769).update({0x9003: stamp, 0x9011: "noon"})
    Image.new("RGB", (30, 30)).save(tmp_path / "a.jpg", exif=exif)
    assert read_picture(tmp_path / "a.jpg").taken is None


def test_a_clock_without_offset_needs_one():
    naive = datetime(2031, 5, 6, 12)
    assert Timing().moment(shot(taken=naive)) is None
    assert Timing(offset=2).moment(shot(taken=naive)) == NOON
    aware = naive.replace(tzinfo=timezone(timedelta(hours=2)))
    assert Timing(offset=-5).moment(shot(taken=aware)) == NOON


@pytest.mark.parametrize("name", ["20310506_120000.jpg", "moon 2031-05-06 12.00.00 x.jpg"])
def test_a_name_counts_on_request(name):
    assert Timing(offset=2).moment(shot(name)) is None
    assert Timing(offset=2, by_name=True).moment(shot(name)) == NOON
    assert Timing(offset=2, by_name=True).moment(shot("12345678901234567.jpg")) is None
    with pytest.raises(Impossible, match="no offset"):
        Timing(by_name=True)


def test_a_table_goes_before_the_camera(tmp_path):
    path = written(tmp_path, "picture,time\na.jpg,2031-05-06T12:00:00+02:00\n\n")
    assert Timing(read_times(path)).moment(shot(taken=datetime(2030, 1, 1))) == NOON


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("a.jpg,2031-05-06T12:00:00\n", "row 1: found 'a.jpg,2031-05-06T12:00:00'"),
        ("picture,time\na.jpg,soon\n", "row 2"),
        ("a.jpg\n", "row 1"),
        ("picture,time\n", "no time in it"),
    ],
)
def test_a_table_that_cannot_be_read(tmp_path, text, words):
    with pytest.raises(Impossible) as error:
        read_times(written(tmp_path, text))
    assert words in str(error.value) and str(error.value).startswith("times.csv")
    with pytest.raises(Impossible, match="-12 to 14"):
        Timing(offset=20)
