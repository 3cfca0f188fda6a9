"""The steps of the five lessons, from shadows, contacts and the rod to the Moon's distance."""

from astropy import units as u

from moonreach.lessons import (
    earth_size,
    eclipse_timing,
    moon_distance,
    noon,
    shadow_cone,
    today,
)
from moonreach.lessons.air import true_zenith_distance
from moonreach.lessons.refuse import require
from moonreach.reduction.propagation import standard_of
from moonreach.reduction.steps import Step, about
from moonreach.sheet import timeline
from moonreach.sheet.origin import Origin
from moonreach.sheet.quantities import CONTACTS

# The ways to the shadow ratio, and what each is called.
METHODS = {"chord": "chord formula", "central": "central formula", "photo": "photograph"}

# Assumptions: inputs whose best value changes nothing (assumptions.toml has their sizes).
CONE = "assumption_cone"
CONE_AND_RATE = "assumption_cone_and_rate"
MOON_RATE = "assumption_moon_rate"
SHARP_EDGE = "assumption_sharp_edge"
MERIDIAN = "assumption_meridian"
ASSUMPTIONS = (CONE, CONE_AND_RATE, MOON_RATE, SHARP_EDGE)
# What each group does for itself, and no one measures.
SETUP = ("north_lean", "north_slope", "south_lean", "south_slope")


def _declination_change(north_noon, south_noon):
    north, south = (
        noon.sun_declination(timeline.since_2000(clock)) for clock in (north_noon, south_noon)
    )
    return north - south


_NORTH, _SOUTH = (
    Step(
        f"{place}_zenith",
        (f"{place}_gnomon_height", f"{place}_shadow_length"),
        earth_size.zenith_distance,
        options={"edge": "shadow_edge"},
    )
    for place in ("north", "south")
)


def _true_zenith(place):
    """Return the step to a zenith distance without the air, of a gnomon that may lean."""

    def true(seen, lean, slope):
        return true_zenith_distance(seen) - noon.setup_error(seen, lean, slope)

    return Step(
        f"true_{place}_zenith", (f"{place}_zenith", f"{place}_lean", f"{place}_slope"), true
    )


def _arc(name, *zeniths):
    options = {"shadows": "shadows", "declination_change": "declination_change"}
    return Step(name, zeniths, earth_size.arc, options=options)


EARTH = about(
    "Earth's size",
    _NORTH,
    _SOUTH,
    Step("declination_change", ("north_noon", "south_noon"), _declination_change),
    _arc("arc", "north_zenith", "south_zenith"),
    _true_zenith("north"),
    _true_zenith("south"),
    _arc("true_arc", "true_north_zenith", "true_south_zenith"),
    Step("baseline", ("north_south_distance",)),
    Step("baseline", ("road_distance", "road_bearing"), earth_size.north_south_distance),
    Step(
        "earth_diameter",
        ("true_arc", "baseline", MERIDIAN),
        lambda arc, baseline, curve: earth_size.diameter(arc, baseline) / curve,
        u.km,
    ),
    Step("earth", ("earth_diameter",)),
    Step("earth", (), lambda: today.EARTH_DIAMETER, origin=Origin.TODAY),
)


def _without_exit(u1, u2, u3):
    return eclipse_timing.phases(u1, u2, u3, u3 + u2 - u1)  # entry and exit are taken to be alike


def _without_entry(u2, u3, u4):
    return eclipse_timing.phases(u2 + u3 - u4, u2, u3, u4)


def _central(phases):
    return eclipse_timing.ratio_through_middle(*phases)


def _photograph(shadow_radius, moon_radius):
    require(
        shadow_radius.unit.is_equivalent(moon_radius.unit),
        "one radius is in px and the other in a length, so they cannot be compared",
    )
    return shadow_radius / moon_radius


def _chord(phases, semidiameter):
    rate = eclipse_timing.scaled_rate(semidiameter)
    return eclipse_timing.ratio_off_centre(*phases, semidiameter, rate)


def _semidiameter(angle, altitude, phases):
    """Return the Moon's semidiameter from Earth's centre, from which the chord formula counts."""
    moons = shadow_cone.earth_in_moons(_chord(phases, angle / 2))
    return moon_distance.geocentric_angle(angle, altitude, moons) / 2


def _ratio_by(method, factor=None):
    """Return the steps from the ratio as seen to that with the umbra's soft edge in its cloud."""
    sharp = f"sharp_{method}"
    yield Step(sharp, (f"seen_{method}", SHARP_EDGE), shadow_cone.without_air)
    if factor:
        yield Step(f"ratio_{method}", (sharp, factor), lambda ratio, rate: ratio * rate)
    else:
        yield Step(f"ratio_{method}", (sharp,))


TIMING = (
    *about(
        METHODS["central"],
        Step("phases", CONTACTS, eclipse_timing.phases),
        Step("phases", CONTACTS[:3], _without_exit),
        Step("phases", CONTACTS[1:], _without_entry),
        Step("phases", ("partial_phase", "total_phase"), lambda *durations: durations),
        Step("entry_time", ("phases",), lambda phases: phases[0], u.min),
        Step("totality", ("phases",), lambda phases: phases[1], u.min),
        Step("seen_central", ("phases",), _central),
        *_ratio_by("central"),
    ),
    *about(
        METHODS["photo"],
        Step("seen_photo", ("photo_shadow_radius", "photo_moon_radius"), _photograph, u.one),
        *_ratio_by("photo"),
    ),
    *about(
        METHODS["chord"],
        Step("semidiameter", ("angle", "moon_altitude", "phases"), _semidiameter),
        Step("rate", ("semidiameter",), eclipse_timing.scaled_rate),
        Step("seen_chord", ("phases", "semidiameter"), _chord),
        *_ratio_by("chord", MOON_RATE),
        Step(
            "path_offset",
            ("seen_chord", "phases"),
            lambda ratio, phases: eclipse_timing.path_offset(ratio, *phases),
        ),
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
    *(
        Step(kind, (f"{kind}_{method}",), when=_goes_on(method))
        for kind in ("ratio", "sharp")
        for method in METHODS
    ),
    # With the chord formula the rate's error is in the ratio too, and all but undoes the cone's.
    Step("cone", (CONE_AND_RATE,), when=_goes_on("chord")),
    Step("cone", (CONE,)),
    Step(
        "earth_in_moons",
        ("sharp", "cone"),
        lambda ratio, cone: shadow_cone.earth_in_moons(ratio) / cone,
    ),
    Step("distance_earth_diameters", ("angle", "moon_altitude", "earth_in_moons"), _distance),
    Step(
        "distance_km",
        ("distance_earth_diameters", "earth"),
        lambda diameters, earth: diameters * earth,
        u.km,
    ),
)
