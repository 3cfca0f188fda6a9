"""The chain from a group's readings to the distance: which lesson function takes which reading.

Every function takes a dict of values by quantity, which may be numbers or clouds, and hands them
to the lesson modules. Nothing is decided here about what a group lacks; `lacks_for_earth` and its
sisters say it.
"""

from dataclasses import dataclass

import numpy as np
from astropy import units as u

from moonreach import (
    earth_size,
    eclipse_timing,
    modern,
    moon_distance,
    shadow_cone,
    sighting_angle,
)
from moonreach.possible import require

OFF_CENTRE = "timing off centre"
THROUGH_MIDDLE = "timing through the middle"
PHOTOGRAPH = "photograph"

ALTITUDE_NOT_GIVEN = "moon_altitude (not given)"
HOLE_NOT_GIVEN = "hole_diameter (not given)"
EQUAL_DISCS = "assumption_equal_discs"
SHARP_EDGE = "assumption_sharp_edge"
MOON_RATE = "assumption_moon_rate"

CONTACTS = tuple(f"umbral_contact_{number}" for number in (1, 2, 3, 4))
GNOMONS = (
    "north_gnomon_height",
    "north_shadow_length",
    "south_gnomon_height",
    "south_shadow_length",
)


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
        names = ("photo_shadow_radius", "photo_moon_radius")
        return [name for name in names if name not in self.present]

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
        if method == THROUGH_MIDDLE:
            return eclipse_timing.ratio_through_middle(*self.phases(v))
        phases = self.phases(v)
        ratio = eclipse_timing.ratio_off_centre(*phases, *self._moon(v, moon_angle))
        # No path runs nearer to the middle than through it, where the simple formula is exact.
        return np.maximum(ratio, eclipse_timing.ratio_through_middle(*phases))

    def results(self, v, method):
        """Return everything that follows from the ratio of one method and, if seen, the angle."""
        if self.lacks_for_angle():
            ratio = self.ratio(v, method)
            return {"ratio": ratio, "earth_in_moons": self._earth_in_moons(v, ratio)}
        angle = self.angle(v)
        altitude = v["moon_altitude" if "moon_altitude" in self.present else ALTITUDE_NOT_GIVEN]
        ratio = self.ratio(v, method, angle)
        earth_in_moons = self._earth_in_moons(v, ratio)
        if method == OFF_CENTRE:  # the chord formula wants the Moon as seen from Earth's centre
            central = moon_distance.geocentric_angle(angle, altitude, earth_in_moons)
            ratio = self.ratio(v, method, central)
            earth_in_moons = self._earth_in_moons(v, ratio)
        from_class = moon_distance.distance_in_earth_diameters(angle, earth_in_moons)
        distance = moon_distance.geocentric_distance(from_class, altitude, 0.5)
        found = {"angle": angle, "ratio": ratio, "earth_in_moons": earth_in_moons}
        found["distance_earth_diameters"] = distance
        if method == OFF_CENTRE:
            found["path_offset"] = eclipse_timing.path_offset(
                ratio, *self.phases(v), *self._moon(v, central)
            )
        earth = modern.EARTH_DIAMETER if self.lacks_for_earth() else self.earth_diameter(v)
        found["distance_km"] = (distance * earth).to(u.km)
        return found

    def _seen(self):
        return [seen for seen in ("vanish", "rim") if f"{seen}_distance" in self.present]

    def _moon(self, v, angle):
        return angle / 2, eclipse_timing.scaled_rate(angle / 2) * v[MOON_RATE]

    def _earth_in_moons(self, v, ratio):
        bare = shadow_cone.without_air(ratio, v[SHARP_EDGE])
        return shadow_cone.earth_in_moons(bare, v[EQUAL_DISCS])
