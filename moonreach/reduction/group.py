"""One group's readings to its results, each with its 95 % interval, and what it lacked."""

from dataclasses import dataclass, field, replace

from astropy import units as u

from moonreach.lessons import earth_size
from moonreach.lessons.refuse import Impossible
from moonreach.reduction import chain as links
from moonreach.reduction import further
from moonreach.reduction.chain import OFF_CENTRE, PHOTOGRAPH, THROUGH_MIDDLE, Chain
from moonreach.reduction.inputs import inputs_of, stand_in
from moonreach.reduction.truth import truth_of
from moonreach.reduction.uncertainty import Outcome, propagate
from moonreach.sheet import timeline


@dataclass
class GroupResult:
    """What a group found; what it could not find is None, and `problems` says why.

    `further` holds the blocks of the further lessons, as `further.blocks_of` makes them.
    """

    group: str
    file: str
    earth_diameter: Outcome | None = None
    angle: Outcome | None = None
    ratios: dict = field(default_factory=dict)
    method: str | None = None
    path_offset: Outcome | None = None
    earth_in_moons: Outcome | None = None
    distance_earth_diameters: Outcome | None = None
    distance_km: Outcome | None = None
    truth: object = None
    notes: list = field(default_factory=list)
    problems: list = field(default_factory=list)
    further: dict = field(default_factory=dict)

    @property
    def ratio(self):
        """The shadow ratio that went on to the distance."""
        return self.ratios.get(self.method)

    def outcome(self, name):
        """Return a result by its name, of the chain or of a further lesson; None if there is none.

        Raises AttributeError for a name that no lesson knows.
        """
        for block in self.further.values():
            if (found := block[name]) is not None:
                return found
        return None if name in further.RESULTS else getattr(self, name)

    @property
    def error_percent(self):
        """How far the distance in kilometres lies from that night's true one."""
        if not (self.truth and self.distance_km):
            return None
        return (self.distance_km.value / self.truth.distance.to_value(u.km) - 1) * 100

    @property
    def anything(self):
        """Whether any reading led to a result."""
        return bool(self.distance_km or self.ratios or self.earth_diameter or self.further)

    @property
    def budget(self):
        """Each input's share of the variance of the distance, largest first."""
        return self.distance_km.shares if self.distance_km else {}


def reduce_group(name, readings):
    """Return the `GroupResult` of one group's readings; nothing it lacks stops the rest.

    Parameters: the group's name and its list of `tables.Reading`.
    """
    result = GroupResult(name, readings[0].file)
    inputs, words = inputs_of(readings, result.problems)
    beside = {name: inputs.pop(name) for name in list(inputs) if name in further.READINGS}
    whole = Chain(frozenset(inputs), words, declination_change(words, result.problems))
    chain = _earth(whole, inputs, result)
    chain = _angle(chain, inputs, result)
    off_centre = _ratios(chain, inputs, result)
    _choose(words, result)
    if result.method:
        outcomes = off_centre
        if result.method != OFF_CENTRE:
            outcomes = _tried(
                result.method, lambda v: chain.results(v, result.method), inputs, result
            )
        _take(outcomes or {}, result)
    if beside:
        result.further = further.blocks_of(beside, words, result)
    try:
        result.truth = truth_of(words, result.notes)
    except ValueError as error:
        result.problems.append(str(error))
    return result


def declination_change(words, problems):
    """Return the Sun's declination at the northern noon less that at the southern, if dated."""
    noons = [words[name] for name in ("north_noon", "south_noon") if name in words]
    if len(noons) < 2:
        return None
    try:
        north, south = (earth_size.sun_declination(timeline.since_2000(noon)) for noon in noons)
    except Impossible as error:
        problems.append(str(error))
        return None
    return north - south


def _earth(chain, inputs, result):
    """Find Earth's diameter; return the chain, without the Earth's readings where they fail."""
    lacks = chain.lacks_for_earth()
    names = links.EARTH & set(inputs)
    if not lacks:
        outcomes = _tried(
            "Earth's size",
            lambda v: {"earth": chain.earth_diameter(v).to(u.km)},
            _only(inputs, links.EARTH),
            result,
        )
        if outcomes:
            result.earth_diameter = outcomes["earth"]
            return chain
    elif names:
        result.problems.append(f"for Earth's size it lacks {', '.join(lacks)}")
    for name in names:
        del inputs[name]
    return replace(chain, present=chain.present - names)


def _angle(chain, inputs, result):
    """Find the Moon's angle; return the chain, without the rod's readings where they fail."""
    lacks = chain.lacks_for_angle()
    if lacks:
        result.problems.append(f"for the Moon's angle it lacks {' and '.join(lacks)}")
        return chain
    if "moon_altitude" not in inputs:
        inputs[links.ALTITUDE_NOT_GIVEN] = stand_in(links.ALTITUDE_NOT_GIVEN)
        result.notes.append("moon_altitude is not given and taken as anywhere from 10 to 60 deg")
    if chain.needs_hole() and "hole_diameter" not in inputs:
        inputs[links.HOLE_NOT_GIVEN] = stand_in(links.HOLE_NOT_GIVEN)
        result.notes.append("hole_diameter is not given and taken as anywhere from 0 to 2 mm")
    needed = _only(inputs, links.SIGHTING)
    outcomes = _tried("the Moon's angle", lambda v: {"angle": chain.angle(v)}, needed, result)
    if not outcomes:
        return replace(chain, present=chain.present - links.SIGHTING)
    result.angle = outcomes["angle"]
    if {"vanish_distance", "rim_distance"} <= set(inputs):
        vanish, rim = inputs["vanish_distance"], inputs["rim_distance"]
        if (vanish.cloud > rim.cloud).distribution.mean() > 0.975:
            result.problems.append(
                f"vanish_distance ({vanish.value:.4g}) is longer than rim_distance "
                f"({rim.value:.4g}), but the rim shows only farther out: were the two swapped? "
                "(the angle is the same either way)"
            )
    return chain


def _ratios(chain, inputs, result):
    """Find the shadow ratio in every way there is; return what came with the off-centre one."""
    for name in links.ASSUMPTIONS:
        inputs[name] = stand_in(name)
    lacks, lacks_photograph = chain.lacks_for_timing(), chain.lacks_for_photograph()
    simple = [THROUGH_MIDDLE] * (not lacks) + [PHOTOGRAPH] * (not lacks_photograph)
    if not simple:
        result.problems.append(
            f"for the shadow ratio it lacks {', '.join(lacks)}, or partial_phase and total_phase; "
            f"or else {' and '.join(lacks_photograph)}"
        )
    for method in simple:
        readings = links.PHOTO if method == PHOTOGRAPH else links.TIMING
        needed = _only(inputs, {*readings, links.SHARP_EDGE})
        outcomes = _tried(
            method, lambda v, method=method: {"ratio": chain.sharp_ratio(v, method)}, needed, result
        )
        if outcomes:
            result.ratios[method] = outcomes["ratio"]
    if not (result.angle and THROUGH_MIDDLE in result.ratios):
        return None
    outcomes = _tried(OFF_CENTRE, lambda v: chain.results(v, OFF_CENTRE), inputs, result)
    if outcomes:
        result.ratios[OFF_CENTRE] = outcomes["ratio"]
    return outcomes


def _choose(words, result):
    """Choose the ratio that goes on: timing's right formula, or the photograph if surer."""
    timing = OFF_CENTRE if OFF_CENTRE in result.ratios else THROUGH_MIDDLE
    if words.get("path") == "central" and THROUGH_MIDDLE in result.ratios:
        timing = THROUGH_MIDDLE
    elif timing == THROUGH_MIDDLE and PHOTOGRAPH in result.ratios:
        timing = PHOTOGRAPH  # the path is unknown, and no interval holds what that may cost
    choice = [method for method in (timing, PHOTOGRAPH) if method in result.ratios]
    if choice:
        result.method = min(choice, key=lambda method: result.ratios[method].standard)


def _take(outcomes, result):
    result.distance_earth_diameters = outcomes.get("distance_earth_diameters")
    result.distance_km = outcomes.get("distance_km")
    result.path_offset = outcomes.get("path_offset")
    result.earth_in_moons = outcomes.get("earth_in_moons")


def _only(inputs, names):
    return {name: made for name, made in inputs.items() if name in names}


def _tried(what, function, inputs, result):
    try:
        return propagate(function, inputs)
    except Impossible as error:
        result.problems.append(f"{what}: {error}")
        return None
