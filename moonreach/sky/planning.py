"""The plan of a school's nights: what the sky offers a place, as data and as text."""

from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

import numpy as np
from astropy import units as u

from moonreach import sky
from moonreach.lessons import sighting_angle

SIMPLE, PATH, SHALLOW = (
    "simple timing good",
    "use the path formula",
    "too shallow for timing, photograph it",
)
# In radii of the shadow: nearer its middle x = 1 + t2/t1 is within 5 % (computed, 1901-2100).
NEAR_THE_MIDDLE = 0.2
GNOMON = 1 * u.m
SHADOW = 5 * u.deg  # of the Sun: below that no shadow on a board is to be read


@dataclass(frozen=True, eq=False)
class Plan:
    """What one plan asks for, and what the sky answers.

    `first` and `last` are dates, both included; without a `place` only the eclipses are found.
    `disc`, `hole` and `rod` are lengths, `partner_latitude` an angle; all may be None.
    `half_moons` tells how many of those to list.
    """

    first: date
    last: date
    place: sky.Place | None = None
    disc: u.Quantity | None = None
    hole: u.Quantity = 1 * u.mm
    rod: u.Quantity | None = None
    evenings: int = 8
    partner_latitude: u.Quantity | None = None
    half_moons: int = 0

    @cached_property
    def found(self):
        """Every lunar eclipse of the span."""
        return sky.lunar_eclipses(str(self.first), str(self.last + timedelta(days=1)))

    @cached_property
    def sights(self):
        """What the place sees of them, or None without a place."""
        return sky.seen_from(self.found, self.place) if self.place else None

    @property
    def umbral_in_sight(self):
        """The total and partial eclipses of which the place sees something; without one, all."""
        seen = True if self.sights is None else self.sights.visible != "none"
        return self.found[(self.found.kind != "penumbral") & seen]

    @cached_property
    def noons(self):
        """The noons of the first date, here and at the partner's latitude, or None."""
        if self.place is None or self.partner_latitude is None:
            return None
        partner = sky.Place(self.partner_latitude, self.place.longitude, zone=self.place.zone)
        return sky.noon_pair(self.place, partner, str(self.first))

    @cached_property
    def sighting_evenings(self):
        """The first evenings for the rod as JSON objects, with the disc's distances."""
        if self.place is None:
            return []
        until = min(self.last + timedelta(days=1), date(2100, 12, 31))
        found = sky.sighting_evenings(self.place, self.first, until, count=self.evenings)
        return [self._evening(one) for one in found]

    def _evening(self, one):
        angle = 2 * sky.moon_at(one.first, self.place).semidiameter
        vanish = rim = long_enough = None
        if self.disc is not None:
            vanish, rim = (
                sighting_angle.expected_reading(self.disc, angle, self.hole, seen).to_value(u.m)
                for seen in ("vanish", "rim")
            )
            if self.rod is not None:
                long_enough = bool(self.rod.to_value(u.m) >= rim)
        return {
            "date": str(one.date),
            "from_utc": _iso(one.first),
            "until_utc": _iso(one.last),
            "from_local": f"{self.place.local(one.first):%H:%M}",
            "until_local": f"{self.place.local(one.last):%H:%M}",
            "altitude_deg": _number(one.altitude.to_value(u.deg), 1),
            "azimuth_deg": _number(one.azimuth.to_value(u.deg), 1),
            "lit_percent": round(100 * one.lit),
            "moon_angle_arcmin": _number(angle.to_value(u.arcmin), 2),
            "vanish_distance_m": _number(vanish, 3),
            "rim_distance_m": _number(rim, 3),
            "rod_long_enough": long_enough,
        }

    @cached_property
    def half_moons_in_sight(self):
        """The first half Moons of the span that stand well up at the place, as JSON objects."""
        if self.place is None or not self.half_moons:
            return []
        found = sky.half_moons(str(self.first), str(self.last + timedelta(days=1)), self.place)
        return [self._half_moon(one) for one in found if one.up][: self.half_moons]

    def _half_moon(self, one):
        return {
            "half_utc": _iso(one.half),
            "half_local": f"{self.place.local(one.half):%Y-%m-%d %H:%M}",
            "quadrature_utc": _iso(one.quadrature),
            "waxing": one.waxing,
            "moon_altitude_deg": _number(one.moon_altitude.to_value(u.deg), 1),
            "sun_altitude_deg": _number(one.sun_altitude.to_value(u.deg), 1),
            "shadow": bool(one.sun_altitude >= SHADOW),
        }

    def as_object(self):
        """Return the plan as the object that `moonreach plan --json` prints."""
        noon = self.noons
        return {
            "eclipses": [self._eclipse(i) for i in range(len(self.found))],
            "sighting_evenings": self.sighting_evenings,
            "half_moons": self.half_moons_in_sight,
            "noon": None if noon is None else _noon_object(noon),
            "note": sky.clock_note(str(self.last)),
        }

    def _eclipse(self, i):
        one, sights = self.found[i], self.sights
        contacts = zip(sky.CONTACTS, one.contacts, strict=True)
        altitudes = None
        if sights is not None:
            heights = zip(sky.MOMENTS, sights.altitude[i].to_value(u.deg), strict=True)
            altitudes = {name: _number(height, 2) for name, height in heights}
        return {
            "kind": str(one.kind),
            "greatest_utc": _iso(one.greatest),
            "gamma": _number(one.gamma, 4),
            "umbral_magnitude": _number(one.umbral_magnitude, 4),
            "penumbral_magnitude": _number(one.penumbral_magnitude, 4),
            "contacts_utc": {name: _iso(instant) for name, instant in contacts},
            "shadow_ratio": _number(one.shadow_ratio, 4),
            "path_offset": _number(one.path_offset, 4),
            "simple_timing_error_percent": _number(100 * one.simple_timing_error, 2),
            "advice": advice(one),
            "altitudes_deg": altitudes,
            "visible": None if sights is None else str(sights.visible[i]),
        }


def advice(eclipse):
    """Return in plain words how a class should measure one eclipse.

    >>> advice(sky.eclipse_on("2029-06-26")), advice(sky.eclipse_on("2028-12-31"))
    ('simple timing good', 'use the path formula')
    """
    if eclipse.kind != "total":
        return SHALLOW
    return SIMPLE if eclipse.path_offset < NEAR_THE_MIDDLE else PATH


def _noon_object(pair):
    """Return the noons as a JSON object."""

    def one(noon):
        up = noon.altitude > noon.semidiameter
        full, middle = noon.shadow(GNOMON) if up else (None, None)
        return {
            "noon_utc": _iso(noon.instant),
            "sun_altitude_deg": _number(noon.altitude.to_value(u.deg), 2),
            "full_shadow_m": _number(full.to_value(u.m), 4) if up else None,
            "middle_shadow_m": _number(middle.to_value(u.m), 4) if up else None,
            "shadow_points": noon.shadow_points if up else None,
        }

    return {
        "here": one(pair.here),
        "partner": one(pair.partner),
        "arc_deg": _number(pair.arc.to_value(u.deg), 3),
        "distance_km": _number(pair.distance.to_value(u.km), 1),
        "worth_measuring": pair.worth_measuring,
    }


def _iso(instant):
    """Return UTC as ISO 8601 to the second, None where there is none."""
    if np.isnat(instant):
        return None
    return f"{(np.datetime64(instant, 'ms') + np.timedelta64(500, 'ms')).astype('M8[s]')}Z"


def _number(value, decimals):
    return None if value is None or not np.isfinite(value) else round(float(value), decimals)
