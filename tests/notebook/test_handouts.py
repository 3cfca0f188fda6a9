"""Student and teacher copies: what each holds, that it runs, that nobody's work is lost."""

import math
import os
import re
import subprocess
import sys
import time
import tomllib
from pathlib import Path

import nbformat
import pytest
from astropy import units as u
from course_folder import PLAN, lay_course, lesson
from nbclient import NotebookClient

from moonreach import exercises
from moonreach.__main__ import main
from moonreach.exercises.checking import in_unit, shown
from moonreach.notebook import handouts, shipped
from moonreach.notebook.practice_night import practice_readings

PROJECT = Path(__file__).resolve().parents[2]
SHIPPED = sorted((PROJECT / "notebooks").glob("*.ipynb"))


def all_of(notebook):
    return nbformat.writes(notebook)


@pytest.fixture
def written(tmp_path, monkeypatch, capsys):
    lay_course(tmp_path / "course", monkeypatch)
    assert main(["handouts", "--out", str(tmp_path / "out")]) == 0
    return tmp_path / "out"


def test_a_student_copy_holds_no_output_and_no_answer(written):
    text = (written / "student" / "01_earth_size.ipynb").read_text(encoding="utf-8")
    notebook = nbformat.reads(text, as_version=4)
    assert len(notebook.cells) == 4
    assert [cell.source for cell in notebook.cells[2:]] == [
        'desk.box("arc")',
        "desk.box('circumference')",
    ]
    for lost in ("For the teacher", "7.179 is", "7.321", "7.32", "39 337", "39_337", "own-kernel"):
        assert lost not in text
    assert all(not cell.get("outputs") for cell in notebook.cells)
    assert notebook.metadata.kernelspec.name == "python3"
    nbformat.validate(notebook)


def test_a_teacher_copy_has_plan_worked_answers_and_difficulties(written):
    path = written / "teacher" / "01_earth_size.ipynb"
    notebook = nbformat.read(path, as_version=4)
    nbformat.validate(notebook)
    sources = [cell.source for cell in notebook.cells]
    assert sources[0] == PLAN
    after = sources[sources.index('desk.box("arc")') + 1]
    readings = practice_readings()
    # The two zenith distances by plane trigonometry, without the project's functions.
    z = [
        math.degrees(
            math.atan2(
                readings[f"{place}_shadow_length"].to_value("m"),
                readings[f"{place}_gnomon_height"].to_value("m"),
            )
        )
        for place in ("north", "south")
    ]
    assert f"**{z[0] - z[1]:.3f}°**" in after
    assert "one place alone" in after
    around = 360 / (z[0] - z[1]) * readings["north_south_distance"].to_value("km")
    assert f"{around:,.0f} km".replace(",", " ") in "".join(sources)
    assert (written / "teacher" / "01_earth_size.md").read_text(encoding="utf-8") == PLAN
    assert not any(cell.get("outputs") for cell in notebook.cells)


def test_a_second_run_changes_nothing_and_loses_nothing(written, capsys):
    path = written / "student" / "01_earth_size.ipynb"
    before = path.read_bytes()
    for _ in range(2):
        assert main(["handouts", "--out", str(written)]) == 0
    assert len(list(path.parent.iterdir())) == 1 and path.read_bytes() == before
    path.write_text("a student's work", encoding="utf-8")
    assert main(["handouts", "--out", str(written)]) == 0
    assert "kept as 01_earth_size.kept-1.ipynb" in capsys.readouterr().out
    kept = path.with_name("01_earth_size.kept-1.ipynb")
    assert kept.read_text(encoding="utf-8") == "a student's work" and path.read_bytes() == before


def test_a_student_copy_runs_in_an_empty_folder(tmp_path):
    notebook = handouts.student(lesson())
    paths = f"{PROJECT}{os.pathsep}{os.environ.get('PYTHONPATH', '')}"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PYTHONPATH", paths)
        resources = {"metadata": {"path": str(tmp_path)}}
        NotebookClient(notebook, timeout=120, kernel_name="python3", resources=resources).execute()
    assert "How many degrees of the Earth's curve" in str(notebook.cells[2].outputs)


def test_an_exercise_that_there_is_not_is_one_sentence(tmp_path, monkeypatch, capsys):
    folder = lay_course(tmp_path / "course", monkeypatch)
    bad = lesson()
    bad.cells[2].source = 'desk.box("ark")'
    nbformat.write(bad, folder / "notebooks" / "01_earth_size.ipynb")
    assert main(["handouts", "--out", str(tmp_path / "out")]) == 2
    said = capsys.readouterr().err
    assert "no exercise 'ark'" in said and said.count("\n") == 1
    assert not (tmp_path / "out").exists()


def test_without_notebooks_it_says_so(tmp_path, monkeypatch, capsys):
    folder = lay_course(tmp_path / "course", monkeypatch)
    (folder / "notebooks" / "01_earth_size.ipynb").unlink()
    assert main(["handouts", "--out", str(tmp_path / "out")]) == 2
    assert "install moonreach again" in capsys.readouterr().err


@pytest.mark.parametrize("key", exercises.EXERCISES)
def test_every_exercise_has_a_worked_answer(key):
    exercise = exercises.find(key)
    answer = shown(in_unit(exercise.answer(practice_readings()), exercise.unit), exercise.unit)
    told = handouts.worked(key)
    assert f"**{answer}**" in told and told.count("\n- ") == len(exercise.wrong_ways)


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_the_lessons_own_copies(path):
    source = nbformat.read(path, as_version=4)
    student, teacher = handouts.student(source), handouts.teacher(source)
    nbformat.validate(student)
    nbformat.validate(teacher)
    stem = path.stem[3:]
    asked = re.findall(r"""desk\.box\(\s*["'](\w+)["']""", all_of(student).replace("\\", ""))
    assert set(asked) == {exercise.key for exercise in exercises.LESSONS[stem]}
    for exercise in exercises.LESSONS[stem]:
        right = in_unit(exercise.answer(practice_readings()), exercise.unit)
        assert handouts.worked(exercise.key) in [cell.source for cell in teacher.cells]
        for cell in student.cells:  # no prose gives an answer away
            number = shown(right, u.one)
            assert len(number) < 5 or number not in cell.source, exercise.key
    assert "For the teacher" not in all_of(student)


def test_killed_at_any_moment_every_file_is_whole(tmp_path):
    """Handouts are laid again and again over changed ones, and the process is killed meanwhile."""
    code = (
        "import sys, pathlib\n"
        "from moonreach.sheet import copies\n"
        "path = pathlib.Path(sys.argv[1])\n"
        "number = 0\n"
        "print('on', flush=True)\n"
        "while True:\n"
        "    number += 1\n"
        "    copies.lay(path, (str(number % 10) * 300_000).encode())\n"
        "    for kept in sorted(path.parent.glob('*.kept-*'))[:-1]: kept.unlink()\n"
    )
    path = tmp_path / "copy.ipynb"
    for attempt in range(5):
        process = subprocess.Popen(
            [sys.executable, "-c", code, str(path)], cwd=PROJECT, stdout=subprocess.PIPE
        )
        assert process.stdout.readline() == b"on\n"
        time.sleep(0.013 + 0.007 * attempt)
        process.kill()
        process.wait()
        process.stdout.close()
        for found in tmp_path.glob("copy*"):
            text = found.read_text(encoding="utf-8")
            assert len(text) == 300_000 and len(set(text)) == 1


def test_the_wheel_names_every_package_of_the_house():
    told = tomllib.loads((PROJECT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]
    named = set(told["setuptools"]["packages"])
    house = {
        ".".join(path.parent.relative_to(PROJECT).parts)
        for path in (PROJECT / "moonreach").rglob("__init__.py")
    }
    carried = {f"moonreach.shipped.{name}" for name in shipped._FOLDERS}
    assert named == house | carried
    places = {f"moonreach.shipped.{name}": place for name, place in shipped._FOLDERS.items()}
    assert told["setuptools"]["package-dir"] == places
