"""What was tried and what was right, from the files in which groups' attempts are kept."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from moonreach.exercises import EXERCISES, LESSONS
from moonreach.exercises.attempts import attempts_in
from moonreach.exercises.checking import BOTH
from moonreach.lessons.refuse import counted
from moonreach.sheet.collecting import class_in
from moonreach.sheet.group_sheet import file_stem, plain_name

RENAMED = {  # as the files of earlier classes call them
    "2.5 for 3.5": "shadow not narrowed",
    "the rest of half a circle": "180 degrees minus the angle",
    "a Sun without end": "an infinitely far Sun",
}
_WHEN = ("common mistakes", "first", "last")


@dataclass(frozen=True)
class Mark:
    """One exercise of one group: how many attempts, whether one was right, the mistakes met.

    `times` are those of the attempts, as YYYY-MM-DD HH:MM.
    """

    lesson: str
    exercise: str
    question: str
    attempts: int
    right: bool
    mistakes: tuple[str, ...]
    times: tuple[str, ...] = ()


def marks_of(path: Path | str, needed: bool = True) -> tuple[list[Mark], list[str]]:
    """Return a group's `Mark`s from its file of attempts, one for each exercise of the course.

    Parameters: the path of an answers.json, and whether it must be there. Returns the list and the
    keys in the file that are no exercise. Raises OSError or ValueError, in one sentence, for a
    file that cannot be used.
    """
    kept, marks = attempts_in(path) if needed or Path(path).exists() else {}, []
    for lesson, exercises in LESSONS.items():
        for exercise in exercises:
            tried = kept.pop(exercise.key, ())
            known = {*(way.name for way in exercise.wrong_ways), "units"}
            met = [name for a in tried if a["slip"] for name in a["slip"].split(BOTH)]
            names = [RENAMED.get(name, name) for name in met]
            named = dict.fromkeys(name if name in known else "another mistake" for name in names)
            right = any(attempt["state"] == "right" for attempt in tried)
            times = tuple(filter(None, map(_time, tried)))
            what = exercise.key, exercise.question, len(tried), right, tuple(named), times
            marks.append(Mark(lesson, *what))
    return marks, list(kept)


def _time(attempt):
    """Return when an attempt was made, on this machine's clock; "" where the file does not say."""
    try:
        moment = datetime.fromisoformat(attempt["at"]).astimezone()
    except (KeyError, TypeError, ValueError):
        return ""
    return moment.isoformat(" ", "minutes")[:16]


def groups_in(folders: Iterable[Path | str]) -> tuple[dict[str, list[Mark]], list[str]]:
    """Return each group's marks by its name, and a sentence for each problem.

    Parameters: groups' folders, or folders that hold those and the groups' sheets. A group that
    has a sheet and no attempts has marks too. What cannot be used is named and skipped; nothing is
    changed.
    """
    found, problems = {}, []
    for path, name in _folders_of_groups(folders).items():
        answers = path / "answers.json"
        try:
            group = name or plain_name(path.name)
            found[group], foreign = marks_of(answers, needed=not name)
        except FileNotFoundError:
            which = "name the folder work, or a group's folder in it"
            problems.append(f"{answers}: cannot be read, as it is not there; {which}")
        except OSError as error:
            problems.append(f"{answers}: cannot be read ({error.strerror})")
        except ValueError as error:
            problems.append(str(error))
        else:
            problems += [
                f"{answers}: {key[:40]!r} is no exercise of this course" for key in foreign
            ]
    return found, problems


def _folders_of_groups(folders):
    """Return the groups' folders, each with the group's name as its sheet writes it, if it does."""
    found = {}
    for folder in (Path(folder).resolve() for folder in folders):
        inside = {answers.parent for answers in folder.glob("*/answers.json")}
        of_all = {folder / file_stem(name): name for name in class_in(folder).groups()}
        if (inside or of_all) and not (folder / "answers.json").exists():
            found |= dict.fromkeys(sorted(inside)) | of_all
        else:
            beside = {file_stem(name): name for name in class_in(folder.parent).groups()}
            found[folder] = beside.get(folder.name)
    return found


def lesson_rows(groups: Mapping[str, list[Mark]]) -> list[tuple]:
    """Return a table with a row for each group and lesson, the header first."""
    rows = [("group", "lesson", "exercises", "tried", "right", "tries", *_WHEN)]
    for name, marks in groups.items():
        rows += [(name, lesson, len(of), *_together(of)) for lesson, of in _by_lesson(marks)]
    return rows


def exercise_rows(groups: Mapping[str, list[Mark]]) -> list[tuple]:
    """Return a table with a row for each group and exercise, the header first."""
    rows = [("group", "lesson", "exercise", "right", "tries", *_WHEN)]
    for name, marks in groups.items():
        for lesson, of_lesson in _by_lesson(marks):
            for mark in of_lesson:
                right = ("yes" if mark.right else "no") if mark.attempts else ""
                rows.append((name, lesson, mark.question, right, *_together([mark])[2:]))
    return rows


def grade_rows(groups: Mapping[str, list[Mark]]) -> list[tuple]:
    """Return a table with a row for each group, what it got right by lesson; the header first."""
    rows = []
    for name, marks in groups.items():
        right = {f"{title} (of {len(of)})": _together(of)[1] for title, of in _by_lesson(marks)}
        _, whole, tries, _, _, last = _together(marks)
        rows.append((name, *right.values(), whole, tries, last))
    return [("group", *right, f"right (of {len(EXERCISES)})", "tries", "last"), *rows]


def in_words(marks: Sequence[Mark]) -> str:
    """Return a group's marks as one sentence.

    >>> in_words([Mark("earth_size", "arc", "?", 2, True, ("units",))])
    '1 exercise tried, 1 right, 2 attempts; common mistakes: units.'
    """
    tried, right, total, mistakes, *_ = _together(marks)
    text = f"{counted(tried, 'exercise')} tried, {right} right, {counted(total, 'attempt')}"
    return f"{text}; common mistakes: {mistakes.replace(';', ',')}." if mistakes else f"{text}."


def _by_lesson(marks):
    """Yield each lesson's number and words, and its marks."""
    for number, lesson in enumerate(LESSONS, start=1):
        yield f"{number} {lesson.replace('_', ' ')}", [m for m in marks if m.lesson == lesson]


def _together(marks):
    """Return of several marks: tried, right, attempts, mistakes, first and last time."""
    mistakes = dict.fromkeys(name for mark in marks for name in mark.mistakes)
    times = sorted(time for mark in marks for time in mark.times) or [""]
    tried, right = sum(m.attempts > 0 for m in marks), sum(m.right for m in marks)
    attempts = sum(mark.attempts for mark in marks)
    return tried, right, attempts, "; ".join(mistakes), times[0], times[-1]
