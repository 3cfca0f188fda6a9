"""What the two further lessons make of a group's readings, in blocks beside the chain.

Their readings are optional, and no block needs another: a sheet without them is reduced as if
there were no such lessons. Results that may have no upper end are worked out upside down (the
nearness of the Sun, the sine of the parallax), where nothing explodes, and turned over at last.
"""

from dataclasses import dataclass, field, replace
from functools import cache

import numpy as np
from astropy import units as u

from moonreach.lessons import other_ways, sun_distance, today
from moonreach.lessons.refuse import Impossible
from moonreach.reduction.truth import truth_of
from moonreach.reduction.uncertainty import Outcome, normal, propagate, rectangular

TERMINATOR = "assumption_terminator"
PLAIN_ECLIPSE = "assumption_plain_eclipse"
GLOBE = "assumption_globe"
SUN_ANGLE_NOT_GIVEN = "sun_angle (not given)"
RATIO_NOT_GIVEN = "shadow_ratio (not given)"

BY_ALTITUDES = (
    "half_moon_sun_altitude",
    "half_moon_altitude",
    "half_moon_azimuth_difference",
)
_LATITUDES = tuple(f"pair_{where}_latitude" for where in ("north", "south"))
_ZENITHS = tuple(f"pair_{where}_zenith_distance" for where in ("north", "south"))
_LONGITUDES = tuple(f"pair_{where}_longitude" for where in ("north", "south"))
_AZIMUTHS = tuple(f"pair_{where}_azimuth" for where in ("north", "south"))
PAIR_READINGS = *_LATITUDES, *_ZENITHS
PLACED = *_LONGITUDES, *_AZIMUTHS
_PARTS = tuple(f"solar_eclipse_{where}_part" for where in ("north", "south"))
SOLAR_ECLIPSE = (
    "solar_eclipse_north_latitude",
    "solar_eclipse_south_latitude",
    *_PARTS,
    "solar_eclipse_sun_altitude",
)
_HALF_MOON = {"half_moon_elongation", *BY_ALTITUDES}
_PAIR = {*PAIR_READINGS, *PLACED, "pair_shift"}
READINGS = {*_HALF_MOON, *_PAIR, *SOLAR_ECLIPSE, "sun_angle"}
WORDS = {*READINGS, "pair_moon", "pair_moment"}  # of the sheet
RESULTS = (
    "elongation",
    "sun_distance_ratio",
    "sun_in_earths",
    "solar_eclipse_shift",
    "solar_eclipse_distance",
    "pair_shift",
    "pair_distance",
)


@dataclass(frozen=True)
class Found:
    """One result: its key, what it is, the `Outcome`, its unit as written behind a number."""

    key: str
    what: str
    outcome: Outcome
    unit: str = ""


@dataclass
class Block:
    """What came of one further measurement: a heading, its `Found`, and notes."""

    key: str
    heading: str
    found: list = field(default_factory=list)
    notes: list = field(default_factory=list)

    def __getitem__(self, key):
        return next((one.outcome for one in self.found if one.key == key), None)


@dataclass(frozen=True)
class FurtherChain:
    """What can be worked out from the quantities that are present and the words that were said."""

    present: frozenset
    words: dict

    def lacks_for_half_moon(self):
        """Return what is missing for the elongation of the half Moon."""
        if "half_moon_elongation" in self.present or set(BY_ALTITUDES) <= self.present:
            return []
        missing = [name for name in BY_ALTITUDES if name not in self.present]
        return ["half_moon_elongation"] if len(missing) == 3 else missing

    def lacks_for_pair(self):
        """Return what is missing for the Moon's distance from two places."""
        missing = [name for name in (*_LATITUDES, _ZENITHS[0]) if name not in self.present]
        if not {"pair_shift", _ZENITHS[1]} & self.present:
            missing.append(_ZENITHS[1])
        return missing

    def lacks_for_solar_eclipse(self):
        """Return what is missing for the Moon's distance from a solar eclipse."""
        return [name for name in SOLAR_ECLIPSE if name not in self.present]

    @property
    def anywhere(self):
        """Whether the two places may lie anywhere, as azimuths and longitudes are given."""
        return {*PLACED, _ZENITHS[1]} <= self.present and "pair_shift" not in self.present

    def elongation(self, v):
        """Return the elongation of the half Moon as read."""
        if "half_moon_elongation" in self.present:
            return v["half_moon_elongation"].to(u.deg)
        return sun_distance.elongation_from_altitudes(*(v[name] for name in BY_ALTITUDES))

    def north_zenith(self, v):
        """Return the Moon's zenith distance at the northern place, positive where it stood south.

        Where no word says on which side it stood, the hemispheres of the places do.
        """
        return v[_ZENITHS[0]] * (-1 if self._moon(v) == "north_of_both" else 1)

    def south_zenith(self, v):
        """Return the Moon's zenith distance at the southern place, likewise."""
        return v[_ZENITHS[1]] * (1 if self._moon(v) == "south_of_both" else -1)

    def shift(self, v):
        """Return the Moon's parallax shift between the two places of a pair, on one meridian."""
        return v["pair_shift"].to(u.deg) if "pair_shift" in self.present else self.read_shift(v)

    def read_shift(self, v):
        """Return the shift that two zenith distances make."""
        difference = v[_LATITUDES[0]] - v[_LATITUDES[1]]
        zeniths = self.north_zenith(v), self.south_zenith(v)
        return other_ways.shift_from_zenith_distances(difference, *zeniths)

    def pair(self, v):
        """Return what a pair gives: the shift, and the sine of the parallax."""
        if self.anywhere:
            names = _LATITUDES, _LONGITUDES, _ZENITHS, _AZIMUTHS
            angles = [[v[name] for name in of_kind] for of_kind in names]
            return {"sine": other_ways.sine_of_parallax_anywhere(*angles) * v[GLOBE]}
        shift, difference = self.shift(v), v[_LATITUDES[0]] - v[_LATITUDES[1]]
        sine = other_ways.sine_of_parallax(shift, difference, self.north_zenith(v))
        return {"shift": shift, "sine": sine * v[GLOBE]}

    def solar_eclipse(self, v):
        """Return what a solar eclipse gives: the shift, and the sine of the parallax."""
        north, south = (np.minimum(v[name], 1) for name in _PARTS)  # more than all cannot be
        deeper, other = (south, north) if _middle(south) > _middle(north) else (north, south)
        sun = v["sun_angle" if "sun_angle" in self.present else SUN_ANGLE_NOT_GIVEN]
        shift = other_ways.shift_from_covered_parts(deeper, other, sun) + v[PLAIN_ECLIPSE] * sun
        latitudes = [v[name] for name in SOLAR_ECLIPSE[:2]]
        side = 1 if _middle(latitudes[0] + latitudes[1]) >= 0 * u.deg else -1
        zenith = side * (90 * u.deg - v["solar_eclipse_sun_altitude"])
        sine = other_ways.sine_of_parallax(shift, latitudes[0] - latitudes[1], zenith)
        return {"shift": shift.to(u.arcmin), "sine": sine}

    def _moon(self, v):
        hemispheres = [bool(_middle(v[name]) >= 0 * u.deg) for name in _LATITUDES]
        usual = {2: "south_of_both", 1: "between", 0: "north_of_both"}[sum(hemispheres)]
        return self.words.get("pair_moon", usual)


def _middle(value):
    return value.pdf_median() if hasattr(value, "pdf_median") else value


@cache  # the same for every group
def granted(name):
    """Return the input for something that a further lesson needs but no reading gives.

    Where the eye puts a half Moon's soft terminator: within a degree of the elongation; common
    practice, no source. The rest is a root mean square measured on the real sky
    (tests/benchmarks/further.py): what a globe costs the parallax, and what a solar eclipse costs
    that is taken plainly, with discs of one size, one before the middle of the other where it is
    total, and a Moon that goes by at right angles to the meridian (in Sun diameters; the true shift
    is mostly the larger).
    """
    if name == TERMINATOR:
        return rectangular(name, 0 * u.deg, 1 * u.deg, "assumption")
    if name == SUN_ANGLE_NOT_GIVEN:  # 31.46' in July to 32.53' in January
        return rectangular(name, 2 * today.SUN_SEMIDIAMETER, 0.54 * u.arcmin)
    if name == RATIO_NOT_GIVEN:  # 2.62 to 2.77 over the eclipses of a century
        return rectangular(name, 2.7 * u.one, 0.1 * u.one)
    value, standard = {GLOBE: (1, 0.004), PLAIN_ECLIPSE: (0, 0.058)}[name]
    return normal(name, value * u.one, standard * u.one, "assumption")


def blocks_of(inputs, words, result):
    """Return the `Block`s that a group's further readings give, a dict by key.

    Parameters: its inputs and words, as `inputs.inputs_of` makes them, and the `GroupResult` of
    the chain, which takes a sentence for each problem.
    """
    chain = FurtherChain(frozenset(inputs), words)
    makers = (
        (_half_moon, chain.lacks_for_half_moon(), _HALF_MOON, "the half Moon"),
        (
            _solar_eclipse,
            chain.lacks_for_solar_eclipse(),
            {*SOLAR_ECLIPSE, "sun_angle"},
            "the solar eclipse",
        ),
        (_pair, chain.lacks_for_pair(), _PAIR, "the Moon from two places"),
    )
    blocks = {}
    for make, lacks, names, what in makers:
        own = {name: made for name, made in inputs.items() if name in names}
        if own and lacks:
            result.problems.append(f"for {what} it lacks {', '.join(lacks)}")
        elif own:
            try:
                block = make(chain, own, result)
            except Impossible as error:
                result.problems.append(f"{what}: {error}")
            else:
                blocks[block.key] = block
    return blocks


def _half_moon(chain, inputs, result):
    inputs = inputs | {TERMINATOR: granted(TERMINATOR)}
    if result.ratio:
        ratio = result.ratio.value, result.ratio.standard
        inputs["shadow_ratio"] = normal("shadow_ratio", *(number * u.one for number in ratio))
    else:
        inputs["shadow_ratio"] = granted(RATIO_NOT_GIVEN)

    def found(v):
        elongation = chain.elongation(v) + v[TERMINATOR]
        near = sun_distance.nearness(elongation)
        in_suns = sun_distance.earth_in_suns(near, v["shadow_ratio"])
        return {"elongation": elongation, "near": near, "in_suns": in_suns}

    outcomes = propagate(found, inputs)
    block = Block("sun_distance", "The half Moon")
    block.found.append(Found("elongation", "elongation", outcomes["elongation"], "°"))
    founds = (
        Found("sun_distance_ratio", "Sun's distance", outcomes["near"], " Moon distances"),
        Found("sun_in_earths", "Sun's diameter", outcomes["in_suns"], " Earths"),
    )
    why = "the whole interval of the elongation lies at 90 deg or more, where the lines never meet"
    return _turned_over(block, founds, why, result)


def _solar_eclipse(chain, inputs, result):
    inputs = inputs | {PLAIN_ECLIPSE: granted(PLAIN_ECLIPSE)}
    if "sun_angle" not in inputs:
        inputs[SUN_ANGLE_NOT_GIVEN] = granted(SUN_ANGLE_NOT_GIVEN)
    outcomes = propagate(chain.solar_eclipse, inputs)
    block = Block("solar_eclipse", "A solar eclipse from two places")
    block.found.append(Found("solar_eclipse_shift", "Moon's shift", outcomes["shift"], "′"))
    distance = Found("solar_eclipse_distance", "distance", outcomes["sine"], " Earth diameters")
    why = "the covered parts leave no shift to the Moon: is one of them that of another place?"
    return _turned_over(block, (distance,), why, result, 0.5)


def _pair(chain, inputs, result):
    outcomes = propagate(chain.pair, inputs | {GLOBE: granted(GLOBE)})
    block = Block("pair", "The Moon from two places")
    if "shift" in outcomes:
        block.found.append(Found("pair_shift", "Moon's shift", outcomes["shift"], "°"))
    distance = Found("pair_distance", "distance", outcomes["sine"], " Earth diameters")
    why = (
        "the readings leave no shift to the Moon: look at the signs of the latitudes, and on which "
        "side of the zeniths it stood (pair_moon)"
    )
    _turned_over(block, (distance,), why, result, 0.5)
    named = {name: word for name, word in chain.words.items() if name == "pair_moment"}
    try:
        true = truth_of(named, block.notes, "pair_moment")
    except ValueError as error:
        result.problems.append(str(error))
    else:
        if true:
            far = true.distance_earth_diameters
            block.notes.append(f"true at that moment: {far:.2f} Earth diameters")
    return block


def _turned_over(block, founds, why, result, top=1.0):
    """Add top / what was found to a block, or to the problems why nothing is left; return it."""
    try:
        for found in founds:
            block.found.append(replace(found, outcome=found.outcome.upside_down(top)))
    except Impossible:
        result.problems.append(f"{block.heading}: {why}")
    return block
