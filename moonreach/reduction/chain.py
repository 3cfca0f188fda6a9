"""The steps of the five lessons, from shadows, contacts and the rod to the Moon's distance."""

import numpy as np
from astropy import units as u

from moonreach.lessons import earth_size, eclipse_timing, moon_distance, noon, shadow_cone
from moonreach.lessons.air import true_zenith_distance
from moonreach.lessons.refuse import require
from moonreach.reduction.propagation import standard_of
from moonreach.reduction.steps import Step, about
from moonreach.sheet import clocks
from moonreach.sheet.quantities import CONTACTS

# The ways to the shadow ratio, and what each is called.
METHODS = {"chord": "chord formula", "central": "central formula", "photo": "photograph"}

# Assumptions: inputs whose best value changes nothing (assumptions.toml has their sizes).
CONE_AND_RATE = "assumption_cone_and_rate"
MOON_RATE = "assumption_moon_rate"
SHARP_EDGE = "assumption_sharp_edge"
MERIDIAN = "assumption_meridian"
# What each group does for itself, and no one measures.
SETUP = ("north_lean", "north_slope", "south_lean", "south_slope")


def _declination_change(north_noon, south_noon):
    north, south = map(clocks.since_2000, (north_noon, south_noon))
    return noon.sun_declination(north) - noon.sun_declination(south)


def _without_air(seen, lean, slope):
    """Return a zenith distance without the air, of a gnomon that may lean."""
    return true_zenith_distance(seen) - noon.setup_error(seen, lean, slope)


def _zeniths(place):
    """Return the steps to a zenith distance as it was read, and to the true one."""
    seen, shadow = f"{place}_zenith", (f"{place}_gnomon_height", f"{place}_shadow_length")
    yield Step(seen, shadow, earth_size.zenith_distance, options={"edge": "shadow_edge"})
    yield Step(f"true_{seen}", (seen, f"{place}_lean", f"{place}_slope"), _without_air)


def _earth_diameter(arc, baseline, curve):
    return earth_size.diameter(arc, baseline) / curve


_TO_ARC = {"shadows": "shadows", "declination_change": "declination_change"}

EARTH = about(
    "Earth's size",
    *_zeniths("north"),
    *_zeniths("south"),
    Step("declination_change", ("north_noon", "south_noon"), _declination_change),
    Step("arc", ("north_zenith", "south_zenith"), earth_size.arc, options=_TO_ARC),
    Step("true_arc", ("true_north_zenith", "true_south_zenith"), earth_size.arc, options=_TO_ARC),
    Step("baseline", ("north_south_distance",)),
    Step("baseline", ("road_distance", "road_bearing"), earth_size.north_south_distance),
    Step("earth_diameter", ("true_arc", "baseline", MERIDIAN), _earth_diameter, u.km),
    Step("earth", ("earth_diameter",)),
    Step("earth", ("usual_earth_diameter",)),
)


def _without_exit(u1, u2, u3):
    return eclipse_timing.phases(u1, u2, u3, u3 + u2 - u1)  # entry and exit are taken to be alike


def _without_entry(u2, u3, u4):
    return eclipse_timing.phases(u2 + u3 - u4, u2, u3, u4)


def _photograph(shadow_radius, moon_radius):
    require(
        shadow_radius.unit.is_equivalent(moon_radius.unit),
        "one radius is in px and the other in a length, so they cannot be compared",
    )
    return shadow_radius / moon_radius


def _semidiameter(angle, altitude, *phases):
    """Return the Moon's semidiameter from Earth's centre, from which the chord formula counts."""
    rate = eclipse_timing.scaled_rate(angle / 2)
    moons = shadow_cone.earth_in_moons(eclipse_timing.ratio_off_centre(*phases, angle / 2, rate))
    return moon_distance.geocentric_angle(angle, altitude, moons) / 2


# Of the ratio as it was seen: with the umbra's soft edge in its cloud it is called sharp.
_PHASES = ("entry_time", "totality")
TIMING = (
    *about(
        METHODS["central"],
        Step("phases", CONTACTS, eclipse_timing.phases),
        Step("phases", CONTACTS[:3], _without_exit),
        Step("phases", CONTACTS[1:], _without_entry),
        Step("phases", ("partial_phase", "total_phase"), lambda *durations: durations),
        Step("entry_time", ("phases",), lambda phases: phases[0], u.min),
        Step("totality", ("phases",), lambda phases: phases[1], u.min),
        Step("seen_central", _PHASES, eclipse_timing.ratio_through_middle),
        Step("ratio_central", ("seen_central", SHARP_EDGE), shadow_cone.without_air),
    ),
    *about(
        METHODS["photo"],
        Step("seen_photo", ("photo_shadow_radius", "photo_moon_radius"), _photograph, u.one),
        Step("ratio_photo", ("seen_photo", SHARP_EDGE), shadow_cone.without_air),
    ),
    *about(
        METHODS["chord"],
        Step("semidiameter", ("angle", "moon_altitude", *_PHASES), _semidiameter),
        Step("rate", ("semidiameter",), eclipse_timing.scaled_rate),
        Step("seen_chord", (*_PHASES, "semidiameter", "rate"), eclipse_timing.ratio_off_centre),
        Step("sharp_chord", ("seen_chord", SHARP_EDGE), shadow_cone.without_air),
        Step("ratio_chord", ("sharp_chord", MOON_RATE), np.multiply),
        Step("path_offset", ("seen_chord", *_PHASES), eclipse_timing.path_offset),
    ),
)


def _method(path="unknown", **ratios):
    """Choose the ratio that goes on: timing's right formula, or the photograph if surer."""
    timing = "chord" if "chord" in ratios else "central"
    if path == "central" and "central" in ratios:
        timing = "central"
    elif timing == "central" and "photo" in ratios:
        timing = "photo"  # the path is unknown, and no interval holds what that may do
    choice = [method for method in (timing, "photo") if method in ratios]
    return min(choice, key=lambda method: standard_of(ratios[method]))


def _goes_on(method):
    return lambda values: values.get("method") == method


def _earth_in_moons(ratio, cone):
    return shadow_cone.earth_in_moons(ratio) / cone


def _distance(angle, altitude, earth_in_moons):
    here = moon_distance.distance_in_earth_diameters(angle, earth_in_moons)
    return moon_distance.geocentric_distance(here, altitude, 0.5)


DISTANCE = about(
    "the distance",
    Step(
        "method",
        (),
        _method,
        options={"path": "path"} | {method: f"ratio_{method}" for method in METHODS},
        when=lambda values: any(f"ratio_{method}" in values for method in METHODS),
    ),
    *(Step("ratio", (f"ratio_{method}",), when=_goes_on(method)) for method in METHODS),
    # With the chord formula the rate's error is in the ratio too, and all but undoes the cone's.
    Step("sharp", ("sharp_chord",), when=_goes_on("chord")),
    Step("sharp", ("ratio",)),
    Step("cone", (CONE_AND_RATE,), when=_goes_on("chord")),
    Step("cone", ("assumption_cone",)),
    Step("earth_in_moons", ("sharp", "cone"), _earth_in_moons),
    Step("distance_earth_diameters", ("angle", "moon_altitude", "earth_in_moons"), _distance),
    Step("distance_km", ("distance_earth_diameters", "earth"), np.multiply, u.km),
)
