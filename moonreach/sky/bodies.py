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
from moonreach.sky.place import Place, azimuth_and_altitude, from_place, of_date

AU_KM = erfa.DAU / 1e3
_LIGHT_DAY = erfa.CMPS * 86.4  # km that light goes in a day
_SUN_PULL = 0.01720209895**2  # Gauss's constant: au**3 / day**2


def moon_vectors(days):
    """Return the Moon as seen from the Earth's centre, km, shape (..., 3)."""
    light = today.MOON_DISTANCE.value / _LIGHT_DAY
    return erfa.moon98(J2000, np.asarray(days) - light)["p"] * AU_KM


def sun_vectors(days):
    """Return the Sun as seen from the Earth's centre, km, shape (..., 3)."""
    days = np.asarray(days, float)
    return sun_vectors_around(days, np.zeros(1))[..., 0, :]


def sun_vectors_around(middle, offsets):
    """Return the Sun at `middle` + each offset (hours at most), km, shape (..., offsets, 3).

    One call of `epv00`, the dearest function here, for each middle: from there the Earth falls
    freely round the Sun, which two terms follow to 0.01" over half a day.
    """
    # The inner call: its status only says that 1900 to 2100 is left, which `days_of` refuses.
    earth = erfa.ufunc.epv00(J2000, np.asarray(middle, float))[0]
    place, speed = earth["p"][..., None, :], earth["v"][..., None, :]
    distance = np.linalg.norm(place, axis=-1, keepdims=True)
    step = offsets[:, None] - distance * AU_KM / _LIGHT_DAY
    fall = -_SUN_PULL * place / distance**3
    return -(place + speed * step + fall * step**2 / 2) * AU_KM


def moon_distance_at(time, place=None):
    """Return the distance of the Moon's centre from the Earth's centre, or from a place, in km.

    `time` is a `Time`, datetime64, datetime or ISO 8601 text (UTC without a zone); ERFA's
    `moon98` (Meeus ch. 47), within 20 km of DE421.

    >>> moon_distance_at("1992-04-11T23:59:01").round()  # Meeus, example 47.a
    <Quantity 368410. km>
    """
    return moon_at(time, place).distance


def moon_at(time, place=None):
    """Return the Moon as a `Body` seen from the Earth's centre or from a `Place`."""
    days = days_of(time)
    return _body(moon_vectors(days), days, place, today.MOON_RADIUS)


def sun_at(time, place=None):
    """Return the Sun as a `Body` seen from the Earth's centre or from a `Place`."""
    days = days_of(time)
    return _body(sun_vectors(days), days, place, today.SUN_RADIUS)


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


def _body(vectors, days, place: Place | None, radius):
    """Return the `Body` of geocentric vectors."""
    geocentric = np.linalg.norm(vectors, axis=-1)
    seen = from_place(vectors, days, place) if place else of_date(vectors, days)
    longitude, latitude = erfa.c2s(seen)
    distance = np.linalg.norm(seen, axis=-1)
    azimuth, altitude = azimuth_and_altitude(seen, days, place) if place else (None, None)
    return Body(
        right_ascension=np.degrees(longitude % (2 * np.pi)) * u.deg,
        declination=np.degrees(latitude) * u.deg,
        distance=distance * u.km,
        semidiameter=(np.arcsin(radius.to_value(u.km) / distance) * u.rad).to(u.arcmin),
        parallax=(np.arcsin(today.EARTH_EQUATORIAL_RADIUS.value / geocentric) * u.rad).to(u.arcmin),
        altitude=altitude,
        azimuth=azimuth,
    )
