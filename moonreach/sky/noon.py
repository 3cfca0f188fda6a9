"""Local apparent noon: when the Sun stands highest, and what the shadows of two places will be."""

from dataclasses import dataclass

import erfa
import numpy as np
from astropy import units as u

from moonreach.lessons import today
from moonreach.lessons.refuse import require
from moonreach.sky.bodies import root_near, sun_at, sun_vectors
from moonreach.sky.clock import days_of, utc_of
from moonreach.sky.place import Place, seen_at, sidereal_time

# How well the shadow of a 1 m gnomon is read: 2 mm, and a tenth of its blur, which is the Sun's
# width; common practice, no source.
READING, BLUR = 0.002, 0.10
# A pair is worth the work when that leaves the arc good to a tenth.
WORTH = 0.10


@dataclass(frozen=True, eq=False)
class Noon:
    """The Sun on a place's meridian: UTC instant, altitude, semidiameter, shadow's direction.

    The altitude is the centre's, without refraction (1' at 45 degrees).
    """

    instant: np.datetime64
    altitude: u.Quantity
    semidiameter: u.Quantity
    shadow_points: str

    @property
    def up(self):
        """Whether the whole Sun stands above the horizon."""
        return bool(self.altitude > self.semidiameter)

    @property
    def zenith_distance(self):
        """How far the Sun's centre stands from the zenith."""
        return 90 * u.deg - self.altitude

    def shadow(self, gnomon):
        """Return the expected lengths of the full shadow and to the middle of its blurred end.

        Raises ValueError where the Sun does not clear the horizon that noon.
        """
        none = "at noon of {} the Sun does not clear the horizon: there is no shadow to measure"
        require(self.up, none, str(self.instant)[:10])
        full = np.abs(self.zenith_distance - self.semidiameter)
        return gnomon * np.tan(full), gnomon * np.tan(self.zenith_distance)


@dataclass(frozen=True, eq=False)
class NoonPair:
    """Two places' noons of one date and the arc of the meridian between the places.

    `uncertainty` is the arc's relative standard uncertainty when each shadow of a 1 m gnomon is
    read to 2 mm and a tenth of its blur; `worth_measuring`: whether that is at most a tenth.
    """

    here: Noon
    partner: Noon
    arc: u.Quantity
    distance: u.Quantity
    uncertainty: float

    @property
    def worth_measuring(self):
        """Whether the arc is wide enough, and both Suns high enough, to be worth the work."""
        return bool(self.uncertainty <= WORTH)


def local_noon(place: Place, date):
    """Return the `Noon` of a place on a date (its own solar day; an hour given is dropped).

    >>> noon = local_noon(Place(0 * u.deg, 0 * u.deg), "2026-03-20")  # day of the equinox
    >>> str(noon.instant)[:16], noon.altitude.round(1)
    ('2026-03-20T12:07', <Quantity 90. deg>)
    """
    longitude = erfa.anpm(place.longitude.to_value(u.rad))

    def hour_angle(days):
        seen, _, _ = seen_at(sun_vectors(days), days, place)
        return erfa.anpm(sidereal_time(days) + longitude - erfa.c2s(seen)[0])

    days = root_near(hour_angle, np.round(float(days_of(date))) - longitude / (2 * np.pi))
    instant = utc_of(days)
    sun = sun_at(instant, place)
    return Noon(
        instant=instant,
        altitude=sun.altitude,
        semidiameter=sun.semidiameter,
        shadow_points="north" if 90 < sun.azimuth.value < 270 else "south",
    )


def noon_pair(here: Place, partner: Place, date):
    """Return the `NoonPair` of two places on a date: is the arc between them worth measuring?

    >>> pair = noon_pair(Place(31.2 * u.deg, 30 * u.deg), Place(24.1 * u.deg, 33 * u.deg),
    ...                  "2026-06-21")
    >>> pair.arc.round(1), pair.worth_measuring
    (<Quantity 7.1 deg>, True)
    """
    noons = local_noon(here, date), local_noon(partner, date)
    arc = np.abs(here.latitude - partner.latitude).to(u.deg)
    # A length error e at a gnomon of height 1 turns the ray by e cos2(z) = e sin2(altitude).
    read = [READING * np.sin(noon.altitude.to_value(u.rad)) ** 2 for noon in noons]
    blur = [2 * BLUR * noon.semidiameter.to_value(u.rad) for noon in noons]
    error = np.linalg.norm(read + blur)
    both = all(noon.up for noon in noons) and arc > 0
    uncertain = float(error / arc.to_value(u.rad)) if both else np.inf
    distance = arc.to_value(u.rad) * today.EARTH_RADIUS
    return NoonPair(*noons, arc, distance, uncertain)
