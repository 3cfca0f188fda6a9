"""Exercises that answer: what each lesson asks of a group's own readings.

    find("arc").answer(readings)           the right answer, by the lesson functions
    judge(find("arc"), readings, "7.2°")   right, a wrong way with its hint, or not yet

Nothing is stored: right answers and wrong ways are functions of the readings.
"""

import difflib

from moonreach.exercises import (
    earth_size,
    eclipse_timing,
    moon_distance,
    other_ways,
    shadow_cone,
    sighting_angle,
    sun_distance,
)
from moonreach.exercises.asked import Exercise, WrongWay
from moonreach.exercises.checking import Verdict, judge, read_answer
from moonreach.exercises.readings import Readings
from moonreach.lessons.refuse import Impossible

LESSONS = {
    "earth_size": earth_size.EXERCISES,
    "eclipse_timing": eclipse_timing.EXERCISES,
    "shadow_cone": shadow_cone.EXERCISES,
    "sighting_angle": sighting_angle.EXERCISES,
    "moon_distance": moon_distance.EXERCISES,
    "sun_distance": sun_distance.EXERCISES,
    "other_ways": other_ways.EXERCISES,
}
EXERCISES = {exercise.key: exercise for lesson in LESSONS.values() for exercise in lesson}

__all__ = ["EXERCISES", "LESSONS", "Exercise", "Readings", "Verdict", "WrongWay", "find", "judge"]
__all__ += ["read_answer"]


def number_of(key):
    """Return an exercise's number in its lesson, from 1.

    >>> number_of("arc")
    2
    """
    lesson = next(known for known in LESSONS.values() if find(key) in known)
    return lesson.index(find(key)) + 1


def find(key):
    """Return the exercise of a key, or raise `Impossible` with the keys that come near.

    >>> find("arc").unit
    Unit("deg")
    """
    if key in EXERCISES:
        return EXERCISES[key]
    near = difflib.get_close_matches(str(key), EXERCISES, 3) or EXERCISES
    raise Impossible(f"There is no exercise {key!r}; there are {', '.join(near)}")
