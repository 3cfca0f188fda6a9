"""The practice group's night: the usual invented one, or that of a real total eclipse.

The group and its hands are invented and always the same; under a real night the sky is that
night's own. Nothing depends on today's date.
"""

from dataclasses import replace
from functools import cache, lru_cache
from pathlib import Path

import numpy as np
from astropy import units as u

from moonreach.exercises import Readings
from moonreach.practice import invented as practice
from moonreach.practice.further import further_rows
from moonreach.sheet import tables, writing
from moonreach.sheet.origin import Origin

USUAL = ""  # the night that no calendar knows
NAME = "Crane"  # no group of the practice class
# How near to the middle of the shadow the Moon passed, by its path offset in shadow radii. Up to
# 0.2 the central formula is within 5 % (docs/accuracy.md).
_PATHS = (
    (0.1, "right through the middle of the shadow"),
    (0.2, "nearly through the middle"),
    (0.4, "well away from the middle"),
    (0.55, "far from the middle"),
    (1.0, "just inside the shadow's edge"),
)


def practice_rows(night=USUAL):
    """Return the rows of the invented practice group, all quantities, always the same.

    Parameters: the date of a total eclipse, or nothing for the usual night. On that one the Moon
    passed somewhat off the middle of the shadow, as on most. Raises ValueError as `sky_truth`.

    >>> [str(row.value) for row in practice_rows("2029-06-26") if row.quantity == "eclipse_date"]
    ['2029-06-26']
    """
    if night == USUAL:
        truth = practice.Truth(offset=0.25, south_zenith_distance=31.4 * u.deg)
    else:
        from moonreach.practice.real_night import sky_truth  # here: the usual night needs no sky

        truth = sky_truth(night)
    generator, name = np.random.default_rng(36), NAME
    rows = practice.group_rows(name, truth, practice.Hands(), generator)
    return rows + further_rows(name, np.random.default_rng([12, 48]))


def practice_readings(rows=()):
    """Return the `Readings` of the invented practice group, or of a group's rows."""
    (name, read), *_ = tables.of_rows(rows or practice_rows()).groups().items()
    return reduced(name, tuple(replace(row, origin=Origin.PRACTICE) for row in read), True)


@lru_cache(maxsize=16)
def _readings_of(night):
    return practice_readings(practice_rows(night))


@lru_cache(maxsize=16)
def reduced(group, rows, invented=False):
    """Return a group's `Readings`, reduced once however many cells ask for the same rows.

    Parameters: the group's name, a tuple of each `Reading`, whether it is the practice group.
    """
    return Readings(group, list(rows), invented)


@cache
def nights():
    """Return the total eclipses of 2000 to 2040 in words, a dict by date (UTC).

    >>> nights()["2029-06-26"]
    '2029-06-26: right through the middle of the shadow, total for 102 min'
    """
    from moonreach import sky

    eclipses = sky.lunar_eclipses("2000-01-01", "2041-01-01")
    found = {}
    for eclipse in (eclipses[i] for i in np.flatnonzero(eclipses.kind == "total")):
        date = str(eclipse.greatest.astype("M8[D]"))
        path = next(words for end, words in _PATHS if eclipse.path_offset < end)
        total = (eclipse.contacts[3] - eclipse.contacts[2]) / np.timedelta64(1, "m")
        found[date] = f"{date}: {path}, total for {total:.0f} min"
    return found


class PracticeNight:
    """The practice group's readings on its night, which a work folder remembers.

    `date` is that of the total eclipse, or `USUAL`; `readings` are the group's.
    """

    def __init__(self, work, rows=()):
        """Take the night that a folder remembers, or rows of another practice group."""
        self._path = Path(work) / "practice_night.txt"
        self.date = USUAL
        if not rows and self._path.exists():
            kept = self._path.read_bytes().decode("utf-8", "replace").strip()
            self.date = kept if kept in nights() else USUAL
        self.readings = practice_readings(rows) if rows else _readings_of(self.date)

    def __str__(self):
        sky = f" under the real sky of {self.date}" if self.date else ""
        return f"{self.readings.group}, an invented practice group{sky}"

    def change(self, date):
        """Take another night and remember it; return a remark where that cannot be."""
        self.readings = _readings_of(date)
        self.date = date
        folder = self._path.parent
        try:
            folder.mkdir(parents=True, exist_ok=True)
            writing.replace(self._path, f"{date}\n")
        except OSError as error:
            return f" It will not be remembered: {folder} cannot be used ({error.strerror})."
        return ""
