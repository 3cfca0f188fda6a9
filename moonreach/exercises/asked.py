"""What a lesson asks: words from a file of the lesson, answers from the lesson functions."""

import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from astropy import units as u

from moonreach.exercises.checking import in_unit, shown
from moonreach.sheet.quantities import label_of

_HERE = Path(__file__)


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
    needs: tuple
    shows: tuple
    within: float
    answer: Callable
    wrong_ways: tuple
    today: str = ""
    beware: tuple = ()


def _read(stem):
    return tomllib.loads(_HERE.with_name(f"{stem}.toml").read_text(encoding="utf-8"))


_COMMON = _read("asked")


def exercises_of(stem: str, right: Mapping, wrong: Mapping) -> tuple[Exercise, ...]:
    """Return a lesson's exercises, in the order of its file of words.

    Parameters: the lesson's stem; by the key of each exercise the function from readings to the
    right answer; and by that key, by name, functions likewise for those wrong ways of which the
    file has words alone. For the others it has a factor by which the answer is then wrong, or the
    unit in which it is then given as a bare number.
    """
    rows = _read(stem).items()
    return tuple(_exercise(key, row, right[key], wrong.get(key, {})) for key, row in rows)


def _exercise(key, row, answer, wrong):
    ways = (
        WrongWay(name, _changed(answer, *change) if change else wrong[name], made, think)
        for name, (made, think, *change) in row.get("wrong", _COMMON["wrong"]).items()
    )
    unit, asked = u.Unit(row["unit"]), (tuple(row["needs"]), tuple(row["shows"]))
    texts = key, row["question"], row["rule"]
    within, published = row.get("within", 0.0), row.get("today", "")
    beware = tuple(row.get("beware", ()))
    return Exercise(*texts, unit, *asked, within, answer, tuple(ways), published, beware)


def _changed(answer, change):
    if isinstance(change, str):
        return lambda readings: answer(readings).to_value(change)
    return lambda readings: change * answer(readings)


def of_error(of_today: Callable, published: float) -> dict[str, Callable]:
    """Return the functions of the wrong ways to a result's error in per cent.

    Parameters: the function from readings to the result over today's value, and that in km.
    """
    return {
        "ratio for difference": lambda r: 100 * of_today(r),
        "percentage the wrong way round": lambda r: 100 * (1 - 1 / of_today(r)),
        "kilometres for per cent": lambda r: published * (of_today(r) - 1),
    }


def givens(exercise: Exercise, readings, lessons: Mapping, settled: Callable) -> list[str]:
    """Return in words what an exercise stands on, one text for each reading or earlier result.

    Parameters: an exercise, the `Readings`, the exercises of each lesson, and a function from an
    exercise's key to whether its answer may be told. The answers of the same lesson are told only
    then; those of other lessons always, as nothing could be asked without them.
    """
    lesson = next(known for known in lessons.values() if exercise in known)
    earlier = {step.key: step for known in lessons.values() for step in known}
    texts = []
    for name in exercise.shows:
        step = earlier.get(name)
        if name in _COMMON["brought"]:
            words, unit = _COMMON["brought"][name]
            texts.append(f"{words} {shown(in_unit(readings[name], u.Unit(unit)), u.Unit(unit))}")
        elif step and not readings.lacks(*step.needs):
            words = label_of(name)
            if step in lesson and not settled(name):
                texts.append(f"your answer {lesson.index(step) + 1}")
            else:
                value = in_unit(step.answer(readings), step.unit)
                texts.append(f"{words} {shown(value, step.unit)}")
        elif name in readings.given:
            texts.append(f"{label_of(name)} {readings.text(name)}")
    return texts
