"""Find how the camera was turned from one photograph to the next, by the ground that both show."""

from dataclasses import dataclass

import numpy as np

from moonreach.photo.light_model import NODES, RULES, pattern, shade, turned
from moonreach.photo.patches import Patches
from moonreach.photo.shadow_fit import Problem


@dataclass
class Sight:
    """The ground as one picture shows it.

    ground: its log brightness in ``patches``; covariance: of it, in which lie the noise and all
    that the picture's own fit left open.
    """

    patches: Patches
    ground: np.ndarray
    covariance: np.ndarray


def sight_of(patches, start, law=shade):
    """Return the `Sight` of a picture: ``start`` is a `ShadowFit`, or unknowns of a full Moon."""
    problem = Problem([patches], [law])
    residual, jac = problem.slopes(0, np.append(start.p, start.ground))
    slope = problem.model(0, np.append(start.p, start.ground))[1]
    seen = slope > 0.3
    slope = slope[seen]
    ground = (problem.basis(0, float(start.p[-1])) @ start.ground)[seen] + residual[seen] / slope
    loose = [rule.loose for rule in RULES.values()]
    left_open = (jac[seen, : len(loose)] * loose) / slope[:, None]
    part = patches.part(seen)
    noise = np.diag((part.sd / slope) ** 2 + 0.03**2)
    return Sight(part, ground, noise + left_open @ left_open.T)


def find_turns(sights):
    """Return the turn in radians of each sight against the first.

    Each sight is compared, at every 5 degrees, with the face that those already placed give; then
    each is taken out and placed once more.
    """
    inverse = [np.linalg.inv(sight.covariance) for sight in sights]
    turns = [0.0] + [None] * (len(sights) - 1)
    for _ in range(2):
        for k in range(1, len(sights)):
            others = [j for j in range(len(sights)) if j != k and turns[j] is not None]
            turns[k] = _best_turn(sights[k], _face(sights, inverse, turns, others))
    return np.array(turns)


def _face(sights, inverse, turns, others):
    """Return mean and covariance of the pattern's unknowns, learnt from the sights placed."""
    know, pull = np.eye(len(NODES)), np.zeros(len(NODES))
    for j in others:
        basis = pattern(*turned(sights[j].patches, turns[j]))
        know += basis.T @ inverse[j] @ basis
        pull += basis.T @ inverse[j] @ sights[j].ground
    covariance = np.linalg.inv(know)
    return covariance @ pull, covariance


def _best_turn(sight, face):
    """Return the turn at which a sight is likeliest, given what is known of the face."""
    mean, covariance = face
    every = slice(None, None, max(1, len(sight.ground) // 150))
    few, ground = sight.patches.part(every), sight.ground[every]
    own = sight.covariance[every, every]
    angles = np.radians(np.arange(-180, 180, 5))
    # Half the pictures of a night are held alike, give or take 15 degrees: common practice.
    alike = np.exp(-0.5 * (angles / np.radians(15)) ** 2) / (np.radians(15) * np.sqrt(2 * np.pi))
    scores = []
    for angle, likely in zip(angles, 0.5 * alike + 0.5 / (2 * np.pi), strict=True):
        basis = pattern(*turned(few, angle))
        expected = basis @ covariance @ basis.T + own
        left = ground - basis @ mean
        _, size = np.linalg.slogdet(expected)
        scores.append((left @ np.linalg.solve(expected, left) + size) / 2 - np.log(likely))
    return angles[int(np.argmin(scores))]
