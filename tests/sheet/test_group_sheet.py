"""One group's sheet: names make safe files, and no line is changed that was not meant."""

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from moonreach.lessons.refuse import Impossible
from moonreach.sheet import tables, writing
from moonreach.sheet.collecting import class_in
from moonreach.sheet.group_sheet import GroupSheet, Row, file_stem, plain_name


def row(quantity, value, unit="cm", uncertainty="", note=""):
    return Row(quantity, {"value": value, "unit": unit, "uncertainty": uncertainty, "note": note})


NAMES = st.from_regex(r"\w[\w .,;:/\\*?<>|\"'~%-]{0,20}", fullmatch=True).filter(str.isprintable)


@given(NAMES, NAMES)
def test_names_make_safe_files_and_different_names_different_files(one, other):
    stem = file_stem(one)
    assert not set(stem) & set('/\\:*?"<>|. \n\0') and Path(stem).name == stem
    same = plain_name(one).casefold() == plain_name(other).casefold()
    assert (stem == file_stem(other)) == same


@pytest.mark.parametrize("name", ["", "  ", "../etc", "/tmp", "#1", "=1+1", "a" * 41, "a\0b", "."])
def test_names_that_make_no_file_are_refused_with_a_sentence(name):
    with pytest.raises(Impossible, match="as the group's name; accepted are at most 40"):
        plain_name(name)


def test_what_is_written_is_what_the_class_sheet_reads(tmp_path):
    sheet = GroupSheet(tmp_path, "Night Owls")
    sheet.store(row("north_shadow_length", "102,5", "cm", "0.5", 'a "fine", windy day'))
    (reading,) = tables.read(sheet.path).readings
    assert (reading.group, reading.value.value) == ("Night Owls", 102.5)
    assert reading.note == 'a "fine", windy day'
    assert list(class_in(tmp_path).groups()) == ["Night Owls"]


def test_other_lines_stay_byte_for_byte(tmp_path):
    path = tmp_path / "owls.csv"
    before = (
        "# by hand\r\nGroup;value;unit;QUANTITY;weather\r\n"
        "Owls;1,5;cm;disc diameter;clear\r\n"
        "owls;80;cm;north_shadow_length;clear\r\n"
        'Owls;"80;cm;south_shadow_length\r\n'
        "Owls;??;cm;north_shadow_length;wind\r\n\r\n"
        "# the end"
    ).encode("cp1252")
    path.write_bytes(before)
    sheet = GroupSheet(tmp_path, "Owls")
    good, bad = sheet.rows(["north_shadow_length", "south_shadow_length"])
    assert (good.cells["value"], bad.cells["value"]) == ("80", "??")
    good.cells["value"] = "81"
    sheet.store(good)
    old, new = before.splitlines(), path.read_bytes().splitlines()
    assert new[1] == old[1] + b";uncertainty;note"
    assert new[3] == b"Owls;81;cm;north_shadow_length;clear;;"
    assert [line for n, line in enumerate(new) if n not in (1, 3)] == [
        line for n, line in enumerate(old) if n not in (1, 3)
    ]
    sheet.store(row("south_gnomon_height", "1", "m"))
    assert path.read_bytes().splitlines()[-2:] == [b"# the end", b"Owls;1;m;south_gnomon_height;;;"]


def test_a_row_without_text_is_taken_out_and_comes_back(tmp_path):
    sheet = GroupSheet(tmp_path, "Owls")
    reading = row("north_shadow_length", "80")
    sheet.store(reading)
    reading.cells["value"] = ""
    sheet.store(reading)
    assert sheet.readings() == [] and reading.line is None
    reading.cells["note"] = "clouds"
    sheet.store(reading)
    assert b",,cm,,clouds" in sheet.path.read_bytes()


def test_two_notebooks_may_write_by_turns(tmp_path):
    one, two = GroupSheet(tmp_path, "Owls"), GroupSheet(tmp_path, "owls")
    first, second = row("north_shadow_length", "80"), row("disc_diameter", "14", "mm")
    one.store(first)
    two.store(second)
    first.cells["value"] = "81"
    one.store(first)
    assert [r.value.value for r in two.readings()] == [81, 14]


def test_another_groups_file_is_refused(tmp_path):
    tables.write(tmp_path / "owls.csv", [["Herons", "disc_diameter", "14", "mm", "", ""]])
    with pytest.raises(Impossible, match=r"owls\.csv holds the readings of Herons: choose another"):
        GroupSheet(tmp_path, "Owls")


def test_a_file_that_is_no_sheet_is_named_and_set_aside(tmp_path):
    (tmp_path / "owls.csv").write_text("dear diary", encoding="utf-8")
    sheet = GroupSheet(tmp_path, "Owls")
    assert "owls.csv: no table" in sheet.notes[0] and "owls.unreadable-1.csv" in sheet.notes[0]
    assert (tmp_path / "owls.unreadable-1.csv").read_text(encoding="utf-8") == "dear diary"
    assert sheet.readings() == []
    sheet.path.write_text("dear diary again", encoding="utf-8")
    with pytest.raises(Impossible, match="no class sheet any more; nothing was written"):
        sheet.store(row("disc_diameter", "14"))
    assert sheet.path.read_text(encoding="utf-8") == "dear diary again"


def test_a_sheet_in_utf_16_is_read_and_kept(tmp_path):
    text = "group,quantity,value,unit,uncertainty,note\nOwls,disc_diameter,14,mm,,Größe\n"
    (tmp_path / "owls.csv").write_bytes(text.encode("utf-16"))
    (found,) = GroupSheet(tmp_path, "Owls").rows(["disc_diameter"])
    assert found.cells["note"] == "Größe"


@pytest.mark.parametrize("stop", ["fsync", "replace"])
def test_a_kill_in_the_middle_leaves_the_old_sheet_whole(tmp_path, monkeypatch, stop):
    sheet = GroupSheet(tmp_path, "Owls")
    sheet.store(row("north_shadow_length", "80"))
    before = sheet.path.read_bytes()

    def killed(*_):
        raise KeyboardInterrupt

    place, name = (os, "fsync") if stop == "fsync" else (writing.Path, "replace")
    monkeypatch.setattr(place, name, killed)
    with pytest.raises(KeyboardInterrupt):
        sheet.store(row("south_shadow_length", "70"))
    left = [path for path in tmp_path.iterdir() if path.suffix != ".lock"]  # the lock's own
    assert sheet.path.read_bytes() == before and left == [sheet.path]


@given(st.text(st.characters(exclude_categories=("Cs",)), max_size=30))
def test_whatever_is_typed_comes_back_as_typed(tmp_path_factory, text):
    sheet = GroupSheet(tmp_path_factory.mktemp("work"), "Owls")
    typed = row("north_shadow_length", text, note="as typed")
    other = row("south_shadow_length", "70")
    sheet.store(other)
    sheet.store(typed)
    found, rest = sheet.rows(["north_shadow_length"]), sheet.rows(["south_shadow_length"])
    assert [r.cells["note"] for r in found] == ["as typed"] and len(rest) == 1
    if text.isprintable():
        assert found[0].cells["value"] == text.strip()
