"""Put a night's clock times, with or without date and zone, on one time line."""

from datetime import date

from astropy import units as u

from moonreach.lessons.refuse import Impossible
from moonreach.sheet.cells import Clock

_DAY = 86_400
_EPOCH = date(2000, 1, 1).toordinal()


def place(clocks: list[Clock]) -> list[u.Quantity]:
    """Return each clock time's seconds from the first dated one, or from the first.

    Parameters: a list of `cells.Clock`. Times without a date fall within 12 hours of that one, so
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


def _seconds(clock, zone):
    days = clock.day.toordinal() - _EPOCH if clock.day else 0
    offset = zone if clock.offset is None else clock.offset
    return days * _DAY + clock.seconds - offset
