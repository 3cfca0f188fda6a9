"""From the clouds of inputs to results: 95 % intervals and uncertainty budgets.

After the GUM (JCGM 100:2008) and its Monte Carlo supplement (JCGM 101:2008). One evaluation of a
function on the clouds of `spread` gives its best value, its interval and its budget.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import inf

import numpy as np
from astropy import units as u
from astropy.uncertainty import Distribution

from moonreach.lessons.interval import COVERAGE, TO_95, Interval
from moonreach.lessons.refuse import require
from moonreach.reduction.uncertainty import DRAWS, STEPS, Input
from moonreach.sheet.origin import Origin

_NOTHING = 1e-9  # of the largest part: what the computer's own rounding leaves of none


@dataclass(frozen=True)
class Outcome(Interval):
    """A result: best value, 95 % interval, each input's standard uncertainty in it, and whose.

    Inputs that do not move the result have no part in it.
    """

    origin: Origin = Origin.OWN

    @property
    def shares(self):
        """The budget: each input's share of the variance, largest first; they add up to 1."""
        total = sum(part**2 for part in self.parts.values())
        ranked = sorted(self.parts.items(), key=lambda item: -item[1])
        return {name: part**2 / total for name, part in ranked}

    def upside_down(self, top=1.0, none="the readings leave no distance at all"):
        """Return the outcome of top / this: without an upper end where this may be 0 or less.

        Raises `Impossible`, which says `none`, where all of the interval is 0 or less.

        >>> Outcome(0.02, -0.01, 0.05, {}).upside_down()
        Outcome(value=50.0, low=20.0, high=inf, parts={}, origin=<Origin.OWN: 'own'>)
        """
        require(self.high > 0, none)
        value, high = (top / end if end > 0 else inf for end in (self.value, self.low))
        steepness = top / self.value**2 if self.value else inf
        parts = {name: part * steepness for name, part in self.parts.items()}
        return Outcome(value, top / self.high, high, parts, self.origin)


def interval(cloud: Distribution) -> tuple[u.Quantity, u.Quantity]:
    """Return the two ends of a cloud's 95 % interval, as much of it below as above.

    Parameters: a cloud. Returns two quantities. Raises `Impossible` when more draws than the
    interval leaves out have no finite value. Source: JCGM 101:2008, 7.7, probabilistically
    symmetric.
    """
    draws = cloud.distribution
    finite = draws.value[np.isfinite(draws.value)]
    require(
        len(finite) >= (0.5 + COVERAGE / 2) * len(draws),
        "the readings are too uncertain, or too different from each other, to give a result",
    )
    return tuple(np.quantile(finite, (0.5 - COVERAGE / 2, 0.5 + COVERAGE / 2)) * draws.unit)


def propagate(function: Callable[[dict], dict], inputs: dict[str, Input]) -> dict[str, Outcome]:
    """Return the outcomes of a function of inputs: values, 95 % intervals and budgets.

    Parameters: a function from a dict of clouds to a dict of clouds, and the dict of `Input`.
    Returns a dict of `Outcome`, in the function's own units. Raises `Impossible` as `interval`
    does. The budget follows the GUM: each input varies alone while the others rest.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        found = function(spread(inputs))
    return {key: outcome_of(cloud, inputs) for key, cloud in found.items()}


def spread(inputs: dict[str, Input]) -> dict[str, Distribution]:
    """Return all that `outcome_of` needs of a function, as one cloud for each input.

    First the draws; then a block for each input in turn, in which that input steps through its
    quantiles while the others rest at their best values; at last all rest.
    """
    clouds = {}
    for index, (name, made) in enumerate(inputs.items()):
        unit = made.cloud.unit
        numbers = np.full(DRAWS + len(inputs) * STEPS + 1, made.value.to_value(unit))
        numbers[:DRAWS] = made.cloud.distribution.value
        start = DRAWS + index * STEPS
        numbers[start : start + STEPS] = made.quantiles
        clouds[name] = Distribution(numbers * unit)
    return clouds


def outcome_of(cloud: Distribution, inputs: dict[str, Input]) -> Outcome:
    """Return the outcome of a function's cloud, which it made of the clouds of `spread`.

    Parameters: the cloud, and the inputs that were spread. Raises `Impossible` as `interval` does.
    """
    draws = cloud.distribution
    low, high = interval(Distribution(draws[:DRAWS]))
    steps = draws.value[DRAWS:-1].reshape(len(inputs), STEPS)
    if not np.isfinite(steps).all():  # masks take their time
        steps = np.ma.masked_invalid(steps)
    alone = np.ma.filled(steps.std(axis=1), 0.0)
    least = _NOTHING * max(alone)
    # Where a limit of the possible cuts a cloud, its best value may be its very end.
    value = float(draws[-1].value)
    ends = min(value, float(low.value)), max(value, float(high.value))
    parts = {n: float(part) for n, part in zip(inputs, alone, strict=True) if part > least}
    return Outcome(value, *ends, parts)


def best_of(value: object) -> object:
    """Return the best value of a cloud that `spread` began; anything else is its own best value."""
    return value.distribution[-1] if isinstance(value, Distribution) else value


def standard_of(value: object) -> float:
    """Return the standard uncertainty that a cloud's interval stands for; a number has none."""
    if not isinstance(value, Distribution):
        return 0.0
    low, high = interval(Distribution(value.distribution[:DRAWS]))
    return float((high - low).value) / (2 * TO_95)
