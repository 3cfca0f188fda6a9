"""The likely mistake behind a group's deviation: undo each on the readings, and see what fits.

A group is examined only where a result cannot be, or lies three standard uncertainties from the
class (or, for a class too small, from that night's sky or from what is possible). Each row of
`practice.slips` that could have spoilt that part is undone on the readings, and the best values
worked out anew; the winner is then reduced in full. It must bring what it changes back among the
others, and explain by far more than chance would.
"""

from dataclasses import dataclass

import numpy as np

from moonreach.exercises.deviations import MOST, PARTS, excused, parts_of, relative
from moonreach.practice.slips import SLIPS
from moonreach.reduction.comparison import robust_mean
from moonreach.reduction.group import GroupResult, reduce_group
from moonreach.reduction.summary import ClassSummary

# The thresholds; tests/benchmarks/report.py counts what they name, miss and accuse.
FAR = 3.0  # standard uncertainties beyond which a part is examined: ISO 13528's signal to act
ENOUGH = FAR**2  # by how much the sum of squares must fall: as much as makes a part far
ALIKE = 0.01  # by which distances may differ within a night: the Moon's own way in two hours


@dataclass(frozen=True)
class Likely:
    """The mistake that explains a group's deviation, in words, and the result with it undone."""

    name: str
    told: str
    question: str
    undone: GroupResult


def gain(before: dict[str, float], after: dict[str, float], tries: int) -> float:
    """Return by how much undoing lowers the sum of squared deviations, over what chance gives.

    Parameters: squared deviations by part before and after, and how many ways were tried. The best
    of n ways that do nothing lowers the sum by 2 ln n more than one does, as chi-square's tail
    falls like exp(-x / 2): so that is taken off.
    """
    return sum(before.values()) - sum(after.values()) - 2 * np.log(tries)


class Finder:
    """What the groups of a class give by part, and the likely mistake of any of them."""

    def __init__(self, summary):
        """Take a `ClassSummary`."""
        self.rows = summary.rows
        self.groups = {group.group: group for group in summary.groups}
        self.parts = {name: parts_of(of_group) for name, of_group in self.rows.items()}
        self.relative = {name: relative(group) for name, group in self.groups.items()}
        self.typical = {}
        for name, part in PARTS.items():
            known = [own[name] for own in self.relative.values() if name in own]
            self.typical[name] = float(np.median(known)) if len(known) > 2 else part.usual

    def likely(self, name):
        """Return the `Likely` mistake, or None where nothing is far off or nothing fits."""
        expected, before = self.expected(name), self.parts[name]
        own, judged = self._own(name), self.judged(name)
        seen = before.squares(expected, own)
        at_first, best = before.squares(expected, judged), (ENOUGH, None, "", None)
        for slip in SLIPS.values():
            form = -2 * np.log(slip.chance)  # what the written form itself says for a mistake
            spoilt = {part for part, square in seen.items() if square > FAR**2 - form}
            spoilt |= {"rod"} if "timing" in spoilt else set()  # which needs the angular diameter
            spoilt &= set(slip.parts)
            ways = slip.ways(self.rows[name]) if spoilt else []
            for told, undone in ways:
                after = parts_of(undone)
                squares = after.squares(expected, judged)
                moved = {part for part, square in squares.items() if square != at_first.get(part)}
                worst = max(squares.get(part, MOST) for part in moved | spoilt)
                better = gain(at_first, squares, len(ways)) + form + before.sizes - after.sizes
                if worst < FAR**2 and better > best[0]:
                    best = better, slip, told, undone
        _, slip, told, undone = best
        return slip and Likely(slip.name, told, slip.question, reduce_group(name, undone))

    def _own(self, name):
        """Return a group's own relative uncertainties, the usual ones where it has none."""
        return {part: self.relative[name].get(part, usual) for part, usual in self.typical.items()}

    def judged(self, name):
        """Return the relative uncertainties with which a group's deviations are judged."""
        return {part: excused(own, self.typical[part]) for part, own in self._own(name).items()}

    def expected(self, name):
        """Return each part's expected value and its relative standard uncertainty."""
        far = {n: group.true_values.get("distance_km", np.nan) for n, group in self.groups.items()}
        # The others of that night; a night that is not named may have been the same.
        peers = [n for n in far if n != name and not abs(far[n] / far[name] - 1) > ALIKE]
        expected = {}
        for part, known in PARTS.items():
            low, high = known.possible
            values = [self.parts[peer].values.get(part) for peer in peers]
            values = [value for value in values if value is not None and np.isfinite(value)]
            middle = (low + high) / 2
            spread = (high - low) / 2 / 3**0.5 / middle  # of what is possible, no part preferred
            expected[part] = middle, spread
            if len(values) > 2:
                mean, deviation = robust_mean(values)
                own = 1.25 * deviation / np.sqrt(len(values)) / mean  # ISO 13528
                expected[part] = float(np.clip(mean, low, high)), min(own, spread)
            elif true := self.groups[name].true_values.get(known.true):
                expected[part] = true, ALIKE
        return expected


def likely_mistakes(summary: ClassSummary) -> dict[str, Likely]:
    """Return the `Likely` mistake of each group of a class that has one, by the group's name."""
    finder = Finder(summary)
    found = {name: finder.likely(name) for name in finder.rows}
    return {name: likely for name, likely in found.items() if likely}
