"""The likely mistake behind a group's deviation: undo each on the readings, and see what fits.

A group is examined only where a result cannot be, or lies three standard uncertainties from the
class (or, for a class too small, from that night's sky or from what is possible). Each row of
`practice.slips` that could have spoilt that part is undone on the readings, and the best values
worked out anew; the winner is then reduced in full. It must bring what it changes back among the
others, and explain by far more than chance would.
"""

from dataclasses import dataclass, field

import numpy as np
from astropy import units as u

from moonreach.exercises.doubts import GREATEST_ANGLE, LEAST_ANGLE
from moonreach.lessons import today
from moonreach.practice.slips import SLIPS
from moonreach.reduction.comparison import robust_mean
from moonreach.reduction.group import GroupResult, reduce_group, worked_out
from moonreach.reduction.results import MEASUREMENTS
from moonreach.reduction.summary import ClassSummary
from moonreach.sheet.quantities import CONTACTS

# The thresholds; tests/benchmarks/report.py counts what they name, miss and accuse.
FAR = 3.0  # standard uncertainties beyond which a part is examined: ISO 13528's signal to act
ENOUGH = FAR**2  # by how much the sum of squares must fall: as much as makes a part far
# How often its usual uncertainty a part's own may excuse a deviation, as a mistake makes that wrong
# too. Scatter of five readings passes twice the true one in 3 of 1000 cases (chi2.sf(16, 4)).
EXCUSE = 2.0
# The most that one part counts, seven standard uncertainties: beyond that a normal distribution
# says nothing, and what cannot be is no worse than what is far off.
MOST = 50.0
ALIKE = 0.01  # by which distances may differ within a night: the Moon's own way in two hours
_CONTACT = 45 * u.s  # of a beginner's contact time (sheet/quantities.csv)


@dataclass(frozen=True)
class Part:
    """A part of the chain: its results, first the one to take, what is possible, how sure it is.

    `usual` is the relative standard uncertainty of a class too small to tell; common practice.
    `true` is what a night's sky tells of it, by the names of results.
    """

    results: tuple[str, ...]
    possible: tuple[float, float]
    usual: float
    true: str = ""


_EARTH = today.EARTH_DIAMETER.to_value(u.km)
_ANGLES = LEAST_ANGLE.to_value(u.arcmin), GREATEST_ANGLE.to_value(u.arcmin)
PARTS = {
    "earth": Part(("earth_diameter",), (0.9 * _EARTH, 1.1 * _EARTH), 0.035),
    "angle": Part(("angle",), _ANGLES, 0.02, "angle"),
    "timing": Part(("ratio_chord", "ratio_central"), (2.55, 2.85), 0.045, "ratio"),
    "photograph": Part(("ratio_photo",), (2.55, 2.85), 0.05, "ratio"),
}
_CHECKS = {"entry": "timing", "hole": "rod", "angle": "rod"}  # part of each, if of another name
# Sizes that instruments usually have, and the factor within which two thirds of them lie: only to
# tell two mistakes apart. Common practice, no source.
_SIZES = {
    "disc_diameter": (15 * u.mm, 2),
    "vanish_distance": (1.7 * u.m, 2),
    "north_gnomon_height": (1 * u.m, 3),
    "south_gnomon_height": (1 * u.m, 3),
}


@dataclass(frozen=True)
class Likely:
    """The mistake that explains a group's deviation, in words, and the result with it undone."""

    name: str
    told: str
    question: str
    undone: GroupResult


@dataclass
class Found:
    """What one group's readings give: best values by part, None for what cannot be.

    `checks` are deviations in standard uncertainties that need no other group; `sizes` likewise
    how far the instruments are from usual.
    """

    values: dict = field(default_factory=dict)
    checks: dict = field(default_factory=dict)
    sizes: float = 0.0


def gain(before: dict[str, float], after: dict[str, float], tries: int) -> float:
    """Return by how much undoing lowers the sum of squared deviations, over what chance gives.

    Parameters: squared deviations by part before and after, and how many ways were tried. The best
    of n ways that do nothing lowers the sum by 2 ln n more than one does, as chi-square's tail
    falls like exp(-x / 2): so that is taken off.
    """
    return sum(before.values()) - sum(after.values()) - 2 * np.log(tries)


def excused(own: float, usual: float) -> float:
    """Return the relative uncertainty with which a part's deviation is judged.

    A mistake also makes a part look surer than it is: so that is never less than usual.
    """
    return min(max(own, usual), EXCUSE * usual)


def parts_of(rows):
    """Return what a list of `Reading` gives, a `Found`."""
    names, found, given = worked_out(rows)[0], Found(), {row.quantity for row in rows}
    central = names.get("path") == "central" or MEASUREMENTS["angle"].lacks(given)
    values = {
        "earth": "earth_diameter",
        "angle": "angle",
        "timing": "seen_central" if central else "seen_chord",
        "photograph": "seen_photo",
    }
    for part, name in values.items():
        if not MEASUREMENTS[part].lacks(given):
            found.values[part] = float(names[name].value) if name in names else None
    if set(CONTACTS) <= set(names):
        u1, u2, u3, u4 = (names[name].to_value(u.s) for name in CONTACTS)
        stated = (row.uncertainty for row in rows if row.quantity in CONTACTS)
        widest = max([_CONTACT, *(one for one in stated if one is not None)]).to_value(u.s)
        found.checks["entry"] = ((u4 - u3) - (u2 - u1)) / (2 * widest)
    if "hole_misfit" in names and {"hole_diameter", "target_diameter"} & given:
        found.checks["hole"] = float(names["hole_misfit"])
    for name in set(_SIZES) & set(names):
        usual, factor = _SIZES[name]
        ratio = (names[name] / usual).to_value(u.one)
        found.sizes += (np.log(ratio) / np.log(factor)) ** 2 if ratio > 0 else MOST
    return found


class Finder:
    """What the groups of a class give by part, and the likely mistake of any of them."""

    def __init__(self, summary):
        """Take a `ClassSummary`."""
        self.rows = summary.rows
        self.groups = {group.group: group for group in summary.groups}
        self.parts = {name: parts_of(of_group) for name, of_group in self.rows.items()}
        self.relative = {name: _relative(group) for name, group in self.groups.items()}
        self.typical = {}
        for name, part in PARTS.items():
            known = [own[name] for own in self.relative.values() if name in own]
            self.typical[name] = float(np.median(known)) if len(known) > 2 else part.usual

    def likely(self, name):
        """Return the `Likely` mistake, or None where nothing is far off or nothing fits."""
        expected, before = self._expected(name), self.parts[name]
        own = {part: self.relative[name].get(part, usual) for part, usual in self.typical.items()}
        spoilt = {p for p, square in _squares(before, expected, own).items() if square > FAR**2}
        if not spoilt:
            return None
        spoilt |= {"rod"} if "timing" in spoilt else set()  # which needs the angular diameter
        judged = {part: excused(own[part], usual) for part, usual in self.typical.items()}
        at_first, best = _squares(before, expected, judged), (ENOUGH, None, "", None)
        for slip in SLIPS.values():
            ways = slip.ways(self.rows[name]) if spoilt & set(slip.parts) else []
            for told, undone in ways:
                after = parts_of(undone)
                squares = _squares(after, expected, judged)
                moved = {part for part, square in squares.items() if square != at_first.get(part)}
                mended = moved | spoilt & set(slip.parts)
                worst = max(squares.get(part, MOST) for part in mended)
                better = gain(at_first, squares, len(ways)) + before.sizes - after.sizes
                if worst < FAR**2 and better > best[0]:
                    best = better, slip, told, undone
        _, slip, told, undone = best
        return slip and Likely(slip.name, told, slip.question, reduce_group(name, undone))

    def _expected(self, name):
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


def _relative(group):
    """Return a group's own relative standard uncertainties by part."""
    own = {}
    for name, part in PARTS.items():
        outcome = next(filter(None, map(group.outcome, part.results)), None)
        if outcome and outcome.value > 0:
            own[name] = outcome.standard / outcome.value
    return own


def _squares(found, expected, relative):
    """Return each part's squared deviation; of two views of a part, the worse one counts."""
    squares = {}
    for part, value in found.values.items():
        middle, spread = expected[part]
        square = MOST
        if value is not None and value > 0:
            square = (np.log(value / middle) / np.hypot(relative[part], spread)) ** 2
        squares[_CHECKS.get(part, part)] = min(square, MOST)
    for check, deviation in found.checks.items():
        part = _CHECKS[check]
        squares[part] = max(squares.get(part, 0.0), min(deviation**2, MOST))
    return squares
