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


def from_place(vectors, days, place):
    """Return of-date vectors in km from a place to what the geocentric ICRF vectors point at."""
    ground = np.asarray(
        erfa.gd2gc(
            _WGS84,
            place.longitude.to_value(u.rad),
            place.latitude.to_value(u.rad),
            place.height.to_value(u.m),
        )
    )
    return of_date(vectors, days) - _turned(ground / 1e3, -sidereal_time(days))


def azimuth_and_altitude(seen, days, place):
    """Return azimuth (from north through east) and altitude in degrees, without refraction."""
    local = _turned(seen, sidereal_time(days) + place.longitude.to_value(u.rad))
    latitude = place.latitude.to_value(u.rad)
    sine, cosine = np.sin(latitude), np.cos(latitude)
    north = cosine * local[..., 2] - sine * local[..., 0]
    zenith = cosine * local[..., 0] + sine * local[..., 2]
    azimuth = np.degrees(np.arctan2(local[..., 1], north)) % 360
    altitude = np.degrees(np.arctan2(zenith, np.hypot(north, local[..., 1])))
    return azimuth * u.deg, altitude * u.deg


def sidereal_time(days):
    """Return Greenwich apparent sidereal time in radians, UT1 taken as UTC (0.9 s at most).

    Beyond ERFA's table of leap seconds the difference may grow to a minute or two by 2100: half
    a degree of the sky.
    """
    return erfa.gst00b(J2000, np.asarray(days) - delta_t(days) / 86_400)


def _turned(vectors, angle):
    """Return the components of vectors in axes turned by an angle about the pole."""
    vectors = np.asarray(vectors)
    cosine, sine = np.cos(angle), np.sin(angle)
    x = cosine * vectors[..., 0] + sine * vectors[..., 1]
    y = cosine * vectors[..., 1] - sine * vectors[..., 0]
    return np.stack(np.broadcast_arrays(x, y, vectors[..., 2]), axis=-1)
