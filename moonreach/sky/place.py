"""A place on the ground: its sky at an instant, and its clocks."""

import re
from dataclasses import dataclass
from datetime import UTC, date, timedelta, timezone
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import erfa
import numpy as np
from astropy import units as u

from moonreach.lessons.refuse import require
from moonreach.sky.clock import J2000, delta_t

_WGS84 = 1  # erfa's number for that ellipsoid
_NUMBER = r"(\d+(?:[.,]\d+)?)"
_ANGLE = re.compile(
    rf"([+-]?){_NUMBER}\s*°?\s*(?:{_NUMBER}\s*['′]?\s*(?:{_NUMBER}\s*[\"″]?\s*)?)?([NSEW]?)",
    re.IGNORECASE,
)
# The letters of the positive and the negative way, and the limits in degrees.
_WAYS = {"latitude": ("N", "S", -90, 90), "longitude": ("E", "W", -180, 360)}


@dataclass(frozen=True)
class Place:
    """A place: geodetic latitude, longitude (east positive), height and the name of its zone.

    Raises ValueError for a latitude, longitude or zone that does not exist.

    >>> Place(52.1 * u.deg, 5.2 * u.deg).latitude
    <Quantity 52.1 deg>
    """

    latitude: u.Quantity
    longitude: u.Quantity
    height: u.Quantity = 0 * u.m
    zone: str = "UTC"

    def __post_init__(self):
        for name, (_, _, least, most) in _WAYS.items():
            found = getattr(self, name).to_value(u.deg)
            limits = f"{name} must lie between {least} and {-least} degrees, found {{}}"
            require(least <= found <= most, limits, found)
        self.clock  # noqa: B018  # an unknown zone is refused here, not at the first use

    @property
    def clock(self):
        """The `tzinfo` of the place's civil time."""
        if self.zone == "UTC":  # known even where the machine has no zone data
            return UTC
        try:
            return ZoneInfo(self.zone)
        except (ZoneInfoNotFoundError, ValueError, OSError):
            raise ValueError(
                f"zone {self.zone!r} is not known; write an IANA name such as Europe/Amsterdam "
                "(on Windows, `pip install tzdata` brings the names)"
            ) from None

    @property
    def evening_clock(self):
        """The `tzinfo` by which the place has its evening: on UTC the whole hours of longitude."""
        if self.clock is not UTC:
            return self.clock
        longitude = (self.longitude.to_value(u.deg) + 180) % 360 - 180
        return timezone(timedelta(hours=round(longitude / 15)))

    def evening_of(self, instant) -> date:
        """Return the date of the evening with which the night of a UTC datetime64 began there."""
        utc = np.datetime64(instant, "us").item().replace(tzinfo=UTC)
        return (utc.astimezone(self.evening_clock) - timedelta(hours=12)).date()

    def local(self, instant):
        """Return the civil time at this place, a datetime with its zone, of a UTC datetime64."""
        return np.datetime64(instant, "us").item().replace(tzinfo=UTC).astimezone(self.clock)


def angle_of(text: str, name: str) -> u.Quantity:
    """Return the "latitude" or "longitude" that a text names, north and east positive.

    Raises ValueError for any other text.

    >>> angle_of("52°06'N", "latitude"), angle_of("5.2 W", "longitude")
    (<Quantity 52.1 deg>, <Quantity -5.2 deg>)
    """
    found = _ANGLE.fullmatch(text.replace("−", "-").strip())
    sign, *parts, way = found.groups() if found else ("",) * 5
    parts = [float((part or "0").replace(",", ".")) for part in parts]
    first, second, least, most = _WAYS[name]
    if not found or (sign and way) or way.upper() not in first + second or max(parts[1:]) >= 60:
        raise ValueError(
            f"{name} {text!r} cannot be read: write 52.1, 52.1{first} or 52°06'{first}; "
            f"{second} or a minus sign for the other side"
        )
    require(parts[0] <= most, f"{name} must lie between {least} and {-least} degrees, found {text}")
    size = parts[0] + parts[1] / 60 + parts[2] / 3600
    return (-size if sign == "-" or way.upper() == second else size) * u.deg


def zone_of(latitude: u.Quantity, longitude: u.Quantity) -> str:
    """Return the IANA name of the time zone in which a place lies; at sea that of its longitude."""
    from timezonefinder import TimezoneFinder  # only here: its map takes a third of a second

    east = (longitude.to_value(u.deg) + 180) % 360 - 180
    return TimezoneFinder().timezone_at(lng=east, lat=latitude.to_value(u.deg)) or "UTC"


def of_date(vectors, days):
    """Turn ICRF vectors to the true equator and equinox of date (IAU 2000B)."""
    return erfa.rxp(erfa.pnm00b(J2000, days), vectors)


def seen_at(vectors, days, place):
    """Return what geocentric ICRF vectors point at, as a place sees it at days of TT.

    Three arrays: vectors in km from the place (true equator and equinox of date), azimuth from
    north through east, and altitude without refraction, both in degrees.
    """
    longitude, latitude = place.longitude.to_value(u.rad), place.latitude.to_value(u.rad)
    ground = erfa.gd2gc(_WGS84, longitude, latitude, place.height.to_value(u.m))
    east, north, radius = erfa.p2s(ground)
    turned = sidereal_time(days)
    seen = of_date(vectors, days) - erfa.s2p(east + turned, north, radius / 1e3)
    right_ascension, declination = erfa.c2s(seen)
    hour_angle = turned + longitude - right_ascension
    azimuth, altitude = erfa.hd2ae(hour_angle, declination, latitude)
    return seen, np.degrees(azimuth) * u.deg, np.degrees(altitude) * u.deg


def sidereal_time(days):
    """Return Greenwich apparent sidereal time in radians, UT1 taken as UTC (0.9 s at most).

    Beyond ERFA's table of leap seconds the difference may grow to a minute or two by 2100: half
    a degree of the sky.
    """
    return erfa.gst00b(J2000, np.asarray(days) - delta_t(days) / 86_400)
