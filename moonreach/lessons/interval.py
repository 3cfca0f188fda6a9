"""A value with its 95 % interval, and the one place that knows what 95 % means."""

from dataclasses import dataclass, field
from math import inf, isfinite
from statistics import NormalDist

COVERAGE = 0.95
# Standard deviations from the middle to the end of a normal distribution's 95 % interval.
TO_95 = NormalDist().inv_cdf(0.5 + COVERAGE / 2)


@dataclass(frozen=True)
class Interval:
    """A value with its 95 % interval.

    Attributes
    ----------
    value, low, high : float
        The best value and both ends, in one unit; ends equal to the value: no interval is known.
    parts : dict of str to float
        Standard uncertainty that each input brings into the value, where they are told apart.
    """

    value: float
    low: float
    high: float
    parts: dict[str, float] = field(default_factory=dict)

    @classmethod
    def of_inverse(cls, inverse: float, half: float) -> "Interval":
        """Return the interval of a value whose inverse is known evenly to both sides.

        Parameters
        ----------
        inverse : float
            1 / value.
        half : float
            Half the 95 % interval of the inverse; from the inverse on, there is no upper end.

        Examples
        --------
        >>> Interval.of_inverse(0.5, 0.25)
        Interval(value=2.0, low=1.3333333333333333, high=4.0, parts={})
        """
        high = 1 / (inverse - half) if half < inverse else inf
        return cls(float(1 / inverse), float(1 / (inverse + half)), float(high))

    @property
    def standard(self) -> float:
        """The standard uncertainty that a normal distribution with this interval would have."""
        return (self.high - self.low) / (2 * TO_95)

    @property
    def is_finite(self) -> bool:
        """Whether both ends are there."""
        return isfinite(self.low) and isfinite(self.high)

    def __str__(self):
        if self.low == self.high:
            return f"{self.value:.2f}"
        return f"{self.value:.2f} (95 %: {self.low:.2f} to {self.high:.2f})"
