"""The class as an interlaboratory comparison: its robust mean, and each group's zeta score.

After ISO 13528 (Statistical methods for use in proficiency testing by interlaboratory
comparison): Algorithm A, and zeta scores with each group's own uncertainty, each against the other
groups alone. A group that is flagged is talked to, not thrown out. What groups share, assumptions
and readings alike, does not average out.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from moonreach.lessons.interval import TO_95
from moonreach.reduction.propagation import Outcome

_LEAST = 0.01  # of a group's standard uncertainty: less left to compare by is no comparison


@dataclass(frozen=True)
class ClassResult:
    """The class's value, its 95 % interval, and the two parts of its standard uncertainty.

    `standard` is the part that more groups would make smaller, `shared` the part that stays;
    `common` has the variance that each shared input adds to that.
    """

    value: float
    low: float
    high: float
    standard: float
    shared: float
    common: dict[str, float] = field(default_factory=dict)


def robust_mean(values: Sequence[float]) -> tuple[float, float]:
    """Return the robust mean and robust standard deviation of results, Algorithm A.

    Parameters: a sequence of numbers. Returns two numbers. Source: ISO 13528, annex on robust
    analysis: start from the median and 1.483 times the median deviation; pull values beyond 1.5
    deviations in to that limit; take the mean and 1.134 times the standard deviation; repeat.

    >>> robust_mean([1, 2, 3, 4, 5])[0]
    3.0
    """
    values = np.asarray(values, dtype=float)
    mean = np.median(values)
    deviation = 1.483 * np.median(np.abs(values - mean))
    if len(values) < 2:
        return float(mean), 0.0
    if deviation < 1e-12 * abs(mean):  # more than half of the results are alike
        deviation = values.std(ddof=1)
    for _ in range(1000):
        pulled = np.clip(values, mean - 1.5 * deviation, mean + 1.5 * deviation)
        before, mean = (mean, deviation), pulled.mean()
        deviation = 1.134 * pulled.std(ddof=1)
        if np.allclose(before, (mean, deviation), rtol=1e-9, atol=0):
            break
    return float(mean), float(deviation)


def compare(
    outcomes: Sequence[Outcome], marks: Mapping[str, Sequence[object]] | None = None
) -> tuple[ClassResult | None, list[float | None]]:
    """Return the class's result and each group's zeta score.

    Parameters: the `Outcome` of one thing for each group; and for each input that groups may share
    a mark for each group, the same where they share it. Assumptions are shared by all.
    Returns a `ClassResult` (None for no group) and a list of scores (None for a class of one, and
    for a group that shares all but nothing with the others): a
    group's result less that of the others, over what is not common to both.
    """
    if not outcomes:
        return None, []
    parts = _shared_parts(outcomes, marks or {})
    whole = _result(outcomes, parts)
    if len(outcomes) == 1:
        return whole, [None]
    scores = []
    for index, outcome in enumerate(outcomes):
        others = [one for place, one in enumerate(outcomes) if place != index]
        rest = _result(others, {name: _without(part, index) for name, part in parts.items()})
        common = sum(_with_others(part, index) for part in parts.values())
        spread = np.hypot(_own(outcome, common), rest.standard)
        # Groups that share all but nothing say nothing of each other.
        telling = spread > _LEAST * outcome.standard
        scores.append((outcome.value - rest.value) / spread if telling else None)
    return whole, scores


def _own(outcome, common):
    """Return the standard uncertainty of an outcome without what others have in common with it.

    A cloud that is no normal one may be narrower or wider than its parts together.
    """
    whole = max(outcome.standard**2, sum(part**2 for part in outcome.parts.values()))
    return np.sqrt(max(whole - common, 0.0))


def _shared_parts(outcomes, marks):
    """Return by input its standard uncertainties in the results, and who shares it."""
    names = dict.fromkeys(name for outcome in outcomes for name in outcome.parts)
    return {
        name: (
            np.array([outcome.parts.get(name, 0.0) for outcome in outcomes]),
            np.array([0] * len(outcomes) if is_assumption(name) else marks[name]),
        )
        for name in names
        if is_assumption(name) or name in marks
    }


def is_assumption(name: str) -> bool:
    """Return whether an input is one that no group reads, and all take alike."""
    return name.startswith("assumption")


def _without(part, index):
    return tuple(np.delete(column, index) for column in part)


def _with_others(part, index):
    """Return what of an input's variance in one group's result is in the others' mean too."""
    sizes, marks = part
    sharers = np.count_nonzero(marks == marks[index]) - 1
    return sizes[index] ** 2 * sharers / (len(marks) - 1)


def _common_variance(part):
    """Return what an input that some groups share adds to the variance of the class's mean.

    That is the variance of the mean, less what the scatter of the groups shows of it already: all
    of it where each has its own, nothing where all have the same. The middle group of those who
    share stands for them, so that one group's wide assumption is not the class's.
    """
    sizes, marks = part
    count = len(sizes)
    clusters = [sizes[marks == mark] for mark in np.unique(marks)]
    if 1 < count == len(clusters):
        return 0.0  # exactly: what rounding leaves of nothing would count as shared
    middles = [(len(cluster), np.median(cluster)) for cluster in clusters]
    of_mean = sum((number * middle) ** 2 for number, middle in middles) / count**2
    if count == 1:
        return of_mean
    squares = sum(number * middle**2 for number, middle in middles)
    return max(0.0, (count * of_mean - squares / count) / (count - 1))


def _result(outcomes, parts):
    common = {name: float(_common_variance(part)) for name, part in parts.items()}
    shared = float(np.sqrt(sum(common.values())))
    if len(outcomes) == 1:
        only = outcomes[0]
        own = _own(only, shared**2)
        return ClassResult(only.value, only.low, only.high, own, shared, common)
    from scipy.special import stdtrit  # here, so that nothing else waits for scipy

    mean, deviation = robust_mean([outcome.value for outcome in outcomes])
    standard = 1.25 * deviation / np.sqrt(len(outcomes))  # ISO 13528: of the robust mean
    factor = stdtrit(len(outcomes) - 1, 0.975)
    half = np.hypot(factor * standard, TO_95 * shared)
    return ClassResult(mean, mean - half, mean + half, standard, shared, common)
