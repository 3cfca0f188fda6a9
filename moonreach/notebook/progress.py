"""What the page of contents tells: the lessons of a folder, and how far its group has come."""

import json
import re
from dataclasses import dataclass
from pathlib import Path

from moonreach import exercises
from moonreach.exercises.attempts import Answers
from moonreach.notebook.page_notes import SKIPPED
from moonreach.notebook.syllabus import SYLLABUS
from moonreach.reduction.results import lacking
from moonreach.sheet import tables, writing
from moonreach.sheet.group_sheet import file_stem
from moonreach.sheet.quantities import QUANTITIES, label_of


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

    def __str__(self):
        return (
            f"{self.readings} of {self.of_readings} reading{'s' * (self.of_readings != 1)} · "
            f"{self.answers} of {self.of_answers} answers"
        )


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


def remember(work: Path | str, group: str) -> None:
    """Let a group be the one that worked last in a folder; raises OSError."""
    writing.replace(Path(work) / "group.txt", f"{group}\n")


def done(work: Path | str, group: str, stem: str) -> Done:
    """Return how far a group has come in a lesson; nothing is done in a sheet that is damaged."""
    sheet = Path(work) / f"{file_stem(group)}.csv"
    return counted(stem, read_in(sheet), Answers(sheet.with_suffix("") / "answers.json"))


def read_in(sheet: Path) -> set[str]:
    """Return the quantities that a sheet has readings of; none where it cannot be read."""
    try:
        return {reading.quantity for reading in tables.read(sheet).readings}
    except (OSError, tables.SheetError):
        return set()


def counted(stem: str, read: set[str], answers: Answers) -> Done:
    """Return how much of a lesson is done, from the quantities that were read and the answers."""
    measured, asked = set(SYLLABUS[stem].measured), exercises.LESSONS[stem]
    right = len(asked) - len(_open(stem, read, answers))
    return Done(len(measured & read), len(measured), right, len(asked))


def _open(stem, read, answers):
    """Return the exercises that still want the right answer, of own readings where they suffice."""
    return [
        exercise
        for exercise in exercises.LESSONS[stem]
        if not answers.answered(exercise.key, own=not lacking(exercise.needs, read))
    ]


def standing(desk) -> str:
    """Return in words where a `Desk`'s group stands in its lesson, and what comes next."""
    measured = SYLLABUS[desk.lesson].measured
    read = {row.quantity for row in desk.sheet.rows(QUANTITIES)} if desk.sheet else set()
    missing = [label_of(name) for name in measured if name not in read]
    open_ones = [exercises.number_of(one.key) for one in _open(desk.lesson, read, desk.answers)]
    guess = {None: "no guess yet", SKIPPED: "guess skipped"}.get(desk.guessed, "guess kept")
    steps = ["your guess (section 2)"] if desk.guessed is None else []
    asked_for = f"enter {missing[0]}" if missing and desk.sheet else "your group's name"
    steps += [f"{asked_for} (section 4)"] if missing else []
    steps += [f"answer {number} (section 5)" for number in open_ones[:1]]
    after = f"next: {steps[0]}" if steps else "done"
    return f"{guess} · {counted(desk.lesson, read, desk.answers)} · {after}"
