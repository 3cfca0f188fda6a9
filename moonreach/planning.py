"""The plan of a school's nights: what the sky offers a place, as data and as text."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from astropy import units as u

from moonreach import sighting_angle, sky

SIMPLE, PATH, SHALLOW = (
    "simple timing good",
    "use the path formula",
    "too shallow for timing, photograph it",
)
NEAR_THE_MIDDLE = 0.2  # of the shadow's radius: there x = 1 + t2/t1 is within 4 %
GNOMON = 1 * u.m
CAUTION_NIGHT = (
    "A lunar eclipse is safe to look at. Nights out: with permission, in pairs, warm, away from\n"
    "roads; the school's and the place's own rules go first."
)
CAUTION_ROD = (
    "The rod is for the Moon at night only: never point it at or near the Sun. Soft, wide eye\n"
    "stop; feet still; nobody walks with it up."
)
CAUTION_SUN = "Nobody looks at the Sun: read the shadows on the ground."


@dataclass(frozen=True, eq=False)
class Plan:
    """What one plan asks for, and what the sky answers.

    `first` and `last` are dates, both included; without a `place` only the eclipses are found.
    `disc`, `hole` and `rod` are lengths, `partner_latitude` an angle; all may be None.
    """

    first: date
    last: date
    place: sky.Place | None = None
    disc: u.Quantity | None = None
    hole: u.Quantity = 1 * u.mm
    rod: u.Quantity | None = None
    evenings: int = 8
    partner_latitude: u.Quantity | None = None

    def __post_init__(self):
        found = sky.lunar_eclipses(str(self.first), str(self.last + timedelta(days=1)))
        self.__dict__["found"] = found
        self.__dict__["sights"] = sky.seen_from(found, self.place) if self.place else None

    @property
    def umbral_in_sight(self):
        """The total and partial eclipses of which the place sees something; without one, all."""
        seen = True if self.sights is None else self.sights.visible != "none"
        return self.found[(self.found.kind != "penumbral") & seen]

    @property
    def noons(self):
        """The noons of the first date, here and at the partner's latitude, or None."""
        if self.place is None or self.partner_latitude is None:
            return None
        partner = sky.Place(self.partner_latitude, self.place.longitude, zone=self.place.zone)
        return sky.noon_pair(self.place, partner, str(self.first))

    def sighting_evenings(self):
        """Return the first evenings for the rod as JSON objects, with the disc's distances."""
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

    def as_object(self):
        """Return the plan as the object that `moonreach plan --json` prints."""
        noon = self.noons
        return {
            "eclipses": [self._eclipse(i) for i in range(len(self.found))],
            "sighting_evenings": self.sighting_evenings(),
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


def as_text(plan):
    """Return the plan as text: eclipses, evenings for the rod, noon shadows, cautions."""
    blocks = [_heading(plan), _eclipse_text(plan)]
    if plan.place:
        blocks.append(_evening_text(plan))
    if plan.noons:
        blocks.append(_noon_text(plan))
    note = sky.clock_note(str(plan.last))
    return "\n\n".join(blocks + ([note] if note else []))


def degrees_of(place):
    """Return a place's latitude and longitude as text."""
    latitude = place.latitude.to_value(u.deg)
    longitude = (place.longitude.to_value(u.deg) + 180) % 360 - 180
    return (
        f"{abs(latitude):.2f}° {'N' if latitude >= 0 else 'S'}, "
        f"{abs(longitude):.2f}° {'E' if longitude >= 0 else 'W'}"
    )


def _heading(plan):
    span = f"From {plan.first} to {plan.last}"
    if plan.place is None:
        return f"{span}, anywhere on Earth. Times are UTC."
    clocks = f"Times are those of {plan.place.zone}."
    if plan.place.zone == "UTC":
        clocks = "Times are UTC: give --zone for the place's own clocks."
    return f"{span}, at {degrees_of(plan.place)}. {clocks}"


def _eclipse_text(plan):
    where = "in sight there" if plan.place else "there are"
    chosen = plan.umbral_in_sight
    lines = [f"LUNAR ECLIPSES {where}" if plan.place else "LUNAR ECLIPSES"]
    for i in range(len(chosen)):
        lines += _one_eclipse(chosen[i], plan.place)
    if not len(chosen):
        lines.append("  No total or partial eclipse in this span; a longer one will have some.")
    umbral = int((plan.found.kind != "penumbral").sum())
    left = [f"{len(plan.found) - umbral} penumbral, hardly to be noticed"]
    if plan.place:
        left.insert(0, f"{umbral - len(chosen)} below the horizon")
    lines.append(f"  Not listed: {'; '.join(left)}.")
    return "\n".join([*lines, CAUTION_NIGHT])


def _one_eclipse(one, place):
    """Return the lines of one eclipse."""
    moments = sky.moments_of(one)[1:-1]
    sight = sky.seen_from(one, place) if place else None
    parts = []
    for k, (name, instant) in enumerate(zip(sky.MOMENTS[1:-1], moments, strict=True)):
        if np.isnat(instant):
            continue
        part = f"{name} {clock(instant, place)}"
        if place:
            height = sight.altitude[k + 1].to_value(u.deg)
            part += f" ({height:.0f}°)" if height > 0 else " (below)"
        parts.append(part)
    seen = {"all": "all in sight", "part": "part in sight"}[str(sight.visible)] if place else ""
    measure = f"{advice(one)}"
    if one.kind == "total":
        error = round(100 * float(one.simple_timing_error), 1) + 0.0  # no "-0.0"
        measure += f' ("through the middle" would be {error:+.1f} %)'
        if place and not sight.above[[1, 2, 4, 5]].all():
            measure += "; not all of U1 to U4 in sight"
    head = f"  {day(one.greatest, place)}  {one.kind}, magnitude {one.umbral_magnitude:.2f}"
    return [
        head + (f", {seen}" if place else ""),
        "      " + "  ".join(parts),
        f"      shadow/Moon {one.shadow_ratio:.2f}, path {one.path_offset:.2f} of the shadow's "
        "radius from its middle:",
        f"      {measure}",
    ]


def _evening_text(plan):
    """Return the block on evenings for the sighting rod."""
    found = plan.sighting_evenings()
    lines = ["EVENINGS FOR THE SIGHTING ROD (Moon nearly full, 15° or higher, 18 to 22 h, dark)"]
    for one in found:
        line = (
            f"  {date.fromisoformat(one['date']):%a %d %b %Y}  "
            f"{one['from_local']} to {one['until_local']}  Moon {one['altitude_deg']:.0f}° high "
            f"at first, {one['moon_angle_arcmin']:.1f}′ wide"
        )
        if one["rim_distance_m"] is not None:
            line += f"; vanishes at {one['vanish_distance_m']:.2f} m, rim at "
            line += f"{one['rim_distance_m']:.2f} m"
        if one["rod_long_enough"] is not None:
            line += "" if one["rod_long_enough"] else ": rod too short"
        lines.append(line)
    if not found:
        lines.append("  None in this span: at high latitudes try another season.")
    return "\n".join([*lines, CAUTION_ROD])


def _noon_text(plan):
    """Return the block on the noon shadows of the first date."""
    pair = plan.noons
    lines = [f"NOON SHADOWS of {plan.first}, gnomon {GNOMON:.0f} high"]
    latitudes = (plan.place.latitude, plan.partner_latitude)
    for noon, latitude in zip((pair.here, pair.partner), latitudes, strict=True):
        if noon.altitude <= noon.semidiameter:
            shadow = "no shadow: the Sun stays below the horizon"
        else:
            full, middle = (length.to_value(u.m) for length in noon.shadow(GNOMON))
            shadow = f"full shadow {full:.3f} m, to the blur's middle {middle:.3f} m, "
            shadow += f"pointing {noon.shadow_points}"
        lines.append(
            f"  latitude {latitude.to_value(u.deg):+.2f}°  noon {clock(noon.instant, plan.place)}"
            f"  Sun {noon.altitude.to_value(u.deg):.1f}° high; {shadow}"
        )
    worth = "worth measuring" if pair.worth_measuring else "not worth measuring"
    if np.isfinite(pair.uncertainty):
        percent = 100 * pair.uncertainty
        worth += f" (readings to 2 mm and a tenth of the blur leave it good to {percent:.1f} %)"
    lines.append(
        f"  arc {pair.arc.to_value(u.deg):.2f}° (about {pair.distance.to_value(u.km):.0f} km), "
        + worth
    )
    return "\n".join([*lines, CAUTION_SUN])


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


def clock(instant, place):
    """Return hours and minutes, on the place's clocks or in UTC, rounded to the minute."""
    rounded = (np.datetime64(instant, "s") + np.timedelta64(30, "s")).astype("M8[m]")
    return f"{place.local(rounded):%H:%M}" if place else f"{rounded.item():%H:%M}"


def day(instant, place):
    """Return weekday and date on the place's calendar, or in UTC."""
    return f"{place.local(instant) if place else np.datetime64(instant, 's').item():%a %d %b %Y}"


def _iso(instant):
    """Return UTC as ISO 8601 to the second, None where there is none."""
    if np.isnat(instant):
        return None
    return f"{(np.datetime64(instant, 'ms') + np.timedelta64(500, 'ms')).astype('M8[s]')}Z"


def _number(value, decimals):
    return None if value is None or not np.isfinite(value) else round(float(value), decimals)
