"""Fit one photograph from several starts, or all of one night together: one face, one shadow."""

from dataclasses import replace

import numpy as np

from moonreach.photo.light_model import RULES, Unknowns, expected, full_moon, shade
from moonreach.photo.shadow_fit import Problem, ShadowFit
from moonreach.photo.turning import find_turns, sight_of

PASSES = 3  # at most, of turning the pictures to one another and fitting them
USUAL = Unknowns(*(rule.start for rule in RULES.values()))


def profile(problem, fit):
    """Return the fit of least cost along 1 / x, with 1 / x and its uncertainty from the profile.

    At each of several values of 1 / x all else is fitted anew, the ground's own uncertainty
    counted; a parabola through the costs gives the value and its standard uncertainty, which is
    infinite where the costs have no bottom inside the range.
    """
    step = float(np.clip(fit.curvature_sd, 0.008, 0.03))
    middle = fit.p[0]
    tried, before = {0: fit}, 0
    problem.fixed[0] = True
    while before < len(tried) <= 14:
        before = len(tried)
        best = min(tried, key=lambda k: tried[k].cost)
        for k in (best + 1, best - 1, best + 2, best - 2):
            near = tried[min(tried, key=lambda other: abs(other - k))]
            p = np.append(middle + k * step, near.p[1:])
            if k not in tried and problem.low[0] < p[0] < problem.high[0]:
                tried[k] = problem.solve(p, near.ground)
    problem.fixed[0] = False
    near = [k for k in tried if abs(k - best) <= 2]
    bend, slope, _ = (
        np.polyfit(near, [tried[k].cost for k in near], 2) if len(near) > 3 else [0] * 3
    )
    if bend <= 0:
        return replace(tried[best], curvature_sd=np.inf)
    lowest = middle + step * np.clip(-slope / (2 * bend), best - 1, best + 1)
    p = np.append(lowest, tried[best].p[1:])
    return replace(tried[best], p=p, curvature_sd=float(step / np.sqrt(2 * bend)))


def starts(patches, law=shade, count=2):
    """Return the best coarse guesses of a picture's unknowns, each tried at one ratio."""
    light = np.exp(patches.level)
    light = light - light.min()
    dark = np.arctan2(-(light * patches.y).sum(), -(light * patches.x).sum())
    tried = []
    for edge in np.arange(-0.9, 0.95, 0.1):
        for swing in (-0.4, -0.2, 0.0, 0.2, 0.4):
            u = USUAL._replace(edge=edge, axis=dark + swing, glow=-6.0)
            left = (patches.level - law(patches, u))[law(patches, u) > -2.5]
            u = u._replace(exposure=np.median(left) if len(left) else 0.0)
            level, _ = expected(patches, u, 0.0, law)
            tried.append((np.abs(level - patches.level).mean(), u))
    chosen = []
    for _, u in sorted(tried, key=lambda item: item[0]):
        if len(chosen) < count and all(abs(u.edge - other.edge) > 0.15 for other in chosen):
            chosen.append(u)
    return chosen


def fit_one(patches, law=shade):
    """Fit a single picture from several starts; return the best `ShadowFit`."""
    problem = Problem([patches], [law])
    fits = [problem.solve(np.array(u)) for u in starts(patches, law)]
    best = problem.learn_spread(min(fits, key=lambda fit: fit.cost))
    return profile(problem, best) if law is shade else best


def fit_together(pictures, singles):
    """Fit photographs of one night with one shadow and one face.

    Parameters: ``pictures``, a list of `Patches`; ``singles``, their own `ShadowFit`, None for a
    picture of the full Moon. Returns a `ShadowFit` with a row of own unknowns for each picture.
    """
    parts = [
        fit or ShadowFit(np.array(USUAL._replace(exposure=np.median(patches.level))))
        for patches, fit in zip(pictures, singles, strict=True)
    ]
    # The picture that shows most of the face comes first: the others are turned to it.
    order = sorted(
        range(len(pictures)), key=lambda k: (singles[k] is not None, -parts[k].own[0, 0])
    )
    patches, parts = [pictures[k] for k in order], [parts[k] for k in order]
    laws = [full_moon if singles[k] is None else shade for k in order]
    problem = Problem(patches, laws)
    problem.spread = float(np.median([fit.spread for fit in singles if fit is not None]))
    certain = [part.curvature_sd**-2 for part in parts]
    shared = np.average([part.shared for part in parts], axis=0, weights=certain)
    fits, turns = [], None
    for _ in range(PASSES):
        sights = [sight_of(*each) for each in zip(patches, parts, laws, strict=True)]
        turned = find_turns(sights)
        if turns is not None and np.all(np.cos(turned - turns) > np.cos(np.radians(8))):
            break
        own = [np.append(p.own[0, :-1], turn) for p, turn in zip(parts, turned, strict=True)]
        fits.append(fit := problem.solve(np.concatenate([shared, *own])))
        shared, turns = fit.shared, fit.own[:, -1]
        parts = [ShadowFit(np.append(shared, row), fit.ground) for row in fit.own]
    best = problem.learn_spread(min(fits, key=lambda fit: fit.cost), times=1)
    best = profile(problem, best)
    return replace(best, p=np.append(best.shared, best.own[np.argsort(order)]))
