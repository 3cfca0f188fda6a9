"""The steps of the five lessons, from shadows, contacts and the rod to the Moon's distance."""

from collections.abc import Callable

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
from moonreach.reduction.steps import Step, Values, about
from moonreach.reduction.uncertainty import standard_of
from moonreach.sheet import timeline
from moonreach.sheet.origin import Origin
from moonreach.sheet.quantities import CONTACTS

# The ways to the shadow ratio, and what each is called.
METHODS = {"chord": "chord formula", "central": "central formula", "photo": "photograph"}

# Assumptions: inputs whose best value changes nothing (reduction/inputs.py has their sizes).
CONE = "assumption_cone"
CONE_AND_RATE = "assumption_cone_and_rate"
MOON_RATE = "assumption_moon_rate"
SHARP_EDGE = "assumption_sharp_edge"
ASSUMPTIONS = (CONE, CONE_AND_RATE, MOON_RATE, SHARP_EDGE)

_DURATIONS = ("partial_phase", "total_phase")


def _zenith_distance(place: str) -> Step:
    needs = (f"{place}_gnomon_height", f"{place}_shadow_length")
    return Step(
        f"{place}_zenith",
        needs,
        lambda v: earth_size.zenith_distance(
            v[needs[0]], v[needs[1]], v.get("shadow_edge", "middle")
        ),
    )


def _declination_change(v: Values) -> u.Quantity:
    noons = (timeline.since_2000(v[f"{place}_noon"]) for place in ("north", "south"))
    north, south = map(earth_size.sun_declination, noons)
    return north - south


def _arc(v: Values) -> u.Quantity:
    shadows = v.get("shadows", "same_side")
    return earth_size.arc(
        v["north_zenith"], v["south_zenith"], shadows, v.get("declination_change")
    )


EARTH = about(
    "Earth's size",
    _zenith_distance("north"),
    _zenith_distance("south"),
    Step("declination_change", ("north_noon", "south_noon"), _declination_change),
    Step("arc", ("north_zenith", "south_zenith"), _arc),
    Step("baseline", ("north_south_distance",), lambda v: v["north_south_distance"]),
    Step(
        "baseline",
        ("road_distance", "road_bearing"),
        lambda v: earth_size.north_south_distance(v["road_distance"], v["road_bearing"]),
    ),
    Step(
        "earth_diameter",
        ("arc", "baseline"),
        lambda v: earth_size.diameter(v["arc"], v["baseline"]).to(u.km),
    ),
    Step("earth", ("earth_diameter",), lambda v: v["earth_diameter"]),
    Step("earth", (), lambda v: today.EARTH_DIAMETER, origin=Origin.TODAY),
)


def _one_sighting(seen: str) -> Step:
    return Step(
        "angle",
        ("disc_diameter", "hole_diameter", f"{seen}_distance"),
        lambda v: sighting_angle.angular_diameter(
            v["disc_diameter"], v[f"{seen}_distance"], v["hole_diameter"], seen
        ).to(u.arcmin),
    )


SIGHTING = about(
    "the Moon's angle",
    Step(
        "angle",
        ("disc_diameter", "vanish_distance", "rim_distance"),
        lambda v: sighting_angle.bracketed_angular_diameter(
            v["disc_diameter"], v["vanish_distance"], v["rim_distance"]
        ).to(u.arcmin),
    ),
    _one_sighting("vanish"),
    _one_sighting("rim"),
)


def _timed(first: bool, last: bool) -> Step:
    """Return the step to both phases from U2, U3 and those outer contacts that were seen.

    Where one outer contact is missing, entry and exit are taken to be alike.
    """

    def phases(v: Values) -> tuple[u.Quantity, u.Quantity]:
        u2, u3 = v[CONTACTS[1]], v[CONTACTS[2]]
        u1 = v[CONTACTS[0]] if first else u2 + u3 - v[CONTACTS[3]]
        u4 = v[CONTACTS[3]] if last else u3 + u2 - u1
        return eclipse_timing.phases(u1, u2, u3, u4)

    return Step("phases", (*CONTACTS[:1] * first, *CONTACTS[1:3], *CONTACTS[3:] * last), phases)


def _central(v: Values) -> u.Quantity:
    return eclipse_timing.ratio_through_middle(*v["phases"])


def _photograph(v: Values) -> u.Quantity:
    shadow, moon = v["photo_shadow_radius"], v["photo_moon_radius"]
    require(
        shadow.unit.is_equivalent(moon.unit),
        "one radius is in px and the other in a length, so they cannot be compared",
    )
    return (shadow / moon).to(u.one)


def _chord(v: Values, angle: u.Quantity) -> u.Quantity:
    """Return x by the chord formula; no path is nearer than a central one."""
    rate = eclipse_timing.scaled_rate(angle / 2)
    chord = eclipse_timing.ratio_off_centre(*v["phases"], angle / 2, rate)
    return np.maximum(chord, v["seen_central"])


def _semidiameter(v: Values) -> u.Quantity:
    """Return the Moon's semidiameter from Earth's centre, from which the chord formula counts."""
    moons = shadow_cone.earth_in_moons(_chord(v, v["angle"]))
    return moon_distance.geocentric_angle(v["angle"], v["moon_altitude"], moons) / 2


def _sharp(method: str) -> Step:
    """Return the step from the ratio as seen to that without the doubt about the soft edge."""
    seen = f"seen_{method}"
    return Step(
        f"sharp_{method}",
        (seen,),
        lambda v: shadow_cone.without_air(v[seen], v[SHARP_EDGE]),
    )


TIMING = (
    *about(
        METHODS["central"],
        _timed(True, True),
        _timed(True, False),
        _timed(False, True),
        Step("phases", _DURATIONS, lambda v: tuple(v[name] for name in _DURATIONS)),
        Step("entry_time", ("phases",), lambda v: v["phases"][0].to(u.min)),
        Step("totality", ("phases",), lambda v: v["phases"][1].to(u.min)),
        Step("seen_central", ("phases",), _central),
        _sharp("central"),
        Step("ratio_central", ("sharp_central",), lambda v: v["sharp_central"]),
    ),
    *about(
        METHODS["photo"],
        Step("seen_photo", ("photo_shadow_radius", "photo_moon_radius"), _photograph),
        _sharp("photo"),
        Step("ratio_photo", ("sharp_photo",), lambda v: v["sharp_photo"]),
    ),
    *about(
        METHODS["chord"],
        Step("semidiameter", ("angle", "moon_altitude", "seen_central", "phases"), _semidiameter),
        Step("rate", ("semidiameter",), lambda v: eclipse_timing.scaled_rate(v["semidiameter"])),
        Step("seen_chord", ("semidiameter",), lambda v: _chord(v, 2 * v["semidiameter"])),
        _sharp("chord"),
        Step("ratio_chord", ("sharp_chord",), lambda v: v["sharp_chord"] * v[MOON_RATE]),
        Step(
            "path_offset",
            ("seen_chord",),
            lambda v: eclipse_timing.path_offset(v["seen_chord"], *v["phases"]),
        ),
    ),
)


def _method(v: Values) -> str:
    """Choose the ratio that goes on: timing's right formula, or the photograph if surer."""
    timing = "chord" if "ratio_chord" in v else "central"
    if v.get("path") == "central" and "ratio_central" in v:
        timing = "central"
    elif timing == "central" and "ratio_photo" in v:
        timing = "photo"  # the path is unknown, and no interval holds what that may do
    choice = [method for method in (timing, "photo") if f"ratio_{method}" in v]
    return min(choice, key=lambda method: standard_of(v[f"ratio_{method}"]))


def _chosen(kind: str) -> Callable[[Values], u.Quantity]:
    return lambda v: v[f"{kind}_{v['method']}"]


def _earth_in_moons(v: Values) -> u.Quantity:
    cone = v[CONE]
    if v["method"] == "chord":
        # The rate's error stays out of the distance: CONE_AND_RATE holds both at once. But where
        # the central formula counts, there is none of it to undo the cone's.
        cone = cone + (v["seen_chord"] > v["seen_central"]) * (v[CONE_AND_RATE] - cone)
    return shadow_cone.earth_in_moons(_chosen("sharp")(v)) / cone


def _distance(v: Values) -> u.Quantity:
    here = moon_distance.distance_in_earth_diameters(v["angle"], v["earth_in_moons"])
    return moon_distance.geocentric_distance(here, v["moon_altitude"], 0.5)


_WAYS = tuple(f"ratio_{method}" for method in METHODS)
DISTANCE = about(
    "the distance",
    *(Step("method", (way,), _method) for way in _WAYS),
    *(Step("ratio", ("method", way), _chosen("ratio")) for way in _WAYS),
    Step("earth_in_moons", ("ratio",), _earth_in_moons),
    Step("distance_earth_diameters", ("angle", "moon_altitude", "earth_in_moons"), _distance),
    Step(
        "distance_km",
        ("distance_earth_diameters", "earth"),
        lambda v: (v["distance_earth_diameters"] * v["earth"]).to(u.km),
    ),
)
