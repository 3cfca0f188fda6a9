"""The steps of the two further lessons: rows of the same table, which no other row needs.

Results that may have no upper limit are worked out upside down (the nearness of the Sun, the sine
of the parallax), where nothing explodes, and turned over at last.
"""

import numpy as np
from astropy import units as u

from moonreach.lessons import other_ways, sun_distance, two_places
from moonreach.lessons.air import true_zenith_distance
from moonreach.lessons.refuse import mostly, require
from moonreach.reduction.steps import Step, about

TERMINATOR = "assumption_terminator"
_GLOBE = "assumption_globe"
_FARTHEST = 75 * u.deg  # from the zenith, where the air's lift is known well enough

BY_ALTITUDES = ("half_moon_sun_altitude", "half_moon_altitude", "half_moon_azimuth_difference")


def _at_both(pattern):
    return tuple(pattern.format(place) for place in ("north", "south"))


LATITUDES = _at_both("pair_{}_latitude")
ZENITHS = _at_both("pair_{}_zenith_distance")
LONGITUDES = _at_both("pair_{}_longitude")
AZIMUTHS = _at_both("pair_{}_azimuth")
TRUE_ZENITHS = _at_both("pair_{}_zenith")
PARTS = _at_both("solar_eclipse_{}_part")
ECLIPSE_PLACES = (*_at_both("solar_eclipse_{}_latitude"), "solar_eclipse_sun_altitude")


def _by_altitudes(sun, moon, between, quadrant):
    return sun_distance.elongation_from_altitudes(sun, moon - quadrant, between)


HALF_MOON = about(
    "the half Moon",
    Step("read_elongation", ("half_moon_elongation",), unit=u.deg),
    Step("read_elongation", (*BY_ALTITUDES, "half_moon_quadrant"), _by_altitudes),
    Step("elongation", ("read_elongation", TERMINATOR), np.add),
    Step("nearness", ("elongation",), sun_distance.nearness),
    Step("earth_in_suns", ("nearness", "ratio"), sun_distance.earth_in_suns),
    Step("earth_in_suns", ("nearness", "usual_shadow_ratio"), sun_distance.earth_in_suns),
)


def _eclipse_shift(north_part, south_part, sun_angle, plain_eclipse):
    parts = [np.minimum(part, 1) for part in (north_part, south_part)]  # more than all cannot be
    if mostly(parts[1] > parts[0]):
        parts.reverse()
    shift = other_ways.shift_from_covered_parts(*parts, sun_angle)
    return shift + plain_eclipse * sun_angle


def _eclipse_sine(shift, north, south, sun_altitude):
    side = 1 if mostly(north + south >= 0 * u.deg) else -1
    return other_ways.sine_of_parallax(shift, north - south, side * (90 * u.deg - sun_altitude))


def _eclipse_is_whole(values):
    return all(name in values for name in ECLIPSE_PLACES)


_SHIFTING = (*PARTS, "sun_angle", "assumption_plain_eclipse")
ECLIPSE = about(
    "the solar eclipse",
    Step("solar_eclipse_shift", _SHIFTING, _eclipse_shift, u.arcmin, when=_eclipse_is_whole),
    Step("solar_eclipse_sine", ("solar_eclipse_shift", *ECLIPSE_PLACES), _eclipse_sine),
)


def _side(*latitudes):
    """Return where the Moon stands as the places' hemispheres have it."""
    northern = sum(bool(mostly(latitude >= 0 * u.deg)) for latitude in latitudes)
    return ("north_of_both", "between", "south_of_both")[northern]


def _zenith(place, *negative):
    """Return the step to a true zenith distance, positive where the Moon stood south of it."""

    def true(seen, quadrant, side):
        require(
            seen <= _FARTHEST,
            "a Moon {} from straight up is too low: what the air does there is not known well "
            "enough; accepted are at most {}",
            seen,
            _FARTHEST,
        )
        return true_zenith_distance(seen - quadrant) * (-1 if side in negative else 1)

    names = (f"pair_{place}_zenith_distance", f"pair_{place}_quadrant", "pair_side")
    return Step(f"pair_{place}_zenith", names, true)


def _read_shift(north_latitude, south_latitude, *zeniths):
    return other_ways.shift_from_zenith_distances(north_latitude - south_latitude, *zeniths)


def _anywhere_sine(globe, *angles):
    latitudes, longitudes, zeniths, azimuths = zip(angles[::2], angles[1::2], strict=True)
    kinds = latitudes, longitudes, [np.abs(zenith) for zenith in zeniths], azimuths
    return two_places.sine_of_parallax_anywhere(*map(list, kinds)) * globe


def _meridian_sine(globe, shift, north_latitude, south_latitude, north_zenith):
    return other_ways.sine_of_parallax(shift, north_latitude - south_latitude, north_zenith) * globe


def _without(name):
    return lambda values: name not in values


_ANYWHERE = (_GLOBE, *LATITUDES, *LONGITUDES, *TRUE_ZENITHS, *AZIMUTHS)
_ON_A_MERIDIAN = (_GLOBE, "pair_shift", *LATITUDES, TRUE_ZENITHS[0])
PAIR = about(
    "the Moon from two places",
    Step("pair_side", (*LATITUDES, "pair_moon"), lambda north, south, side: side),
    Step("pair_side", LATITUDES, _side),
    _zenith("north", "north_of_both"),
    _zenith("south", "north_of_both", "between"),
    # A shift read among the stars goes first; with azimuths the places may lie anywhere.
    Step("pair_shift", ("pair_shift",), unit=u.deg, when=lambda v: TRUE_ZENITHS[0] in v),
    Step("pair_sine", _ANYWHERE, _anywhere_sine, when=_without("pair_shift")),
    Step("pair_shift", (*LATITUDES, *TRUE_ZENITHS), _read_shift, when=_without("pair_sine")),
    Step("pair_sine", _ON_A_MERIDIAN, _meridian_sine),
)
FURTHER = (*HALF_MOON, *ECLIPSE, *PAIR)
