"""How an answer is read and judged: right, a wrong way that is known, or not yet."""

import contextlib
import re
from dataclasses import dataclass

import numpy as np
from astropy import units as u

from moonreach.exercises import calculator
from moonreach.lessons.refuse import Impossible, written
from moonreach.sheet import cells

NEAR = 0.01  # relative: what the rounding of a few steps by hand may add up to
_CLOSER = 0.002  # relative: tells two wrong ways apart that lie within NEAR of each other
_OPERATORS = tuple("+-−*×·/÷:^")
BOTH = " | "  # between the names of wrong ways that lead to one answer
_TENS = (10, 100, 1000, 1e6)
_SIXTIES = {"angle": (60, 3600), "time": (60, 3600)}  # by the physical type of what is asked
_CLOSE, _FAR = 0.05, 10  # relative: near enough for a rounding; so far off that size alone is told
_TEXT = re.compile(r"([+\-−]?[0-9][0-9 .,\u00a0\u202f]*(?:[eE][+-]?[0-9]+)?)\s*(.*)")
# A line of arithmetic, and perhaps a unit behind it.
_LINE = re.compile(r"(.*(?:[0-9)π²³]|pi))\s*([^\W\d_]*|[°′″'\"%])", re.IGNORECASE)
_CLOCK = re.compile(r"[0-9]{1,2}:[0-9]{2}(:[0-9]{2})?")


@dataclass(frozen=True)
class Verdict:
    """How an answer was met.

    `state` is ``"unanswered"``, ``"unreadable"``, ``"right"``, ``"slip"`` or ``"wrong"``;
    `reply` is what there is to say of it; `value` is what was read, in the question's unit; `slip`
    is the name of the wrong way taken. Stored attempts know these words too.
    """

    state: str
    reply: str
    value: float | None = None
    slip: str = ""

    @property
    def text(self) -> str:
        """The reply, which says first of an answer that is not right that it is not."""
        return f"Not yet. {self.reply}" if self.state in ("slip", "wrong") else self.reply


def read_answer(answer, unit, taken_in=None):
    """Return an answer as a number in a unit, and half the step to which it was written.

    Parameters: what was typed, such as ``"7.2 deg"``, ``"7,2°"`` or ``"360/7,2"``; the unit; the
    unit in which a bare number is taken, if it is another one. Returns None for no answer yet.
    Raises `Impossible`, with what is accepted, for anything else.

    >>> read_answer("7,25 km", u.m), read_answer("360/50", u.arcmin, u.deg)
    ((7250.0, 5.0), (432.0, 0.0))
    """
    typed = answer.strip()
    if not typed.strip(" ."):
        return None
    kind = str(unit.physical_type)
    if kind == "time" and _CLOCK.fullmatch(typed):
        raise Impossible(
            f"Found {typed!r}, which may be hours and minutes; write 96 min or 1 h 36 min"
        )
    number, name = cells.number_and_unit(typed, {"time": "duration"}.get(kind, kind))
    typed = f"{number} {name}" if name else typed  # 39° 05′ and 1 h 36 min are one amount each
    found = _TEXT.fullmatch(typed)
    if found and not re.search(r"[0-9(]", found[2]) and found[2][:1] not in _OPERATORS:
        number, name = found[1].strip(), found[2].strip()
        try:
            value, half_step = cells.number(number, "the answer", True)
        except cells.CellError as error:
            raise Impossible(str(error)) from None
        mantissa = number.casefold().partition("e")[0]
        if len(re.sub("[^0-9]", "", mantissa).lstrip("0")) < 2:
            half_step = 0.0  # one figure is no measurement
    else:
        line, name = _line_and_unit(typed)
        value, half_step = calculator.worked_out(line), 0.0
    given = _unit(name, unit)
    try:
        scale = (1 * (given or taken_in or unit)).to_value(unit)
    except u.UnitConversionError:
        raise Impossible(
            f"The answer is in {given}, but the question asks for {_name(unit)}"
        ) from None
    return float(value * scale), float(half_step * scale)


def judge(exercise, readings, answer, taken_in=None):
    """Return the `Verdict` on an answer to an exercise, from these readings.

    Parameters: the exercise, the readings, the answer, and the unit in which a bare number is
    taken, as `read_answer` has them.
    """
    try:
        read = read_answer(answer, exercise.unit, taken_in)
    except Impossible as error:
        return Verdict("unreadable", f"{error}. This does not count as an attempt.")
    if read is None:
        return Verdict("unanswered", "Not answered yet.")
    value, half_step = read
    right = in_unit(exercise.answer(readings), exercise.unit)
    near = abs(value - right) <= max(NEAR * abs(right), exercise.within, half_step) * 1.000001
    ways = [] if near else _ways_to(exercise, readings, value, half_step)
    for way in exercise.wrong_ways if near else ():
        if way.name in exercise.beware:
            wrong = in_unit(way.value(readings), exercise.unit)
            if abs(value - wrong) < abs(value - right):
                ways.append(way)
    if near and not ways:
        return Verdict("right", f"Right: {shown(value, exercise.unit)}.", value)
    if ways:
        made = ", or if ".join(way.made for way in ways)
        think = " Or: ".join(way.think + "." * (way.think[-1] != "?") for way in ways)
        names = BOTH.join(way.name for way in ways)
        return Verdict("slip", f"That is what you get if {made}: {think}", value, names)
    return _far_or_near(value, right, exercise.unit)


def _far_or_near(value, right, unit):
    """Return the verdict on an answer that no known way leads to: by its size alone."""
    factors = (*_TENS, *_SIXTIES.get(str(unit.physical_type), ()))
    times = value / right if right and value else 1.0
    size = "large" if abs(times) > 1 else "small"
    for factor in factors:
        if any(abs(times / power - 1) <= NEAR for power in (factor, 1 / factor)):
            look = "decimal point" if factor == 10 or unit == u.one else "units"
            reply = (
                f"It is too {size} by a factor of {written(factor, ',.0f')}: look at the {look}."
            )
            return Verdict("slip", reply, value, "units")
    if abs(times - 1) <= _CLOSE and right:
        reply = "Close, within 5 %. Check your rounding: keep more digits until the last step."
    elif not 1 / _FAR < abs(times) < _FAR:
        reply = f"It is far too {size}, and it matches none of the common mistakes. Make a rough "
        reply += "estimate in your head, then go through the steps and their units."
    else:
        reply = "It matches none of the common mistakes. Go through the steps and their units."
    return Verdict("wrong", reply, value)


def in_unit(found, unit):
    """Return a quantity or bare number of the lesson functions as numbers in a unit."""
    if isinstance(found, u.Quantity):
        return found.to_value(u.one if found.unit.is_equivalent(u.one) else unit)
    return np.asarray(found, dtype=float)[()]


def shown(value, unit, digits=4):
    """Return a number to some significant digits, with its unit.

    >>> shown(12741.98, u.km), shown(0.2727, u.one), shown(-31.08, u.arcmin)
    ('12 742 km', '0.2727', '−31.08′')
    """
    if abs(value) >= 1e4:
        return written(value, ",.0f") + sign_of(unit)
    number = written(float(f"{value:.{digits}g}"), ",.6f")
    return number.rstrip("0").rstrip(".") + sign_of(unit)


def sign_of(unit):
    """Return a unit as it stands behind a number."""
    signs = {u.arcmin: "′", u.deg: "°", u.one: "", u.percent: " %", u.pix: " px"}
    signs[u.deg / u.h] = "° per hour"
    return signs.get(unit, f" {unit}")


def _line_and_unit(text):
    """Return a line of arithmetic, and the name of the unit behind it, if one stands there."""
    found = _LINE.fullmatch(text)
    if not found or found[2].casefold() in ("pi", "π"):
        return text, ""
    return found[1], found[2]


def _unit(name, unit):
    if not name:
        return None
    if name in ("%", "percent", "per cent"):
        return u.percent
    for kind in ("angle", "length", "duration"):  # first, as ′ is of both
        with contextlib.suppress(cells.CellError):
            return cells.unit(name, kind)
    raise Impossible(f"The unit {name!r} is not known; the question asks for {_name(unit)}")


def _ways_to(exercise, readings, value, half_step):
    """Return the wrong ways to this answer: the one that stands out, or all that fit as well."""
    near, closer = [], []
    for way in exercise.wrong_ways:
        try:
            with np.errstate(all="ignore"):
                wrong = np.atleast_1d(in_unit(way.value(readings), exercise.unit))
        except Impossible:
            continue
        off = np.abs(value - wrong[np.isfinite(wrong)])
        size = np.abs(wrong[np.isfinite(wrong)])
        if np.any(off <= np.maximum(NEAR * size, half_step)):
            near.append(way)
        if np.any(off <= np.maximum(_CLOSER * size, half_step)):
            closer.append(way)
    return closer or near


def _name(unit):
    return {u.one: "a plain number", u.percent: "per cent"}.get(unit, str(unit))
