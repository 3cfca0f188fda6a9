"""A class sheet reduced: as an object to store, and as rows of a table."""

import math
from collections.abc import Collection, Mapping
from dataclasses import asdict, replace

from moonreach.reduction.chain import METHODS
from moonreach.reduction.comparison import ClassResult, compare
from moonreach.reduction.group import GroupResult, reduce_group
from moonreach.reduction.inputs import ASSUMED, NOT_GIVEN
from moonreach.reduction.propagation import Outcome
from moonreach.reduction.results import BLOCKS, CHAIN, RESULTS
from moonreach.sheet import shared
from moonreach.sheet.tables import Problem, Sheet

# What the groups of a class are compared in, by the names in `RESULTS`.
COMPARED = ("earth_diameter", "distance_earth_diameters", "distance_km")


class ClassSummary:
    """A class sheet reduced: its groups, the class's own results, and all problems.

    `rows` has each group's readings, as `Sheet.groups` gives them. `results` has the class's
    result, and `zetas` each group's score, by the names of `COMPARED`; `notes` says
    what the groups share.
    """

    def __init__(self, sheet: Sheet) -> None:
        """Reduce every group of a sheet."""
        self.rows = sheet.groups()
        self.groups = [reduce_group(name, readings) for name, readings in self.rows.items()]
        self.notes = shared.in_words(self.rows)
        self._sharers = shared.sharers(self.rows)
        self.results, self.zetas = self._compared(self.groups)
        self.problems = sheet.problems + [
            Problem(group.rows[0].file, None, None, f"group {group.group}: {problem}")
            for group in self.groups
            for problem in group.problems
        ]

    @property
    def diameters(self) -> ClassResult | None:
        """The class's distance in Earth diameters."""
        return self.results["distance_earth_diameters"]

    @property
    def kilometres(self) -> ClassResult | None:
        """The class's distance in kilometres."""
        return self.results["distance_km"]

    @property
    def zeta(self) -> dict[str, float | None]:
        """The score of each group with a distance that is farthest from 0, of all its results."""
        far = {}
        for name in self.zetas["distance_km"]:
            scores = [scores.get(name) for scores in self.zetas.values()]
            far[name] = max((z for z in scores if z is not None), key=abs, default=None)
        return far

    def without(self, names: Collection[str]) -> dict[str, ClassResult | None]:
        """Return the class's results, by the names of `COMPARED`, without some of its groups.

        Where there is no such group, there is nothing to tell.
        """
        rest = [group for group in self.groups if group.group not in names]
        return self._compared(rest)[0] if names else {}

    def _compared(self, groups):
        results, zetas = {}, {}
        for key in COMPARED:
            placed = [g for g in groups if (one := g.outcome(key)) and one.is_finite]
            found, scores = compare([g.outcome(key) for g in placed], self._marks(placed))
            # Few groups leave a wide interval to both sides, but no length is less than nothing.
            results[key] = found and replace(found, low=max(found.low, 0.0))
            zetas[key] = {g.group: score for g, score in zip(placed, scores, strict=True)}
        return results, zetas

    def _marks(self, groups):
        """Return for each input that groups may share a mark for each, the same for sharers."""
        marks = {}
        for name in dict.fromkeys(name for group in groups for name in group.inputs):
            of_name = [group.inputs.get(name) for group in groups]
            sets = self._sharers.get(ASSUMED.get(name, {}).get("of", name), [])
            marks[name] = [
                NOT_GIVEN
                if made is None or made.grounds == NOT_GIVEN
                else next((" ".join(names) for names in sets if group.group in names), group.group)
                for group, made in zip(groups, of_name, strict=True)
            ]
        return marks


def as_object(summary: ClassSummary, mistakes: Mapping[str, str] | None = None) -> dict:
    """Return the summary as plain dicts and lists, as `reduce --json` prints it.

    Parameters: the summary, and by group what its likely mistake is, in words.
    """
    mistakes = mistakes or {}
    return {
        "groups": [_group_object(summary, group) for group in summary.groups],
        "class": _class_object(summary.results),
        "class_without_mistakes": _class_object(summary.without(mistakes)),
        "likely_mistakes": dict(mistakes),
        "notes": summary.notes,
        "problems": [asdict(problem) for problem in summary.problems],
    }


def as_rows(summary: ClassSummary) -> list[tuple]:
    """Return the results as rows of a table, the header first."""
    rows = [("group", "result", "value", "low", "high", "method")]
    for group in summary.groups:
        for key, outcome in group.outcomes.items():
            if name := RESULTS[key].stored or (RESULTS[key].block and key):
                method = METHODS[group.method] if key == "ratio" else ""
                ends = outcome.value, outcome.low, outcome.high
                rows.append((group.group, name, *ends, method))
    return rows


def block_notes(group: GroupResult, block: str) -> list[str]:
    """Return what else there is to say of a further measurement."""
    if block != "pair" or group.pair_truth is None:
        return []
    far = group.pair_truth.distance_earth_diameters
    return [f"true at that moment: {far:.2f} Earth diameters"]


def _group_object(summary, group):
    found = {"group": group.group}
    found |= {name: _outcome_object(group.outcome(key)) for name, key in CHAIN.items()}
    if ratio := found["shadow_ratio"]:
        others = {METHODS[way]: _outcome_object(outcome) for way, outcome in other_ratios(group)}
        ratio |= {"method": METHODS[group.method], "other_methods": others}
    measured = group.outcome("earth_diameter") is not None
    found |= {
        "kilometres_from": "measured Earth" if measured else "today's Earth",
        "path_offset": _outcome_object(path_offset(group)),
        "budget": [{"input": name, "share": share} for name, share in group.budget.items()],
        "zeta": {
            RESULTS[key].stored: scores.get(group.group) for key, scores in summary.zetas.items()
        },
        "notes": group.notes,
    }
    for block in BLOCKS:
        if results := group.of_block(block):
            results = {name: _outcome_object(outcome) for name, outcome in results.items()}
            told = {"results": results, "notes": block_notes(group, block)}
            found.setdefault("further", {})[block] = told
    if group.truth is not None:
        found["truth"] = {RESULTS[key].stored: true for key, true in group.true_values.items()}
        found["error_percent"] = group.error_percent
    return found


def other_ratios(group: GroupResult) -> list[tuple[str, Outcome]]:
    """Return the ways to a group's shadow ratio that do not go on to its distance, with theirs."""
    ratios = {method: group.outcome(f"ratio_{method}") for method in METHODS}
    return [(way, ratio) for way, ratio in ratios.items() if ratio and way != group.method]


def path_offset(group: GroupResult) -> Outcome | None:
    """Return a group's path offset, where its distance goes by the chord formula."""
    return group.outcome("path_offset") if group.method == "chord" else None


def _outcome_object(outcome):
    return outcome and _numbers(outcome) | {"origin": str(outcome.origin)}


def _class_object(results):
    found = dict.fromkeys(RESULTS[key].stored for key in results)
    for key, result in results.items():
        if result:
            parts = {"standard_uncertainty": result.standard, "shared_uncertainty": result.shared}
            found[RESULTS[key].stored] = _numbers(result) | parts
    return found


def _numbers(found):
    """Return value and ends, None for an end that there is not."""
    ends = {end: getattr(found, end) for end in ("value", "low", "high")}
    return {end: number if math.isfinite(number) else None for end, number in ends.items()}
