"""Exercises that answer: what each lesson asks of a group's own readings.

    find("arc").answer(readings)           the right answer, by the lesson functions
    judge(find("arc"), readings, "7.2°")   right, a wrong way with its hint, or not yet

Nothing is stored: right answers and wrong ways are formulas on the readings.
"""

from moonreach.exercises.asked import EXERCISES, LESSONS, Exercise, WrongWay, find, number_of
from moonreach.exercises.checking import Verdict, judge, read_answer
from moonreach.exercises.readings import Readings

__all__ = ["EXERCISES", "LESSONS", "Exercise", "Readings", "Verdict", "WrongWay", "find", "judge"]
__all__ += ["number_of", "read_answer"]
