"""A formula of an exercise: a line of arithmetic on what a group read, as its row has it.

It is read as an answer is (see `moonreach.exercises.calculator`), but stands on names and keeps
units, as in ``360 * deg / arc``. A name stands for

- ``right``, the right answer of the exercise itself, and ``published``, today's value of it;
- a reading or a result of the group (`reduction.results.STEPS` has their names), or else the right
  answer of another exercise of the lesson, by its key;
- one of today's values, in capitals (`moonreach.lessons.today`), or a unit.

Functions are those of the lessons, this one's first, and those of a calculator. They take angles
with their unit; a bare number is one in radians.
"""

import ast
import importlib
import pkgutil
from collections.abc import Callable, Mapping

import numpy as np
from astropy import units as u

from moonreach import lessons
from moonreach.exercises.calculator import value_of
from moonreach.lessons import today

_MODULES = {
    found.name: vars(importlib.import_module(f"{lessons.__name__}.{found.name}"))
    for found in pkgutil.iter_modules(lessons.__path__)
}
_CONSTANTS = {unit: u.Unit(unit) for unit in ("rad", "deg", "arcmin", "s", "min", "h", "day")}
_CONSTANTS |= {unit: u.Unit(unit) for unit in ("mm", "m", "km")} | {"pi": np.pi}
_CONSTANTS |= {name: value for name, value in vars(today).items() if name.isupper()}


def _of_angle(function):
    """Let a function take an angle with its unit, or a number of radians."""
    return lambda angle: function(u.Quantity(angle).to_value(u.rad, u.dimensionless_angles()))


_FUNCTIONS = {name: function for known in _MODULES.values() for name, function in known.items()}
_FUNCTIONS |= {name: _of_angle(getattr(np, name)) for name in ("sin", "cos", "tan")}
_FUNCTIONS |= {
    "asin": lambda ratio: np.arcsin(u.Quantity(ratio)),
    "acos": lambda ratio: np.arccos(u.Quantity(ratio)),
    "atan": lambda ratio: np.arctan(u.Quantity(ratio)),
    "abs": np.abs,
    "max": np.maximum,
    "floor": lambda ratio: np.floor(u.Quantity(ratio).to(u.one)),
    "sign": np.sign,
}


def formula(text: str, lesson: str = "", answers: Mapping[str, Callable] = {}) -> Callable:
    """Return the function from a group's `Readings` to what a formula comes to.

    Parameters: the formula; the stem of the lesson whose functions go first; by their names
    functions likewise for what is no reading, the answers of exercises. The function raises what
    the readings raise for a name that they lack, and `Impossible` as the lessons do.

    >>> formula("360 * deg / arc")({"arc": 7.2 * u.deg})
    <Quantity 50.>
    """
    body = ast.parse(text, mode="eval").body
    functions = _FUNCTIONS | _MODULES.get(lesson, {})

    def worked_out(readings):
        def named(name):
            if name in _CONSTANTS:
                return _CONSTANTS[name]
            if name in answers and name not in readings:
                return answers[name](readings)
            return readings[name]

        return value_of(body, named, functions.__getitem__)

    return worked_out
