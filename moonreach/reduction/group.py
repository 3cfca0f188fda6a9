"""One group's readings to its results, each with its 95 % interval, and what it lacked."""

from dataclasses import dataclass, field, replace

from astropy import units as u

from moonreach.lessons.refuse import Impossible
from moonreach.reduction import chain, further, sighting
from moonreach.reduction.inputs import (
    NOT_GIVEN,
    STAND_INS,
    assumption,
    inputs_of,
    limits_of,
    stand_in,
)
from moonreach.reduction.propagation import Outcome, best_of, outcome_of, spread
from moonreach.reduction.results import (
    ASKED,
    FURTHER_QUANTITIES,
    MEASUREMENTS,
    RESULT_OF,
    RESULTS,
    STEPS,
)
from moonreach.reduction.steps import Found, work_out
from moonreach.reduction.truth import truth_of
from moonreach.reduction.uncertainty import Input
from moonreach.sheet.origin import Origin, least_own
from moonreach.sheet.quantities import GNOMONS, label_of
from moonreach.sheet.reading import Reading


@dataclass
class GroupResult:
    """What a group read and found; what it could not find is not there, and `problems` says why.

    `result[name]` is the best value of a quantity, of something the group stated, or of anything
    that the steps worked out; `outcomes` holds the results with their intervals, in the order of
    the lessons.
    """

    group: str
    rows: list[Reading]
    inputs: dict[str, Input] = field(default_factory=dict)
    values: dict[str, object] = field(default_factory=dict)
    outcomes: dict[str, Outcome] = field(default_factory=dict)
    found: Found = field(default_factory=Found)
    truth: object = None
    pair_truth: object = None
    notes: list[str] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)

    def __getitem__(self, name: str):
        if name not in self.values:
            raise Impossible("; ".join(self.problems) or f"there is no {label_of(name)}")
        return self.values[name]

    def __contains__(self, name: str) -> bool:
        return name in self.values

    def outcome(self, name: str) -> Outcome | None:
        """Return a result with its interval, or None; KeyError for what is no result at all."""
        return self.outcomes.get(name) if name in RESULTS else RESULTS[name]

    def origin_of(self, name: str) -> Origin:
        """Return whose a quantity or result is: of all that went into it, the least one's own."""
        behind = self.found.behind(RESULTS[name].of or name if name in RESULTS else name)
        origins = [self.inputs[one].origin for one in behind & set(self.inputs)]
        origins += [row.origin for row in self.rows if row.quantity in behind]
        origins += [origin for one, origin in self.found.brought.items() if one in behind]
        return least_own(origin for origin in origins if origin)

    def lacks(self, *names: str) -> list[str]:
        """Return in words what is missing for keys of `MEASUREMENTS`, or for quantities."""
        given = {row.quantity for row in self.rows} & set(self.values)
        missing = []
        for name in names:
            if name in MEASUREMENTS:
                missing += MEASUREMENTS[name].lacks(given)
            elif name not in given:
                missing.append(label_of(name))
        return list(dict.fromkeys(missing))

    @property
    def file(self) -> str:
        """The file that holds the group's readings."""
        return self.rows[0].file

    @property
    def method(self) -> str | None:
        """The way to the shadow ratio that went on to the distance, a key of `METHODS`."""
        return self.values.get("method")

    @property
    def error_percent(self) -> float | None:
        """How far the distance in kilometres lies from that night's true one."""
        if self.truth is None or "distance_km" not in self.outcomes:
            return None
        true = self.truth.distance.to_value(u.km)
        return (self.outcomes["distance_km"].value / true - 1) * 100

    @property
    def anything(self) -> bool:
        """Whether any reading led to a result (the Moon's angular diameter alone is none)."""
        return any(name != "angle" for name in self.outcomes)

    @property
    def budget(self) -> dict[str, float]:
        """Each input's share of the variance of the distance, largest first."""
        km = self.outcomes.get("distance_km")
        return km.shares if km else {}

    def of_block(self, block: str) -> dict[str, Outcome]:
        """Return the results of one measurement of the further lessons, or of the chain ("")."""
        return {n: found for n, found in self.outcomes.items() if RESULTS[n].block == block}


def reduce_group(name: str, readings: list[Reading]) -> GroupResult:
    """Return the `GroupResult` of one group's readings; nothing it lacks stops the rest."""
    result = GroupResult(name, readings)
    inputs, stated = inputs_of(readings, result.problems)
    result.inputs = inputs = _completed(inputs)
    outcomes = {}

    def keep(step, cloud):
        if step in RESULT_OF:
            outcomes[RESULT_OF[step]] = _outcome(RESULT_OF[step], cloud, inputs)

    clouds = spread(inputs) | stated
    result.found = work_out(STEPS, clouds, keep)
    result.values = {key: best_of(cloud) for key, cloud in clouds.items()}
    result.values |= {key: outcomes[key].value for key in outcomes if RESULTS[key].of}
    result.outcomes = {
        key: replace(outcomes[key], origin=result.origin_of(key))
        for key in RESULTS
        if key in outcomes
    }
    _tell(result)
    _hold_against_the_sky(result, stated)
    return result


def worked_out(readings: list[Reading]) -> tuple[dict[str, object], Found]:
    """Return the best values of a group's quantities and of all that follows, without intervals.

    Returns a dict by name, and what the steps took and refused.
    """
    inputs, values = inputs_of(readings, [])
    values = {key: made.value for key, made in _completed(inputs).items()} | values
    return values, work_out(STEPS, values)


def _completed(inputs):
    """Return the inputs with the assumptions, and with stand-ins for what was not read."""
    assumed = [*chain.ASSUMPTIONS, *sighting.CALLS]
    if GNOMONS[0] in inputs:
        assumed += [chain.MERIDIAN, *chain.SETUP]
    if FURTHER_QUANTITIES & set(inputs):
        assumed += [*further.ASSUMPTIONS, *further.QUADRANTS]
    stand_ins = STAND_INS if FURTHER_QUANTITIES & set(inputs) else STAND_INS[:2]
    return {
        **inputs,
        **{name: stand_in(name) for name in stand_ins if name not in inputs},
        **{name: assumption(name) for name in assumed},
    }


def _outcome(name, cloud, inputs):
    outcome = outcome_of(cloud, inputs)
    if not RESULTS[name].of:
        return outcome
    try:
        return outcome.upside_down(RESULTS[name].top)
    except Impossible:
        raise Impossible(RESULTS[name].none) from None


def _tell(result):
    """Note what was assumed, and say what is missing or cannot be."""
    used = set().union(*map(result.found.behind, result.outcomes))
    for name in STAND_INS[:2]:
        if name in used and result.inputs[name].grounds == NOT_GIVEN:
            low, high = limits_of(name)
            words = f"anywhere from {low.value:g} to {high:g}"
            result.notes.append(f"{label_of(name)} is not given and taken as {words}")
    read = {row.quantity for row in result.rows}
    for key in ASKED:
        asked = MEASUREMENTS[key]
        lacks = result.lacks(key)
        if lacks and (not asked.optional or asked.quantities() & read):
            result.problems.append(f"for {asked.what} it lacks {', '.join(lacks)}")
    result.problems += dict.fromkeys(result.found.refused.values())
    _look_for_swapped_sightings(result)


def _look_for_swapped_sightings(result):
    if not {"vanish_distance", "rim_distance"} <= set(result.inputs):
        return
    vanish, rim = (result.inputs[f"{seen}_distance"] for seen in ("vanish", "rim"))
    if (vanish.cloud > rim.cloud).distribution.mean() > 0.975:
        result.problems.append(
            f"vanish distance ({vanish.value:.4g}) is longer than rim distance "
            f"({rim.value:.4g}), but the rim shows only farther out: were the two swapped? "
            "(the angle is the same either way)"
        )


def _hold_against_the_sky(result, stated):
    """Find what was true that night, and at the moment of a pair."""
    moments = {"truth": ("observed_at", stated)}
    if "pair_distance" in result.outcomes:
        only = {name: clock for name, clock in stated.items() if name == "pair_moment"}
        moments["pair_truth"] = ("pair_moment", only)
    for what, (moment, words) in moments.items():
        try:
            setattr(result, what, truth_of(words, result.notes, moment))
        except ValueError as error:
            result.problems.append(str(error))
