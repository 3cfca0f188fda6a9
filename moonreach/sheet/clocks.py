"""Clock times and dates: what one cell says, and a night's times on one line."""

import contextlib
import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np
from astropy import units as u

from moonreach.lessons.refuse import Impossible
from moonreach.sheet.cells import CellError

_DAY = 86_400
_EPOCH = date(2000, 1, 1).toordinal()
_DATES = ("%Y %m %d", "%d %b %Y", "%d %B %Y", "%b %d %Y", "%B %d %Y")  # read in one way only
_ORDERS = {None: ("%d %m %Y", "%m %d %Y"), True: ("%d %m %Y",), False: ("%m %d %Y",)}
_CLOCK = re.compile(
    r"(?:(?P<day>[0-9A-Za-z].*[0-9])[T,\s]\s*)?T?"
    r"(?P<hour>[0-9]{1,2})(?P<sign>[:.h]?)(?P<minute>[0-9]{2})"
    r"(?:(?P=sign)(?P<second>[0-9]{2})(?P<part>[.,][0-9]+)?)?"
    r"(?:\s*(?P<half>[ap])\.?m\.?|\s*h)?\s*(?P<zone>Z|UTC?|[+-][0-9]{2}(?::?[0-9]{2})?)?",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Clock:
    """A clock time: seconds of the day, with a date and an offset from UTC where given."""

    seconds: float
    day: date | None = None
    offset: float | None = None


def clock(text: str, zone: str = "", day_first: bool | None = None) -> Clock:
    """Return a `Clock` from ISO 8601 text or one as people write it, or raise `CellError`.

    The text may have a date, "am" or "pm" and a zone; where it has no zone, the given one holds,
    if any. 24:09 is nine minutes after the midnight that ends the day. Day first: see `day`.
    """
    found = _CLOCK.fullmatch(text.strip())
    accepted = "a clock time such as 03:34, 3:34 am, 03:34:20 or 2029-06-26T03:34:20+02:00"
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


def place(clocks: list[Clock]) -> list[u.Quantity]:
    """Return each clock time's seconds from the first dated one, or from the first.

    Parameters: a list of `Clock`. Times without a date fall within 12 hours of that one, so
    that a night may run over midnight; times without a zone are in the zone the others name.
    Returns a list of quantities. Raises `Impossible` when it cannot be told which zone.
    """
    zones = {clock.offset for clock in clocks} - {None}
    if len(zones) > 1 and any(clock.offset is None for clock in clocks):
        raise Impossible("some clock times name different zones and others none: name all or none")
    zone = next(iter(zones), 0)
    start = next((clock for clock in clocks if clock.day), clocks[0])
    zero = _seconds(start, zone)
    line = []
    for clock in clocks:
        since = _seconds(clock, zone) - zero
        if not (clock.day and start.day):
            since = (since + _DAY / 2) % _DAY - _DAY / 2
        line.append(since * u.s)
    return line


def since_2000(clock: Clock) -> u.Quantity:
    """Return the time since 2000 January 1, 12h, of a clock time that has a date."""
    if clock.day is None:
        raise Impossible("a noon needs its date: write it as 2029-06-21T12:35")
    return (_seconds(clock, 0) - _DAY / 2) * u.s


def instant(clock: Clock) -> np.datetime64:
    """Return the instant of a clock time that has a date, in UTC; without a zone it is taken so."""
    return np.datetime64("2000-01-01", "ms") + np.timedelta64(
        round(1000 * _seconds(clock, 0)), "ms"
    )


def _seconds(clock, zone):
    days = clock.day.toordinal() - _EPOCH if clock.day else 0
    offset = zone if clock.offset is None else clock.offset
    return days * _DAY + clock.seconds - offset
