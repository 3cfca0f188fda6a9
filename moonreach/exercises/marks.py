"""What was tried and what was right, from the files in which groups' attempts are kept."""

from dataclasses import dataclass
from pathlib import Path

from moonreach.exercises import LESSONS
from moonreach.exercises.attempts import attempts_in
from moonreach.exercises.checking import BOTH
from moonreach.sheet import tables
from moonreach.sheet.group_sheet import file_stem, plain_name

COLUMNS = ("group", "lesson", "exercise", "attempts", "right", "common mistakes")

RENAMED = {"2.5 for 3.5": "shadow not narrowed"}  # as the files of earlier classes call them


@dataclass(frozen=True)
class Mark:
    """One exercise of one group: how many attempts, whether one was right, the mistakes met."""

    lesson: str
    exercise: str
    attempts: int
    right: bool
    mistakes: tuple


def marks_of(path):
    """Return a group's `Mark`s from its file of attempts, one for each exercise of the course.

    Parameters: the path of an answers.json. Returns the list and the keys in the file that are no
    exercise. Raises OSError or ValueError, in one sentence, for a file that cannot be used.
    """
    kept, marks = attempts_in(path), []
    for lesson, exercises in LESSONS.items():
        for exercise in exercises:
            tried = kept.pop(exercise.key, ())
            known = {*(way.name for way in exercise.wrong_ways), "units"}
            met = [name for a in tried if a["slip"] for name in a["slip"].split(BOTH)]
            names = [RENAMED.get(name, name) for name in met]
            named = dict.fromkeys(name if name in known else "another mistake" for name in names)
            right = any(attempt["state"] == "right" for attempt in tried)
            marks.append(Mark(lesson, exercise.key, len(tried), right, tuple(named)))
    return marks, list(kept)


def rows_of(folders):
    """Return the rows of the table of marks, the header first, and a sentence for each problem.

    Parameters: the groups' folders. What cannot be used is named and skipped; nothing is changed.
    """
    rows, problems = [COLUMNS], []
    for folder in dict.fromkeys(Path(folder) for folder in folders):
        path = folder / "answers.json"
        try:
            group = _group(folder)
            marks, foreign = marks_of(path)
        except OSError as error:
            problems.append(f"{path}: cannot be read ({error.strerror})")
        except ValueError as error:
            problems.append(str(error))
        else:
            problems += [f"{path}: {key[:40]!r} is no exercise of this course" for key in foreign]
            for mark in marks:
                right = ("yes" if mark.right else "no") if mark.attempts else ""
                mistakes = "; ".join(mark.mistakes)
                rows.append((group, mark.lesson, mark.exercise, mark.attempts, right, mistakes))
    return rows, problems


def in_words(marks):
    """Return a group's marks as one sentence.

    >>> in_words([Mark("earth_size", "arc", 2, True, ("units",))])
    '1 exercise tried, 1 right, 2 attempts; common mistakes: units.'
    """
    tried = [mark for mark in marks if mark.attempts]
    total, right = sum(mark.attempts for mark in tried), sum(mark.right for mark in tried)
    mistakes = dict.fromkeys(name for mark in tried for name in mark.mistakes)
    text = f"{len(tried)} exercise{'s' * (len(tried) != 1)} tried, {right} right, "
    text += f"{total} attempt{'s' * (total != 1)}"
    return f"{text}; common mistakes: {', '.join(mistakes)}." if mistakes else f"{text}."


def _group(folder):
    """Return the name of the group whose folder it is: as its sheet beside it writes it."""
    stem = folder.resolve().name
    try:
        groups = tables.read(folder.resolve().with_name(f"{stem}.csv")).groups()
    except tables.SheetError:
        groups = ()
    return next((name for name in groups if file_stem(name) == stem), plain_name(stem))
