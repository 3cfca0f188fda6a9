"""The steps of the two further lessons: rows of the same table, which no other row needs.

Results that may have no upper limit are worked out upside down (the nearness of the Sun, the sine
of the parallax), where nothing explodes, and turned over at last.
"""

import numpy as np
from astropy import units as u

from moonreach.lessons import other_ways, sun_distance, two_places
from moonreach.reduction.steps import Step, Values, about

TERMINATOR = "assumption_terminator"
PLAIN_ECLIPSE = "assumption_plain_eclipse"
GLOBE = "assumption_globe"
USUAL_RATIO = "usual_shadow_ratio"  # where a group has none of its own

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


HALF_MOON = about(
    "the half Moon",
    Step(
        "read_elongation",
        ("half_moon_elongation",),
        lambda v: v["half_moon_elongation"].to(u.deg),
    ),
    Step(
        "read_elongation",
        BY_ALTITUDES,
        lambda v: sun_distance.elongation_from_altitudes(*(v[name] for name in BY_ALTITUDES)),
    ),
    Step("elongation", ("read_elongation",), lambda v: v["read_elongation"] + v[TERMINATOR]),
    Step("nearness", ("elongation",), lambda v: sun_distance.nearness(v["elongation"])),
    *(
        Step(
            "earth_in_suns",
            ("nearness", ratio),
            lambda v, ratio=ratio: sun_distance.earth_in_suns(v["nearness"], v[ratio]),
        )
        for ratio in ("ratio", USUAL_RATIO)
    ),
)


def _part(v: Values, place: str) -> u.Quantity:
    return np.minimum(v[f"solar_eclipse_{place}_part"], 1)  # more than all cannot be


def _eclipse_shift(v: Values) -> u.Quantity:
    north, south = _part(v, "north"), _part(v, "south")
    deeper, other = (south, north) if middle(south) > middle(north) else (north, south)
    shift = other_ways.shift_from_covered_parts(deeper, other, v["sun_angle"])
    return (shift + v[PLAIN_ECLIPSE] * v["sun_angle"]).to(u.arcmin)


def _eclipse_sine(v: Values) -> u.Quantity:
    north, south = (v[name] for name in ECLIPSE_LATITUDES)
    side = 1 if middle(north + south) >= 0 * u.deg else -1
    zenith = side * (90 * u.deg - v["solar_eclipse_sun_altitude"])
    return other_ways.sine_of_parallax(v["solar_eclipse_shift"], north - south, zenith)


ECLIPSE = about(
    "the solar eclipse",
    Step("solar_eclipse_shift", SOLAR_ECLIPSE, _eclipse_shift),
    Step("solar_eclipse_sine", ("solar_eclipse_shift",), _eclipse_sine),
)


def _side(v: Values) -> str:
    """Return where the Moon stood: as stated, or else as the places' hemispheres have it."""
    northern = sum(bool(middle(v[name]) >= 0 * u.deg) for name in LATITUDES)
    return v.get("pair_moon", ("north_of_both", "between", "south_of_both")[northern])


def _signed_zenith(place: str, negative: str) -> Step:
    """Return the step to a zenith distance that is positive where the Moon stood south of it."""
    read = f"pair_{place}_zenith_distance"
    return Step(
        f"pair_{place}_zenith",
        (*LATITUDES, read),
        lambda v: v[read] * (-1 if _side(v) in negative else 1),
    )


def _read_shift(v: Values) -> u.Quantity:
    difference = v[LATITUDES[0]] - v[LATITUDES[1]]
    return other_ways.shift_from_zenith_distances(
        difference, v["pair_north_zenith"], v["pair_south_zenith"]
    )


def _anywhere_sine(v: Values) -> u.Quantity:
    kinds = (LATITUDES, LONGITUDES, ZENITHS, AZIMUTHS)
    angles = [[v[name] for name in of_kind] for of_kind in kinds]
    return two_places.sine_of_parallax_anywhere(*angles) * v[GLOBE]


def _meridian_sine(v: Values) -> u.Quantity:
    difference = v[LATITUDES[0]] - v[LATITUDES[1]]
    sine = other_ways.sine_of_parallax(v["pair_shift"], difference, v["pair_north_zenith"])
    return sine * v[GLOBE]


PAIR = about(
    "the Moon from two places",
    _signed_zenith("north", ("north_of_both",)),
    _signed_zenith("south", ("north_of_both", "between")),
    # A shift read among the stars goes first; with azimuths the places may lie anywhere.
    Step("pair_shift", ("pair_shift", "pair_north_zenith"), lambda v: v["pair_shift"].to(u.deg)),
    Step("pair_sine", (*PAIR_READINGS, *PLACED), _anywhere_sine, unless="pair_shift"),
    Step(
        "pair_shift",
        ("pair_north_zenith", "pair_south_zenith"),
        _read_shift,
        unless="pair_sine",
    ),
    Step("pair_sine", ("pair_shift", "pair_north_zenith"), _meridian_sine),
)
