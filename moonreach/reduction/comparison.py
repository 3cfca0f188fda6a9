"""The class as an interlaboratory comparison: its robust mean, and each group's zeta score.

After ISO 13528 (Statistical methods for use in proficiency testing by interlaboratory
comparison): Algorithm A, and zeta scores with each group's own uncertainty. A group that is
flagged is talked to, not thrown out.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from moonreach.lessons.interval import TO_95
from moonreach.reduction.propagation import Outcome


@dataclass(frozen=True)
class ClassResult:
    """The class's value, its 95 % interval, and the two parts of its standard uncertainty."""

    value: float
    low: float
    high: float
    standard: float
    shared: float


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


def compare(outcomes: list[Outcome]) -> tuple[ClassResult | None, list[float | None]]:
    """Return the class's result and each group's zeta score.

    Parameters: a list of `Outcome` of one thing, one a group. Returns a `ClassResult` (None for
    no group) and a list of scores (None for a class of one). What all groups take for granted
    does not average out: it is set apart, and widens the class's interval whole.
    """
    if not outcomes:
        return None, []
    shared = float(np.median([_shared(outcome) for outcome in outcomes]))
    if len(outcomes) == 1:
        only = outcomes[0]
        own = np.sqrt(max(only.standard**2 - shared**2, 0))
        return ClassResult(only.value, only.low, only.high, own, shared), [None]
    from scipy.special import stdtrit  # here, so that nothing else waits for scipy

    mean, deviation = robust_mean([outcome.value for outcome in outcomes])
    standard = 1.25 * deviation / np.sqrt(len(outcomes))  # ISO 13528: of the robust mean
    factor = stdtrit(len(outcomes) - 1, 0.975)
    half = np.hypot(factor * standard, TO_95 * shared)
    scores = [
        (outcome.value - mean) / np.sqrt(max(own, 1e-30) + standard**2)
        for outcome in outcomes
        for own in [outcome.standard**2 - _shared(outcome) ** 2]
    ]
    return ClassResult(mean, mean - half, mean + half, standard, shared), scores


def _shared(outcome):
    assumed = [part for name, part in outcome.parts.items() if name.startswith("assumption")]
    return float(np.sqrt(np.sum(np.square(assumed))))
