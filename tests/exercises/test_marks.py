"""The table of marks: what was tried, what was right, and that nothing foreign gets in."""

import csv
import json
from datetime import datetime, timedelta

import pytest

from moonreach import __main__ as cli
from moonreach.exercises import EXERCISES, LESSONS, Verdict, marks
from moonreach.exercises.attempts import Answers
from moonreach.sheet import tables


@pytest.fixture
def work(tmp_path):
    """A work folder with two groups, one of whom has a sheet."""
    folder = tmp_path / "work"
    for stem in ("night_owls", "heron"):
        answers = Answers(folder / stem / "answers.json")
        answers.add("arc", Verdict("slip", "", 3.0, "radians for degrees"), 3)
        answers.add("arc", Verdict("slip", "", 72.0, "units"), 72)
        answers.add("arc", Verdict("right", "", 7.2), 7.2)
        answers.add("circumference", Verdict("wrong", "", 5.0), 5)
    tables.write(folder / "night_owls.csv", [["Night Owls", "disc_diameter", 14, "mm", "", ""]])
    return folder


def run(capsys, *arguments):
    code = cli.main(["marks", *map(str, arguments)])
    captured = capsys.readouterr()
    assert "Traceback" not in captured.out + captured.err
    return code, captured.out, captured.err


def table(path):
    return list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))


def test_tables_of_lessons_and_of_exercises(capsys, work, tmp_path):
    out = tmp_path / "marks.csv"
    code, printed, err = run(capsys, work / "heron", work / "night_owls", "--out", out)
    assert (code, err) == (0, "")
    assert "heron: 2 exercises tried, 1 right, 4 attempts; common mistakes: radians" in printed
    rows = table(out)
    assert len(rows) == 2 * len(LESSONS)
    lesson = {row["group"]: row for row in rows if row["lesson"] == "1 earth size"}["Night Owls"]
    assert (lesson["tried"], lesson["right"], lesson["tries"]) == ("2", "1", "4")
    assert lesson["exercises"] == str(len(LESSONS["earth_size"]))
    assert lesson["common mistakes"] == "radians for degrees; units"
    now = datetime.now()
    for end in "first", "last":  # as this machine's clock has it
        assert now - timedelta(minutes=10) < datetime.fromisoformat(lesson[end]) <= now
    rows = table(tmp_path / "marks_exercises.csv")
    assert len(rows) == 2 * len(EXERCISES)
    found = {(row["group"], row["exercise"]): row for row in rows}
    arc = found["Night Owls", EXERCISES["arc"].question]
    assert (arc["lesson"], arc["tries"], arc["right"]) == ("1 earth size", "3", "yes")
    assert arc["common mistakes"] == "radians for degrees; units"
    assert found["heron", EXERCISES["circumference"].question]["right"] == "no"
    moonlight = found["heron", EXERCISES["moonlight"].question]
    assert (moonlight["tries"], moonlight["right"], moonlight["first"]) == ("0", "", "")


def test_the_folder_of_all_groups_has_those_without_attempts(capsys, work, tmp_path):
    tables.write(work / "swift.csv", [["Swift", "disc_diameter", 14, "mm", "", ""]])
    tables.write(work / "whole class.csv", [["Otter", "disc_diameter", 14, "mm", "", ""]])
    out = tmp_path / "marks.csv"
    code, printed, err = run(capsys, work, "--out", out)
    assert (code, err) == (0, "") and "3 groups" in printed
    assert {row["group"] for row in table(out)} == {"heron", "Night Owls", "Swift"}
    assert {row["tries"] for row in table(out) if row["group"] == "Swift"} == {"0"}


def test_summary_for_a_grade_book(capsys, work, tmp_path):
    out = tmp_path / "grades.csv"
    code, _, _ = run(capsys, work, "--summary", "--out", out)
    assert code == 0 and list(tmp_path.glob("*.csv")) == [out]
    heron, owls = table(out)
    assert (heron["group"], owls["group"]) == ("heron", "Night Owls")
    of_first = len(LESSONS["earth_size"])
    assert owls[f"1 earth size (of {of_first})"] == owls[f"right (of {len(EXERCISES)})"] == "1"
    assert owls["tries"] == "4" and len(owls) == 1 + len(LESSONS) + 3


def test_star_is_opened_where_the_console_does_not(capsys, work, tmp_path):
    (work / "notes.txt").write_text("not a folder", encoding="utf-8")
    code, printed, _ = run(capsys, f"{work}/*/", "--out", tmp_path / "marks.csv")
    assert code == 0
    assert "2 groups" in printed
    code, _, err = run(capsys, f"{work}/x*/", "--out", tmp_path / "other.csv")
    assert code == 2 and "x*" in err and "name the folder work" in err


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (None, "cannot be read"),
        (b"{", "no file of attempts"),
        (b"[]", "no file of attempts"),
        (b"\xff\xfe\x00", "no file of attempts"),
        (b'{"arc": [{"value": "x"}]}', "no file of attempts"),
        (b"[" * 100_000, "no file of attempts"),
    ],
)
def test_broken_files_are_named_skipped_and_left(capsys, work, tmp_path, content, says):
    other = work / "swift" / "answers.json"
    other.parent.mkdir()
    if content is not None:
        other.write_bytes(content)
    out = tmp_path / "marks.csv"
    code, _, err = run(capsys, other.parent, work / "heron", "--out", out)
    assert code == 1
    assert says in err and "swift" in err and len(err.strip().splitlines()) == 1
    assert {row["group"] for row in table(out)} == {"heron"}
    assert content is None or other.read_bytes() == content
    out.unlink()
    code, printed, _ = run(capsys, other.parent, "--out", out)
    assert (code, printed) == (2, "") and not out.exists()


def test_foreign_keys_and_slips(work):
    path = work / "heron" / "answers.json"
    kept = json.loads(path.read_text(encoding="utf-8"))
    attempt = {"answer": "1", "value": 1, "state": "slip", "slip": "=cmd()"}
    kept |= {"cooking": [attempt], "arc": [attempt]}
    path.write_text(json.dumps(kept), encoding="utf-8")
    groups, problems = marks.groups_in([work / "heron"])
    assert len(problems) == 1 and "'cooking' is no exercise" in problems[0]
    (arc,) = [mark for mark in groups["heron"] if mark.exercise == "arc"]
    assert (arc.attempts, arc.right, arc.mistakes) == (1, False, ("another mistake",))
    assert arc.times == ()


def test_mistakes_that_earlier_files_call_otherwise_are_known(tmp_path):
    path = tmp_path / "answers.json"
    attempt = {"answer": "1", "value": 1, "state": "slip", "slip": "2.5 for 3.5"}
    path.write_text(json.dumps({"moon_diameter": [attempt]}), encoding="utf-8")
    met = {mark.exercise: mark.mistakes for mark in marks.marks_of(path)[0]}
    assert met["moon_diameter"] == ("shadow not narrowed",)
    ways = {way.name for exercise in EXERCISES.values() for way in exercise.wrong_ways}
    assert set(marks.RENAMED.values()) <= ways and not set(marks.RENAMED) & ways


def test_a_folder_that_no_group_can_have(work):
    evil = work / "=1+1"
    (work / "heron").rename(evil)
    groups, problems = marks.groups_in([evil])
    assert not groups and "group's name" in problems[0]


def test_ending_is_refused_before_anything_is_written(capsys, work, tmp_path):
    code, _, err = run(capsys, work / "heron", "--out", tmp_path / "marks.json")
    assert code == 2 and "ends in .csv" in err
    assert not (tmp_path / "marks.json").exists()
