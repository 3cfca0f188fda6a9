"""How an answer is read and judged: right, a wrong way that is known, or not yet."""

import contextlib
import re
from dataclasses import dataclass
from decimal import Decimal

import numpy as np
from astropy import units as u

from moonreach.lessons.refuse import Impossible
from moonreach.sheet import cells

NEAR = 0.01  # relative: what the rounding of a few steps by hand may add up to
_CLOSER = 0.002  # relative: tells two wrong ways apart that lie within NEAR of each other
_FACTORS = (10, 100, 1000, 1e6, 60, 3600)
_TEXT = re.compile(r"([+\-−]?[0-9][0-9 .,\u00a0\u202f]*(?:[eE][+-]?[0-9]+)?)\s*(.*)")
_SPACED = re.compile(r"(?<=[0-9])[ \u00a0\u202f](?=[0-9]{3}(?![0-9]))")


@dataclass(frozen=True)
class Verdict:
    """How an answer was met.

    `state` is ``"unanswered"``, ``"unreadable"``, ``"right"``, ``"slip"`` or ``"wrong"``;
    `value` is what was read, in the question's unit; `slip` is the name of the wrong way taken.
    Stored attempts know these words too.
    """

    state: str
    text: str
    value: float | None = None
    slip: str = ""


def read_answer(answer, unit):
    """Return an answer as a number in a unit, and half the step to which it was written.

    Parameters: a number, a quantity, or text such as ``"7.2 deg"`` or ``"7,2°"``; the unit in
    which a bare number is taken. Returns None for no answer yet. Raises `Impossible`, with what
    is accepted, for anything else.

    >>> read_answer("7,25 km", u.m)
    (7250.0, 5.0)
    """
    if answer is None or answer is ... or (isinstance(answer, str) and answer.strip(" .") == ""):
        return None
    written, given = _parts(answer, unit)
    try:
        number = float(written)
    except (ValueError, TypeError, OverflowError):
        raise _unread(answer, unit) from None
    if isinstance(answer, bool | np.bool_) or not np.isfinite(number):
        raise _unread(answer, unit)
    plain = written if isinstance(written, int | str) else number
    digits, exponent = Decimal(str(plain)).as_tuple()[1:]
    half_step = 0.5 * 10.0**exponent if len(digits) > 1 else 0.0  # one digit is no measurement
    try:
        scale = (1 * given).to_value(unit) if given else 1.0
    except u.UnitConversionError:
        raise Impossible(
            f"The answer is in {given}, but the question asks for {_name(unit)}"
        ) from None
    return float(number * scale), float(half_step * scale)


def judge(exercise, readings, answer):
    """Return the `Verdict` on an answer to an exercise, from these readings."""
    try:
        read = read_answer(answer, exercise.unit)
    except Impossible as error:
        return Verdict("unreadable", f"{error}. This does not count as an attempt.")
    if read is None:
        return Verdict("unanswered", "Not answered yet: put your number in the place of the dots.")
    value, half_step = read
    right = in_unit(exercise.answer(readings), exercise.unit)
    if abs(value - right) <= max(NEAR * abs(right), exercise.within, half_step) * 1.000001:
        return Verdict("right", f"Right: {shown(value, exercise.unit)}.", value)
    ways = _ways_to(exercise, readings, value, half_step)
    if len(ways) == 1:
        (way,) = ways
        end = "" if way.think.endswith("?") else "."
        text = f"Not yet. That is what you get if {way.made}: {way.think}{end}"
        return Verdict("slip", text, value, way.name)
    for factor in _FACTORS if right and not ways else ():
        if any(abs(value / right / power - 1) <= NEAR for power in (factor, 1 / factor)):
            size = "large" if abs(value) > abs(right) else "small"
            text = f"Not yet. It is too {size} by a factor of {factor:,.0f}: look at the units."
            return Verdict("slip", text.replace(",", " "), value, "units")
    return Verdict(
        "wrong",
        "Not yet. It matches none of the common mistakes. Make a rough estimate in your head, then "
        "go through the steps and their units.",
        value,
    )


def in_unit(found, unit):
    """Return a quantity or bare number of the lesson functions as numbers in a unit."""
    if isinstance(found, u.Quantity):
        return found.to_value(u.one if found.unit.is_equivalent(u.one) else unit)
    return np.asarray(found, dtype=float)[()]


def shown(value, unit, digits=4):
    """Return a number to some significant digits, with its unit.

    >>> shown(12741.98, u.km), shown(0.2727, u.one), shown(31.08, u.arcmin)
    ('12 742 km', '0.2727', '31.08′')
    """
    number = f"{float(f'{value:.{digits}g}'):,.6f}" if abs(value) < 1e4 else f"{value:,.0f}"
    number = number.rstrip("0").rstrip(".") if "." in number else number
    signs = {u.arcmin: "′", u.deg: "°", u.one: "", u.percent: " %", u.pix: " px"}
    return number.replace(",", " ") + signs.get(unit, f" {unit}")


def _parts(answer, unit):
    """Return an answer's number as written, and its unit, if it has one that counts."""
    if isinstance(answer, u.Quantity):
        if answer.unit.is_equivalent(u.one) and answer.unit != u.percent:
            return _written(answer.to_value(u.one)), None
        return _written(answer.value), answer.unit
    if not isinstance(answer, str):
        return _written(answer), None
    found = _TEXT.fullmatch(answer.strip())
    if not found:
        raise _unread(answer, unit)
    number, name = _SPACED.sub("", found[1].strip()), found[2].strip()
    try:
        value, half_step = cells.number(number, "the answer", True)
        given = _unit(name, unit)
    except cells.CellError as error:
        raise Impossible(str(error)) from None
    digits = max(0, round(-np.log10(2 * half_step)))
    return f"{value:.{digits}f}", given


def _written(number):
    return np.asarray(number).item() if np.size(number) == 1 else number


def _unit(name, unit):
    if not name:
        return None
    if name in ("%", "percent", "per cent"):
        return u.percent
    for kind in ("length", "angle", "duration"):
        with contextlib.suppress(cells.CellError):
            return cells.unit(name, kind)
    raise Impossible(f"The unit {name!r} is not known; the question asks for {_name(unit)}")


def _ways_to(exercise, readings, value, half_step):
    """Return the wrong ways to this answer; of two that come near, the one that stands out."""
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
    return closer if len(closer) == 1 else near


def _name(unit):
    return {u.one: "a plain number", u.percent: "per cent"}.get(unit, str(unit))


def _unread(answer, unit):
    text = str(answer)[:40]
    return Impossible(f"Found {text!r}; accepted is one number, such as 12.3, in {_name(unit)}")
