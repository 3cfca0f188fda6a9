"""From readings to clouds, and from clouds to intervals and budgets.

After the GUM (JCGM 100:2008) and its Monte Carlo supplement (JCGM 101:2008). Repeated readings
give a type A uncertainty with Student's t; a resolution or a stated standard uncertainty gives a
type B one. A cloud is an `astropy.uncertainty.Distribution` of draws that goes through the very
lesson functions a single number goes through.

The draws of an input depend on its name alone: the same sheet gives the same digits, one input
carries the same draw wherever it is used, and no group's digits depend on another group. The
draws of one input fill its distribution evenly and are then shuffled (a Latin hypercube), so
that 10 000 of them say as much as several times that number thrown at random.
"""

import hashlib
from dataclasses import dataclass
from functools import cache, cached_property
from math import inf
from statistics import NormalDist

import numpy as np
from astropy import units as u
from astropy.uncertainty import Distribution

from moonreach.lessons.interval import COVERAGE, TO_95
from moonreach.lessons.refuse import Impossible
from moonreach.sheet.origin import Origin

_NOTHING = 1e-9  # of the largest part: what the computer's own rounding leaves of none
DRAWS = 10_000
STEPS = 100  # quantiles by which one input alone is varied


@dataclass(frozen=True)
class Input:
    """One input: its best value, the cloud of values it may have, how that was found, and whose.

    What no one reads, such as an assumption, has no origin.
    """

    value: u.Quantity
    cloud: Distribution
    grounds: str = "stated"
    origin: Origin | None = None

    @cached_property
    def quantiles(self):
        """Evenly spaced quantiles of the cloud, as plain numbers in its unit."""
        return np.sort(self.cloud.distribution.value)[DRAWS // STEPS // 2 :: DRAWS // STEPS]


@dataclass(frozen=True)
class Outcome:
    """A result: best value, 95 % interval, each input's standard uncertainty in it, and whose.

    Inputs that do not move the result have no part in it.
    """

    value: float
    low: float
    high: float
    parts: dict[str, float]
    origin: Origin = Origin.OWN

    @property
    def standard(self):
        """The standard uncertainty that a normal distribution with this interval would have."""
        return (self.high - self.low) / (2 * TO_95)

    @property
    def shares(self):
        """The budget: each input's share of the variance, largest first; they add up to 1."""
        total = sum(part**2 for part in self.parts.values())
        ranked = sorted(self.parts.items(), key=lambda item: -item[1])
        return {name: part**2 / total for name, part in ranked}

    def upside_down(self, top=1.0):
        """Return the outcome of top / this: without an upper end where this may be 0 or less.

        Raises `Impossible` where all of the interval is 0 or less.

        >>> Outcome(0.02, -0.01, 0.05, {}).upside_down()
        Outcome(value=50.0, low=20.0, high=inf, parts={}, origin=<Origin.OWN: 'own'>)
        """
        if self.high <= 0:
            raise Impossible("within their uncertainty the readings leave no distance at all")
        value, high = (top / end if end > 0 else inf for end in (self.value, self.low))
        steepness = top / self.value**2 if self.value else inf
        parts = {name: part * steepness for name, part in self.parts.items()}
        return Outcome(value, top / self.high, high, parts, self.origin)


def normal(name, value, standard, grounds="stated"):
    """Return the input of a value with a standard uncertainty, normally distributed.

    Parameters: the input's name, two quantities of one kind, and how the uncertainty was found.

    >>> from astropy import units as u
    >>> normal("disc", 14 * u.mm, 0.1 * u.mm).cloud.pdf_std().round(3)
    <Quantity 0.1 mm>
    """
    return Input(value, Distribution(value + standard * _normal_draws(name)), grounds)


def rectangular(name, value, half_width, grounds="limits"):
    """Return the input of a value known to lie within a half-width, no part of it preferred.

    Parameters: the input's name, two quantities of one kind, and how the limits were found.
    Its standard uncertainty is half-width / sqrt 3 (GUM 4.3.7).
    """
    return Input(value, Distribution(value + half_width * _even_draws(name)), grounds)


def student(name, value, standard, freedom, family=None, grounds="scatter"):
    """Return the input of a mean whose standard uncertainty was itself found from few readings.

    Parameters: the input's name, two quantities of one kind, the degrees of freedom, and the
    name of the family when inputs share one estimate of the scatter.
    Source: scaled and shifted t distribution, JCGM 101:2008, 6.4.9.2.
    """
    stretch = _student_stretch(family or name, freedom)
    return Input(value, Distribution(value + standard * _normal_draws(name) * stretch), grounds)


def from_readings(name, readings, stated=None, resolution=None, typical=None, pooled=None):
    """Return the input that repeated readings of one thing make.

    Parameters
    ----------
    name : the input's name, which fixes its draws.
    readings : array of one or more readings, a quantity.
    stated : array of the readings' standard uncertainties, or nothing.
    resolution : half-width of the step in which they were read.
    typical : standard uncertainty of one reading, used where there is neither a stated one nor
        a second reading to tell the scatter.
    pooled : ``(family, scatter, degrees of freedom)`` of readings taken in the same way (GUM
        4.2.4), in place of this input's own scatter.

    Stated uncertainties are used as stated unless the readings contradict them (chi-square
    beyond its 1 in 10 000 limit): then the scatter counts.
    """
    count = len(readings)
    family, scatter, freedom = pooled or (name, _scatter(readings), count - 1)
    if stated is not None:
        weights = (1 / stated**2).value
        mean = (readings * weights).sum() / weights.sum()
        misfit = float((((readings - mean) / stated) ** 2).sum())
        if count == 1 or misfit < _chi_square_limit(count - 1):
            return normal(name, mean, weights.sum() ** -0.5 * stated.unit)
        return student(name, mean, _scatter(readings) / np.sqrt(count), count - 1, grounds="misfit")
    mean = readings.mean()
    if freedom > 0:
        made = student(name, mean, scatter / np.sqrt(count), freedom, family)
    else:
        made = normal(name, mean, typical, "typical")
    if resolution is None:
        return made
    step = resolution * _even_draws(f"{name} resolution")
    return Input(mean, made.cloud + Distribution(step), made.grounds)


def pool(families):
    """Return the common scatter and degrees of freedom of several sets of readings.

    Parameters: a list of arrays of readings of one kind. Source: pooled variance, GUM 4.2.4.
    """
    freedom = sum(len(readings) - 1 for readings in families)
    squares = sum(((readings - readings.mean()) ** 2).sum() for readings in families)
    return np.sqrt(squares / max(freedom, 1)), freedom


def interval(cloud):
    """Return the two ends of a cloud's 95 % interval, as much of it below as above.

    Parameters: a cloud. Returns two quantities. Raises `Impossible` when more draws than the
    interval leaves out have no finite value. Source: JCGM 101:2008, 7.7, probabilistically
    symmetric.
    """
    draws = cloud.distribution
    numbers = getattr(draws, "value", draws)
    finite = numbers[np.isfinite(numbers)]
    if len(finite) < (0.5 + COVERAGE / 2) * len(numbers):
        raise Impossible(
            "the readings are too uncertain for a result: too many values within their "
            "uncertainty lead to none"
        )
    low, high = np.quantile(finite, (0.5 - COVERAGE / 2, 0.5 + COVERAGE / 2))
    return low * draws.unit, high * draws.unit


def propagate(function, inputs: dict[str, Input]) -> dict[str, Outcome]:
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
    alone = draws.value[DRAWS:-1].reshape(len(inputs), STEPS).std(axis=1)
    least = _NOTHING * max(alone)
    # Where a limit of the possible cuts a cloud, its best value may be its very end.
    value = float(draws[-1].value)
    ends = min(value, float(low.value)), max(value, float(high.value))
    parts = {n: float(part) for n, part in zip(inputs, alone, strict=True) if part > least}
    return Outcome(value, *ends, parts)


def best_of(value):
    """Return the best value of a cloud that `spread` began; anything else is its own best value."""
    return value.distribution[-1] if isinstance(value, Distribution) else value


def standard_of(value) -> float:
    """Return the standard uncertainty that a cloud's interval stands for; a number has none."""
    if not isinstance(value, Distribution):
        return 0.0
    low, high = interval(Distribution(value.distribution[:DRAWS]))
    return float((high - low).value) / (2 * TO_95)


def _scatter(readings):
    return readings.std(ddof=1) if len(readings) > 1 else 0 * readings[0]


@cache
def _chi_square_limit(freedom):
    """The value that chi-square passes once in 10 000."""
    from scipy.special import chdtri  # here, so that nothing else waits for scipy

    return float(chdtri(freedom, 1e-4))


def _generator(*name):
    digest = hashlib.blake2b("|".join(map(str, name)).encode(), digest_size=8).digest()
    return np.random.default_rng(int.from_bytes(digest))


@cache
def _normal_quantiles():
    half = [NormalDist().inv_cdf((i + 0.5) / DRAWS) for i in range(DRAWS // 2)]
    return np.array(half + [-z for z in reversed(half)])


@cache
def _normal_draws(name):
    return _generator("normal", name).permutation(_normal_quantiles())


@cache
def _even_draws(name):
    middles = (np.arange(DRAWS) + 0.5) / DRAWS * 2 - 1
    return _generator("even", name).permutation(middles)


@cache
def _student_stretch(family, freedom):
    return np.sqrt(freedom / _generator("student", family, freedom).chisquare(freedom, DRAWS))
