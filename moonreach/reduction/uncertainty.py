"""From readings to inputs, each with a cloud of the values that it may have.

After the GUM (JCGM 100:2008) and its Monte Carlo supplement (JCGM 101:2008). Repeated readings
give a type A uncertainty with Student's t, in which the usual scatter of such readings counts as
a few degrees of freedom more; a resolution or a stated standard uncertainty gives a type B one. A
cloud is an `astropy.uncertainty.Distribution` of draws that goes through the very lesson
functions a single number goes through.

The draws of an input depend on its name alone: the same sheet gives the same digits, one input
carries the same draw wherever it is used, and no group's digits depend on another group. The
draws of one input fill its distribution evenly and are then shuffled (a Latin hypercube), so
that 10 000 of them say as much as several times that number thrown at random.
"""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache, cached_property
from statistics import NormalDist

import numpy as np
from astropy import units as u
from astropy.uncertainty import Distribution

from moonreach.sheet.origin import Origin
from moonreach.sheet.quantities import PRIOR

DRAWS = 10_000
_FINER = 20  # draws for each one that is kept, evenly spread: a distribution without a table
STEPS = 100  # quantiles by which one input alone is varied


@dataclass(frozen=True)
class Input:
    """One input: its best value, what draws the values it may have, how they were found, and whose.

    What no one reads, such as an assumption, has no origin. Where the best value alone is asked
    for, as in the search for a mistake, nothing is drawn.
    """

    value: u.Quantity
    draw: Callable[[], u.Quantity]
    grounds: str = "stated"
    origin: Origin | None = None

    @cached_property
    def cloud(self):
        """The cloud of values that it may have, a `Distribution`."""
        return Distribution(self.draw())

    @cached_property
    def quantiles(self):
        """Evenly spaced quantiles of the cloud, as plain numbers in its unit."""
        return np.sort(self.cloud.distribution.value)[DRAWS // STEPS // 2 :: DRAWS // STEPS]


def normal(name: str, value: u.Quantity, standard: u.Quantity, grounds: str = "stated") -> Input:
    """Return the input of a value with a standard uncertainty, normally distributed.

    Parameters: the input's name, two quantities of one kind, and how the uncertainty was found.

    >>> from astropy import units as u
    >>> normal("disc", 15 * u.mm, 0.1 * u.mm).cloud.pdf_std().round(3)
    <Quantity 0.1 mm>
    """
    return Input(value, lambda: value + standard * _normal_draws(name), grounds)


def rectangular(
    name: str, value: u.Quantity, half_width: u.Quantity, grounds: str = "limits"
) -> Input:
    """Return the input of a value known to lie within a half-width, no part of it preferred.

    Parameters: the input's name, two quantities of one kind, and how the limits were found.
    Its standard uncertainty is half-width / sqrt 3 (GUM 4.3.7).
    """
    return Input(value, lambda: value + half_width * _even_draws(name), grounds)


def student(
    name: str,
    value: u.Quantity,
    standard: u.Quantity,
    freedom: int,
    family: str | None = None,
    grounds: str = "scatter",
) -> Input:
    """Return the input of a mean whose standard uncertainty was itself found from few readings.

    Parameters: the input's name, two quantities of one kind, the degrees of freedom, and the
    name of the family when inputs share one estimate of the scatter.
    Source: scaled and shifted t distribution, JCGM 101:2008, 6.4.9.2.
    """

    def draw():
        return value + standard * _normal_draws(name) * _student_stretch(family or name, freedom)

    return Input(value, draw, grounds)


def from_readings(
    name: str,
    readings: u.Quantity,
    stated: u.Quantity | None = None,
    resolution: u.Quantity | None = None,
    typical: u.Quantity | None = None,
    pooled: tuple[str, u.Quantity, int] | None = None,
) -> Input:
    """Return the input that repeated readings of one thing make.

    Parameters
    ----------
    name : the input's name, which fixes its draws.
    readings : array of one or more readings, a quantity.
    stated : array of the readings' standard uncertainties, or nothing.
    resolution : half-width of the step in which they were read.
    typical : standard deviation that such a reading usually has, which counts as much as
        `PRIOR` degrees of freedom; without it the readings' own scatter stands alone.
    pooled : ``(family, scatter, degrees of freedom)`` of readings taken in the same way (GUM
        4.2.4), in place of this input's own scatter.

    Stated uncertainties are used as stated unless the readings contradict them (chi-square
    beyond its 1 in 10 000 limit): then the scatter counts.

    Source: GUM 4.2.3; with a typical scatter the conjugate prior of a normal distribution's
    variance, a scaled inverse chi-square (Gelman et al., Bayesian Data Analysis, 2.6), by which a
    second reading in keeping with the first makes an interval narrower, never wider.
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
    mean, grounds = readings.mean(), "scatter" if freedom else "typical"
    if typical is not None:
        squares = PRIOR * typical**2 + freedom * scatter**2
        freedom += PRIOR
        scatter = np.sqrt(squares / freedom)
    made = student(name, mean, scatter / np.sqrt(count), freedom, family, grounds)
    if resolution is None:
        return made
    steps = f"{name} resolution"
    return replace(made, draw=lambda: made.draw() + resolution * _even_draws(steps))


def pool(families: list[u.Quantity]) -> tuple[u.Quantity, int]:
    """Return the common scatter and degrees of freedom of several sets of readings.

    Parameters: a list of arrays of readings of one kind. Source: pooled variance, GUM 4.2.4.
    """
    freedom = sum(len(readings) - 1 for readings in families)
    squares = sum(((readings - readings.mean()) ** 2).sum() for readings in families)
    return np.sqrt(squares / max(freedom, 1)), freedom


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
    generator = _generator("student", family, freedom)
    squares = np.sort(generator.chisquare(freedom, _FINER * DRAWS))[_FINER // 2 :: _FINER]
    return np.sqrt(freedom / generator.permutation(squares))
