"""What a group's readings give by part of the chain, and how far each part is off."""

from dataclasses import dataclass, field

import numpy as np
from astropy import units as u

from moonreach.exercises.doubts import GREATEST_ANGLE, LEAST_ANGLE
from moonreach.lessons import today
from moonreach.reduction.group import worked_out
from moonreach.reduction.results import MEASUREMENTS
from moonreach.sheet.quantities import CONTACTS

# How often its usual uncertainty a part's own may excuse a deviation, as a mistake makes that wrong
# too. Scatter of five readings passes twice the true one in 3 of 1000 cases (chi2.sf(16, 4)).
EXCUSE = 2.0
# The most that one part counts, seven standard uncertainties: beyond that a normal distribution
# says nothing, and what cannot be is no worse than what is far off.
MOST = 50.0
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


@dataclass
class Found:
    """What one group's readings give: best values by part, None for what cannot be.

    `checks` are deviations in standard uncertainties that need no other group; `sizes` likewise
    how far the instruments are from usual. `by_chord` says that the timing went on with the angle.
    """

    values: dict = field(default_factory=dict)
    by_chord: bool = False
    checks: dict = field(default_factory=dict)
    sizes: float = 0.0

    def deviations(self, expected, relative):
        """Return each part's deviation in standard uncertainties, infinite for what cannot be.

        Parameters: each part's expected value and the relative standard uncertainty of that; the
        group's own relative standard uncertainty of each part.
        """
        return {part: self._deviation(part, expected, relative) for part in self.values}

    def squares(self, expected, relative):
        """Return each part's squared deviation; of two views of a part, the worse one counts."""
        squares = {}
        for view, deviation in (self.deviations(expected, relative) | self.checks).items():
            part = _CHECKS.get(view, view)
            squares[part] = max(squares.get(part, 0.0), min(deviation**2, MOST))
        return squares

    def _deviation(self, part, expected, relative):
        value, (middle, spread), own = self.values[part], expected[part], relative[part]
        if value is None or value <= 0:
            return np.inf
        off = np.log(value / middle)
        angle = self.values.get("angle") or 0
        if part == "timing" and self.by_chord and angle > 0:
            # The ratio goes as the square of the angle, which the class tells as well as the group:
            # so the timing is judged with the mean of both angles, weighted by their variances.
            mean, known = expected["angle"]
            share = relative["angle"] ** 2 / (relative["angle"] ** 2 + known**2)
            off -= 2 * share * np.log(angle / mean)
            own = np.hypot(own, 2 * known * share**0.5)
        return off / np.hypot(own, spread)


def excused(own: float, usual: float) -> float:
    """Return the relative uncertainty with which a part's deviation is judged.

    A mistake also makes a part look surer than it is: so that is never less than usual.
    """
    return min(max(own, usual), EXCUSE * usual)


def parts_of(rows):
    """Return what a list of `Reading` gives, a `Found`."""
    names, given = worked_out(rows)[0], {row.quantity for row in rows}
    central = names.get("path") == "central" or MEASUREMENTS["angle"].lacks(given)
    found = Found(by_chord=not central)
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


def relative(group):
    """Return a group's own relative standard uncertainties by part, the timing's without the rod's.

    The chord formula takes the angle, which `Found.deviations` allows for by itself.
    """
    own, angle = {}, group.outcome("angle")
    of_rod = set(angle.parts) if angle else set()
    for name, part in PARTS.items():
        outcome = next(filter(None, map(group.outcome, part.results)), None)
        if outcome and outcome.value > 0:
            apart = of_rod if name == "timing" else set()
            parts = [size for one, size in outcome.parts.items() if one not in apart]
            own[name] = float(np.linalg.norm(parts)) / outcome.value
    return own
