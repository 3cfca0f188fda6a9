"""Which evenings to go out: a nearly full Moon for the sighting rod, a half Moon for the Sun.

At quadrature the Moon stands 90 degrees from the Sun along the ecliptic, seen from the Earth. It is
half lit some 17 minutes nearer to the new Moon, because the Sun is not infinitely far away.
"""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from itertools import islice

import erfa
import numpy as np
from astropy import units as u

from moonreach.sky.bodies import (
    Body,
    lit_fraction,
    moon_at,
    moon_vectors,
    root_near,
    sun_at,
    sun_vectors,
)
from moonreach.sky.clock import J2000, days_of, utc_of
from moonreach.sky.place import Place

DARK = -6 * u.deg  # the end of civil twilight; the rod is never used while the Sun is up
HIGH, FULL = 15 * u.deg, 0.95  # of the Moon for the rod, and of its disc in sunlight
HOURS = 18, 22  # of the local clock, when a class can be out; common practice, no source
_STEP = timedelta(minutes=10)
_LONG_ENOUGH = np.timedelta64(30, "m")  # for five readings of each kind by several observers
_MONTH = 29.530589  # days, from new Moon to new Moon
_ELONGATION = 297.8502  # degrees at J2000.0, of the mean Moon from the mean Sun (Meeus ch. 47)
_UP = 10 * u.deg


@dataclass(frozen=True)
class SightingEvening:
    """One evening: local date, from when until when (UTC) the Moon stands well for the rod.

    The Moon as seen from the place (its distance is what the rod measures) and the lit fraction of
    the disc are of the first moment; `last_altitude` is the Moon's at the last.
    """

    date: date
    first: np.datetime64
    last: np.datetime64
    moon: Body
    last_altitude: u.Quantity
    lit: float


def sighting_evenings(place: Place, start, end, count=8):
    """Return the first evenings between two dates with a high, nearly full Moon in a dark sky.

    For half an hour at least between the local `HOURS` (by the Sun where the zone is UTC), looked
    at every ten minutes, the Moon must be as high as `HIGH` and as full as `FULL`, and the Sun 6
    degrees down. `start` and `end` are dates. Returns at most `count` of `SightingEvening`.

    >>> place = Place(52.1 * u.deg, 5.2 * u.deg, zone="UTC")
    >>> evening = sighting_evenings(place, date(2026, 12, 1), date(2027, 12, 1), count=1)[0]
    >>> str(evening.date), round(evening.lit, 2), evening.moon.altitude.round(0)
    ('2026-12-22', 0.97, <Quantity 36. deg>)
    """
    days = [start + timedelta(days=n) for n in range((end - start).days)]
    lit = lit_fraction(days_of([_utc(place, day, sum(HOURS) / 2) for day in days]))
    bright = (day for day, part in zip(days, lit, strict=True) if part > FULL - 0.01)
    evenings = (_evening(place, day) for day in bright)
    return list(islice(filter(None, evenings), count))


def _evening(place, day):
    """Return the `SightingEvening` of a date, or None."""
    first, last = (_utc(place, day, hour) for hour in HOURS)
    instants = np.arange(first, last + _STEP, _STEP)
    high = moon_at(instants, place).altitude >= HIGH
    lit = lit_fraction(days_of(instants))
    well = high & (lit >= FULL) & (sun_at(instants, place).altitude < DARK)
    if not well.any():
        return None
    first, last = np.flatnonzero(well)[[0, -1]]
    if instants[last] - instants[first] < _LONG_ENOUGH:
        return None
    moon, later = (moon_at(instants[one], place) for one in (first, last))
    lit = float(lit[first])
    return SightingEvening(day, instants[first], instants[last], moon, later.altitude, lit)


def _utc(place, day, hour):
    """Return the UTC datetime64 of a local clock hour; 24 is the next midnight."""
    clock = place.evening_clock
    local = datetime(day.year, day.month, day.day, tzinfo=clock) + timedelta(hours=hour)
    return np.datetime64(local.astimezone(UTC).replace(tzinfo=None), "m")


@dataclass(frozen=True)
class HalfMoon:
    """One half Moon: the instants of half phase and of quadrature (UTC), waxing or waning.

    Both are for the Earth's centre. Altitudes at half phase, without refraction, are None without a
    place; `up` says whether the Moon then stands at least 10 degrees high.
    """

    half: np.datetime64
    quadrature: np.datetime64
    waxing: bool
    moon_altitude: u.Quantity | None = None
    sun_altitude: u.Quantity | None = None

    @property
    def up(self):
        """Whether the Moon stands at least 10 degrees high at half phase."""
        return self.moon_altitude is not None and bool(self.moon_altitude >= _UP)


def half_moons(start, end, place: Place | None = None):
    """Return every `HalfMoon` whose half phase lies between two dates, in order of time.

    `start` and `end` are dates or instants, the end left out; with a `place` the altitudes of Moon
    and Sun there are found. Raises ValueError for dates outside 1900 to 2100.

    >>> march = half_moons("2029-03-01", "2029-04-01")
    >>> [str(one.half.astype("M8[m]")) for one in march if one.waxing]
    ['2029-03-23T07:14']
    """
    first, last = (float(days_of(date)) for date in (start, end))
    count = np.arange(np.floor(first / _MONTH * 2) - 3, last / _MONTH * 2 + 4)
    waxing = count % 2 == 0
    wanted = np.where(waxing, 90.0, 270.0)
    mean = (np.floor(count / 2) + (wanted - _ELONGATION) / 360) * _MONTH
    quadrature = root_near(_past_quadrature, mean)
    half = root_near(lambda days: lit_fraction(days) - 0.5, quadrature)
    inside = (half >= first) & (half < last)
    half, quadrature = utc_of(half[inside]), utc_of(quadrature[inside])
    heights = [[None] * len(half)] * 2
    if place is not None:
        heights = [body_at(half, place).altitude for body_at in (moon_at, sun_at)]
    rows = zip(half, quadrature, waxing[inside].tolist(), *heights, strict=True)
    return [HalfMoon(*row) for row in rows]


def _past_quadrature(days):
    """Degrees by which the Moon is past its nearest quadrature, along the ecliptic of date."""
    frame = erfa.ecm06(J2000, days)
    moon, sun = (erfa.c2s(erfa.rxp(frame, of(days)))[0] for of in (moon_vectors, sun_vectors))
    return np.degrees(moon - sun) % 180 - 90
