"""Half Moons: when exactly half of the disc is lit, when the Moon is in quadrature, and from where.

At quadrature the Moon stands 90 degrees from the Sun along the ecliptic, seen from the Earth. It is
half lit some 17 minutes nearer to the new Moon, because the Sun is not infinitely far away.
"""

from dataclasses import dataclass

import erfa
import numpy as np
from astropy import units as u

from moonreach.sky.bodies import moon_vectors, sun_vectors
from moonreach.sky.clock import J2000, days_of, utc_of
from moonreach.sky.place import Place, azimuth_and_altitude, from_place

_MONTH = 29.530589  # days, from new Moon to new Moon
_ELONGATION = 297.8502  # degrees at J2000.0, of the mean Moon from the mean Sun (Meeus ch. 47)
_UP = 10 * u.deg


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
    quadrature = _reached(_past_quadrature, mean)
    half = _reached(lambda days: _past_half(days) * np.where(waxing, 1, -1), quadrature)
    inside = np.flatnonzero((half >= first) & (half < last))
    altitudes = [(None, None)] * len(inside)
    if place is not None:
        altitudes = zip(*(_altitude(of, half[inside], place) for of in _BODIES), strict=True)
    return [
        HalfMoon(utc_of(half[i]), utc_of(quadrature[i]), bool(waxing[i]), *heights)
        for i, heights in zip(inside, altitudes, strict=True)
    ]


_BODIES = moon_vectors, sun_vectors


def _reached(past, days):
    """Return when an angle that grows as the mean elongation does is reached, near given days."""
    for _ in range(9):  # the true rate differs by a sixth at most, so each step leaves a sixth
        days = days - past(days) / 360 * _MONTH
    return days


def _past_quadrature(days):
    """Degrees by which the Moon is past its nearest quadrature, along the ecliptic of date."""
    frame = erfa.ecm06(J2000, days)
    moon, sun = (erfa.c2s(erfa.rxp(frame, of(days)))[0] for of in _BODIES)
    return np.degrees(moon - sun) % 180 - 90


def _past_half(days):
    """Degrees by which the angle at the Moon between Earth and Sun is short of 90."""
    moon = moon_vectors(days)
    to_sun = sun_vectors(days) - moon
    cosine = -(moon * to_sun).sum(axis=-1)
    cosine /= np.linalg.norm(moon, axis=-1) * np.linalg.norm(to_sun, axis=-1)
    return np.degrees(np.arcsin(cosine))


def _altitude(vectors, days, place):
    return azimuth_and_altitude(from_place(vectors(days), days, place), days, place)[1]
