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

from moonreach.photo.light_model import (
    NODES,
    OWN,
    RULES,
    SHARED,
    Rule,
    Unknowns,
    covariance,
    expected,
    full_moon,
    pattern,
    terminator,
    turned,
)

# What no law asks, and what is to be left open: no law holds close to the terminator.
UNASKED = {full_moon: ("edge", "axis", "glow", "fading")}
OPEN = {terminator: {"gamma": 0.5}}
# What no model of ours knows of one picture (libration, a phone's sharpening, uneven halo): a
# pattern in log light of its own. Set with rendered pictures of other seeds than the benchmark's.
MODEL_SPREAD, MODEL_LENGTH = 0.025, 0.3


@dataclass
class ShadowFit:
    """What a fit found: its unknowns, the pattern, and uncertainties.

    p: the shared unknowns, then the own ones of each picture. ground: the pattern's unknowns.
    curvature_sd: standard uncertainty of 1 / x, pattern included. misfit: root mean square of
    the whitened residuals. cost: minus the log likelihood but for a constant, to compare fits of
    the same pictures. spread: of the ground, as this fit saw it, over `light_model.SPREAD`.
    """

    p: np.ndarray
    ground: np.ndarray = field(default_factory=lambda: np.zeros(len(NODES)))
    curvature_sd: float = np.inf
    misfit: float = 0.0
    cost: float = 0.0
    spread: float = 1.0

    @property
    def shared(self):
        """The unknowns that all pictures share."""
        return self.p[: len(SHARED)]

    @property
    def own(self):
        """A row of own unknowns for each picture."""
        return self.p[len(SHARED) :].reshape(-1, len(OWN))

    @property
    def ratio(self):
        """The shadow's radius over the Moon's."""
        return 1 / self.p[0]


class Problem:
    """Several pictures of one face: residuals, their slopes, and the Gauss-Newton solution.

    Its unknowns z are those of the light, p, and the pattern's, each of unit variance.
    """

    def __init__(self, pictures, laws):
        self.pictures, self.laws, self.spread = pictures, laws, 1.0
        self.unmodelled = [
            covariance(points, points, MODEL_SPREAD, MODEL_LENGTH)
            for points in (np.stack([c.x, c.y], axis=1) for c in pictures)
        ]
        rules = [*SHARED.values(), *list(OWN.values()) * len(pictures)]
        self.size = len(rules)
        rules += [Rule(0.0, 1.0)] * len(NODES)
        self.mean, self.sd, self.low, self.high = np.array(rules)[:, :4].T
        self.fixed = np.zeros(len(rules), dtype=bool)
        self.fixed[self.places(0)["turn"]] = True  # the first picture's turn defines the face
        for k, law in enumerate(laws):
            places = self.places(k)
            self.fixed[[places[name] for name in UNASKED.get(law, ())]] = True
            for name, sd in OPEN.get(law, {}).items():
                self.sd[places[name]] = sd
        self.basis = lru_cache(4 * len(pictures))(self._basis)

    def places(self, k):
        """Return where in z each unknown of picture k stands, by name."""
        own = k * len(OWN)
        return {n: i if n in SHARED else own + i for i, n in enumerate(RULES)}

    def _basis(self, k, turn):
        """Return picture k's pattern matrix at that turn."""
        return pattern(*turned(self.pictures[k], turn))

    def model(self, k, z):
        """Return picture k's modelled levels and slopes with the pattern."""
        own = z[len(SHARED) : self.size].reshape(-1, len(OWN))
        u = Unknowns(*z[: len(SHARED)].tolist(), *own[k].tolist())
        ground = self.basis(k, u.turn) @ (self.spread * z[self.size :])
        gammas = own[:, list(OWN).index("gamma")]
        return expected(self.pictures[k], u, ground, self.laws[k], u.gamma / gammas.mean())

    def slopes(self, k, z):
        """Return picture k's residuals and their slopes with all unknowns."""
        level, with_ground = self.model(k, z)
        jac = np.zeros((len(level), len(z)))
        for name, i in self.places(k).items():
            if not self.fixed[i]:
                q = z.copy()
                q[i] += RULES[name].step
                jac[:, i] = (self.model(k, q)[0] - level) / RULES[name].step
        turn = z[self.places(k)["turn"]]
        jac[:, self.size :] = self.spread * with_ground[:, None] * self.basis(k, float(turn))
        return self.pictures[k].level - level, jac

    def factors(self, z):
        """Return the Cholesky factor of each picture's covariance, stray patches weighted down."""
        factors = []
        for k, patches in enumerate(self.pictures):
            residual = patches.level - self.model(k, z)[0]
            stray = 1 + residual**2 / (patches.sd**2 + MODEL_SPREAD**2) / 16  # Student-like
            factors.append(np.linalg.cholesky(self.unmodelled[k] + np.diag(patches.sd**2 * stray)))
        return factors

    def whitened(self, z, factors):
        """Return all residuals, each of unit variance if the model holds."""
        return np.concatenate(
            [
                solve_triangular(f, c.level - self.model(k, z)[0], lower=True)
                for k, (c, f) in enumerate(zip(self.pictures, factors, strict=True))
            ]
        )

    def cost(self, z, factors):
        """Return half the sum of squares, priors included."""
        prior = (z - self.mean) / self.sd
        return (prior @ prior + (self.whitened(z, factors) ** 2).sum()) / 2

    def normal(self, z, factors):
        """Return the normal matrix and the pull of residuals and priors."""
        normal = np.diag(1 / self.sd**2 + 1e-9)
        pull = (self.mean - z) / self.sd**2
        for k, factor in enumerate(factors):
            residual, jac = self.slopes(k, z)
            white = solve_triangular(factor, np.column_stack([jac, residual]), lower=True)
            normal += white[:, :-1].T @ white[:, :-1]
            pull += white[:, :-1].T @ white[:, -1]
        return normal, pull

    def solve(self, p, ground=None, rounds=40, tolerance=2e-2):
        """Run damped Gauss-Newton from ``p`` and a ground; return a `ShadowFit`."""
        ground = np.zeros(len(NODES)) if ground is None else ground
        z = np.clip(np.append(p, ground / self.spread), self.low, self.high)
        damping = np.where(np.arange(len(z)) < self.size, 1e-2, 0)  # the pattern's part is linear
        for _ in range(rounds):
            factors = self.factors(z)
            before = cost = self.cost(z, factors)
            normal, pull = self.normal(z, factors)
            outward = ((z <= self.low) & (pull < 0)) | ((z >= self.high) & (pull > 0))
            free = np.flatnonzero(~self.fixed & ~outward)
            for _ in range(8):
                damped = normal + np.diag(damping * np.diag(normal))
                trial = z.copy()
                trial[free] += np.linalg.solve(damped[np.ix_(free, free)], pull[free])
                trial = np.clip(trial, self.low, self.high)
                cost = self.cost(trial, factors)
                if cost < before:
                    z, damping = trial, np.where(damping > 0, np.maximum(damping / 5, 1e-6), 0)
                    break
                damping = damping * 6
            if before - cost < tolerance:
                break
        return self.judged(z)

    def judged(self, z):
        """Return the `ShadowFit` of a solution: uncertainty, misfit and cost."""
        factors = self.factors(z)
        normal, _ = self.normal(z, factors)
        inside = (z > self.low) & (z < self.high)
        inside[0] = True
        weights, of_ground = z[self.size :], normal[self.size :, self.size :]
        # What is unlikely: the misfit, and a ground or a noise that could have been anything.
        unlikely = self.cost(z, factors) + np.linalg.slogdet(of_ground)[1] / 2
        unlikely += sum(np.log(np.diag(factor)).sum() for factor in factors)
        left = np.trace(np.linalg.inv(of_ground))
        return ShadowFit(
            z[: self.size],
            weights * self.spread,
            float(np.sqrt(np.linalg.inv(normal[np.ix_(inside, inside)])[0, 0])),
            float(np.sqrt(np.mean(self.whitened(z, factors) ** 2))),
            float(unlikely),
            float(self.spread * np.sqrt((weights @ weights + left) / len(weights))),
        )

    def learn_spread(self, fit, times=4):
        """Solve from a fit with the ground's spread learnt too, by expectation and maximisation."""
        for _ in range(times):
            fit = self.solve(fit.p, fit.ground, rounds=15)
            self.spread = float(np.clip(fit.spread, 0.2, 3.0))
        return self.solve(fit.p, fit.ground)
