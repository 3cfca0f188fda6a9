"""A place on the ground: its sky at an instant, and its clocks."""

from dataclasses import dataclass
from datetime import UTC
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import erfa
import numpy as np
from astropy import units as u

from moonreach.sky.clock import J2000, delta_t

_WGS84 = 1  # erfa's number for that ellipsoid


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
        latitude, longitude = self.latitude.to_value(u.deg), self.longitude.to_value(u.deg)
        if not -90 <= latitude <= 90:
            raise ValueError(f"latitude must lie between -90 and 90 degrees, found {latitude:g}")
        if not -180 <= longitude <= 360:
            raise ValueError(
                f"longitude must lie between -180 and 180 degrees, east positive, "
                f"found {longitude:g}"
            )
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

    def local(self, instant):
        """Return the civil time at this place, a datetime with its zone, of a UTC datetime64."""
        return np.datetime64(instant, "us").item().replace(tzinfo=UTC).astimezone(self.clock)


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
