"""Fit the shaded Moon to one photograph or to several of one night.

Each patch's light is modelled as camera(exposure x ground x (sunlight + glow)) + veil. Unknown are
the umbra's radius x and the Sun's size (shared), the ground's pattern (shared, one face), and for
each picture the shadow's place, exposure, glow, camera curve, veil and how the face is turned.
All have stated weak priors (`light_model`); x has none but its range. The pattern's uncertainty is
carried into that of x, since it is fitted together with it.
"""

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from scipy.linalg import solve_triangular

from moonreach.photo.ground import NODES, covariance, pattern
from moonreach.photo.light_model import LAWS, OWN, RULES, SHARED, Rule, Unknowns, expected

# What no model of ours knows of one picture (libration, a phone's sharpening, uneven halo): a
# pattern in log light of its own. Set with rendered pictures of other seeds than the benchmark's.
MODEL_SPREAD, MODEL_LENGTH = 0.025, 0.3
RESPONSE = ("gamma", "near", "wide")  # what a camera does to the light
ENOUGH = 2e-2  # of the cost: a fit ends where a round lowers it by less


@dataclass
class ShadowFit:
    """What a fit found: its unknowns, the pattern, and uncertainties.

    p: the shared unknowns, then the own ones of each picture. ground: the pattern's unknowns.
    curvature_sd: standard uncertainty of 1 / x, pattern included. misfit: root mean square of
    the whitened residuals. cost: minus the log likelihood but for a constant, to compare fits of
    the same pictures. spread: of the ground, as this fit saw it, over `ground.SPREAD`. covariance:
    of 1 / x and of each picture's edge, in this order. response: covariance of gamma, near and
    wide, the first picture's.
    """

    p: np.ndarray
    ground: np.ndarray = field(default_factory=lambda: np.zeros(len(NODES)))
    curvature_sd: float = np.inf
    misfit: float = 0.0
    cost: float = 0.0
    spread: float = 1.0
    covariance: np.ndarray | None = None
    response: np.ndarray | None = None

    @property
    def shared(self):
        """The unknowns that all pictures share."""
        return self.p[: len(SHARED)]

    @property
    def own(self):
        """A row of own unknowns for each picture."""
        return self.p[len(SHARED) :].reshape(-1, len(OWN))


class Problem:
    """Several pictures of one face: residuals, their slopes, and the Gauss-Newton solution.

    Its unknowns z are those of the light, p, and the pattern's, each of unit variance.
    """

    def __init__(self, pictures, laws):
        self.pictures, self.laws, self.spread = pictures, laws, 1.0
        self.unmodelled = [
            covariance(each.place, each.place, MODEL_SPREAD, MODEL_LENGTH) for each in pictures
        ]
        rules = [*SHARED.values(), *(rule for law in laws for rule in LAWS[law].values())]
        self.size = len(rules)
        rules += [Rule(0.0, 1.0)] * len(NODES)
        self.mean, self.sd, self.low, self.high = np.array(rules)[:, :4].T
        shared = np.arange(len(SHARED))
        own = np.arange(len(SHARED), self.size).reshape(-1, len(OWN))
        self.places = np.array([np.append(shared, each) for each in own])  # in z, of each picture
        self.sd[self.places[0][-1]] = 0  # the first picture's turn defines the face
        self.fixed = self.sd == 0
        self.sd[self.fixed] = 1
        self.basis = lru_cache(4 * len(pictures))(lambda k, turn: pattern(pictures[k], turn))

    def model(self, k, z):
        """Return picture k's modelled levels and slopes with the pattern."""
        u = Unknowns(*z[self.places[k]].tolist())
        ground = self.basis(k, u.turn) @ (self.spread * z[self.size :])
        gamma = z[self.places[:, Unknowns._fields.index("gamma")]].mean()
        return expected(self.pictures[k], u, ground, self.laws[k], u.gamma / gamma)

    def slopes(self, k, z):
        """Return the slopes of picture k's levels with all unknowns; last, what is left of them."""
        level, with_ground = self.model(k, z)
        slopes = np.zeros((len(level), len(z) + 1))
        for i, rule in zip(self.places[k], RULES.values(), strict=True):
            if not self.fixed[i]:
                moved = z + rule.step * (np.arange(len(z)) == i)
                slopes[:, i] = (self.model(k, moved)[0] - level) / rule.step
        basis = self.basis(k, float(z[self.places[k][-1]]))
        slopes[:, self.size : -1] = self.spread * with_ground[:, None] * basis
        slopes[:, -1] = self.pictures[k].level - level
        return slopes

    def factors(self, z):
        """Return the Cholesky factor of each picture's covariance, stray patches weighted down."""
        factors = []
        for k, (patches, unmodelled) in enumerate(zip(self.pictures, self.unmodelled, strict=True)):
            residual = patches.level - self.model(k, z)[0]
            stray = 1 + residual**2 / (patches.sd**2 + MODEL_SPREAD**2) / 16  # Student-like
            factors.append(np.linalg.cholesky(unmodelled + np.diag(patches.sd**2 * stray)))
        return factors

    def cost(self, z, factors):
        """Return half the sum of squares, priors included."""
        squares = (((z - self.mean) / self.sd) ** 2).sum()
        for k, (patches, factor) in enumerate(zip(self.pictures, factors, strict=True)):
            residual = patches.level - self.model(k, z)[0]
            squares += (solve_triangular(factor, residual, lower=True) ** 2).sum()
        return squares / 2

    def normal(self, z, factors):
        """Return the normal matrix, the pull of residuals and priors, the residuals' squares."""
        white = (
            solve_triangular(factor, self.slopes(k, z), lower=True)
            for k, factor in enumerate(factors)
        )
        products = sum(each.T @ each for each in white)
        normal = products[:-1, :-1] + np.diag(1 / self.sd**2 + 1e-9)
        return normal, products[:-1, -1] + (self.mean - z) / self.sd**2, products[-1, -1]

    def solve(self, start, rounds=40):
        """Run damped Gauss-Newton from a `ShadowFit` to another, and return that."""
        z = np.clip(np.append(start.p, start.ground / self.spread), self.low, self.high)
        damping = np.where(np.arange(len(z)) < self.size, 1e-2, 0)  # the pattern's part is linear
        for _ in range(rounds):
            factors = self.factors(z)
            before = cost = self.cost(z, factors)
            normal, pull, _ = self.normal(z, factors)
            outward = ((z <= self.low) & (pull < 0)) | ((z >= self.high) & (pull > 0))
            free = np.flatnonzero(~self.fixed & ~outward)
            for _ in range(8):
                damped = normal + np.diag(damping * np.diag(normal))
                trial = z.copy()
                trial[free] += np.linalg.solve(damped[np.ix_(free, free)], pull[free])
                trial = np.clip(trial, self.low, self.high)
                cost = self.cost(trial, factors)
                if cost < before:
                    z, damping = trial, np.maximum(damping / 5, 1e-6 * (damping > 0))
                    break
                damping = damping * 6
            if before - cost < ENOUGH:
                break
        return self.judged(z)

    def judged(self, z):
        """Return the `ShadowFit` of a solution: uncertainty, misfit and cost."""
        factors = self.factors(z)
        normal, _, squares = self.normal(z, factors)
        inside = (z > self.low) & (z < self.high)
        weights, of_ground = z[self.size :], normal[self.size :, self.size :]
        # What is unlikely: the misfit, and a ground or a noise that could have been anything.
        unlikely = self.cost(z, factors) + np.linalg.slogdet(of_ground)[1] / 2
        unlikely += sum(np.log(np.diag(factor)).sum() for factor in factors)
        left = np.trace(np.linalg.inv(of_ground))
        response = self.places[0][[Unknowns._fields.index(name) for name in RESPONSE]]
        asked = np.append(0, self.places[:, Unknowns._fields.index("edge")])
        inside[asked] = inside[response] = True
        response, asked = (
            np.searchsorted(np.flatnonzero(inside), each) for each in (response, asked)
        )
        every = np.linalg.inv(normal[np.ix_(inside, inside)])
        covariance = every[np.ix_(asked, asked)]
        return ShadowFit(
            z[: self.size],
            weights * self.spread,
            float(np.sqrt(covariance[0, 0])),
            float(np.sqrt(squares / sum(map(len, factors)))),
            float(unlikely),
            float(self.spread * np.sqrt((weights @ weights + left) / len(weights))),
            covariance,
            every[np.ix_(response, response)],
        )

    def learn_spread(self, fit, times=4):
        """Solve from a fit with the ground's spread learnt too, by expectation and maximisation."""
        for _ in range(times):
            fit = self.solve(fit, rounds=15)
            self.spread = float(np.clip(fit.spread, 0.2, 3.0))
        return self.solve(fit)
