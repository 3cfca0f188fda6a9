"""Find how the camera was turned from one photograph to the next, by the ground that both show."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.linalg import solve_triangular

from moonreach.photo.ground import NODES, pattern
from moonreach.photo.light_model import RULES
from moonreach.photo.patches import Patches
from moonreach.photo.shadow_fit import Problem

ANGLES = np.radians(np.arange(-180, 180, 5))


@dataclass
class Sight:
    """The ground as one picture shows it.

    ground: its log brightness in ``patches``; covariance: of it, in which lie the noise and all
    that the picture's own fit left open.
    """

    patches: Patches
    ground: np.ndarray
    covariance: np.ndarray

    @cached_property
    def precision(self):
        """The inverse of its covariance."""
        return np.linalg.inv(self.covariance)

    def tells(self, turn):
        """Return what it tells of the pattern's unknowns at a turn: information, and its pull."""
        basis = pattern(self.patches, turn)
        weighted = self.precision @ basis
        return basis.T @ weighted, self.ground @ weighted

    @cached_property
    def at_all_angles(self):
        """What a part of its patches tells at each of `ANGLES`."""
        every = slice(None, None, max(1, len(self.ground) // 150))
        few = Sight(self.patches.part(every), self.ground[every], self.covariance[every, every])
        return [few.tells(angle) for angle in ANGLES]


def sight_of(patches, start, law):
    """Return the `Sight` of a picture: ``start`` is a `ShadowFit`, or unknowns of a full Moon."""
    problem, z = Problem([patches], [law]), np.append(start.p, start.ground)
    slope = problem.model(0, z)[1]
    seen = slope > 0.3
    part, slope = patches.part(seen), slope[seen]
    slopes = problem.slopes(0, z)[seen] / slope[:, None]
    ground = slopes[:, problem.size : -1] @ start.ground + slopes[:, -1]
    left_open = slopes[:, : problem.size] * [rule.loose for rule in RULES.values()]
    noise = np.diag((part.sd / slope) ** 2 + 0.03**2)
    return Sight(part, ground, noise + left_open @ left_open.T)


def find_turns(sights):
    """Return the turn in radians of each sight against the first.

    Each sight is compared, at every 5 degrees, with the face that those already placed give; then
    each is taken out and placed once more.
    """
    turns = [0.0] + [None] * (len(sights) - 1)
    for _ in range(2):
        for k in range(1, len(sights)):
            placed = [j for j in range(len(sights)) if j != k and turns[j] is not None]
            told = [sights[j].tells(turns[j]) for j in placed]
            know, pull = (sum(each) for each in zip(*told, strict=True))
            turns[k] = _best_turn(sights[k], know + np.eye(len(NODES)), pull)
    return np.array(turns)


def _best_turn(sight, know, pull):
    """Return the turn at which a sight is likeliest, given what is known of the face."""
    # Half the pictures of a night are held alike, give or take 15 degrees: common practice.
    alike = np.exp(-0.5 * (ANGLES / np.radians(15)) ** 2) / (np.radians(15) * np.sqrt(2 * np.pi))
    likely = np.log(0.5 * alike + 0.5 / (2 * np.pi))
    for place, (more, pulled) in enumerate(sight.at_all_angles):
        root = np.linalg.cholesky(know + more)
        explained = solve_triangular(root, pull + pulled, lower=True)
        likely[place] += explained @ explained / 2 - np.log(np.diag(root)).sum()
    return ANGLES[np.argmax(likely)]
