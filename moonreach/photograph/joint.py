"""Fit several photographs of one night together: one face, one shadow, each its own camera."""

import numpy as np

from moonreach.photograph.plains import NODES
from moonreach.photograph.shadow_fit import OWN, SHARED, Problem, ShadowFit, full_moon, shade
from moonreach.photograph.turning import find_turns, sight_of

RATE = (1.96, 0.10)  # radii of the Moon in an hour: the month's mean rate, and how it varies


def fit_together(pictures, singles, hours=None):
    """Fit pictures of one night; ``singles`` are their own fits, None for a full Moon."""
    starts = [
        full_moon_start(c) if f is None else f for c, f in zip(pictures, singles, strict=True)
    ]
    laws = [full_moon if f is None else shade for f in singles]
    # The picture that shows most of the face comes first: the others are turned to it.
    order = sorted(
        range(len(pictures)), key=lambda k: (singles[k] is not None, -starts[k].own[0][0])
    )
    sights = [sight_of(pictures[k], starts[k], laws[k]) for k in order]
    turns = find_turns(sights)
    fits = [f for f in singles if f is not None]
    weight = np.array([1 / f.curvature_sd**2 for f in fits])
    shared = (np.array([f.shared for f in fits]) * weight[:, None]).sum(axis=0) / weight.sum()
    own = [np.append(starts[k].own[0][:-1], turn) for k, turn in zip(order, turns, strict=True)]
    problem = Problem([pictures[k] for k in order], [laws[k] for k in order])
    fit = problem.solve(np.concatenate([shared, *own]))
    fit.own = fit.own[np.argsort(order)]
    return fit


def full_moon_start(cells):
    """Return first unknowns of a picture of the full Moon, as a fit."""
    row = np.array([OWN[name][0] for name in OWN])
    row[2] = np.median(cells.level)
    shared = np.array([SHARED[name][0] for name in SHARED])
    return ShadowFit(shared, row[None, :], np.zeros(len(NODES)), np.inf, 0.0, 0.0)
