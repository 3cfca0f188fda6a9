"""Files that are written whole or not at all: nothing that was kept is lost."""

import errno
import os
from pathlib import Path

import pytest

from moonreach.sheet import writing
from moonreach.sheet.kept import KeptFile


class Notes(KeptFile):
    """A file of words by name."""

    what = "notes"

    @staticmethod
    def look(held):
        for words in held.values():
            words.upper()


def kept(path, **words):
    notes = Notes(path)
    with notes.alone():
        notes.held |= words
    return notes


def test_what_cannot_be_read_just_now_is_not_written_over(tmp_path, monkeypatch):
    path = tmp_path / "notes.json"
    kept(path, moon="seen")

    def refuse(*_, **__):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    with monkeypatch.context() as patch:
        patch.setattr(Path, "read_text", refuse)
        notes = kept(path, sun="never")
    assert any(note.startswith("Not kept") for note in notes.notes) and "sun" not in notes.held
    assert Notes(path).held == {"moon": "seen"}


def test_a_broken_file_is_set_aside_but_not_one_that_was_begun_meanwhile(tmp_path, monkeypatch):
    path = tmp_path / "notes.json"
    path.write_text("[", encoding="utf-8")
    lay = writing.alone

    def first_another(asked):
        path.write_text('{"moon": "seen"}', encoding="utf-8")  # another device was faster
        return lay(asked)

    with monkeypatch.context() as patch:
        patch.setattr(writing, "alone", first_another)
        assert Notes(path).held == {"moon": "seen"}
    assert [*tmp_path.glob("*unreadable*")] == []
    path.write_text("[", encoding="utf-8")
    notes = kept(path, sun="never")
    assert "kept as notes.unreadable-1.json" in notes.notes[0] and Notes(path).held == notes.held


def test_where_a_reader_holds_a_file_its_writer_waits(tmp_path, monkeypatch):
    path, tries, replace = tmp_path / "sheet.csv", [], Path.replace

    def held_open(self, target):
        tries.append(target)
        if len(tries) < 3:
            raise PermissionError(errno.EACCES, "used by another process")
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", held_open)
    with pytest.raises(OSError, match="cannot be written"):
        writing.replace(path, "one")
    monkeypatch.setattr(writing, "_WINDOWS", True)
    writing.replace(path, "two")
    assert path.read_text("utf-8") == "two" and len(tries) == 3
    assert [*tmp_path.glob("*.part")] == []
