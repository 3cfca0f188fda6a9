"""Sheets of a shared folder joined: each row with its file, what changed, and nothing lost."""

import csv

import pytest
from class_tables import csv_text, long_rows, xlsx

from moonreach.__main__ import main
from moonreach.sheet import tables, writing
from moonreach.sheet.collecting import class_in

HEADER = ["group", "quantity", "value", "unit", "uncertainty", "note"]


@pytest.fixture
def shared(tmp_path, monkeypatch):
    """Lay two groups' sheets into a shared folder, one of them a spreadsheet."""
    monkeypatch.chdir(tmp_path)
    for folder in ("drive/heron", "drive/otters/deep"):
        (tmp_path / folder).mkdir(parents=True)
    first = [row for row in long_rows() if row[0] == "Heron"]
    (tmp_path / "drive/heron/heron.csv").write_text(csv_text([HEADER, *first]), encoding="utf-8")
    rest = [row for row in long_rows() if row[0] != "Heron"]
    xlsx(tmp_path / "drive/otters/deep/class_otters.xlsx", {"Sheet1": [HEADER, *rest]})
    return tmp_path


def collect(capsys, *words):
    code = main(["collect", "drive", "--out", "class.csv", *words])
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def test_joined_sheets_are_the_class(shared, capsys):
    code, out, _ = collect(capsys)
    assert code == 0 and out.startswith(f"class.csv: {len(long_rows())} readings of 2 groups\n")
    found = tables.read("class.csv")
    assert found.problems == []
    expected = tables.of_rows(long_rows()).readings
    assert [(r.group, r.quantity, r.value) for r in found.readings] == [
        (r.group, r.quantity, r.value) for r in expected
    ]
    with open("class.csv", encoding="utf-8", newline="") as file:  # noqa: PTH123
        rows = [*csv.DictReader(file)]
    assert {row["file"] for row in rows} == {
        "drive/heron/heron.csv",
        "drive/otters/deep/class_otters.xlsx",
    }
    assert rows[0]["row"] == "2" and rows[0]["time"][:2] == "20"


def test_what_changed_is_said_and_what_is_gone_is_kept(shared, capsys):
    collect(capsys)
    before = (shared / "class.csv").read_bytes()
    assert "nothing has changed since the last time" in collect(capsys)[1]
    path = shared / "drive/heron/heron.csv"
    *lines, _ = path.read_text(encoding="utf-8").splitlines()
    path.write_text("\n".join([*lines, "Heron,disc_diameter,??,mm,,"]), encoding="utf-8")
    _, out, _ = collect(capsys)
    assert "  drive/heron/heron.csv: 1 new row, 1 gone\n" in out
    assert "was kept as class.kept-1.csv" in out
    assert (shared / "class.kept-1.csv").read_bytes() == before
    # What cannot be read is in the joined table as it was typed.
    assert "Heron,disc_diameter,??,mm" in (shared / "class.csv").read_text(encoding="utf-8")


def test_one_row_for_each_group_keeps_its_units(shared, capsys):
    text = "group;disc (mm);hole\nElk;14,8;1.5 mm\n"
    (shared / "drive/elk.csv").write_text(text, encoding="utf-8")
    collect(capsys)
    elk = tables.read("class.csv").groups()["Elk"]
    assert [str(reading.value) for reading in elk] == ["14.8 mm", "1.5 mm"]


def test_a_kill_leaves_the_old_table_whole(shared, capsys, monkeypatch):
    collect(capsys)
    before = (shared / "class.csv").read_bytes()
    (shared / "drive/elk.csv").write_text("group,disc (mm)\nElk,14\n", encoding="utf-8")

    def killed(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(writing.Path, "replace", killed)
    assert collect(capsys)[0] == 130
    assert (shared / "class.csv").read_bytes() == before


def test_refusals(shared, capsys):
    (shared / "drive/letter.csv").write_text("dear class", encoding="utf-8")
    code, _, err = collect(capsys)
    assert code == 1 and "drive/letter.csv: no table of readings" in err
    assert main(["collect", "none", "--out", "class.csv"]) == 2
    assert "none is no folder" in capsys.readouterr().err
    (shared / "mine.csv").write_text("my own notes", encoding="utf-8")
    assert main(["collect", "drive", "--out", "mine.csv"]) == 2
    assert "mine.csv is no table that collect wrote; nothing was" in capsys.readouterr().err
    assert (shared / "mine.csv").read_text(encoding="utf-8") == "my own notes"
    (shared / "empty").mkdir()
    assert main(["collect", "empty", "--out", "new.csv"]) == 2
    assert "no readings were found in empty" in capsys.readouterr().err


def test_a_folder_of_sheets_reads_each_again_only_after_it_was_written(tmp_path, monkeypatch):
    asked, read = [], tables.read
    monkeypatch.setattr(tables, "read", lambda path: asked.append(path.name) or read(path))
    for name in ("owls", "herons"):
        rows = [[name.title(), "disc_diameter", "15.0", "mm", "", ""]]
        tables.write(tmp_path / f"{name}.csv", rows)
    assert [*class_in(tmp_path).groups()] == [*class_in(tmp_path).groups()] == ["Herons", "Owls"]
    assert asked == ["herons.csv", "owls.csv"]
    tables.write(tmp_path / "owls.csv", [["Owls", "disc_diameter", "16.0", "mm", "", ""]])
    assert [one.value.value for one in class_in(tmp_path).readings] == [15, 16]
    assert asked == ["herons.csv", "owls.csv", "owls.csv"]
