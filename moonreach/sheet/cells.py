"""What one cell of a class sheet says: a number, a unit, a clock time, a date or a word."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from astropy import units as u

_NUMBER = re.compile(r"[+-]?([0-9]+[.,]?[0-9]*|[.,][0-9]+)([eE][+-]?[0-9]{1,3})?")
_THOUSANDS = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}")
_CLOCK = re.compile(r"(?:(?P<day>[0-9]{4}-?[0-9]{2}-?[0-9]{2})[T ])?T?(?P<clock>[0-9].*)")

_SIGNS = {
    "'": u.arcmin, "′": u.arcmin, '"': u.arcsec, "″": u.arcsec, "°": u.deg, "px": u.pix,
    "in": u.imperial.inch, "inch": u.imperial.inch, "ft": u.imperial.foot,
    "yd": u.imperial.yard, "%": u.percent, "mi": u.imperial.mile, "mile": u.imperial.mile,
}  # fmt: skip
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
        super().__init__(f"found {found!r} as {column}; accepted: {accepted}")
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
    if comma_separated and _THOUSANDS.fullmatch(plain):
        raise CellError(column, text, "a number that is clear: 1.234 or 1234")
    mantissa, _, exponent = plain.replace(",", ".").lower().partition("e")
    decimals = len(mantissa.partition(".")[2])
    value = float(f"{mantissa}e{exponent or 0}")
    if abs(value) == float("inf"):
        raise CellError(column, text, "a number of a size that can be written out")
    return value, 0.5 * 10.0 ** (int(exponent or 0) - decimals)


def unit(text: str, kind: str) -> u.UnitBase:
    """Return a cell's unit for a kind of quantity, or raise `CellError`."""
    base, accepted = _KINDS[kind]
    if not text and kind in ("clock", "picture", "part"):
        return base
    found = _SIGNS.get(text)
    if found is None and re.fullmatch(r"[A-Za-zµμÅ]+", text):
        try:
            found = u.Unit(text)
        except ValueError:
            found = None
    if found is not None and found.is_equivalent(base):
        return found
    if found is not None and kind == "picture" and found.is_equivalent(u.m):
        return found
    raise CellError("unit", text, accepted)


def length(text: str | None, option: str) -> u.Quantity | None:
    """Return the length written in an option such as 20mm, None where it is not given."""
    if text is None:
        return None
    digits, sign = re.fullmatch(r"\s*([^a-zA-Zµ\"'′″]*)(.*?)\s*", text).groups()
    value = number(digits, option, False)[0] * unit(sign, "length")
    if value <= 0 * u.m:
        raise ValueError(f"{option} must be longer than nothing, found {text}")
    return value


def clock(text: str, zone: str = "") -> Clock:
    """Return a `Clock` from ISO 8601 text, or raise `CellError`.

    The text may have a date and a zone; where it has no zone, the given one holds, if any.
    """
    found = _CLOCK.fullmatch(text.strip())
    try:
        if not found:
            raise ValueError
        moment = found["clock"]
        if re.match(r"[0-9]:", moment):  # people write 1:32 for 01:32
            moment = f"0{moment}"
        if not re.match(r"[0-9]{2}:?[0-9]{2}", moment):
            raise ValueError
        read = time.fromisoformat(moment)
        if zone and read.tzinfo is None:
            read = time.fromisoformat(moment + zone)
        day = date.fromisoformat(found["day"]) if found["day"] else None
    except ValueError:
        accepted = "a clock time such as 03:34, 03:34:20 or 2029-06-26T03:34:20+02:00"
        raise CellError("value", text, accepted) from None
    offset = read.utcoffset()
    seconds = read.hour * 3600 + read.minute * 60 + read.second + read.microsecond / 1e6
    return Clock(seconds, day, None if offset is None else offset / timedelta(seconds=1))


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
    return (0.5 if re.search(r":?[0-9]{2}:[0-9]{2}:[0-9]{2}", text) else 30.0) * u.s


def day(text: str) -> date:
    """Return a date from ISO 8601 text, or raise `CellError`."""
    try:
        return datetime.strptime(text.strip(), "%Y-%m-%d").date()
    except ValueError:
        raise CellError("value", text, "a date such as 2029-06-26") from None


def word(text: str, words: Iterable[str], column: str = "value") -> str:
    """Return which of the words a cell says, in any letter case, or raise `CellError`."""
    said = re.sub(r"[\s_-]+", "_", text.strip().casefold())
    if said not in words:
        raise CellError(column, text, " or ".join(words))
    return said
