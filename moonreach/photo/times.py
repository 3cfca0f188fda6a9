"""When a picture was taken: from a table, from the camera's own data, or from the file's name."""

import re
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import numpy as np

from moonreach.lessons.refuse import Impossible, require

IN_A_NAME = re.compile(r"(20\d\d)\D?(\d\d)\D?(\d\d)\D?(\d\d)\D?(\d\d)\D?(\d\d)(?!\d)")
ROW = (
    "{}, row {}: found {!r}; accepted is a picture's file name, a comma and its time with offset "
    "from UTC, such as partial_1.jpg,2031-05-06T22:03:04+02:00"
)
OFFSET = "found {} as the clock's offset from UTC; accepted are -12 to 14 hours"


class Timing:
    """How the times of a night's pictures are found.

    table: times with their offsets, by file name; offset: in hours from UTC, of clocks that do not
    say theirs; by_name: whether a time in a file's name counts.
    """

    def __init__(self, table=None, offset=None, by_name=False):
        """Refuse an offset that no clock has, and a name's time without one."""
        require(offset is None or -12 <= offset <= 14, OFFSET, offset)
        says = "a time in a file's name has no offset from UTC: say the clock's"
        require(not by_name or offset is not None, says)
        self.table, self.by_name = table or {}, by_name
        self.zone = None if offset is None else timezone(timedelta(hours=offset))

    def moment(self, picture):
        """Return when a `Picture` was taken, a numpy datetime in UTC, or None."""
        time = self.table.get(picture.file) or picture.taken
        if time is None and self.by_name and (digits := IN_A_NAME.search(picture.file)):
            time = read_clock(digits.groups())
        if time and not time.tzinfo:
            time = time.replace(tzinfo=self.zone) if self.zone else None
        return time and np.datetime64(time.astimezone(UTC).replace(tzinfo=None), "ms")


def read_clock(digits, offset=""):
    """Return the `datetime` of year, month, ... second as texts and an offset; None if none."""
    try:
        year, *rest = digits
        text = f"{year}-{rest[0]}-{rest[1]}T{':'.join(rest[2:])}{offset}"
        return datetime.fromisoformat(text)
    except (ValueError, IndexError):
        return None


def read_times(path):
    """Return the times of a table by file name.

    Parameters: a file with lines such as ``partial_1.jpg,2031-05-06T22:03:04+02:00``; a first line
    without a time is a header. Errors: `Impossible` naming the row.
    """
    times, path = {}, Path(path)
    try:
        lines = path.read_text(encoding="utf-8-sig").splitlines()
    except UnicodeDecodeError:
        raise Impossible(f"{path.name}: no table of times in UTF-8") from None
    for number, line in enumerate(lines, start=1):
        name, _, written = (part.strip() for part in line.rpartition(","))
        header = number == 1 and name and not re.search(r"\d", written)
        if not line.strip() or header:
            continue
        try:
            time = datetime.fromisoformat(written)
        except ValueError:
            time = None
        require(name and time and time.tzinfo, ROW, path.name, number, line)
        times[name] = time
    require(times, f"{path.name}: no time in it")
    return times
