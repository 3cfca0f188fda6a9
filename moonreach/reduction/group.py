"""One group's readings to its results, each with its 95 % interval, and what it lacked."""

from dataclasses import dataclass, field, replace

from astropy import units as u

from moonreach.lessons.refuse import Impossible, require
from moonreach.reduction.inputs import NOT_GIVEN, inputs_of, limits_of
from moonreach.reduction.propagation import Outcome, best_of, outcome_of, spread
from moonreach.reduction.results import ASKED, MEASUREMENTS, RESULT_OF, RESULTS, STEPS, lacking
from moonreach.reduction.steps import Found, work_out
from moonreach.reduction.uncertainty import Input
from moonreach.sheet import clocks
from moonreach.sheet.origin import least_own
from moonreach.sheet.quantities import label_of
from moonreach.sheet.reading import Reading


@dataclass
class GroupResult:
    """What a group read and found; what it could not find is not there, and `problems` says why.

    `result[name]` is the best value of a quantity, of something the group stated, or of anything
    that the steps worked out; `outcomes` holds the results with their intervals, in the order of
    the lessons; `unusable` are those of the problems that lie in the readings themselves.
    """

    group: str
    rows: list[Reading]
    inputs: dict[str, Input] = field(default_factory=dict)
    values: dict[str, object] = field(default_factory=dict)
    outcomes: dict[str, Outcome] = field(default_factory=dict)
    truth: object = None
    pair_truth: object = None
    notes: list[str] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)
    unusable: list[str] = field(default_factory=list)

    def __getitem__(self, name: str):
        if name not in self.values:
            raise Impossible("; ".join(self.problems) or f"there is no {label_of(name)}")
        return self.values[name]

    def __contains__(self, name: str) -> bool:
        return name in self.values

    def outcome(self, name: str) -> Outcome | None:
        """Return a result with its interval, or None; KeyError for what is no result at all."""
        return self.outcomes.get(name) if name in RESULTS else RESULTS[name]

    def lacks(self, *names: str) -> list[str]:
        """Return in words what is missing for keys of `MEASUREMENTS`, or for quantities."""
        given = {row.quantity for row in self.rows} & set(self.values)
        return lacking(names, given)

    @property
    def method(self) -> str | None:
        """The way to the shadow ratio that went on to the distance, a key of `METHODS`."""
        return self.values.get("method")

    @property
    def true_values(self) -> dict[str, float | None]:
        """What was true that night, by the names of results and in their units; empty if unknown.

        The shadow ratio is None on a night without an eclipse.
        """
        true = self.truth
        if true is None:
            return {}
        return {
            "distance_km": float(true.distance.to_value(u.km)),
            "distance_earth_diameters": float(true.distance_earth_diameters),
            "ratio": true.shadow_ratio,
            "angle": float(true.moon_angle.to_value(u.arcmin)),
        }

    @property
    def error_percent(self) -> float | None:
        """How far the distance in kilometres lies from that night's true one."""
        if not self.true_values or "distance_km" not in self.outcomes:
            return None
        return (self.outcomes["distance_km"].value / self.true_values["distance_km"] - 1) * 100

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
    inputs, stated, unusable = inputs_of(readings)
    clouds, made = spread(inputs) | stated, {}

    def keep(step, cloud):
        if key := RESULT_OF.get(step):
            outcome, result = outcome_of(cloud, inputs), RESULTS[key]
            made[key] = outcome.upside_down(result.top, result.none) if result.top else outcome

    found = work_out(STEPS, clouds, keep)
    outcomes = {}
    for key in filter(made.get, RESULTS):
        behind = found.behind[RESULTS[key].of]
        origins = [row.origin for row in readings if row.quantity in behind]
        origins += [inputs[one].origin for one in behind & set(inputs) if inputs[one].origin]
        outcomes[key] = replace(made[key], origin=least_own(origins))
    values = {key: best_of(cloud) for key, cloud in clouds.items()}
    values |= {key: outcomes[key].value for key in outcomes if RESULTS[key].top}
    result = GroupResult(name, readings, inputs, values, outcomes, unusable=unusable)
    _tell(result, found)
    result.truth = _truth(result, stated, "observed_at")
    if "pair_distance" in outcomes:
        only = {name: clock for name, clock in stated.items() if name == "pair_moment"}
        result.pair_truth = _truth(result, only, "pair_moment")
    return result


def worked_out(readings: list[Reading]) -> tuple[dict[str, object], Found]:
    """Return the best values of a group's quantities and of all that follows, without intervals.

    Returns a dict by name, and what the steps took and refused.
    """
    inputs, stated, _ = inputs_of(readings)
    values = {key: made.value for key, made in inputs.items()} | stated
    return values, work_out(STEPS, values)


def _tell(result, found):
    """Note what was assumed, and say what is missing or cannot be."""
    used = set().union(*(found.behind[RESULTS[key].of] for key in result.outcomes))
    for name, made in result.inputs.items():
        if name in used and made.grounds == NOT_GIVEN and not made.origin:
            low, high = limits_of(name)
            words = f"anywhere from {low.value:g} to {high:g}"
            result.notes.append(f"{label_of(name)} is not given and taken as {words}")
    result.problems += result.unusable
    read = {row.quantity for row in result.rows}
    for key in ASKED:
        asked, lacks = MEASUREMENTS[key], result.lacks(key)
        if lacks and (not asked.optional or asked.quantities() & read):
            result.problems.append(f"for {asked.what} there is no {', '.join(lacks)}")
    result.problems += dict.fromkeys(found.refused.values())
    if {"vanish_distance", "rim_distance"} <= set(result.inputs):
        vanish, rim = (result.inputs[f"{seen}_distance"] for seen in ("vanish", "rim"))
        if (vanish.cloud > rim.cloud).distribution.mean() > 0.975:
            result.problems.append(
                f"vanish distance ({vanish.value:.4g}) is longer than rim distance "
                f"({rim.value:.4g}), but the rim shows only farther out: were the two swapped? "
                "(the angle is the same either way)"
            )


def _truth(result, words, moment):
    """Return the `sky.NightTruth` of the night that a group's words name, or None.

    Parameters: the result, which takes remarks and problems; the words (`eclipse_date`, or one that
    tells a moment, and perhaps `place_latitude` and `place_longitude`); which word that is.
    """
    day, clock, named = words.get("eclipse_date"), words.get(moment), label_of(moment)
    if day is None and clock is None:
        return None
    from moonreach import sky  # only here: a sheet without a night must not wait for it

    where = [words.get(f"place_{name}") for name in ("latitude", "longitude")]
    try:
        place = sky.Place(*where) if all(angle is not None for angle in where) else None
        if clock is not None:
            require(clock.day, f"{named} needs its date: write it as 2029-06-26T21:40+02:00")
            if clock.offset is None:
                result.notes.append(f"{named} names no zone and is taken as UTC")
            clock = clocks.instant(clock)
        return sky.night_truth(day and day.isoformat(), clock, place)
    except ValueError as error:
        result.problems.append(str(error))
        return None
