"""What the page of contents tells: the lessons of a folder, and how far its group has come."""

import json
import re
from dataclasses import dataclass
from pathlib import Path

from moonreach import exercises
from moonreach.exercises.attempts import Answers
from moonreach.notebook.syllabus import SYLLABUS
from moonreach.sheet import tables
from moonreach.sheet.group_sheet import file_stem


@dataclass(frozen=True)
class Page:
    """One lesson's page: its file, its stem, its number, its title, and what it is about."""

    file: str
    stem: str
    number: str
    title: str
    about: str


@dataclass(frozen=True)
class Done:
    """How many of a lesson's needed readings are in the sheet, how many exercises are right."""

    readings: int
    of_readings: int
    answers: int
    of_answers: int


def pages(folder: Path | str) -> list[Page]:
    """Return the lessons whose notebooks lie in a folder, in their order.

    One of a notebook's first cells is "# 1 · How large is the Earth?" and a paragraph.
    """
    found = []
    for path in sorted(Path(folder).glob("[0-9][0-9]_*.ipynb")):
        number, _, stem = path.stem.partition("_")
        if stem in SYLLABUS:
            cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
            texts = ["".join(cell["source"]) for cell in cells[:2]]
            first = next((text for text in texts if text.startswith("# ")), path.stem)
            title, about, *_ = [*(block.strip() for block in first.split("\n\n")), "", ""]
            title = re.sub(r"^# *(\d+ *· *)?", "", title)
            found.append(Page(path.name, stem, number.lstrip("0"), title, about.replace("*", "")))
    return found


def group_of(work: Path | str) -> str:
    """Return the name of the group that worked last in a folder, or nothing."""
    try:
        return (Path(work) / "group.txt").read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError):
        return ""


def done(work: Path | str, group: str, stem: str) -> Done:
    """Return how far a group has come in a lesson; nothing is done in a sheet that is damaged."""
    measured, keys = set(SYLLABUS[stem].measured), [e.key for e in exercises.LESSONS[stem]]
    sheet = Path(work) / f"{file_stem(group)}.csv"
    try:
        readings = {reading.quantity for reading in tables.read(sheet).readings}
    except (OSError, tables.SheetError):
        readings = set()
    try:
        answers = Answers(sheet.with_suffix("") / "answers.json")
        right = sum(map(answers.answered, keys))
    except OSError:
        right = 0
    return Done(len(measured & readings), len(measured), right, len(keys))
