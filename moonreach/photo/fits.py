"""Fit one photograph from several starts, or all of one night together: one face, one shadow."""

import numpy as np

from moonreach.photo.light_model import (
    NODES,
    OWN,
    SHARED,
    expected,
    full_moon,
    light_curve,
    shade,
)
from moonreach.photo.shadow_fit import Problem, ShadowFit
from moonreach.photo.turning import find_turns, sight_of

PASSES = 3  # at most, of turning the pictures to one another and fitting them


def profile(problem, fit):
    """Return the fit of least cost along 1 / x, with 1 / x and its uncertainty from the profile.

    At each of several values of 1 / x all else is fitted anew, the ground's own uncertainty
    counted; a parabola through the costs gives the value and its standard uncertainty.
    """
    step = float(np.clip(fit.curvature_sd, 0.008, 0.03))
    tried = {0: fit}
    held, problem.fixed[0] = problem.fixed[0], True
    middle = fit.shared[0]

    def attempt(k):
        near = tried[min(tried, key=lambda other: abs(other - k))]
        p = near.p
        p[0] = middle + k * step
        if k not in tried and problem.low[0] < p[0] < problem.high[0]:
            tried[k] = problem.solve(p, near.ground)

    reach = 2
    while True:
        best = min(tried, key=lambda k: tried[k].cost)
        wanted = [best + k for k in (1, -1, 2, -2)]
        before = len(tried)
        for k in wanted:
            attempt(k)
        if len(tried) == before or len(tried) > 14:
            break
    problem.fixed[0] = held
    near = [k for k in tried if abs(k - best) <= reach]
    found = tried[best]
    if len(near) < 4:  # at the end of the range
        found.curvature_sd = np.inf
        return found
    bend, slope, _ = np.polyfit(near, [tried[k].cost for k in near], 2)
    if bend <= 0:
        found.curvature_sd = np.inf
        return found
    found.shared = found.shared.copy()
    found.shared[0] = middle + step * np.clip(-slope / (2 * bend), best - 1, best + 1)
    found.curvature_sd = float(step / np.sqrt(2 * bend))
    return found


def starts(patches, law=shade, count=2):
    """Return the best coarse guesses of a picture's own unknowns, each tried at one ratio."""
    light = np.exp(patches.level)
    light = light - light.min()
    dark = np.arctan2(-(light * patches.y).sum(), -(light * patches.x).sum())
    ratio, sun = 2.5, 1.02
    curve = light_curve(ratio, sun, patches.blur)
    found = []
    for edge in np.arange(-0.9, 0.95, 0.1):
        for swing in (-0.4, -0.2, 0.0, 0.2, 0.4):
            own = np.array([edge, dark + swing, 0.0, 1.0, 0.0, 0.0, -6.0, 1.0, 0.0, 0.0])
            shape = law(patches, [1 / ratio, sun, 0], own, curve)
            own[2] = np.median((patches.level - shape)[shape > -2.5]) if (shape > -2.5).any() else 0
            level, _ = expected(patches, [1 / ratio, sun, 0], own, 0.0, curve, law)
            found.append((np.abs(level - patches.level).mean(), edge, own))
    found.sort(key=lambda item: item[0])
    chosen = [found[0]]
    for item in found[1:]:
        if len(chosen) < count and all(abs(item[1] - other[1]) > 0.15 for other in chosen):
            chosen.append(item)
    return [own for _, _, own in chosen]


def fit_one(patches, law=shade):
    """Fit a single picture from several starts; return the best `ShadowFit`."""
    problem = Problem([patches], [law])
    fits = [problem.solve(np.concatenate([[0.4, 1.02, 0.0], own])) for own in starts(patches, law)]
    best = min(fits, key=lambda fit: fit.cost)
    best = problem.learn_spread(best.p, best.ground)
    return profile(problem, best) if law is shade else best


def fit_together(pictures, singles):
    """Fit photographs of one night with one shadow and one face.

    Parameters: ``pictures``, a list of `Patches`; ``singles``, their own `ShadowFit`, None for a
    picture of the full Moon. Returns a `ShadowFit` with a row of own unknowns for each picture.
    """
    pairs = zip(pictures, singles, strict=True)
    starts = [full_moon_start(patches) if fit is None else fit for patches, fit in pairs]
    # The picture that shows most of the face comes first: the others are turned to it.
    order = sorted(
        range(len(pictures)), key=lambda k: (singles[k] is not None, -starts[k].own[0][0])
    )
    patches = [pictures[k] for k in order]
    laws = [full_moon if singles[k] is None else shade for k in order]
    problem = Problem(patches, laws)
    problem.spread = float(np.median([fit.spread for fit in singles if fit is not None]))
    parts = [starts[k] for k in order]
    certain = np.array(
        [0 if singles[k] is None else 1 / starts[k].curvature_sd ** 2 for k in order]
    )
    shared = certain @ np.array([part.shared for part in parts]) / certain.sum()
    turns, best = None, None
    for _ in range(PASSES):
        found = find_turns([sight_of(*each) for each in zip(patches, parts, laws, strict=True)])
        if turns is not None and np.all(np.cos(found - turns) > np.cos(np.radians(8))):
            break
        turns = found
        own = [np.append(p.own[0][:-1], turn) for p, turn in zip(parts, turns, strict=True)]
        fit = problem.solve(np.concatenate([shared, *own]))
        if best is None or fit.cost < best.cost:
            best = fit
        shared, turns = fit.shared, fit.own[:, -1]
        parts = [ShadowFit(shared, row[None], fit.ground, 0.0, 0.0, 0.0) for row in fit.own]
    best = profile(problem, problem.learn_spread(best.p, best.ground, times=1))
    best.own = best.own[np.argsort(order)]
    return best


def full_moon_start(patches):
    """Return first unknowns of a picture of the full Moon, as a fit."""
    row = np.array([OWN[name][0] for name in OWN])
    row[2] = np.median(patches.level)
    shared = np.array([SHARED[name][0] for name in SHARED])
    return ShadowFit(shared, row[None], np.zeros(len(NODES)), np.inf, 0.0, 0.0)
