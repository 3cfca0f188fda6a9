"""The plan of a school's nights as rows: plain values by name, which text, JSON and figure read.

In a row an instant is ISO 8601 to the second, in UTC and by the place's clocks; a quantity is a
number in the unit that its name ends in; what does not exist is None.
"""

import tomllib
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from operator import attrgetter
from pathlib import Path

import numpy as np
from astropy import units as u

from moonreach import sky
from moonreach.lessons import sighting_angle

WORDS = tomllib.loads(Path(__file__).with_name("plan.toml").read_text(encoding="utf-8"))
# In radii of the shadow: nearer its middle x = 1 + t_tot/t_in is within 5 % (computed, 1901-2100).
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
    hole: u.Quantity = 1.5 * u.mm
    rod: u.Quantity | None = None
    evenings: int = 8
    partner_latitude: u.Quantity | None = None
    half_moons: int = 0

    @property
    def _end(self):
        return self.last + timedelta(days=1)

    @cached_property
    def eclipses(self):
        """Every lunar eclipse of the span, as `eclipses.LunarEclipses`."""
        return sky.lunar_eclipses(str(self.first), str(self._end))

    @cached_property
    def eclipse_rows(self):
        """A row for each of `eclipses`; contacts and altitudes by their names."""
        if self.place is None:
            return [_eclipse(one) for one in self.eclipses]
        sights = sky.seen_from(self.eclipses, self.place)  # of all at once: much faster
        return [_eclipse(*both, self.place) for both in zip(self.eclipses, sights, strict=True)]

    @cached_property
    def next_row(self):
        """The row of the next eclipse there after a span that has none, or None."""
        if self.place is None or any(row["timing_here"] != "no" for row in self.eclipse_rows):
            return None
        later = sky.lunar_eclipses(str(self._end), f"{sky.LAST_YEAR + 1}-01-01")
        rows = (_eclipse(one, sky.seen_from(one, self.place), self.place) for one in later)
        return next((row for row in rows if row["timing_here"] != "no"), None)

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
            "evening",
            one,
            self.place,
            school_night=_school_night(one.date),
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
        up = [one for one in found if one.up][: self.half_moons]
        return [
            _row(
                "half_moon",
                one,
                self.place,
                minutes_apart=abs(round((one.quadrature - one.half) / np.timedelta64(1, "m"))),
                shadow=bool(one.sun_altitude >= SHADOW),
            )
            for one in up
        ]

    @cached_property
    def noon_row(self):
        """The noons of the first date, here and at the partner's latitude, or None."""
        if self.place is None or self.partner_latitude is None:
            return None
        partner = sky.Place(self.partner_latitude, self.place.longitude, zone=self.place.zone)
        pair = sky.noon_pair(self.place, partner, str(self.first))
        rows = {"here": _noon(pair.here, self.place), "partner": _noon(pair.partner, partner)}
        return rows | _row("noon_pair", pair, self.place)

    def as_object(self):
        """Return the plan as the object that `moonreach plan --json` prints."""
        return {
            "eclipses": self.eclipse_rows,
            "next_eclipse": self.next_row,
            "sighting_evenings": self.evening_rows,
            "half_moons": self.half_moon_rows,
            "noon": self.noon_row,
            "note": sky.clock_note(str(self.last)),
        }


def timing_here(kind, good, photograph):
    """Return what a place can do with an eclipse, and the one contact to borrow, if any.

    Parameters: the eclipse's kind; at which of `sky.MOMENTS` a contact can be timed there; whether
    a photograph can be taken. Needed are U2, U3 and one of U1 and U4.

    >>> timing_here("total", [False, True, True, False, True, False, False], True)
    ('enough', None)
    >>> timing_here("total", [True, True, True, False, False, False, False], True)
    ('photograph', 'U3')
    """
    if kind == "penumbral":
        return "no", None
    there = {"U2": good[2], "U3": good[4], "U1 or U4": good[1] or good[5]}
    missing = [name for name, seen in there.items() if not seen]
    if kind == "total" and len(missing) < 2:
        return ("photograph", missing[0]) if missing else ("enough", None)
    return "photograph" if photograph else "no", None


def _eclipse(one, sight=None, place=None):
    """Return the row of an eclipse; without a place what one would see there is None."""
    formula = "central" if one.path_offset < NEAR_THE_MIDDLE else "chord"
    evening = place and place.evening_of(one.greatest)
    here, borrow = timing_here(one.kind, sight.good, sight.photograph) if place else (None, None)
    formula = formula if place is None or here == "enough" or borrow else None
    return _row(
        "eclipse",
        one,
        place,
        contacts_utc=dict(zip(sky.CONTACTS, one.contacts, strict=True)),
        # ISO 8601, from the evening's date to the morning's
        night=place and f"{evening}/{evening + timedelta(days=1)}",
        school_night=place and _school_night(evening),
        visible=place and str(sight.visible),
        timing_here=here,
        borrow=borrow,
        altitudes_deg=place and dict(zip(sky.MOMENTS, sight.altitude, strict=True)),
        out_from_utc=place and sight.first,
        out_until_utc=place and sight.last,
        south_up=place and bool(sight.crosses_north),
        formula=formula if one.kind == "total" else None,
    )


def _school_night(evening):
    """Return whether Monday to Friday follows an evening; a school's own week may differ."""
    return (evening + timedelta(days=1)).weekday() < 5


def _noon(noon, place):
    """Return the row of one place's noon."""
    full, middle = noon.shadow(GNOMON) if noon.up else (None, None)
    return _row(
        "noon",
        noon,
        place,
        latitude_deg=place.latitude,
        full_shadow_m=full,
        middle_shadow_m=middle,
        shadow_points=noon.shadow_points if noon.up else None,
    )


def _row(kind, answer, place, **more):
    """Return the row of a kind in `plan.toml` from what the sky answers, and more values."""
    values = {name: attrgetter(where)(answer) for name, where in WORDS["rows"][kind].items()} | more
    if place is not None:
        ends = {name: name.removesuffix("_utc") for name in values if name.endswith("_utc")}
        values |= {f"{start}_local": values[name] for name, start in ends.items()}
    return {name: _plain(value, name.rsplit("_")[-1], place) for name, value in values.items()}


def _plain(value, end, place):
    """Return a value as JSON can hold it; `end` is the end of its name."""
    if isinstance(value, dict):
        return {name: _plain(one, end, place) for name, one in value.items()}
    if isinstance(value, np.datetime64):
        nearest = (value.astype("M8[ms]") + np.timedelta64(500, "ms")).astype("M8[s]")
        if np.isnat(value):
            return None
        return place.local(nearest).isoformat() if end == "local" else f"{nearest}Z"
    if isinstance(value, float | u.Quantity):  # NumPy's numbers too
        unit, decimals = _UNITS.get(end, (u.one, 4))
        number = float(u.Quantity(value).to_value(unit))
        return round(number, decimals) if np.isfinite(number) else None
    return str(value) if isinstance(value, date) else value
