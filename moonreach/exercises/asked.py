"""What the lessons ask: a row in the file of a lesson for each exercise, in words and formulas."""

import difflib
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from astropy import units as u

from moonreach.exercises.checking import in_unit, shown
from moonreach.exercises.formulas import formula
from moonreach.lessons.refuse import Impossible
from moonreach.reduction.results import RESULTS
from moonreach.sheet.quantities import label_of


@dataclass(frozen=True)
class WrongWay:
    """A wrong way that students take: what it gives from the same readings, and what to say.

    `value` returns a quantity, or a number in the unit of the question; an array stands for
    several wrong answers of one kind. The hint reads "That is what you get if {made}: {think}",
    where `think` asks or says what to think about.
    """

    name: str
    value: Callable
    made: str
    think: str


@dataclass(frozen=True)
class Exercise:
    """A question on a group's own readings, how its answer follows from them, and wrong ways.

    `rule` says in words how to find the answer; `needs` are the measurements or quantities
    without which it cannot be asked; `shows` names the readings, and the results of earlier steps,
    that it stands on; `within` is an absolute tolerance in the question's unit, for answers that
    may be about zero; `today` is today's value in words, or nothing; `beware` names wrong ways
    that lead so near to the right answer that the nearer of the two counts.
    """

    key: str
    question: str
    rule: str
    unit: u.UnitBase
    needs: list
    shows: list
    answer: Callable
    wrong_ways: tuple
    within: float = 0.0
    today: str = ""
    beware: tuple = ()


def _read(stem):
    return tomllib.loads(Path(__file__).with_name(f"{stem}.toml").read_text(encoding="utf-8"))


_COMMON = _read("asked")


def _exercises_of(stem):
    """Return a lesson's exercises, in the order of its file."""
    earlier, exercises = {}, []
    for key, row in _read(stem).items():
        exercises.append(_exercise(stem, key, row, dict(earlier)))
        earlier[key] = exercises[-1].answer
    return tuple(exercises)


def _exercise(stem, key, row, named):
    """Return one exercise from its row; `named` are the answers that its formulas may name."""
    if "published" in row:
        named["published"] = formula(row.pop("published"))
    named["right"] = answer = formula(row.pop("answer"), stem, named)
    ways = row.pop("wrong", _COMMON["wrong"]).items()
    wrong_ways = tuple(
        WrongWay(name, _together([formula(text, stem, named) for text in texts]), made, think)
        for name, (made, think, *texts) in ways
    )
    unit = u.Unit(row.pop("unit"))
    return Exercise(key=key, unit=unit, answer=answer, wrong_ways=wrong_ways, **row)


def _together(formulas):
    return lambda readings: u.Quantity([value(readings) for value in formulas])


LESSONS = {stem: _exercises_of(stem) for stem in _COMMON["lessons"]}
EXERCISES = {exercise.key: exercise for lesson in LESSONS.values() for exercise in lesson}


def number_of(key: str) -> int:
    """Return an exercise's number in its lesson, from 1.

    >>> number_of("arc")
    2
    """
    lesson = next(known for known in LESSONS.values() if find(key) in known)
    return lesson.index(find(key)) + 1


def find(key: str) -> Exercise:
    """Return the exercise of a key, or raise `Impossible` with the keys that come near.

    >>> find("arc").unit
    Unit("deg")
    """
    if key in EXERCISES:
        return EXERCISES[key]
    near = difflib.get_close_matches(str(key), EXERCISES, 3) or EXERCISES
    raise Impossible(f"There is no exercise {key!r}; there are {', '.join(near)}")


def givens(exercise: Exercise, readings, settled: Callable) -> list[str]:
    """Return in words what an exercise stands on, one text for each reading or earlier result.

    Parameters: an exercise, the `Readings`, and a function from an exercise's key to whether its
    answer may be told. The answers of the same lesson are told only then; those of other lessons
    always, as nothing could be asked without them.
    """
    lesson = next(known for known in LESSONS.values() if exercise in known)
    texts = []
    for name in exercise.shows:
        step = EXERCISES.get(name)
        if name in _COMMON["brought"]:
            words, unit = _COMMON["brought"][name]
            texts.append(f"{words} {shown(in_unit(readings[name], u.Unit(unit)), u.Unit(unit))}")
        elif step and not readings.lacks(*step.needs):
            value = shown(in_unit(step.answer(readings), step.unit), step.unit)
            if step in lesson:
                told = f" ({value})" if settled(name) else ""
                texts.append(f"your answer {number_of(name)}{told}")
            else:
                label = RESULTS[name].label if name in RESULTS else label_of(name)
                texts.append(f"{label} {value}")
        elif name in readings.given:
            texts.append(f"{label_of(name)} {readings.text(name)}")
    return texts
