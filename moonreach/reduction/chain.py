"""The chain from a group's readings to the distance: which lesson function takes which reading.

Every function takes a dict of values by quantity, which may be numbers or clouds, and hands them
to the lesson modules. Nothing is decided here about what a group lacks; `lacks_for_earth` and its
sisters say it.
"""

from dataclasses import dataclass

import numpy as np
from astropy import units as u

from moonreach.lessons import (
    earth_size,
    eclipse_timing,
    moon_distance,
    shadow_cone,
    sighting_angle,
    today,
)
from moonreach.lessons.refuse import require
from moonreach.sheet.quantities import CONTACTS, GNOMONS

OFF_CENTRE = "timing off centre"
THROUGH_MIDDLE = "timing through the middle"
PHOTOGRAPH = "photograph"

ALTITUDE_NOT_GIVEN = "moon_altitude (not given)"
HOLE_NOT_GIVEN = "hole_diameter (not given)"
CONE = "assumption_cone"
CONE_AND_RATE = "assumption_cone_and_rate"
MOON_RATE = "assumption_moon_rate"
SHARP_EDGE = "assumption_sharp_edge"
ASSUMPTIONS = (CONE, CONE_AND_RATE, MOON_RATE, SHARP_EDGE)

# The readings that each part of the chain takes.
EARTH = {*GNOMONS, "north_south_distance", "road_distance", "road_bearing"}
SIGHTING = {"disc_diameter", "hole_diameter", HOLE_NOT_GIVEN, "vanish_distance", "rim_distance"}
TIMING = {*CONTACTS, "partial_phase", "total_phase"}
PHOTO = {"photo_shadow_radius", "photo_moon_radius"}


@dataclass(frozen=True)
class Chain:
    """What can be worked out from the quantities that are present and the words that were said."""

    present: frozenset
    words: dict
    declination_change: u.Quantity | None = None

    def lacks_for_earth(self):
        """Return what is missing for Earth's size."""
        missing = [name for name in GNOMONS if name not in self.present]
        if "north_south_distance" not in self.present and not {
            "road_distance",
            "road_bearing",
        } <= set(self.present):
            missing.append("north_south_distance (or road_distance with road_bearing)")
        return missing

    def lacks_for_angle(self):
        """Return what is missing for the Moon's angle."""
        missing = [] if "disc_diameter" in self.present else ["disc_diameter"]
        return missing if self._seen() else [*missing, "vanish_distance or rim_distance"]

    def needs_hole(self):
        """Return whether the angle needs the hole: one reading alone does."""
        return len(self._seen()) == 1

    def lacks_for_timing(self):
        """Return what is missing for the two phases."""
        if {"partial_phase", "total_phase"} <= set(self.present):
            return []
        missing = [name for name in CONTACTS[1:3] if name not in self.present]
        if CONTACTS[0] not in self.present and CONTACTS[3] not in self.present:
            missing.append(f"{CONTACTS[0]} or {CONTACTS[3]}")
        return missing

    def lacks_for_photograph(self):
        """Return what is missing for the ratio of two circles."""
        return sorted(PHOTO - self.present)

    def earth_diameter(self, v):
        """Return Earth's diameter."""
        edge = self.words.get("shadow_edge", "middle")
        zenith_distances = (
            earth_size.zenith_distance(
                v[f"{place}_gnomon_height"], v[f"{place}_shadow_length"], edge
            )
            for place in ("north", "south")
        )
        shadows = self.words.get("shadows", "same_side")
        arc = earth_size.arc(*zenith_distances, shadows, self.declination_change)
        if "north_south_distance" in self.present:
            return earth_size.diameter(arc, v["north_south_distance"])
        road = earth_size.north_south_distance(v["road_distance"], v["road_bearing"])
        return earth_size.diameter(arc, road)

    def angle(self, v):
        """Return the Moon's angular diameter in arcminutes, from where the class stood."""
        disc, seen = v["disc_diameter"], self._seen()
        if len(seen) == 2:
            return sighting_angle.bracketed_angular_diameter(
                disc, v["vanish_distance"], v["rim_distance"]
            ).to(u.arcmin)
        hole = v["hole_diameter"] if "hole_diameter" in self.present else v[HOLE_NOT_GIVEN]
        reading = v[f"{seen[0]}_distance"]
        return sighting_angle.angular_diameter(disc, reading, hole, seen[0]).to(u.arcmin)

    def phases(self, v):
        """Return the partial and the total phase."""
        if self.lacks_for_timing() or not set(CONTACTS[1:3]) <= set(self.present):
            return v["partial_phase"], v["total_phase"]
        u2, u3 = v[CONTACTS[1]], v[CONTACTS[2]]
        # Where one outer contact is missing, entry and exit are taken to be alike.
        u1 = v[CONTACTS[0]] if CONTACTS[0] in self.present else u2 + u3 - v[CONTACTS[3]]
        u4 = v[CONTACTS[3]] if CONTACTS[3] in self.present else u3 + u2 - u1
        return eclipse_timing.phases(u1, u2, u3, u4)

    def ratio(self, v, method, moon_angle=None):
        """Return the shadow ratio x as seen, by one method (off centre: from the Moon's angle)."""
        if method == PHOTOGRAPH:
            shadow, moon = v["photo_shadow_radius"], v["photo_moon_radius"]
            require(
                shadow.unit.is_equivalent(moon.unit),
                "one radius is in px and the other in a length, so they cannot be compared",
            )
            return (shadow / moon).to(u.one)
        phases = self.phases(v)
        simple = eclipse_timing.ratio_through_middle(*phases)
        return simple if method == THROUGH_MIDDLE else _off_centre(phases, simple, moon_angle)

    def sharp_ratio(self, v, method):
        """Return the shadow ratio with the doubt about where its soft edge was seen."""
        return shadow_cone.without_air(self.ratio(v, method), v[SHARP_EDGE])

    def results(self, v, method):
        """Return everything that follows from the ratio of one method and, if seen, the angle."""
        if self.lacks_for_angle():
            ratio = self.sharp_ratio(v, method)
            return {"ratio": ratio, "earth_in_moons": shadow_cone.earth_in_moons(ratio) / v[CONE]}
        angle = self.angle(v)
        altitude = v["moon_altitude" if "moon_altitude" in self.present else ALTITUDE_NOT_GIVEN]
        found = {"angle": angle}
        cone = v[CONE]
        if method == OFF_CENTRE:
            phases = self.phases(v)
            simple = eclipse_timing.ratio_through_middle(*phases)
            seen = _off_centre(phases, simple, angle)
            # The chord formula wants the Moon as seen from Earth's centre.
            earth_in_moons = shadow_cone.earth_in_moons(seen)
            central = moon_distance.geocentric_angle(angle, altitude, earth_in_moons)
            seen = _off_centre(phases, simple, central)
            ratio = shadow_cone.without_air(seen, v[SHARP_EDGE])
            # The rate's error stays out of the distance: CONE_AND_RATE holds both at once. But
            # where the simple formula counts, there is none of it to undo the cone's.
            cone = cone + (seen > simple) * (v[CONE_AND_RATE] - cone)
            found["ratio"] = ratio * v[MOON_RATE]
            found["path_offset"] = eclipse_timing.path_offset(seen, *phases)
        else:
            ratio = found["ratio"] = self.sharp_ratio(v, method)
        found["earth_in_moons"] = shadow_cone.earth_in_moons(ratio) / cone
        from_class = moon_distance.distance_in_earth_diameters(angle, found["earth_in_moons"])
        distance = moon_distance.geocentric_distance(from_class, altitude, 0.5)
        earth = today.EARTH_DIAMETER if self.lacks_for_earth() else self.earth_diameter(v)
        found["distance_earth_diameters"] = distance
        found["distance_km"] = (distance * earth).to(u.km)
        return found

    def _seen(self):
        return [seen for seen in ("vanish", "rim") if f"{seen}_distance" in self.present]


def _off_centre(phases, simple, moon_angle):
    """Return x by the chord formula; no path is nearer than the middle, where `simple` is exact."""
    rate = eclipse_timing.scaled_rate(moon_angle / 2)
    chord = eclipse_timing.ratio_off_centre(*phases, moon_angle / 2, rate)
    return np.maximum(chord, simple)
