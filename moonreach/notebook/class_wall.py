"""What the wall tells of a folder: who has done what, the class chart, readings to check."""

from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from moonreach.exercises import doubts
from moonreach.exercises.attempts import Answers
from moonreach.figures import class_result
from moonreach.lessons.refuse import capital
from moonreach.notebook import progress
from moonreach.notebook.class_chart import summary_of
from moonreach.notebook.syllabus import SYLLABUS
from moonreach.sheet import tables, writing
from moonreach.sheet.collecting import class_in
from moonreach.sheet.group_sheet import file_stem
from moonreach.sheet.quantities import label_of


def groups(work: Path) -> list[str]:
    """Return the names of the groups of a class: of those with readings, and of those founded."""
    founded = [path.read_text(encoding="utf-8").strip() for path in work.glob("*/group.txt")]
    return sorted({file_stem(name): name for name in [*founded, *class_in(work).groups()]}.values())


def found(work: Path, group: str) -> None:
    """Let a group be one of the class, before it has any reading."""
    path = work / file_stem(group) / "group.txt"
    path.parent.mkdir(parents=True, exist_ok=True)
    writing.replace(path, f"{group}\n")


def now(work: Path) -> dict:
    """Return each group's readings and answers in each lesson, counted; no value among them."""
    rows = []
    for group in groups(work):
        path = work / f"{file_stem(group)}.csv"
        answers = path.with_suffix("") / "answers.json"
        lessons = _counted(path, writing.written(path), answers, writing.written(answers))
        rows.append({"group": group, "lessons": lessons})
    return {"groups": rows, "lessons": [*range(1, len(SYLLABUS) + 1)]}


def chart(work: Path) -> str:
    """Return the chart of all groups that have a distance as SVG with its caption, or nothing."""
    return _drawn(tuple(class_in(work).readings))


def hints(work: Path) -> list[tuple[str, list[str]]]:
    """Return for each group what its teacher may ask about: unlikely readings, unreadable lines."""
    found = []
    paths = [work / f"{file_stem(group)}.csv" for group in groups(work)]
    for path in filter(Path.exists, paths):
        try:
            sheet = tables.read(path)
        except tables.SheetError as error:
            found.append((path.stem, [str(error)]))
            continue
        lines = [
            f"{capital(label_of(doubt.reading.quantity))}: {doubt.sentence}"
            for doubt in doubts.doubts(sheet.readings)
        ]
        lines += [str(replace(problem, file=path.name)) for problem in sheet.problems]
        if lines:
            found.append((" and ".join(sheet.groups()) or path.stem, lines))
    return found


def qr(text: str) -> str:
    """Return a text as a QR code (ISO/IEC 18004), drawn as SVG."""
    import segno

    return segno.make(text, error="m").svg_inline(border=2, omitsize=True)


@lru_cache(maxsize=500)
def _counted(path, _written, answers, _answered):
    read, given, counted = progress.read_in(path), Answers(answers), []
    for stem in SYLLABUS:
        done = progress.counted(stem, read, given)
        counted.append([done.readings, done.of_readings, done.answers, done.of_answers])
    return counted


@lru_cache(maxsize=2)
def _drawn(readings):
    summary = summary_of(readings)
    if not summary.diameters:
        return ""
    return f"{class_result.svg(summary)}<p>{class_result.CAPTION}</p>"
