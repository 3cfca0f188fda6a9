"""What a group can find: its results in words and units, and what each measurement asks for."""

from collections.abc import Collection
from dataclasses import dataclass

from moonreach.reduction import chain, further
from moonreach.reduction.chain import METHODS
from moonreach.sheet.quantities import CONTACTS, GNOMONS, label_of

STEPS = (
    *chain.EARTH,
    *chain.SIGHTING,
    *chain.TIMING,
    *chain.DISTANCE,
    *further.HALF_MOON,
    *further.ECLIPSE,
    *further.PAIR,
)


@dataclass(frozen=True)
class Result:
    """One result that reaches a reader.

    `unit` is written behind a number as it stands. A result that may have no upper limit is worked
    out upside down: `of` names the value it is made of, `top` what is divided by that, and `none`
    says what it means where nothing positive is left. `block` is the measurement of a further
    lesson that it belongs to.
    """

    label: str
    unit: str = ""
    of: str = ""
    top: float = 0.0
    none: str = ""
    block: str = ""


BLOCKS = {
    "sun_distance": "The half Moon",
    "solar_eclipse": "A solar eclipse from two places",
    "pair": "The Moon from two places",
}
_NO_SUN = (
    "The half Moon: the whole interval of the elongation lies at 90 deg or more, where the lines "
    "never meet"
)
_NO_ECLIPSE = (
    "A solar eclipse from two places: the covered parts leave no shift to the Moon: is one of them "
    "that of another place?"
)
_NO_PAIR = (
    "The Moon from two places: the readings leave no shift to the Moon: look at the signs of the "
    "latitudes, and on which side of the zeniths it stood (pair moon)"
)
RESULTS = {
    "earth_diameter": Result("Earth's diameter", " km"),
    "ratio": Result("shadow ratio"),
    **{f"ratio_{key}": Result(f"shadow ratio, {words}") for key, words in METHODS.items()},
    "path_offset": Result("path offset", " of the umbra's radius"),
    "angle": Result("angular diameter", "′"),
    "earth_in_moons": Result("Earth in Moons"),
    "distance_earth_diameters": Result("distance", " Earth diameters"),
    "distance_km": Result("distance", " km"),
    "elongation": Result("elongation", "°", block="sun_distance"),
    "sun_distance_ratio": Result(
        "Sun's distance", " Moon distances", "nearness", 1.0, _NO_SUN, "sun_distance"
    ),
    "sun_in_earths": Result(
        "Sun's diameter", " Earths", "earth_in_suns", 1.0, _NO_SUN, "sun_distance"
    ),
    "solar_eclipse_shift": Result("Moon's shift", "′", block="solar_eclipse"),
    "solar_eclipse_distance": Result(
        "distance", " Earth diameters", "solar_eclipse_sine", 0.5, _NO_ECLIPSE, "solar_eclipse"
    ),
    "pair_shift": Result("Moon's shift", "°", block="pair"),
    "pair_distance": Result("distance", " Earth diameters", "pair_sine", 0.5, _NO_PAIR, "pair"),
}
RESULT_OF = {result.of or name: name for name, result in RESULTS.items()}


@dataclass(frozen=True)
class Measurement:
    """What one measurement asks of a sheet.

    `ways` are the ways to make it. Each is a row of items; an item is a quantity, or a row of
    alternatives, each of which is a row of quantities.
    """

    what: str
    ways: tuple
    optional: bool = True

    def lacks(self, given: Collection[str]) -> list[str]:
        """Return in words what is missing; where some of a way is there, of such ways only."""
        missing = [[item for item in way if not _is_there(item, given)] for way in self.ways]
        if not all(missing):
            return []
        begun = [m for m, way in zip(missing, self.ways, strict=True) if len(m) < len(way)]
        texts = [", ".join(map(_in_words, items)) for items in begun or missing]
        return ["; or else ".join(texts)]

    def quantities(self) -> set[str]:
        """Return all quantities that count for it."""
        return {name for way in self.ways for item in way for name in _quantities(item)}


def _is_there(item, given):
    if isinstance(item, str):
        return item in given
    return any(all(name in given for name in alternative) for alternative in item)


def _in_words(item):
    if isinstance(item, str):
        return label_of(item)
    return " or ".join(" with ".join(map(label_of, alternative)) for alternative in item)


def _quantities(item):
    return [item] if isinstance(item, str) else [name for some in item for name in some]


_TIMED = (
    (*CONTACTS[1:3], ((CONTACTS[0],), (CONTACTS[3],))),
    ("partial_phase", "total_phase"),
)
_PHOTOGRAPHED = (("photo_shadow_radius", "photo_moon_radius"),)
_PAIR = ((*further.LATITUDES, further.ZENITHS[0], (("pair_shift",), (further.ZENITHS[1],))),)
MEASUREMENTS = {
    "earth": Measurement(
        "Earth's size",
        ((*GNOMONS, (("north_south_distance",), ("road_distance", "road_bearing"))),),
    ),
    "angle": Measurement(
        "the Moon's angular diameter",
        (("disc_diameter", (("vanish_distance",), ("rim_distance",))),),
        optional=False,
    ),
    "ratio": Measurement("the shadow ratio", (*_TIMED, *_PHOTOGRAPHED), optional=False),
    "timing": Measurement("the shadow ratio by timing", _TIMED),
    "half_moon": Measurement("the half Moon", (("half_moon_elongation",), further.BY_ALTITUDES)),
    "solar_eclipse": Measurement("the solar eclipse", (further.SOLAR_ECLIPSE,)),
    "pair": Measurement("the Moon from two places", _PAIR),
    "another_way": Measurement("another way to the Moon", (*_PAIR, further.SOLAR_ECLIPSE)),
}
# Those that a group's sheet is asked for, in the order of the lessons.
ASKED = ("earth", "angle", "ratio", "half_moon", "solar_eclipse", "pair")

# What only the further lessons read.
FURTHER_QUANTITIES = {
    *further.BY_ALTITUDES,
    "half_moon_elongation",
    *further.SOLAR_ECLIPSE,
    "sun_angle",
    *further.PAIR_READINGS,
    *further.PLACED,
    "pair_shift",
    "pair_moon",
    "pair_moment",
}
