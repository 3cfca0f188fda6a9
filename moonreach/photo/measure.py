"""Measure photographs of a lunar eclipse: each one's shadow ratio, the joint one, or the reason."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from moonreach.photo.cells import cells_of
from moonreach.photo.joint import fit_together
from moonreach.photo.light_model import RANGE, terminator
from moonreach.photo.limb import find_moon
from moonreach.photo.picture import read_picture
from moonreach.photo.shadow_fit import fit_one

COVERAGE = 1.96  # standard uncertainties in a 95 % interval
WIDEST = 0.45  # of half an interval of 1 / x against 1 / x, beyond which a picture cannot say
CANNOT_SAY = (
    "this picture alone cannot say how large the shadow is: its edge is too short or too soft "
    "against the Moon's plains; more phases of the same night help"
)
DISAGREE = "the pictures do not agree on one shadow and one face: are all of them of one night?"


@dataclass(frozen=True)
class Interval:
    """A value with its 95 % interval, and the standard uncertainty behind it."""

    value: float
    low: float
    high: float
    sd: float


@dataclass
class Photograph:
    """One photograph: what was found in it, and in one sentence what was not.

    moon, shadow: dictionaries x, y, radius in px of the upright picture, or None.
    ratio: `Interval` of the shadow's radius over the Moon's, or None. cells, fit: for the joint
    fit; ``fit`` is None for a full Moon, ``cells`` is None where the picture is of no use.
    """

    file: str
    moon: dict | None = None
    shadow: dict | None = None
    ratio: Interval | None = None
    message: str = ""
    cells: object = None
    fit: object = None
    time: object = None

    def radii(self):
        """Return the shadow's and the Moon's radius in px, each with its standard uncertainty.

        Errors: ``ValueError`` with the photograph's message where they were not measured.
        """
        if self.ratio is None:
            raise ValueError(f"{self.file}: {self.message}")
        moon = self.moon["radius"]
        return (self.ratio.value * moon, self.ratio.sd * moon), (moon, self.moon["sd"])


@dataclass
class Measurement:
    """Photographs of one night, and the shadow ratio `Interval` of all together, or None."""

    photographs: list
    joint: Interval | None
    note: str = ""

    def radii(self):
        """Return the shadow's and the Moon's radius in px, each with its standard uncertainty.

        Those of the one photograph; of several, whose Moons are of different sizes, the joint
        ratio on a Moon of 100 px. Errors: ``ValueError`` where there is no ratio.
        """
        if len(self.photographs) == 1:
            return self.photographs[0].radii()
        if self.joint is None:
            raise ValueError("the photographs together gave no ratio")
        return (100 * self.joint.value, 100 * self.joint.sd), (100.0, 0.01)


def interval_of(curvature, sd):
    """Return the `Interval` of x from 1 / x and its standard uncertainty; None if it cannot say.

    >>> interval_of(0.4, 0.02).high > 2.5 + 2.5 - interval_of(0.4, 0.02).low
    True
    >>> interval_of(0.4, 0.2) is None
    True
    """
    half = COVERAGE * sd
    inside = 1 / RANGE[1] < curvature < 1 / RANGE[0]
    if not np.isfinite(half) or half > WIDEST * curvature or not inside:
        return None
    return Interval(
        1 / curvature, 1 / (curvature + half), 1 / (curvature - half), sd / curvature**2
    )


def uncertainty(fit, radius_share):
    """Return the standard uncertainty of 1 / x: the fit's, what the model misses, the limb's."""
    return float(
        np.hypot(fit.curvature_sd * (0.4 + 0.9 * fit.misfit), radius_share * fit.shared[0])
    )


def measure_photographs(paths):
    """Measure photographs of one night, each alone and all together.

    Parameters: ``paths`` of JPEG or PNG files. Returns a `Measurement`. A photograph that cannot
    be measured says why in its message; nothing is raised for it.
    """
    photographs = [measure_one(path) for path in paths]
    used = [p for p in photographs if p.cells is not None]
    shaded = [p for p in used if p.fit is not None]
    if not shaded:
        return Measurement(photographs, None)
    if len(used) == 1:
        return Measurement(photographs, shaded[0].ratio)
    try:
        fit = fit_together([p.cells for p in used], [p.fit for p in used])
    except np.linalg.LinAlgError:
        return Measurement(photographs, None, DISAGREE)
    # One face and one shadow explain pictures of one night better than one each does.
    gain = sum(p.fit.cost for p in shaded) - fit.cost
    apart = len(shaded) == len(used) and gain < 5 * (len(shaded) - 1)
    note = DISAGREE if apart else ""
    share = np.median([p.moon["sd"] / p.moon["radius"] for p in shaded]) / np.sqrt(len(shaded))
    return Measurement(photographs, interval_of(fit.shared[0], uncertainty(fit, share)), note)


def measure_one(path):
    """Measure one photograph; return a `Photograph`, its message saying what stands against it."""
    try:
        picture = read_picture(path)
        found = Photograph(picture.file, time=picture.time)
        moon = find_moon(picture)
    except ValueError as error:
        text = str(error).removeprefix(f"{Path(path).name}: ")
        return Photograph(Path(path).name, message=text)
    found.moon = {"x": moon.x, "y": moon.y, "radius": moon.radius, "sd": moon.radius_sd}
    cells = cells_of(picture, moon)
    found.message = _no_shadow(cells, picture.redness)
    if found.message:
        found.cells = cells if found.message.startswith("full Moon") else None
        return found
    try:
        fit, other = fit_one(cells), fit_one(cells, terminator)
    except np.linalg.LinAlgError:
        found.message = CANNOT_SAY
        return found
    edge, axis = fit.own[0][:2]
    if other.cost < fit.cost:
        found.message = (
            "a phase of the Moon, not an eclipse: the dark side is bounded by sunrise or sunset"
        )
        return found
    if abs(edge) > 0.97:
        found.message = (
            "the edge of the shadow does not cross the Moon: take a picture of the partial phase"
        )
        return found
    found.cells, found.fit = cells, fit
    found.ratio = interval_of(fit.shared[0], uncertainty(fit, moon.radius_sd / moon.radius))
    if found.ratio is None:
        found.message = CANNOT_SAY
        return found
    apart = (fit.ratio + edge) * moon.radius
    found.shadow = {
        "x": moon.x + apart * np.cos(axis),
        "y": moon.y + apart * np.sin(axis),
        "radius": fit.ratio * moon.radius,
    }
    return found


def _no_shadow(cells, redness):
    """Return why there is no edge of the umbra to measure, or an empty text."""
    if cells.overexposed > 0.7:
        return "overexposed: most of the bright part is white; use a shorter exposure"
    if len(cells.x) < 100:
        return "too little of the Moon's disc can be used; use a sharper or larger picture"
    low, high = np.exp(np.quantile(cells.level, [0.04, 0.98]))
    if redness > 2.2:
        return "total eclipse: the whole Moon lies in the shadow, no edge of it is to be seen"
    if low > 0.2 * high:
        return "full Moon without shadow: no edge to measure (it helps others of its night)"
    return ""
