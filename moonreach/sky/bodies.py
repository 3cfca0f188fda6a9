"""The Sun and the Moon: direction, distance, semidiameter, parallax; from the Earth or a place.

The Moon is ERFA's `moon98` (Meeus), the Sun the Earth of `epv00` seen backwards (VSOP2000, short
form); both with light time, which for the Sun is also the aberration. Inner functions take days
of TT since J2000.0 and return kilometres in ICRF axes.
"""

from dataclasses import dataclass

import erfa
import numpy as np
from astropy import units as u

from moonreach.lessons import today
from moonreach.sky.clock import J2000, days_of
from moonreach.sky.place import Place, of_date, seen_at

AU_KM = erfa.DAU / 1e3
_LIGHT_DAY = erfa.CMPS * 86.4  # km that light goes in a day
_SUN_PULL = 0.01720209895**2  # Gauss's constant: au**3 / day**2

_NODES = 0.165 * np.cos(np.pi * (np.arange(6) + 0.5) / 6)  # days: half of the longest eclipse
_TO_SERIES = np.linalg.inv(np.vander(_NODES, increasing=True))


def moon_vectors(days):
    """Return the Moon as seen from the Earth's centre, km, shape (..., 3)."""
    light = today.MOON_DISTANCE.value / _LIGHT_DAY
    return erfa.moon98(J2000, np.asarray(days) - light)["p"] * AU_KM


def moon_near(middle):
    """Return what tells the Moon's vectors, km, (n, j, 3), from days (n, j) after `middle` (n).

    A polynomial through six nodes, for half an eclipse either way.
    """
    series = _TO_SERIES @ moon_vectors(middle[:, None] + _NODES)
    return lambda days: (days[..., None] ** np.arange(6)) @ series


def sun_vectors(days):
    """Return the Sun as seen from the Earth's centre, km, shape (..., 3)."""
    return sun_near(days)(0.0)


def sun_near(middle):
    """Return what tells the Sun's vectors, km, shape (..., 3), from days (hours) after `middle`.

    One call of `epv00`, the dearest function here, for each middle: from there the Earth falls
    freely round the Sun, which two terms follow to 0.01" over half a day.
    """
    # The inner call: its status only says that 1900 to 2100 is left, which `days_of` refuses.
    earth = erfa.ufunc.epv00(J2000, np.asarray(middle, float))[0]
    place, speed = earth["p"], earth["v"]
    distance = np.linalg.norm(place, axis=-1, keepdims=True)
    fall = -_SUN_PULL * place / distance**3

    def after(days):
        step = np.asarray(days)[..., None] - distance * AU_KM / _LIGHT_DAY
        return -(place + speed * step + fall * step**2 / 2) * AU_KM

    return after


@dataclass(frozen=True, eq=False)
class Body:
    """The Sun or the Moon at one or many instants, as seen from the Earth's centre or a place.

    Right ascension and declination are apparent, of the date's equator and equinox; the distance
    is to the centre; the parallax is the equatorial horizontal one. Altitude (without refraction)
    and azimuth (from north through east) are None without a place.
    """

    right_ascension: u.Quantity
    declination: u.Quantity
    distance: u.Quantity
    semidiameter: u.Quantity
    parallax: u.Quantity
    altitude: u.Quantity | None = None
    azimuth: u.Quantity | None = None


def moon_at(time, place: Place | None = None) -> Body:
    """Return the Moon as a `Body` seen from the Earth's centre or from a `Place`.

    `time` is a datetime64, datetime or ISO 8601 text (UTC without a zone); ERFA's
    `moon98` (Meeus ch. 47), within 20 km of DE421.

    >>> moon_at("1992-04-11T23:59:01").distance.round()  # Meeus, example 47.a
    <Quantity 368410. km>
    """
    return _body_at(moon_vectors, today.MOON_RADIUS, time, place)


def sun_at(time, place: Place | None = None) -> Body:
    """Return the Sun as a `Body` seen from the Earth's centre or from a `Place`."""
    return _body_at(sun_vectors, today.SUN_RADIUS, time, place)


def _body_at(vectors_at, radius, time, place):
    days = days_of(time)
    vectors = vectors_at(days)
    seen, azimuth, altitude = of_date(vectors, days), None, None
    if place:
        seen, azimuth, altitude = seen_at(vectors, days, place)
    right_ascension, declination, distance = erfa.p2s(seen)
    earth = today.EARTH_EQUATORIAL_RADIUS / (np.linalg.norm(vectors, axis=-1) * u.km)
    return Body(
        right_ascension=np.degrees(right_ascension % (2 * np.pi)) * u.deg,
        declination=np.degrees(declination) * u.deg,
        distance=distance * u.km,
        semidiameter=np.arcsin(radius / (distance * u.km)).to(u.arcmin),
        parallax=np.arcsin(earth).to(u.arcmin),
        altitude=altitude,
        azimuth=azimuth,
    )


def lit_fraction(days):
    """Return the lit fraction of the Moon's disc seen from the Earth's centre (Meeus ch. 48)."""
    moon = moon_vectors(days)
    return (1 + np.cos(erfa.sepp(-moon, sun_vectors(days) - moon))) / 2


def root_near(function, start):
    """Return where a function of days vanishes, near given days: an array, NaN where NaN.

    The secant method, for every element at once; `function` takes and returns an array.
    """
    before, now = start, start + 1e-3
    was, value = function(before), function(now)
    for _ in range(6):
        change = np.where(value == was, 1.0, value - was)
        before, now = now, now - value * (now - before) / change
        was, value = value, function(now)
    return now
