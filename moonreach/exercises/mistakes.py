"""The likely slip behind a group's deviation: undo each on the readings, and see what fits.

A group is examined only where a result cannot be, or lies three standard uncertainties from the
class (or, for a class too small, from that night's sky or from what is possible). Each slip of
`undoing` that could have spoilt that part is undone on the readings, and the best values worked
out anew; the winner is then reduced in full. It must bring what it changes back among the others
and lower the sum of squared deviations by far more than chance would, the more so the more ways
of undoing were tried.
"""

from dataclasses import dataclass, field

import numpy as np
from astropy import units as u

from moonreach.exercises.doubts import GREATEST_ANGLE, LEAST_ANGLE
from moonreach.lessons import sighting_angle, today
from moonreach.practice.slips import SLIPS
from moonreach.reduction.comparison import robust_mean
from moonreach.reduction.group import GroupResult, best_values, reduce_group
from moonreach.reduction.results import MEASUREMENTS
from moonreach.sheet.quantities import CONTACTS

FAR = 3.0  # standard uncertainties beyond which a part of a result is examined
_GAIN = 15.0  # by which a slip must lower the sum of squares, about four standard uncertainties
_MOST = 50.0  # the most one part counts: what cannot be is no worse than what is far off
_EARTH = today.EARTH_DIAMETER.to_value(u.km)
# What is possible, or as good as: Earth known to a tenth; limits of `plausible`.
_POSSIBLE = {
    "earth": (0.9 * _EARTH, 1.1 * _EARTH),
    "angle": (LEAST_ANGLE.to_value(u.arcmin), GREATEST_ANGLE.to_value(u.arcmin)),
    "timing": (2.55, 2.85),
    "photograph": (2.55, 2.85),
}
# Relative standard uncertainties where a class is too small to tell; common practice, no source.
_TYPICAL = {"earth": 0.03, "angle": 0.015, "timing": 0.03, "photograph": 0.05}
_CHECKS = {"entry": "timing", "hole": "rod", "angle": "rod"}  # part of each, if of another name
# Sizes that instruments usually have, and the factor within which two thirds of them lie: only to
# tell two slips apart. Common practice, no source.
_SIZES = {
    "disc_diameter": (16 * u.mm, 2),
    "vanish_distance": (1.7 * u.m, 2),
    "north_gnomon_height": (1 * u.m, 3),
    "south_gnomon_height": (1 * u.m, 3),
}


@dataclass(frozen=True)
class Likely:
    """The slip that explains a group's deviation, in words, and the result with it undone."""

    name: str
    made: str
    think: str
    undone: GroupResult


@dataclass
class Parts:
    """What one group's readings give: best values by part, None for what cannot be.

    `checks` are deviations in standard uncertainties that need no other group; `sizes` likewise
    how far the instruments are from usual.
    """

    values: dict = field(default_factory=dict)
    checks: dict = field(default_factory=dict)
    sizes: float = 0.0


def parts_of(rows):
    """Return the `Parts` of a list of `Reading`."""
    names, parts, given = best_values(rows), Parts(), {row.quantity for row in rows}
    timing = "seen_central" if names.get("path") == "central" else "seen_chord"
    found = {"earth": "earth_diameter", "angle": "angle", "timing": timing}
    if MEASUREMENTS["angle"].lacks(given):
        found["timing"] = "seen_central"
    for part, measured in (("earth", "earth"), ("angle", "angle"), ("timing", "timing")):
        if not MEASUREMENTS[measured].lacks(given):
            parts.values[part] = _number(names.get(found[part]))
    if {"photo_shadow_radius", "photo_moon_radius"} <= given:
        parts.values["photograph"] = _number(names.get("seen_photo"))
    if set(CONTACTS) <= set(names):
        u1, u2, u3, u4 = (names[name].to_value(u.s) for name in CONTACTS)
        stated = [row.uncertainty for row in rows if row.quantity in CONTACTS]
        usual = max([45 * u.s, *(given for given in stated if given is not None)]).to_value(u.s)
        parts.checks["entry"] = ((u4 - u3) - (u2 - u1)) / (2 * usual)
    if {"disc_diameter", "vanish_distance", "rim_distance", "hole_diameter"} <= given:
        disc = names["disc_diameter"]
        found = sighting_angle.hole_from_bracket(
            disc, names["vanish_distance"], names["rim_distance"]
        )
        # Two distances, each known to 2 %, leave the hole uncertain by 1.5 % of the disc.
        parts.checks["hole"] = ((found - names["hole_diameter"]) / (0.015 * disc)).to_value(u.one)
    for name in set(_SIZES) & set(names):
        usual, factor = _SIZES[name]
        ratio = (names[name] / usual).to_value(u.one)
        parts.sizes += (np.log(ratio) / np.log(factor)) ** 2 if ratio > 0 else _MOST
    return parts


class Finder:
    """What the groups of a class give by part, and the likely slip of any of them."""

    def __init__(self, summary, rows):
        """Take a `ClassSummary` and the class's readings by group, as `Sheet.groups` gives them."""
        self.rows = rows
        self.groups = {group.group: group for group in summary.groups}
        self.parts = {name: parts_of(of_group) for name, of_group in rows.items()}
        outcomes = {name: _outcomes(group) for name, group in self.groups.items()}
        self.relative = {
            name: {part: o.standard / o.value for part, o in found.items() if o.value > 0}
            for name, found in outcomes.items()
        }
        self.typical = {}
        for part, usual in _TYPICAL.items():
            found = [own[part] for own in self.relative.values() if part in own]
            self.typical[part] = float(np.median(found)) if len(found) > 2 else usual
        self.distances = {
            name: g.truth.distance.to_value(u.km) if g.truth else np.nan
            for name, g in self.groups.items()
        }

    def likely(self, name):
        """Return the `Likely` slip of a group, or None where nothing is far off or nothing fits."""
        expected, before = self._expected(name), self.parts[name]
        own = self.relative[name]
        wide = {part: own.get(part, usual) for part, usual in self.typical.items()}
        spoilt = {part for part, z2 in _squares(before, expected, wide).items() if z2 > FAR**2}
        if not spoilt:
            return None
        spoilt |= {"rod"} if "timing" in spoilt else set()  # which leans on the Moon's angle
        # A slip makes the uncertainty wrong as well: it may excuse no more than is usual.
        narrow = {part: min(wide[part], 2 * usual) for part, usual in self.typical.items()}
        at_first = _squares(before, expected, narrow)
        best = None
        for slip in SLIPS:
            if slip.part not in spoilt:
                continue
            ways = slip.ways(self.rows[name])
            for what, undone in ways.items():
                if undone == self.rows[name]:
                    continue
                after = parts_of(undone)
                squares = _squares(after, expected, narrow)
                moved = {part for part, z2 in squares.items() if z2 != at_first.get(part)}
                worst = max(squares.get(part, _MOST) for part in moved | {slip.part})
                gain = sum(at_first.values()) - sum(squares.values())
                gain += before.sizes - after.sizes - 2 * np.log(len(ways))
                if worst < FAR**2 and gain > _GAIN and (best is None or gain > best[0]):
                    best = gain, slip, what, undone
        if best is None:
            return None
        _, slip, what, undone = best
        made = slip.made.format(made=what)
        return Likely(slip.name, made, slip.think, reduce_group(name, undone))

    def _expected(self, name):
        """Return each part's expected value and its relative standard uncertainty."""
        near = self.distances[name]
        peers = [  # the others of that night; a night that is not named may have been the same
            other
            for other, km in self.distances.items()
            if other != name and not abs(km / near - 1) > 0.01
        ]
        truth, expected = self.groups[name].truth, {}
        for part, (low, high) in _POSSIBLE.items():
            found = [self.parts[peer].values.get(part) for peer in peers]
            found = [value for value in found if value is not None and np.isfinite(value)]
            middle = (low + high) / 2
            spread = (high - low) / 2 / 3**0.5 / middle  # of what is possible, no part preferred
            if len(found) > 2:
                mean, deviation = robust_mean(found)
                own = 1.25 * deviation / np.sqrt(len(found)) / mean
                expected[part] = float(np.clip(mean, low, high)), min(own, spread)
            elif truth and part != "earth" and (part == "angle" or truth.shadow_ratio):
                angle = truth.moon_angle.to_value(u.arcmin)
                expected[part] = (angle if part == "angle" else truth.shadow_ratio), 0.01
            else:
                expected[part] = middle, spread
        return expected


def _outcomes(group):
    timing = group.outcome("ratio_chord") or group.outcome("ratio_central")
    found = {"earth": group.outcome("earth_diameter"), "angle": group.outcome("angle")}
    found |= {"timing": timing, "photograph": group.outcome("ratio_photo")}
    return {part: outcome for part, outcome in found.items() if outcome}


def _squares(parts, expected, relative):
    """Return each part's squared deviation; of two views of a part, the worse one counts."""
    found = {}
    for part, value in parts.values.items():
        middle, spread = expected[part]
        z2 = _MOST
        if value is not None and value > 0:
            z2 = min((np.log(value / middle) / np.hypot(relative[part], spread)) ** 2, _MOST)
        found[_CHECKS.get(part, part)] = z2
    for check, deviation in parts.checks.items():
        part = _CHECKS[check]
        found[part] = max(found.get(part, 0.0), min(deviation**2, _MOST))
    return found


def _number(value):
    return None if value is None else float(value.value)
