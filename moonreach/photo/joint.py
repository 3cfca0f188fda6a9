"""Fit several photographs of one night together: one face, one shadow, each its own camera."""

import numpy as np

from moonreach.photo.light_model import OWN, SHARED, full_moon, shade
from moonreach.photo.plains import NODES
from moonreach.photo.shadow_fit import Problem, ShadowFit, profile
from moonreach.photo.turning import find_turns, sight_of

PASSES = 3  # at most, of turning the pictures to one another and fitting them


def fit_together(pictures, singles):
    """Fit photographs of one night with one shadow and one face.

    Parameters: ``pictures``, a list of `Cells`; ``singles``, their own `ShadowFit`, None for a
    picture of the full Moon. Returns a `ShadowFit` with a row of own unknowns for each picture.
    """
    pairs = zip(pictures, singles, strict=True)
    starts = [full_moon_start(cells) if fit is None else fit for cells, fit in pairs]
    # The picture that shows most of the face comes first: the others are turned to it.
    order = sorted(
        range(len(pictures)), key=lambda k: (singles[k] is not None, -starts[k].own[0][0])
    )
    cells = [pictures[k] for k in order]
    laws = [full_moon if singles[k] is None else shade for k in order]
    problem = Problem(cells, laws)
    problem.spread = float(np.median([fit.spread for fit in singles if fit is not None]))
    parts = [starts[k] for k in order]
    certain = np.array(
        [0 if singles[k] is None else 1 / starts[k].curvature_sd ** 2 for k in order]
    )
    shared = certain @ np.array([part.shared for part in parts]) / certain.sum()
    turns, best = None, None
    for _ in range(PASSES):
        found = find_turns([sight_of(*each) for each in zip(cells, parts, laws, strict=True)])
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


def full_moon_start(cells):
    """Return first unknowns of a picture of the full Moon, as a fit."""
    row = np.array([OWN[name][0] for name in OWN])
    row[2] = np.median(cells.level)
    shared = np.array([SHARED[name][0] for name in SHARED])
    return ShadowFit(shared, row[None], np.zeros(len(NODES)), np.inf, 0.0, 0.0)
