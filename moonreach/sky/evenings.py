"""Which evenings to go out: a nearly full Moon for the sighting rod, a half Moon for the Sun.

At quadrature the Moon stands 90 degrees from the Sun along the ecliptic, seen from the Earth. It is
half lit some 17 minutes nearer to the new Moon, because the Sun is not infinitely far away.
"""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone

import erfa
import numpy as np
from astropy import units as u

from moonreach.sky.bodies import lit_fraction, moon_vectors, root_near, sun_vectors
from moonreach.sky.clock import J2000, days_of, utc_of
from moonreach.sky.place import Place, seen_at

_DARK = -6 * u.deg  # the end of civil twilight; the rod is never used while the Sun is up
_STEP = timedelta(minutes=10)
_MONTH = 29.530589  # days, from new Moon to new Moon
_ELONGATION = 297.8502  # degrees at J2000.0, of the mean Moon from the mean Sun (Meeus ch. 47)
_UP = 10 * u.deg


@dataclass(frozen=True)
class SightingEvening:
    """One evening: local date, from when until when (UTC) the Moon stands well for the rod.

    Altitude and azimuth, the topocentric distance (what the rod measures) and the lit fraction of
    the disc are of the first moment.
    """

    date: date
    first: np.datetime64
    last: np.datetime64
    altitude: u.Quantity
    azimuth: u.Quantity
    distance: u.Quantity
    lit: float


def sighting_evenings(
    place: Place, start, end, count=8, least_altitude=15 * u.deg, hours=(18, 22), least_lit=0.95
):
    """Return the first evenings between two dates with a high, nearly full Moon in a dark sky.

    `hours` is the span of local clock hours (by the Sun where the zone is UTC), looked at every
    ten minutes; the Moon must be at least that high and that full, the Sun at least 6 degrees
    down. `start` and `end` are dates. Returns at most `count` of `SightingEvening`. Raises
    ValueError for hours that are no span within one day.

    >>> place = Place(52.1 * u.deg, 5.2 * u.deg, zone="UTC")
    >>> evening = sighting_evenings(place, date(2026, 12, 1), date(2027, 12, 1), count=1)[0]
    >>> str(evening.date), round(evening.lit, 2), evening.altitude.round(0)
    ('2026-12-22', 0.97, <Quantity 36. deg>)
    """
    if not 0 <= hours[0] < hours[1] <= 24:
        raise ValueError(
            f"evening hours must run from an earlier to a later hour of one day, found {hours}"
        )
    found, day = [], start
    while len(found) < count and day < end:
        month = [day + timedelta(days=n) for n in range(min(30, (end - day).days))]
        middle = sum(hours) / 2
        days = days_of([_utc(place, one, middle) for one in month])
        for one, lit in zip(month, lit_fraction(days), strict=True):
            if lit > least_lit - 0.01:  # the evening's middle; it changes by less in the span
                found += _evening(place, one, hours, least_altitude, least_lit)
        day = month[-1] + timedelta(days=1)
    return found[:count]


def _evening(place, day, hours, least_altitude, least_lit):
    """Return the one `SightingEvening` of a date in a list, or an empty list."""
    first, last = (_utc(place, day, hour) for hour in hours)
    instants = np.arange(first, last + _STEP, _STEP)
    days = days_of(instants)
    moon, azimuth, altitude = seen_at(moon_vectors(days), days, place)
    sun_altitude = seen_at(sun_vectors(days), days, place)[2]
    lit = lit_fraction(days)
    well = (sun_altitude < _DARK) & (altitude >= least_altitude) & (lit >= least_lit)
    if not well.any():
        return []
    first, last = np.flatnonzero(well)[[0, -1]]
    return [
        SightingEvening(
            date=day,
            first=instants[first],
            last=instants[last],
            altitude=altitude[first],
            azimuth=azimuth[first],
            distance=np.linalg.norm(moon[first]) * u.km,
            lit=float(lit[first]),
        )
    ]


def _utc(place, day, hour):
    """Return the UTC datetime64 of a local clock hour; 24 is the next midnight.

    A place on UTC has its evening by the Sun: the whole hours of its longitude away.
    """
    clock = place.clock
    if clock is UTC:
        longitude = (place.longitude.to_value(u.deg) + 180) % 360 - 180
        clock = timezone(timedelta(hours=round(longitude / 15)))
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
    inside = np.flatnonzero((half >= first) & (half < last))
    altitudes = [(None, None)] * len(inside)
    if place is not None:
        days = half[inside]
        altitudes = zip(
            *(seen_at(of(days), days, place)[2] for of in (moon_vectors, sun_vectors)), strict=True
        )
    return [
        HalfMoon(utc_of(half[i]), utc_of(quadrature[i]), bool(waxing[i]), *heights)
        for i, heights in zip(inside, altitudes, strict=True)
    ]


def _past_quadrature(days):
    """Degrees by which the Moon is past its nearest quadrature, along the ecliptic of date."""
    frame = erfa.ecm06(J2000, days)
    moon, sun = (erfa.c2s(erfa.rxp(frame, of(days)))[0] for of in (moon_vectors, sun_vectors))
    return np.degrees(moon - sun) % 180 - 90
