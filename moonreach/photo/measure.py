"""Measure photographs of a lunar eclipse: each one's shadow ratio, the joint one, or the reason."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import wraps
from pathlib import Path

import numpy as np
from threadpoolctl import threadpool_limits

from moonreach.lessons.interval import TO_95, Interval
from moonreach.photo.circle import Circle
from moonreach.photo.fits import fit_one, fit_together
from moonreach.photo.light_model import RANGE, terminator
from moonreach.photo.limb import find_moon
from moonreach.photo.patches import patches_of
from moonreach.photo.picture import read_picture

WIDEST = 0.45  # of half an interval of 1 / x against 1 / x, beyond which a picture cannot say
CANNOT_SAY = (
    "this picture alone cannot say how large the shadow is: its edge is too short or too soft "
    "against the Moon's plains; more phases of the same night help"
)
DISAGREE = "the pictures do not agree on one shadow and one face: are all of them of one night?"


def _on_one_thread(work):
    """Keep a function's matrices to one thread, on which such small ones are far faster."""

    @wraps(work)
    def working(*given):
        with threadpool_limits(1):
            return work(*given)

    return working


_WORKERS = ThreadPoolExecutor(2, "photograph")  # a newer night need not wait for an older one
_FITS = {}  # of nights, by their paths


def begin(paths):
    """Begin to measure photographs of one night beside all else; return their `Future`.

    Parameters: ``paths``, a tuple. Its ``result()`` is a `Measurement`. A night that was begun
    before is not measured twice; one that has not got its turn yet gives way to this one.
    """
    for other in [other for other in _FITS if other != paths and _FITS[other].cancel()]:
        del _FITS[other]
    if paths not in _FITS:
        _FITS[paths] = _WORKERS.submit(measure_photographs, paths)
    return _FITS[paths]


@dataclass
class Photograph:
    """One photograph: what was found in it, and in one sentence what was not.

    moon, shadow: `Circle` in px of the upright picture, or None.
    ratio: `Interval` of the shadow's radius over the Moon's, or None. patches, fit: for the joint
    fit; ``fit`` is None for a full Moon, ``patches`` is None where the picture is of no use.
    """

    file: str
    moon: Circle | None = None
    shadow: Circle | None = None
    ratio: Interval | None = None
    message: str = ""
    patches: object = None
    fit: object = None
    time: object = None
    rendered: bool = False

    def radii(self):
        """Return the shadow's and the Moon's radius in px, each with its standard uncertainty.

        Errors: ``ValueError`` with the photograph's message where they were not measured.
        """
        if self.ratio is None:
            raise ValueError(f"{self.file}: {self.message}")
        moon = self.moon.radius
        return (self.ratio.value * moon, self.ratio.standard * moon), (moon, self.moon.radius_sd)


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
        return (100 * self.joint.value, 100 * self.joint.standard), (100.0, 0.01)


def interval_of(curvature, sd):
    """Return the `Interval` of x from 1 / x and its standard uncertainty; None if it cannot say.

    >>> interval_of(0.4, 0.02).high > 2.5 + 2.5 - interval_of(0.4, 0.02).low
    True
    >>> interval_of(0.4, 0.2) is None
    True
    """
    half = TO_95 * sd
    inside = 1 / RANGE[1] < curvature < 1 / RANGE[0]
    if not np.isfinite(half) or half > WIDEST * curvature or not inside:
        return None
    return Interval.of_inverse(curvature, half)


def uncertainty(fit, radius_share):
    """Return the standard uncertainty of 1 / x: the fit's, what the model misses, the limb's."""
    return float(
        np.hypot(fit.curvature_sd * (0.4 + 0.9 * fit.misfit), radius_share * fit.shared[0])
    )


@_on_one_thread
def measure_photographs(paths):
    """Measure photographs of one night, each alone and all together.

    Parameters: ``paths`` of JPEG or PNG files. Returns a `Measurement`. A photograph that cannot
    be measured says why in its message; nothing is raised for it.
    """
    photographs = [measure_one(path) for path in paths]
    used = [p for p in photographs if p.patches is not None]
    shaded = [p for p in used if p.fit is not None]
    if not shaded:
        return Measurement(photographs, None)
    if len(used) == 1:
        return Measurement(photographs, shaded[0].ratio)
    try:
        fit = fit_together([p.patches for p in used], [p.fit for p in used])
    except np.linalg.LinAlgError:
        return Measurement(photographs, None, DISAGREE)
    # One face and one shadow explain pictures of one night better than one each does.
    gain = sum(p.fit.cost for p in shaded) - fit.cost
    apart = len(shaded) == len(used) and gain < 5 * (len(shaded) - 1)
    note = DISAGREE if apart else ""
    share = np.median([p.moon.radius_sd / p.moon.radius for p in shaded]) / np.sqrt(len(shaded))
    return Measurement(photographs, interval_of(fit.shared[0], uncertainty(fit, share)), note)


@_on_one_thread
def measure_one(path):
    """Measure one photograph; return a `Photograph`, its message saying what stands against it."""
    try:
        picture = read_picture(path)
        found = Photograph(picture.file, time=picture.time, rendered=picture.rendered)
        moon = found.moon = find_moon(picture)
    except ValueError as error:
        text = str(error).removeprefix(f"{Path(path).name}: ")
        return Photograph(Path(path).name, message=text)
    patches = patches_of(picture, moon)
    found.message = _no_shadow(patches, picture.redness)
    if found.message:
        found.patches = patches if found.message.startswith("full Moon") else None
        return found
    try:
        fit, other = fit_one(patches), fit_one(patches, terminator)
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
    found.patches, found.fit = patches, fit
    found.ratio = interval_of(fit.shared[0], uncertainty(fit, moon.radius_sd / moon.radius))
    if found.ratio is None:
        found.message = CANNOT_SAY
        return found
    x, y = moon.at(axis, fit.ratio + edge)
    found.shadow = Circle(float(x), float(y), float(fit.ratio * moon.radius))
    return found


def _no_shadow(patches, redness):
    """Return why there is no edge of the umbra to measure, or an empty text."""
    if patches.overexposed > 0.7:
        return "overexposed: most of the bright part is white; use a shorter exposure"
    if len(patches.x) < 100:
        return "too little of the Moon's disc can be used; use a sharper or larger picture"
    low, high = np.exp(np.quantile(patches.level, [0.04, 0.98]))
    if redness > 2.2:
        return "total eclipse: the whole Moon lies in the shadow, no edge of it is to be seen"
    if low > 0.2 * high:
        return "full Moon without shadow: no edge to measure (it helps others of its night)"
    return ""
