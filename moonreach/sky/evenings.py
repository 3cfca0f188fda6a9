"""Evenings on which the nearly full Moon stands well for the sighting rod."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone

import numpy as np
from astropy import units as u

from moonreach.sky.bodies import moon_vectors, sun_vectors
from moonreach.sky.clock import days_of
from moonreach.sky.place import Place, azimuth_and_altitude, from_place

_DARK = -6 * u.deg  # the end of civil twilight; the rod is never used while the Sun is up
_STEP = timedelta(minutes=10)


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
        for one, lit in zip(month, _lit(days), strict=True):
            if lit > least_lit - 0.01:  # the evening's middle; it changes by less in the span
                found += _evening(place, one, hours, least_altitude, least_lit)
        day = month[-1] + timedelta(days=1)
    return found[:count]


def _evening(place, day, hours, least_altitude, least_lit):
    """Return the one `SightingEvening` of a date in a list, or an empty list."""
    first, last = (_utc(place, day, hour) for hour in hours)
    instants = np.arange(first, last + _STEP, _STEP)
    days = days_of(instants)
    azimuth, altitude, moon = _seen(moon_vectors, days, place)
    dark = _seen(sun_vectors, days, place)[1] < _DARK
    well = dark & (altitude >= least_altitude) & (_lit(days) >= least_lit)
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
            lit=float(_lit(days[first : first + 1])[0]),
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


def _seen(vectors, days, place):
    seen = from_place(vectors(days), days, place)
    return *azimuth_and_altitude(seen, days, place), seen


def _lit(days):
    """Return the lit fraction of the Moon's disc (Meeus ch. 48), seen from the Earth's centre."""
    moon, sun = moon_vectors(days), sun_vectors(days)
    to_earth, to_sun = -moon, sun - moon
    cosine = (to_earth * to_sun).sum(axis=-1)
    cosine /= np.linalg.norm(to_earth, axis=-1) * np.linalg.norm(to_sun, axis=-1)
    return (1 + cosine) / 2
