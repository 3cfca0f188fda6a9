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
from moonreach.photo.light_model import OWN, RULES
from moonreach.photo.limb import find_moon
from moonreach.photo.night import ANY_MOON, Edges, fit_night
from moonreach.photo.patches import patches_of
from moonreach.photo.picture import REFUSALS, block_average, read_picture
from moonreach.photo.times import Timing

WIDEST = 0.45  # of half an interval of 1 / x against 1 / x, beyond which a picture cannot say
LONGEST = np.timedelta64(8, "h")  # from first to last; an umbral eclipse takes 4
# Of the ratio: what a camera's response does to all its pictures alike, so that more of them do not
# average it out. Set with rendered phone pictures, and held on others (docs/accuracy.md).
CAMERA_SD = 0.020
TONE = "it showed light to the power {:.2f}"
LIFT = "it {} dark surroundings by {:.0f} %"
ON_100_PX = Circle(0, 0, 100.0, radius_sd=0.01)  # stands for Moons of different sizes


# On one thread such small matrices are far faster.
on_one_thread = threadpool_limits.wrap(limits=1)

_AT_ONCE = 2  # pictures


@dataclass
class Photograph:
    """One photograph: what was found in it, and in one sentence what was not.

    moon, shadow: `Circle` in px of the upright picture, or None.
    ratio: `Interval` of the shadow's radius over the Moon's, or None. patches, fit: for the joint
    fit; ``fit`` is None for a full Moon, ``patches`` is None where the picture is of no use. time:
    when it was taken, a numpy datetime in UTC, or None. small: the picture, a few px wide.
    """

    file: str
    moon: Circle | None = None
    shadow: Circle | None = None
    ratio: Interval | None = None
    message: str = ""
    patches: object = None
    fit: object = None
    rendered: bool = False
    time: np.datetime64 | None = None
    small: np.ndarray | None = None

    def response(self):
        """Return what the camera did to the light, as fitted: one sentence in words.

        What may as well be nothing, within its 95 % interval, is not told.
        """
        gamma = self.fit.own[0][list(OWN).index("gamma")]
        around = self.patches.around[np.argsort(self.patches.around.sum(axis=1))]
        reach = around[-1] - around[0]  # from the darkest surroundings to the brightest
        lift, wide = reach @ self.fit.shared[-2:], TO_95 * _widened(self.fit)
        gamma_sd, lift_sd = np.sqrt(
            [self.fit.response[0, 0], reach @ self.fit.response[1:, 1:] @ reach]
        )
        told = [TONE.format(gamma)] * bool(abs(gamma - 1) > wide * gamma_sd)
        way = "lifted" if lift > 0 else "lowered"
        told += [LIFT.format(way, 100 * abs(np.exp(lift) - 1))] * bool(abs(lift) > wide * lift_sd)
        words = ", and ".join(told) or "these pictures do not say whether it changed the light"
        return f"The camera, as fitted: {words}."


@dataclass
class Measurement:
    """Photographs of one night, and the shadow ratio `Interval` of all together, or None.

    night: the `Night` of the timed ones, or None.
    """

    photographs: list
    joint: Interval | None
    note: str = ""
    night: object = None

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

    The uncertainty of 1 / x is the fit's, what the model misses, what a camera does to all its
    pictures alike, and that of the limbs, each `Circle`.
    """
    curvature = fit.shared[0]
    limb = np.median([moon.radius_sd / moon.radius for moon in moons]) / np.sqrt(len(moons))
    common = np.hypot(limb, CAMERA_SD) * curvature
    sd = np.hypot(fit.curvature_sd * _widened(fit), common)
    inside = RULES["curvature"].low < curvature < RULES["curvature"].high
    known = inside and TO_95 * sd <= WIDEST * curvature
    return Interval.of_inverse(curvature, TO_95 * sd) if known else None


def _widened(fit):
    """Return by how much a fit's uncertainties are widened for what the model misses."""
    return 0.35 + 0.9 * fit.misfit


@on_one_thread
def measure_photographs(paths, timing=None, moon=ANY_MOON, contacts=(), told=lambda *done: None):
    """Measure photographs of one night, each alone and all together.

    Parameters: ``paths`` of JPEG or PNG files; the `times.Timing` that dates them; the Moon's
    semidiameter and contacts as `night.fit_night` takes them; ``told``, which is called with how
    many steps are done and how many there are. Returns a `Measurement`. A photograph that cannot
    be measured says why in its message; nothing is raised for it.
    """
    photographs, steps = [], len(paths) + (len(paths) > 1)
    with ThreadPoolExecutor(_AT_ONCE) as workers:
        for found in workers.map(lambda path: measure_one(path, timing), paths):
            photographs.append(found)
            told(len(photographs), steps)
    used = [p for p in photographs if p.patches]
    shaded = [p for p in used if p.fit]
    if refusal := _not_one_night(used, shaded):
        return Measurement(photographs, None, refusal)
    if len(used) < 2 or not shaded:
        return Measurement(photographs, shaded[0].ratio if shaded else None)
    try:
        fit = fit_together([p.patches for p in used], [p.fit for p in used])
    except np.linalg.LinAlgError:
        return Measurement(photographs, None, REFUSALS["disagree"])
    told(steps, steps)
    # One face and one shadow explain pictures of one night better than one each does.
    gain = sum(p.fit.cost for p in shaded) - fit.cost
    apart = len(shaded) == len(used) and gain < 5 * (len(shaded) - 1)
    note = REFUSALS["disagree"] if apart else ""
    night = None if apart else _night(used, fit, moon, contacts)
    return Measurement(photographs, interval_of(fit, [p.moon for p in shaded]), note, night)


def _not_one_night(used, shaded):
    """Return why pictures cannot be measured together; nothing where they can."""
    for k, one in enumerate(used):
        for other in used[k + 1 :]:
            another = None not in (one.time, other.time) and one.time != other.time
            if not another and _alike(one.small, other.small):
                return REFUSALS["twice"].format(one.file, other.file)
    timed = sorted((p for p in shaded if p.time is not None), key=lambda p: p.time)
    if timed and timed[-1].time - timed[0].time > LONGEST:
        return REFUSALS["nights"].format(timed[0].file, timed[-1].file)
    return ""


def _alike(one, other):
    """Return whether two small pictures are the same but for noise and JPEG."""
    return one.shape == other.shape and np.abs(one - other).max() < 0.02 * one.max()


def _night(used, fit, moon, contacts):
    """Return the `Night` of the timed pictures; None where two at least are not timed."""
    rows = [k for k, p in enumerate(used) if p.fit and p.time is not None]
    if len(rows) < 2:
        return None
    wide = np.ones(len(used) + 1)
    wide[0] = fit.curvature_sd / np.sqrt(fit.covariance[0, 0])
    chosen, wide = np.append(0, np.array(rows) + 1), wide * _widened(fit)
    covariance = (fit.covariance * np.outer(wide, wide))[np.ix_(chosen, chosen)]
    covariance[0, 0] += (CAMERA_SD * fit.shared[0]) ** 2
    times = np.array([used[k].time for k in rows])
    return fit_night(Edges(times, fit.own[rows, 0], fit.shared[0], covariance), moon, contacts)


@on_one_thread
def measure_one(path, timing=None):
    """Measure one photograph; return a `Photograph`, its message saying what stands against it."""
    found = Photograph(Path(path).name)
    try:
        picture = read_picture(path)
        found.time = (timing or Timing()).moment(picture)
        _fill(found, picture)
        found.message = "" if picture.camera or picture.rendered else REFUSALS["no_camera"]
    except np.linalg.LinAlgError:
        found.message = REFUSALS["cannot_say"]
    except ValueError as error:
        found.message = str(error).removeprefix(f"{found.file}: ")
    return found


def _fill(found, picture):
    """Fill a `Photograph` as far as its picture goes; raise what stands against the rest."""
    found.rendered = picture.rendered
    found.small = block_average(picture.light, max(1, max(picture.light.shape) // 48))
    moon = found.moon = find_moon(picture)
    patches = patches_of(picture, moon)
    require(patches.overexposed <= 0.7, REFUSALS["overexposed"])
    require(len(patches.place) >= 100, REFUSALS["little"])
    require(picture.redness <= 2.2, REFUSALS["total"])
    low, high = np.exp(np.quantile(patches.level, [0.04, 0.98]))
    found.patches = patches if low > 0.2 * high else None
    require(found.patches is None, REFUSALS["full"])
    fit = fit_one(patches)
    edge, axis = fit.own[0, :2]
    require(abs(edge) <= 0.97, REFUSALS["not_crossing"])
    found.patches, found.fit = patches, fit
    ratio = interval_of(fit, [moon])
    require(ratio, REFUSALS["cannot_say"])
    x, y = moon.at(axis, ratio.value + edge)
    found.ratio, found.shadow = ratio, Circle(float(x), float(y), ratio.value * moon.radius)
