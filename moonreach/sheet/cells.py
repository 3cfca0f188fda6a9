"""What one cell of a class sheet says: a number, a unit, a clock time, a date or a word."""

import contextlib
import functools
import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from astropy import units as u

_NUMBER = re.compile(r"[+-]?([0-9]+[.,]?[0-9]*|[.,][0-9]+)([eE][+-]?[0-9]{1,3})?")
_AMOUNT = re.compile(rf"(?P<number>{_NUMBER.pattern})\s*(?P<unit>[^0-9.,_]+\.?)?")
_TWO = re.compile(
    rf"(?P<large>[0-9]+)\s*(?P<unit>[^0-9.,_\s]+)\.?\s*(?P<rest>{_NUMBER.pattern})\s*"
    r"(?P<smaller>[^0-9.,_\s]+)\.?"
)
_THOUSANDS = re.compile(r"[+-]?[1-9][0-9]{0,2}[.,][0-9]{3}")
_DATES = ("%Y %m %d", "%d %b %Y", "%d %B %Y", "%b %d %Y", "%B %d %Y")  # read in one way only
_ORDERS = {None: ("%d %m %Y", "%m %d %Y"), True: ("%d %m %Y",), False: ("%m %d %Y",)}
_CLOCK = re.compile(
    r"(?:(?P<day>[0-9A-Za-z].*[0-9])[T,\s]\s*)?T?"
    r"(?P<hour>[0-9]{1,2})(?P<sign>[:.h]?)(?P<minute>[0-9]{2})"
    r"(?:(?P=sign)(?P<second>[0-9]{2})(?P<part>[.,][0-9]+)?)?"
    r"(?:\s*(?P<half>[ap])\.?m\.?|\s*h)?\s*(?P<zone>Z|UTC?|[+-][0-9]{2}(?::?[0-9]{2})?)?",
    re.IGNORECASE,
)

_SIGNS = {
    "'": u.arcmin, "′": u.arcmin, '"': u.arcsec, "″": u.arcsec, "°": u.deg, "px": u.pix,
    "in": u.imperial.inch, "inch": u.imperial.inch, "ft": u.imperial.foot,
    "yd": u.imperial.yard, "%": u.percent, "mi": u.imperial.mile, "mile": u.imperial.mile,
    "inche": u.imperial.inch, "feet": u.imperial.foot, "foot": u.imperial.foot,
    "yard": u.imperial.yard, "sec": u.s, "percent": u.percent,
}  # fmt: skip
_FEET = {"'": "ft", "′": "ft", '"': "inch", "″": "inch"}  # of a length, not of an angle
_KINDS = {
    "length": (u.m, "mm, cm, m, km, inch, ft or mile"),
    "angle": (u.deg, "deg, arcmin, arcsec, °, ′ or ″"),
    "duration": (u.s, "s, min or h"),
    "picture": (u.pix, "px, or a length such as mm on a print"),
    "part": (u.one, "nothing, or %"),
    "clock": (u.s, "nothing, UTC, or the uncertainty's unit: s or min"),
}


class CellError(ValueError):
    """A cell that cannot be used: which column, what was found, what is accepted."""

    def __init__(self, column, found, accepted):
        shown = repr(found) if found else "nothing"
        super().__init__(f"found {shown} as {column}; accepted: {accepted}")
        self.column = column


@dataclass(frozen=True)
class Clock:
    """A clock time: seconds of the day, with a date and an offset from UTC where given."""

    seconds: float
    day: date | None = None
    offset: float | None = None


def number(text: str, column: str, comma_separated: bool) -> tuple[float, float]:
    """Return a cell's number and the half-width of its last written digit.

    Decimal point and decimal comma are both read. Raises `CellError` for anything else, and
    where a comma may as well separate thousands.
    """
    plain = text.replace("−", "-").strip()
    if not _NUMBER.fullmatch(plain):
        raise CellError(column, text, "a number such as 102.5 or 102,5, without other signs")
    if comma_separated and "," in plain and may_be_thousands(plain):
        raise CellError(column, text, "a number that is clear: 1.234 or 1234")
    mantissa, _, exponent = plain.replace(",", ".").lower().partition("e")
    decimals = len(mantissa.partition(".")[2])
    value = float(f"{mantissa}e{exponent or 0}")
    if abs(value) == float("inf"):
        raise CellError(column, text, "a number of a size that can be written out")
    return value, 0.5 * 10.0 ** (int(exponent or 0) - decimals)


def may_be_thousands(text: str) -> bool:
    """Return whether the sign in a number may separate thousands as well as decimals.

    >>> may_be_thousands("1.112"), may_be_thousands("0.112"), may_be_thousands("1.12")
    (True, False, False)
    """
    return bool(_THOUSANDS.fullmatch(text.strip()))


def number_and_unit(text: str, kind: str = "") -> tuple[str, str]:
    """Return the number and the unit that a cell holds together, as text.

    Parameters: the cell, and the kind of its quantity where "5 ft 3 in" is one amount too.

    >>> number_and_unit("77,6 cm"), number_and_unit("77.6"), number_and_unit("some")
    (('77,6', 'cm'), ('77.6', ''), ('some', ''))
    >>> number_and_unit("5 ft 3 in", "length"), number_and_unit("1 h 5.5 min", "duration")
    (('63', 'in'), ('65.5', 'min'))
    """
    plain = text.replace("−", "-").strip()
    if found := _AMOUNT.fullmatch(plain):
        return found["number"], (found["unit"] or "").strip()
    if kind in _KINDS and (two := _TWO.fullmatch(plain)):
        with contextlib.suppress(CellError):
            ratio = unit(two["unit"], kind).to(unit(two["smaller"], kind))
            rest, step = number(two["rest"], "value", False)
            if 0 <= rest < ratio:
                decimals = max(0, round(-math.log10(2 * step)))
                return f"{int(two['large']) * ratio + rest:.{decimals}f}", two["smaller"]
    return text, ""


@functools.cache
def units(text: str, kind: str) -> tuple[u.UnitBase, ...]:
    """Return the units that a cell may mean for a kind of quantity, the literal one first.

    Letter case, plural and the written-out name are all understood: "Mm" may be millimetres, for
    a reading that megametres do not fit. Raises `CellError` where there is none.
    """
    if kind not in _KINDS:
        raise CellError("unit", text, "nothing, as this quantity has no unit")
    base, accepted = _KINDS[kind]
    text = _FEET.get(text, text) if kind == "length" else text
    if not text and kind in ("clock", "picture", "part"):
        return (base,)
    small = text.casefold().strip(" .").replace("metre", "meter")
    if kind == "duration" and small == "m":
        small = "min"
    fitting = (base, u.m) if kind == "picture" else (base,)
    named = [_named(form) for form in (text, small, small.removesuffix("s"))]
    found = [one for one in named if one and any(one.is_equivalent(other) for other in fitting)]
    if not found:
        raise CellError("unit", text, accepted)
    return tuple(dict.fromkeys(found))


def unit(text: str, kind: str) -> u.UnitBase:
    """Return a cell's unit for a kind of quantity, or raise `CellError`."""
    return units(text, kind)[0]


def _named(text):
    found = _SIGNS.get(text)
    if found is None and re.fullmatch(r"[A-Za-zµμÅ]+", text):
        with contextlib.suppress(ValueError):
            found = u.Unit(text)
    return found


def length(text: str | None, option: str) -> u.Quantity | None:
    """Return the length written in an option such as 20mm, None where it is not given."""
    if text is None:
        return None
    digits, sign = re.fullmatch(r"\s*([^a-zA-Zµ\"'′″]*)(.*?)\s*", text).groups()
    value = number(digits, option, False)[0] * unit(sign, "length")
    if value <= 0 * u.m:
        raise ValueError(f"{option} must be longer than nothing, found {text}")
    return value


def clock(text: str, zone: str = "", day_first: bool | None = None) -> Clock:
    """Return a `Clock` from ISO 8601 text or one as people write it, or raise `CellError`.

    The text may have a date, "am" or "pm" and a zone; where it has no zone, the given one holds,
    if any. 24:09 is nine minutes after the midnight that ends the day. Day first: see `day`.
    """
    found = _CLOCK.fullmatch(text.strip())
    accepted = "a clock time such as 03:34, 03:34:20 or 2029-06-26T03:34:20+02:00"
    if not found or (not found["sign"] and len(found["hour"]) < 2):
        raise CellError("value", text, accepted)
    hour, minute, second = (int(found[name] or 0) for name in ("hour", "minute", "second"))
    half = (found["half"] or "").casefold()
    if hour > 24 or minute > 59 or second > 59 or (half and not 1 <= hour <= 12):
        raise CellError("value", text, accepted)
    hour = hour % 12 + 12 * (half == "p") if half else hour
    date_ = day(found["day"], day_first) if found["day"] else None
    if hour == 24 and date_ and date_ < date.max:
        date_ += timedelta(days=1)
    part = float((found["part"] or "0").replace(",", "."))
    offset = _offset(found["zone"] or zone)
    return Clock(hour % 24 * 3600 + minute * 60 + second + part, date_, offset)


def _offset(zone):
    """Return a zone's seconds east of UTC; nothing where none is named."""
    if not zone:
        return None
    sign, *digits = zone.replace(":", "")
    if sign not in "+-":  # Z or UTC
        return 0.0
    hours, minutes = int("".join(digits[:2])), int("".join(digits[2:]) or 0)
    if hours > 23 or minutes > 59:
        raise CellError("value", zone, "an offset from UTC such as +02:00")
    return (hours * 3600 + minutes * 60) * (-1.0 if sign == "-" else 1.0)


def clock_text(clock: Clock, resolution: u.Quantity) -> str:
    """Return a clock time as ISO 8601 text, with seconds where it was read to seconds.

    >>> clock_text(Clock(3720, date(2029, 6, 26), 7200), 30 * u.s)
    '2029-06-26T01:02+02:00'
    """
    moment = round(clock.seconds) % 86_400
    text = f"{moment // 3600:02}:{moment // 60 % 60:02}"
    text += f":{moment % 60:02}" if resolution < 30 * u.s else ""
    if clock.offset is not None:
        sign, minutes = "-" if clock.offset < 0 else "+", round(abs(clock.offset) / 60)
        text += f"{sign}{minutes // 60:02}:{minutes % 60:02}" if minutes else "Z"
    return f"{clock.day}T{text}" if clock.day else text


def clock_resolution(text: str) -> u.Quantity:
    """Return half the step in which a clock time was written: 30 s without seconds."""
    found = _CLOCK.fullmatch(text.strip())
    return (0.5 if found and found["second"] else 30.0) * u.s


def day(text: str, day_first: bool | None = None) -> date:
    """Return a date from ISO 8601 text or one as people write it, or raise `CellError`.

    Parameters: the text, and whether 6/7/2029 has the day first, if that is known; where it is
    not, such a date is refused with both its readings.
    """
    found = set()
    plain = re.sub(r"[\s,./-]+", " ", re.sub(r"^(\d{4})(\d\d)(\d\d)$", r"\1 \2 \3", text.strip()))
    for pattern in (*_DATES, *_ORDERS[day_first]):
        with contextlib.suppress(ValueError):
            found.add(datetime.strptime(plain, pattern).date())
    if len(found) != 1:
        accepted = "a date such as 2029-06-26, with all four digits of the year"
        accepted = " or ".join(str(one) for one in sorted(found)) or accepted
        raise CellError("value", text, accepted)
    return found.pop()


def word(text: str, words: Iterable[str], column: str = "value") -> str:
    """Return which of the words a cell says, in any letter case, or raise `CellError`."""
    said = re.sub(r"[\s_-]+", "_", text.strip().casefold())
    if said not in words:
        raise CellError(column, text, " or ".join(words))
    return said
