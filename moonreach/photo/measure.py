"""Measure photographs of a lunar eclipse: each one's shadow ratio, the joint one, or the reason."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from threadpoolctl import threadpool_limits

from moonreach.lessons.interval import TO_95, Interval
from moonreach.lessons.refuse import require
from moonreach.photo.circle import Circle
from moonreach.photo.fits import fit_one, fit_together
from moonreach.photo.light_model import RULES, terminator
from moonreach.photo.limb import find_moon
from moonreach.photo.patches import patches_of
from moonreach.photo.picture import REFUSALS, read_picture

WIDEST = 0.45  # of half an interval of 1 / x against 1 / x, beyond which a picture cannot say
ON_100_PX = Circle(0, 0, 100.0, radius_sd=0.01)  # stands for Moons of different sizes


# On one thread such small matrices are far faster.
on_one_thread = threadpool_limits.wrap(limits=1)

_AT_ONCE = 2  # a newer night need not wait for an older one
_WORKERS = ThreadPoolExecutor(_AT_ONCE, "photograph")
_FITS = {}  # of nights, by their paths


def begin(paths):
    """Begin to measure photographs of one night beside all else; return their `Future`.

    Parameters: ``paths``, a tuple. Its ``result()`` is a `Measurement`. A night that was begun
    before is not measured twice; one that waits for its turn, as others are at work, gives way to
    this one.
    """
    if sum(fit.running() for fit in _FITS.values()) >= _AT_ONCE:
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
    rendered: bool = False


@dataclass
class Measurement:
    """Photographs of one night, and the shadow ratio `Interval` of all together, or None."""

    photographs: list
    joint: Interval | None
    note: str = ""

    def radii(self):
        """Return the shadow's and the Moon's radius in px, each with its standard uncertainty.

        Those of the one photograph; of several, whose Moons are of different sizes, the joint
        ratio on a Moon of 100 px. Errors: `Impossible` where there is no ratio.
        """
        require(self.joint, "the photographs gave no ratio")
        moon = ON_100_PX if len(self.photographs) > 1 else self.photographs[0].moon
        shadow = self.joint.value * moon.radius, self.joint.standard * moon.radius
        return shadow, (moon.radius, moon.radius_sd)


def interval_of(fit, moons):
    """Return the `Interval` of x from a `ShadowFit` and its Moons; None where it cannot say.

    The uncertainty of 1 / x is the fit's, what the model misses, and that of the limbs, each
    `Circle`.
    """
    curvature = fit.shared[0]
    limb = np.median([moon.radius_sd / moon.radius for moon in moons]) / np.sqrt(len(moons))
    sd = np.hypot(fit.curvature_sd * (0.4 + 0.9 * fit.misfit), limb * curvature)
    inside = RULES["curvature"].low < curvature < RULES["curvature"].high
    known = inside and TO_95 * sd <= WIDEST * curvature
    return Interval.of_inverse(curvature, TO_95 * sd) if known else None


@on_one_thread
def measure_photographs(paths):
    """Measure photographs of one night, each alone and all together.

    Parameters: ``paths`` of JPEG or PNG files. Returns a `Measurement`. A photograph that cannot
    be measured says why in its message; nothing is raised for it.
    """
    photographs = [measure_one(path) for path in paths]
    used = [p for p in photographs if p.patches]
    shaded = [p for p in used if p.fit]
    if len(used) < 2 or not shaded:
        return Measurement(photographs, shaded[0].ratio if shaded else None)
    try:
        fit = fit_together([p.patches for p in used], [p.fit for p in used])
    except np.linalg.LinAlgError:
        return Measurement(photographs, None, REFUSALS["disagree"])
    # One face and one shadow explain pictures of one night better than one each does.
    gain = sum(p.fit.cost for p in shaded) - fit.cost
    apart = len(shaded) == len(used) and gain < 5 * (len(shaded) - 1)
    joint = interval_of(fit, [p.moon for p in shaded])
    return Measurement(photographs, joint, REFUSALS["disagree"] if apart else "")


@on_one_thread
def measure_one(path):
    """Measure one photograph; return a `Photograph`, its message saying what stands against it."""
    found = Photograph(Path(path).name)
    try:
        _fill(found, read_picture(path))
    except np.linalg.LinAlgError:
        found.message = REFUSALS["cannot_say"]
    except ValueError as error:
        found.message = str(error).removeprefix(f"{found.file}: ")
    return found


def _fill(found, picture):
    """Fill a `Photograph` as far as its picture goes; raise what stands against the rest."""
    found.rendered = picture.rendered
    moon = found.moon = find_moon(picture)
    patches = patches_of(picture, moon)
    require(patches.overexposed <= 0.7, REFUSALS["overexposed"])
    require(len(patches.place) >= 100, REFUSALS["little"])
    require(picture.redness <= 2.2, REFUSALS["total"])
    low, high = np.exp(np.quantile(patches.level, [0.04, 0.98]))
    found.patches = patches if low > 0.2 * high else None
    require(found.patches is None, REFUSALS["full"])
    fit, other = fit_one(patches), fit_one(patches, terminator)
    require(fit.cost <= other.cost, REFUSALS["phase"])
    edge, axis = fit.own[0, :2]
    require(abs(edge) <= 0.97, REFUSALS["not_crossing"])
    found.patches, found.fit = patches, fit
    ratio = interval_of(fit, [moon])
    require(ratio, REFUSALS["cannot_say"])
    x, y = moon.at(axis, ratio.value + edge)
    found.ratio, found.shadow = ratio, Circle(float(x), float(y), ratio.value * moon.radius)
