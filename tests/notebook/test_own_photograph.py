"""A group's own photograph: kept under a safe name, refused in a sentence, found again."""

import datetime
import io
import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from PIL import Image

from moonreach.notebook.desk import Desk
from moonreach.notebook.one_night import folder_of
from moonreach.notebook.own_photograph import LARGEST, TOO_LARGE, keep
from moonreach.notebook.shipped import PICTURE, picture
from moonreach.photo.circle import Circle
from moonreach.photo.clicks import Circles
from moonreach.sheet.group_sheet import GroupSheet
from moonreach.sheet.origin import Origin

PATH = picture(PICTURE)
TRIES = [Circles(Circle(0, 0, 150 + k), Circle(0, 0, 400 + k)) for k in range(3)]


def file_of(kind="PNG", turned=None, **options):
    """Return the practice picture without its mark, as a group's own file of a kind."""
    with Image.open(PATH) as opened:
        image = Image.fromarray(np.asarray(opened))
    if turned:
        options["exif"] = Image.Exif()
        options["exif"][0x0112] = turned  # the EXIF standard's tag Orientation (CIPA DC-008)
        image = image.transpose(Image.Transpose.ROTATE_90)
    with io.BytesIO() as file:
        image.save(file, kind, **options)
        return file.getvalue()


def give(photographs, name, content, kind="image/png"):
    """Hand a file over as the browser does."""
    now = datetime.datetime.now(datetime.UTC)
    file = {"name": name, "type": kind, "size": len(content), "last_modified": now}
    photographs.upload.value = (file | {"content": memoryview(content)},)


@pytest.fixture
def desk(tmp_path):
    return Desk("eclipse_timing", "Owls", work=tmp_path / "work")


@pytest.mark.parametrize(
    ("name", "kind", "kept_as"),
    [("ours.png", "PNG", "ours.png"), ("IMG 0042.JPG", "JPEG", "IMG_0042.jpg")],
)
def test_it_is_kept_shown_and_found_again_with_its_marks(desk, name, kind, kept_as, tmp_path):
    photographs = desk.photograph()
    assert photographs.overlay.origin is Origin.PRACTICE
    give(photographs, name, file_of(kind))
    overlay, (kept,) = photographs.overlay, folder_of(desk.sheet).iterdir()
    assert kept.read_bytes() == file_of(kind) and kept.name == kept_as
    assert overlay.path == kept and overlay.origin is Origin.OWN and overlay in photographs.children
    assert photographs.upload.value == () and photographs.said.value == ""
    overlay.clicks.tries = TRIES
    overlay.buttons["write"].click()
    assert "Both radii written" in overlay.told.value and len(desk.sheet.readings()) == 2
    again = Desk("eclipse_timing", work=tmp_path / "work").photograph()
    assert again.overlay.path == kept and again.overlay.clicks.tries == TRIES
    again.which.value = picture(PICTURE)
    assert again.overlay.origin is Origin.PRACTICE and again.overlay.clicks.tries == []


def test_it_is_turned_upright_as_its_exif_data_says(desk):
    photographs = desk.photograph()
    give(photographs, "turned.jpg", file_of("JPEG", turned=6))  # 6: to be turned clockwise by 90
    truth = json.loads(PATH.with_suffix(".truth.json").read_text(encoding="utf-8"))["moon"]
    view = photographs.overlay.view
    assert view.middle == pytest.approx((truth["x"], truth["y"]), abs=2)


def test_a_practice_picture_given_as_ones_own_stays_practice(desk):
    photographs = desk.photograph()
    give(photographs, "ours.jpg", PATH.read_bytes())
    assert photographs.overlay.path.parent == folder_of(desk.sheet)
    assert photographs.overlay.origin is Origin.PRACTICE
    photographs.overlay.clicks.tries = TRIES
    photographs.overlay.buttons["write"].click()
    assert "Nothing was written" in photographs.overlay.told.value
    assert desk.sheet.readings() == []


@pytest.mark.parametrize(
    ("name", "content", "kind", "said"),
    [
        ("notes.txt", b"clouds", "text/plain", "notes.txt is no JPEG or PNG file"),
        ("clouds.jpg", b"clouds", "image/jpeg", "no readable JPEG or PNG"),
        ("cut.png", file_of()[:9000], "image/png", "no readable JPEG or PNG"),
        ("gif.png", file_of("GIF"), "image/png", "a GIF file; JPEG or PNG are read"),
        ("long.png", b"0" * (LARGEST + 1), "image/png", "larger than 40 MB"),
        ("huge.png", b"", TOO_LARGE, "larger than 40 MB"),
    ],
)
def test_what_cannot_be_used_is_refused_in_a_sentence_and_not_kept(desk, name, content, kind, said):
    photographs = desk.photograph()
    give(photographs, name, content, kind)
    assert "✗ Not kept: " in photographs.said.value and said in photographs.said.value
    assert photographs.said.value.count(". ") <= 1
    assert not [*folder_of(desk.sheet).glob("*")]
    assert photographs.overlay.origin is Origin.PRACTICE


def test_without_a_group_it_is_not_kept_and_the_page_says_how(tmp_path):
    desk = Desk("eclipse_timing", work=tmp_path / "work")
    photographs = desk.photograph()
    photographs.overlay.clicks.tries = TRIES[:1]
    give(photographs, "ours.png", file_of())
    assert "no group is chosen" in photographs.said.value and not (tmp_path / "work").exists()
    desk.choose("Owls")
    assert photographs.overlay.clicks.tries == TRIES[:1]  # made before there was a group
    give(photographs, "ours.png", file_of())
    assert photographs.overlay.path == folder_of(desk.sheet) / "ours.png"
    desk.choose("Herons")
    assert photographs.overlay.path == PATH and photographs.overlay.clicks.tries == []
    desk.choose("Owls")
    assert photographs.overlay.path == folder_of(desk.sheet) / "ours.png"


def test_two_pictures_of_one_name_are_both_kept(desk):
    first, second = file_of(), file_of("PNG", compress_level=1)
    paths = [keep(desk.sheet, "ours.png", content) for content in (first, second, first)]
    assert [(path.name, new) for path, new in paths] == [
        ("ours.png", True),
        ("ours-2.png", True),
        ("ours.png", False),
    ]


@given(st.text(max_size=80))
def test_no_name_leaves_the_groups_folder(tmp_path_factory, name):
    assume(Path(f"{name}.png").suffix)  # what has no ending is refused
    sheet = GroupSheet(tmp_path_factory.mktemp("names"), "Owls")
    path, _ = keep(sheet, f"{name}.png", b"1")
    assert path.resolve().parent == folder_of(sheet).resolve()
    assert path.suffix == ".png" and len(path.name) < 60 and path.read_bytes() == b"1"
