"""The plan of a school's nights as rows: plain values by name, which text, JSON and figure read.

In a row an instant is UTC as ISO 8601 to the second, a quantity a number in the unit that its name
ends in, and what does not exist is None.
"""

import tomllib
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from pathlib import Path

import numpy as np
from astropy import units as u

from moonreach import sky
from moonreach.lessons import sighting_angle

WORDS = tomllib.loads(Path(__file__).with_name("plan.toml").read_text(encoding="utf-8"))
# In radii of the shadow: nearer its middle x = 1 + t2/t1 is within 5 % (computed, 1901-2100).
NEAR_THE_MIDDLE = 0.2
GNOMON = 1 * u.m
SHADOW = 5 * u.deg  # of the Sun: below that no shadow on a board is to be read
_UNITS = {  # by the end of a name: unit and decimals
    "deg": (u.deg, 3),
    "arcmin": (u.arcmin, 2),
    "m": (u.m, 4),
    "km": (u.km, 1),
    "percent": (u.percent, 3),
}


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

    @property
    def _end(self):
        return self.last + timedelta(days=1)

    @cached_property
    def eclipses(self):
        """Every lunar eclipse of the span, as `sky.LunarEclipses`."""
        return sky.lunar_eclipses(str(self.first), str(self._end))

    @cached_property
    def eclipse_rows(self):
        """A row for each of `eclipses`; contacts and altitudes by their names."""
        sights = sky.seen_from(self.eclipses, self.place) if self.place else None
        rows = []
        for i, one in enumerate(self.eclipses):
            altitudes = sights and dict(zip(sky.MOMENTS, sights.altitude[i], strict=True))
            contacts = dict(zip(sky.CONTACTS, one.contacts, strict=True))
            rows.append(
                _row(
                    kind=str(one.kind),
                    greatest_utc=one.greatest,
                    gamma=one.gamma,
                    umbral_magnitude=one.umbral_magnitude,
                    penumbral_magnitude=one.penumbral_magnitude,
                    contacts_utc=contacts,
                    shadow_ratio=one.shadow_ratio,
                    path_offset=one.path_offset,
                    simple_timing_error_percent=100 * one.simple_timing_error,
                    advice=advice(one),
                    altitudes_deg=altitudes,
                    visible=sights and str(sights.visible[i]),
                )
            )
        return rows

    @property
    def umbral_in_sight(self):
        """Numbers of the total and partial eclipses that the place sees some of, or of all."""
        rows = enumerate(self.eclipse_rows)
        return [i for i, row in rows if row["kind"] != "penumbral" and row["visible"] != "none"]

    @cached_property
    def evening_rows(self):
        """The first evenings for the rod, with the disc's distances."""
        if self.place is None:
            return []
        until = min(self._end, date(2100, 12, 31))
        found = sky.sighting_evenings(self.place, self.first, until, count=self.evenings)
        return [self._evening(one) for one in found]

    def _evening(self, one):
        angle = 2 * one.moon.semidiameter
        vanish = rim = None
        if self.disc is not None:
            vanish, rim = (
                sighting_angle.expected_reading(self.disc, angle, self.hole, seen)
                for seen in ("vanish", "rim")
            )
        return _row(
            date=str(one.date),
            from_utc=one.first,
            until_utc=one.last,
            from_local=f"{self.place.local(one.first):%H:%M}",
            until_local=f"{self.place.local(one.last):%H:%M}",
            altitude_deg=one.moon.altitude,
            azimuth_deg=one.moon.azimuth,
            lit_percent=round(100 * one.lit),
            moon_angle_arcmin=angle,
            vanish_distance_m=vanish,
            rim_distance_m=rim,
            rod_long_enough=None if rim is None or self.rod is None else bool(self.rod >= rim),
        )

    @cached_property
    def half_moon_rows(self):
        """The first half Moons of the span that stand well up at the place."""
        if self.place is None or not self.half_moons:
            return []
        found = sky.half_moons(str(self.first), str(self._end), self.place)
        return [
            _row(
                half_utc=one.half,
                half_local=f"{self.place.local(one.half):%Y-%m-%d %H:%M}",
                quadrature_utc=one.quadrature,
                waxing=one.waxing,
                moon_altitude_deg=one.moon_altitude,
                sun_altitude_deg=one.sun_altitude,
                shadow=bool(one.sun_altitude >= SHADOW),
            )
            for one in found
            if one.up
        ][: self.half_moons]

    @cached_property
    def noon_row(self):
        """The noons of the first date, here and at the partner's latitude, or None."""
        if self.place is None or self.partner_latitude is None:
            return None
        partner = sky.Place(self.partner_latitude, self.place.longitude, zone=self.place.zone)
        pair = sky.noon_pair(self.place, partner, str(self.first))
        return _row(
            here=_noon(pair.here, self.place),
            partner=_noon(pair.partner, partner),
            arc_deg=pair.arc,
            distance_km=pair.distance,
            arc_uncertainty_percent=100 * pair.uncertainty,
            worth_measuring=pair.worth_measuring,
        )

    def as_object(self):
        """Return the plan as the object that `moonreach plan --json` prints."""
        return {
            "eclipses": self.eclipse_rows,
            "sighting_evenings": self.evening_rows,
            "half_moons": self.half_moon_rows,
            "noon": self.noon_row,
            "note": sky.clock_note(str(self.last)),
        }


def advice(eclipse):
    """Return in plain words how a class should measure one eclipse.

    >>> advice(sky.eclipse_on("2029-06-26")), advice(sky.eclipse_on("2028-12-31"))
    ('simple timing good', 'use the path formula')
    """
    near = "simple" if eclipse.path_offset < NEAR_THE_MIDDLE else "path"
    return WORDS["advice"][near if eclipse.kind == "total" else "shallow"]


def _noon(noon, place):
    """Return the row of one place's noon."""
    up = noon.altitude > noon.semidiameter
    full, middle = noon.shadow(GNOMON) if up else (None, None)
    return _row(
        latitude_deg=place.latitude,
        noon_utc=noon.instant,
        sun_altitude_deg=noon.altitude,
        full_shadow_m=full,
        middle_shadow_m=middle,
        shadow_points=noon.shadow_points if up else None,
    )


def _row(**values):
    """Return values by name as JSON can hold them, see the head of this module."""
    return {name: _plain(value, *_kind(name)) for name, value in values.items()}


def _kind(name):
    """Return the unit and the decimals of what has this name."""
    return _UNITS.get(name.rsplit("_", 1)[-1], (u.one, 4))


def _plain(value, unit, decimals):
    if isinstance(value, dict):
        return {name: _plain(one, unit, decimals) for name, one in value.items()}
    if isinstance(value, np.datetime64):
        nearest = (value.astype("M8[ms]") + np.timedelta64(500, "ms")).astype("M8[s]")
        return None if np.isnat(value) else f"{nearest}Z"
    if isinstance(value, u.Quantity):
        value = value.to_value(unit)
    if isinstance(value, float):  # NumPy's numbers too
        return round(float(value), decimals) if np.isfinite(value) else None
    return value
