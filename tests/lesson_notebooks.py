"""The notebooks as the tests read them: their cells, words, answers and the solved copy."""

import ast
import re
from pathlib import Path

import nbformat

from moonreach import exercises
from moonreach.exercises.checking import in_unit, shown
from moonreach.notebook.desk import Desk

FOLDER = Path(__file__).resolve().parents[1] / "notebooks"
PATHS = sorted(FOLDER.glob("*.ipynb"))
BOX = 'desk.box("{key}")'


def read(path):
    return nbformat.read(path, as_version=4)


def lesson_of(path):
    """Return the stem of a notebook's lesson: 01_earth_size.ipynb is of earth_size."""
    return path.stem.partition("_")[2]


def code(notebook):
    return [cell for cell in notebook.cells if cell.cell_type == "code"]


def prose(notebook):
    """Return what a lesson says; how to start is said in JupyterLab only."""
    words = [cell for cell in notebook.cells if cell.cell_type == "markdown"]
    return "\n\n".join(c.source for c in words if "start" not in c.metadata.get("tags", ()))


def texts_of(cell):
    """Return the texts of a cell's outputs, of every kind that a reader may see."""
    for output in cell.get("outputs", ()):
        if "text" in output:
            yield output.text
        for kind, data in output.get("data", {}).items():
            if kind.startswith("text/"):
                yield data


def calls(source, name):
    """Return the calls of a function or method of this name in a cell's source."""
    for node in ast.walk(ast.parse(source)):
        called = node.func if isinstance(node, ast.Call) else None
        if getattr(called, "id", getattr(called, "attr", None)) == name:
            yield node


def answers(lesson, desk):
    """Return each exercise's key and its right answer from a desk's readings, in its unit."""
    for exercise in exercises.LESSONS[lesson]:
        found = exercise.answer(desk.readings(*exercise.needs))
        yield exercise, float(in_unit(found, exercise.unit))


def tells(text, exercise, right, figures=(3, 4)):
    """Return whether a text holds the right answer, rounded to so many figures, as a number.

    A number of fewer figures, such as 50, stands in many a sentence and tells nothing by itself.
    """
    plain = re.sub(r"(?<=\d)[ \u00a0\u2009\u202f,](?=\d{3}(?!\d))", "", text)
    for digits in figures:
        number = re.match(r"[-−\d. ]+", shown(right, exercise.unit, digits))[0].replace(" ", "")
        told = len(number.strip("-−").replace(".", "").strip("0")) >= 3
        if told and re.search(rf"(?<![\d.]){re.escape(number)}(?![\d]|\.\d)", plain):
            return True
    return False


def fresh_desk(lesson, folder):
    """Return a desk of the practice group, in a folder that nobody has used."""
    return Desk(lesson, work=Path(folder) / "work")
