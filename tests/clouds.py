"""The same value as a number, as an array and as a cloud, to run one function on all three."""

import numpy as np
from astropy import units as u
from astropy.uncertainty import Distribution


def three_ways(*values):
    """Yield the arguments as scalars, as arrays of three, and as clouds of no width."""
    values = [u.Quantity(value) for value in values]
    yield values
    yield [np.repeat(value, 3) for value in values]
    yield [Distribution(np.repeat(value, 1000)) for value in values]


def numbers(result, unit):
    """Return any of the three kinds of result as a plain array in a unit."""
    draws = getattr(result, "distribution", result)
    return np.asarray(u.Quantity(draws).to_value(unit))
