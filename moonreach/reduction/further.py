"""The steps of the two further lessons: rows of the same table, which no other row needs.

Results that may have no upper limit are worked out upside down (the nearness of the Sun, the sine
of the parallax), where nothing explodes, and turned over at last.
"""

import numpy as np
from astropy import units as u

from moonreach.lessons import other_ways, sun_distance, two_places
from moonreach.lessons.air import true_zenith_distance
from moonreach.lessons.refuse import require
from moonreach.reduction.steps import Step, about

TERMINATOR = "assumption_terminator"
PLAIN_ECLIPSE = "assumption_plain_eclipse"
GLOBE = "assumption_globe"
ASSUMPTIONS = (TERMINATOR, GLOBE, PLAIN_ECLIPSE)
USUAL_RATIO = "usual_shadow_ratio"  # where a group has none of its own

QUADRANTS = ("half_moon_quadrant", "pair_north_quadrant", "pair_south_quadrant")
FARTHEST = 75 * u.deg  # from the zenith, where the air's lift is known well enough

_PLACES = ("north", "south")
BY_ALTITUDES = (
    "half_moon_sun_altitude",
    "half_moon_altitude",
    "half_moon_azimuth_difference",
)
LATITUDES = tuple(f"pair_{place}_latitude" for place in _PLACES)
ZENITHS = tuple(f"pair_{place}_zenith_distance" for place in _PLACES)
LONGITUDES = tuple(f"pair_{place}_longitude" for place in _PLACES)
AZIMUTHS = tuple(f"pair_{place}_azimuth" for place in _PLACES)
PAIR_READINGS = (*LATITUDES, *ZENITHS)
PLACED = (*LONGITUDES, *AZIMUTHS)
PARTS = tuple(f"solar_eclipse_{place}_part" for place in _PLACES)
ECLIPSE_LATITUDES = tuple(f"solar_eclipse_{place}_latitude" for place in _PLACES)
SOLAR_ECLIPSE = (*ECLIPSE_LATITUDES, *PARTS, "solar_eclipse_sun_altitude")


def middle(value: object) -> object:
    """Return a value's middle: of a cloud its median, of a number itself."""
    return value.pdf_median() if hasattr(value, "pdf_median") else value


def _by_altitudes(sun, moon, between, quadrant):
    return sun_distance.elongation_from_altitudes(sun, moon - quadrant, between)


def _with_terminator(elongation, terminator):
    return elongation + terminator


HALF_MOON = about(
    "the half Moon",
    Step("read_elongation", ("half_moon_elongation",), unit=u.deg),
    Step("read_elongation", (*BY_ALTITUDES, QUADRANTS[0]), _by_altitudes),
    Step("elongation", ("read_elongation", TERMINATOR), _with_terminator),
    Step("nearness", ("elongation",), sun_distance.nearness),
    Step("earth_in_suns", ("nearness", "ratio"), sun_distance.earth_in_suns),
    Step("earth_in_suns", ("nearness", USUAL_RATIO), sun_distance.earth_in_suns),
)


def _eclipse_shift(north_part, south_part, sun_angle, plain_eclipse):
    parts = [np.minimum(part, 1) for part in (north_part, south_part)]  # more than all cannot be
    if middle(parts[1]) > middle(parts[0]):
        parts.reverse()
    shift = other_ways.shift_from_covered_parts(*parts, sun_angle)
    return shift + plain_eclipse * sun_angle


def _eclipse_sine(shift, north, south, sun_altitude):
    side = 1 if middle(north + south) >= 0 * u.deg else -1
    return other_ways.sine_of_parallax(shift, north - south, side * (90 * u.deg - sun_altitude))


ECLIPSE = about(
    "the solar eclipse",
    Step(
        "solar_eclipse_shift",
        (*PARTS, "sun_angle", PLAIN_ECLIPSE),
        _eclipse_shift,
        u.arcmin,
        when=lambda values: all(name in values for name in SOLAR_ECLIPSE),
    ),
    Step(
        "solar_eclipse_sine",
        ("solar_eclipse_shift", *ECLIPSE_LATITUDES, "solar_eclipse_sun_altitude"),
        _eclipse_sine,
    ),
)


def _side(*latitudes):
    """Return where the Moon stands as the places' hemispheres have it."""
    northern = sum(bool(middle(latitude) >= 0 * u.deg) for latitude in latitudes)
    return ("north_of_both", "between", "south_of_both")[northern]


def _zenith(place, negative):
    """Return the step to a true zenith distance, positive where the Moon stood south of it."""

    def true(seen, quadrant, side):
        require(
            seen <= FARTHEST,
            "a Moon {} from straight up is too low: what the air does there is not known well "
            "enough; accepted are at most {}",
            seen,
            FARTHEST,
        )
        return true_zenith_distance(seen - quadrant) * (-1 if side in negative else 1)

    names = (f"pair_{place}_zenith_distance", f"pair_{place}_quadrant", "pair_side")
    return Step(f"pair_{place}_zenith", names, true)


def _read_shift(north_latitude, south_latitude, north_zenith, south_zenith):
    return other_ways.shift_from_zenith_distances(
        north_latitude - south_latitude, north_zenith, south_zenith
    )


def _anywhere_sine(globe, *angles):
    latitudes, longitudes, zeniths, azimuths = zip(angles[::2], angles[1::2], strict=True)
    kinds = latitudes, longitudes, [np.abs(zenith) for zenith in zeniths], azimuths
    return two_places.sine_of_parallax_anywhere(*map(list, kinds)) * globe


def _meridian_sine(globe, shift, north_latitude, south_latitude, north_zenith):
    return other_ways.sine_of_parallax(shift, north_latitude - south_latitude, north_zenith) * globe


def _without(name):
    return lambda values: name not in values


PAIR = about(
    "the Moon from two places",
    Step("pair_side", (*LATITUDES, "pair_moon"), lambda north, south, side: side),
    Step("pair_side", LATITUDES, _side),
    _zenith("north", ("north_of_both",)),
    _zenith("south", ("north_of_both", "between")),
    # A shift read among the stars goes first; with azimuths the places may lie anywhere.
    Step("pair_shift", ("pair_shift",), unit=u.deg, when=lambda v: "pair_north_zenith" in v),
    Step(
        "pair_sine",
        (GLOBE, *LATITUDES, *LONGITUDES, "pair_north_zenith", "pair_south_zenith", *AZIMUTHS),
        _anywhere_sine,
        when=_without("pair_shift"),
    ),
    Step(
        "pair_shift",
        (*LATITUDES, "pair_north_zenith", "pair_south_zenith"),
        _read_shift,
        when=_without("pair_sine"),
    ),
    Step("pair_sine", (GLOBE, "pair_shift", *LATITUDES, "pair_north_zenith"), _meridian_sine),
)
