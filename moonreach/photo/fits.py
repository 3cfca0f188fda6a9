"""Fit one photograph from several starts, or all of one night together: one face, one shadow."""

from dataclasses import replace
from itertools import product

import numpy as np

from moonreach.lessons.refuse import require
from moonreach.photo.light_model import RULES, Unknowns, expected, full_moon, shade, terminator
from moonreach.photo.picture import REFUSALS
from moonreach.photo.shadow_fit import Problem, ShadowFit
from moonreach.photo.turning import find_turns, sight_of

FAR_BETTER = 8.0  # of a fit's cost: a phase of the Moon, not an eclipse
PASSES = 3  # at most, of turning the pictures to one another and fitting them
USUAL = Unknowns(*(rule.start for rule in RULES.values()))


def profile(problem, fit):
    """Return the fit of least cost along 1 / x, with 1 / x and its uncertainty from the profile.

    At each of several values of 1 / x all else is fitted anew, the ground's own uncertainty
    counted; a parabola through the costs gives the value and its standard uncertainty, which is
    infinite where the costs have no bottom inside the range.
    """
    step = float(np.clip(fit.curvature_sd, 0.008, 0.03))
    least, most = ((end - fit.p[0]) / step for end in (problem.low[0], problem.high[0]))
    tried = {0: fit}
    problem.fixed[0] = True
    while len(tried) <= 14:
        best = min(tried, key=lambda k: tried[k].cost)
        around = (best + k for k in (1, -1, 2, -2) if least < best + k < most)
        if not (untried := [k for k in around if k not in tried]):
            break
        for k in untried:
            near = tried[min(tried, key=lambda other: abs(other - k))]
            p = np.append(fit.p[0] + k * step, near.p[1:])
            tried[k] = problem.solve(replace(near, p=p))
    problem.fixed[0] = False
    near = [k for k in tried if abs(k - best) <= 2]
    bend, slope, _ = (
        np.polyfit(near, [tried[k].cost for k in near], 2) if len(near) > 3 else [0] * 3
    )
    if bend <= 0:
        return replace(tried[best], curvature_sd=np.inf)
    lowest = fit.p[0] + step * np.clip(-slope / (2 * bend), best - 1, best + 1)
    p = np.append(lowest, tried[best].p[1:])
    return replace(tried[best], p=p, curvature_sd=float(step / np.sqrt(2 * bend)))


def starts(patches, law=shade):
    """Return the two best coarse guesses of a picture's unknowns, each tried at one ratio."""
    light = np.exp(patches.level) - np.exp(patches.level.min())
    dark = np.angle(-light @ patches.place)
    tried = []
    for edge, swing in product(np.arange(-0.9, 0.95, 0.1), (-0.4, -0.2, 0.0, 0.2, 0.4)):
        u = USUAL._replace(edge=edge, axis=dark + swing, glow=-6.0)
        sunlit = law(patches, u)
        left = (patches.level - sunlit)[sunlit > -2.5]
        u = u._replace(exposure=np.median(left) if len(left) else 0.0)
        level, _ = expected(patches, u, 0.0, law)
        tried.append((np.abs(level - patches.level).mean(), u))
    tried.sort(key=lambda guess: guess[0])
    best = tried[0][1]
    return best, next(u for _, u in tried if abs(u.edge - best.edge) > 0.15)


def fit_one(patches):
    """Fit a single picture from several starts; return the best `ShadowFit`.

    Errors: `Impossible` where sunrise or sunset bounds the light far better than the umbra does.
    """
    problem = Problem([patches], [shade])
    fits = [problem.solve(ShadowFit(np.array(u))) for u in starts(patches)]
    best = problem.learn_spread(min(fits, key=lambda fit: fit.cost))
    other = Problem([patches], [terminator])
    other.spread = problem.spread
    fits = [other.solve(ShadowFit(np.array(u))) for u in starts(patches, terminator)]
    require(best.cost <= min(fit.cost for fit in fits) + FAR_BETTER, REFUSALS["phase"])
    return profile(problem, best)


def fit_together(pictures, singles):
    """Fit photographs of one night with one shadow and one face.

    Parameters: ``pictures``, a list of `Patches`; ``singles``, their own `ShadowFit`, None for a
    picture of the full Moon. Returns a `ShadowFit` with a row of own unknowns for each picture.
    """
    full = [
        ShadowFit(np.array(USUAL._replace(exposure=np.median(patches.level))))
        for patches in pictures
    ]
    parts = [fit or other for fit, other in zip(singles, full, strict=True)]
    # The others are turned to the picture that shows most of the face.
    order = sorted(range(len(parts)), key=lambda k: (bool(singles[k]), -parts[k].own[0, 0]))
    patches, parts = [pictures[k] for k in order], [parts[k] for k in order]
    laws = [shade if singles[k] else full_moon for k in order]
    problem = Problem(patches, laws)
    problem.spread = float(np.median([fit.spread for fit in singles if fit]))
    certain = [part.curvature_sd**-2 for part in parts]
    shared = np.average([part.shared for part in parts], axis=0, weights=certain)
    fits, turns = [], None
    for _ in range(PASSES):
        turned = find_turns([sight_of(*each) for each in zip(patches, parts, laws, strict=True)])
        if turns is not None and np.all(np.cos(turned - turns) > np.cos(np.radians(8))):
            break
        own = [np.append(p.own[0, :-1], turn) for p, turn in zip(parts, turned, strict=True)]
        fits.append(fit := problem.solve(ShadowFit(np.concatenate([shared, *own]))))
        shared, turns = fit.shared, fit.own[:, -1]
        parts = [ShadowFit(np.append(shared, row), fit.ground) for row in fit.own]
    best = problem.learn_spread(min(fits, key=lambda fit: fit.cost), times=1)
    return _in_order(profile(problem, best), np.argsort(order))


def _in_order(fit, back):
    """Return a `ShadowFit` with its pictures in another order."""
    rows = np.append(0, back + 1)
    p = np.concatenate([fit.shared, *fit.own[back]])
    return replace(fit, p=p, covariance=fit.covariance[np.ix_(rows, rows)])
