"""Fit the shaded Moon to one photograph or to several of one night.

Each patch's light is modelled as camera(exposure x ground x (sunlight + glow)) + veil. Unknown are
the umbra's radius x and the Sun's size (shared), the ground's pattern (shared, one face), and for
each picture the shadow's place, exposure, glow, camera curve, veil and how the face is turned.
All have stated weak priors (`light_model`); x has none but its range. The pattern's uncertainty is
carried into that of x, since it is fitted together with it.
"""

from dataclasses import dataclass

import numpy as np

from moonreach.photo.light_model import (
    NODES,
    OWN,
    SHARED,
    covariance,
    expected,
    full_moon,
    light_curve,
    pattern,
    shade,
    terminator,
    turned,
)

STEP = 1e-5  # of an unknown, for slopes
# What no model of ours knows of one picture (libration, a phone's sharpening, uneven halo): a
# pattern in log light of its own. Set with rendered pictures of other seeds than the benchmark's.
MODEL_SPREAD, MODEL_LENGTH = 0.025, 0.3


@dataclass
class ShadowFit:
    """What a fit found: shared and own unknowns, the pattern, and uncertainties.

    curvature_sd: standard uncertainty of 1 / x, pattern included. misfit: root mean square of
    the whitened residuals. cost: minus the log likelihood but for a constant, to compare fits of
    the same pictures. spread: of the ground, as this fit saw it, over `light_model.SPREAD`.
    """

    shared: np.ndarray
    own: np.ndarray
    ground: np.ndarray
    curvature_sd: float
    misfit: float
    cost: float
    spread: float = 1.0

    @property
    def ratio(self):
        """The shadow's radius over the Moon's."""
        return 1 / self.shared[0]

    @property
    def p(self):
        """All unknowns but the pattern's, in one row."""
        return np.append(self.shared, self.own)


class Problem:
    """Several pictures of one face: residuals, their slopes, and the Gauss-Newton solution."""

    def __init__(self, pictures, laws=None):
        self.pictures = pictures
        self.laws = laws or [shade] * len(pictures)
        self.unmodelled = [
            covariance(points, points, MODEL_SPREAD, MODEL_LENGTH)
            for points in (np.stack([c.x, c.y], axis=1) for c in pictures)
        ]
        self.spread = 1.0
        names = list(SHARED) + [name for _ in pictures for name in OWN]
        rules = [(SHARED | OWN)[name] for name in names]
        self.mean, self.sd, self.low, self.high = np.array(rules).T
        self.fixed = np.zeros(len(names), dtype=bool)
        self.fixed[len(SHARED) + len(OWN) - 1] = True  # the first picture's turn defines the face
        for k, law in enumerate(self.laws):
            if law is full_moon:
                start = len(SHARED) + k * len(OWN)
                self.fixed[[start, start + 1, start + 6, start + 7]] = True
            if law is terminator:  # no law holds close to it: leave its steepness open
                self.sd[len(SHARED) + k * len(OWN) + 3] = 0.5

    def split(self, p):
        """Return the shared unknowns and a row of own ones for each picture."""
        return p[: len(SHARED)], p[len(SHARED) :].reshape(len(self.pictures), len(OWN))

    def bases(self, p):
        """Return each picture's pattern matrix at its present turn, the ground's spread in it."""
        rows = zip(self.pictures, self.split(p)[1], strict=True)
        return [self.spread * pattern(*turned(patches, own[-1])) for patches, own in rows]

    def model(self, k, p, bases, weights):
        """Return picture k's modelled levels and slopes with the pattern."""
        shared, own = self.split(p)
        patches = self.pictures[k]
        curve = light_curve(1 / shared[0], shared[1], patches.blur)
        share = own[k, 3] / own[:, 3].mean()
        return expected(patches, shared, own[k], bases[k] @ weights, curve, self.laws[k], share)

    def factors(self, p, weights, bases):
        """Return the Cholesky factor of each picture's covariance, stray patches weighted down."""
        factors = []
        for k, patches in enumerate(self.pictures):
            residual = patches.level - self.model(k, p, bases, weights)[0]
            stray = 1 + residual**2 / (patches.sd**2 + MODEL_SPREAD**2) / 16  # Student-like
            factors.append(np.linalg.cholesky(self.unmodelled[k] + np.diag(patches.sd**2 * stray)))
        return factors

    def slopes(self, k, p, weights, bases):
        """Return picture k's residuals and their slopes with all unknowns."""
        patches = self.pictures[k]
        level, with_ground = self.model(k, p, bases, weights)
        jac = np.zeros((len(patches.x), len(p) + len(weights)))
        first = len(SHARED) + k * len(OWN)
        last = first + len(OWN) - 1
        for i in [*range(len(SHARED)), *range(first, last)]:
            if not self.fixed[i]:
                q = p.copy()
                q[i] += STEP
                jac[:, i] = (self.model(k, q, bases, weights)[0] - level) / STEP
        jac[:, len(p) :] = with_ground[:, None] * bases[k]
        if not self.fixed[last]:
            swung = self.spread * pattern(*turned(patches, p[last] + 1e-3)) @ weights
            jac[:, last] = with_ground * (swung - bases[k] @ weights) / 1e-3
        return patches.level - level, jac

    def whitened(self, p, weights, bases, factors):
        """Return the residuals of all pictures, each of unit variance if the model holds."""
        return [
            np.linalg.solve(f, c.level - self.model(k, p, bases, weights)[0])
            for k, (c, f) in enumerate(zip(self.pictures, factors, strict=True))
        ]

    def cost(self, p, weights, bases, factors):
        """Return half the sum of squares, priors included."""
        total = weights @ weights + np.nansum(((p - self.mean) / self.sd) ** 2)
        total += sum((r**2).sum() for r in self.whitened(p, weights, bases, factors))
        return total / 2

    def learn_spread(self, p, ground=None, times=4):
        """Solve with the ground's spread learnt as well, by expectation and maximisation."""
        for _ in range(times):
            fit = self.solve(p, ground, rounds=15)
            p, ground = fit.p, fit.ground
            self.spread = float(np.clip(fit.spread, 0.2, 3.0))
        return self.solve(p, ground)

    def solve(self, p, ground=None, rounds=40, tolerance=2e-2):
        """Run damped Gauss-Newton from ``p`` and a ground; return a `ShadowFit`."""
        p = np.clip(p, self.low, self.high)
        weights = np.zeros(len(NODES)) if ground is None else ground / self.spread
        size, damping = len(p), 1e-2
        free = np.append(~self.fixed, np.ones(len(weights), dtype=bool))
        prior = np.append(1 / self.sd**2 + 1e-9, np.ones(len(weights)))
        bases = self.bases(p)
        for _ in range(rounds):
            factors = self.factors(p, weights, bases)
            before = cost = self.cost(p, weights, bases, factors)
            normal, pull = self.normal(p, weights, bases, factors, prior)
            outward = ((p <= self.low) & (pull[:size] < 0)) | ((p >= self.high) & (pull[:size] > 0))
            free[:size] = ~self.fixed & ~outward
            for _ in range(8):
                # Damp the nonlinear unknowns only: the pattern is a linear problem.
                damped = normal + np.diag(np.append(damping * np.diag(normal)[:size], 0 * weights))
                step = np.zeros(len(free))
                step[free] = np.linalg.solve(damped[np.ix_(free, free)], pull[free])
                q = np.clip(p + step[:size], self.low, self.high)
                trial = self.bases(q)
                cost = self.cost(q, weights + step[size:], trial, factors)
                if cost < before:
                    p, weights, bases = q, weights + step[size:], trial
                    damping = max(damping / 5, 1e-6)
                    break
                damping *= 6
            if before - cost < tolerance:
                break
        factors = self.factors(p, weights, bases)
        normal, _ = self.normal(p, weights, bases, factors, prior)
        inside = np.append((p > self.low) & (p < self.high), free[size:])
        inside[0] = True
        residuals = np.concatenate(self.whitened(p, weights, bases, factors))
        # What is unlikely: the misfit, and a ground or a noise that could have been anything.
        unlikely = self.cost(p, weights, bases, factors)
        unlikely += np.linalg.slogdet(normal[size:, size:])[1] / 2
        unlikely += sum(np.log(np.diag(factor)).sum() for factor in factors)
        left = np.trace(np.linalg.inv(normal[size:, size:]))
        return ShadowFit(
            *self.split(p),
            weights * self.spread,
            float(np.sqrt(np.linalg.inv(normal[np.ix_(inside, inside)])[0, 0])),
            float(np.sqrt(np.mean(residuals**2))),
            float(unlikely),
            float(self.spread * np.sqrt((weights @ weights + left) / len(weights))),
        )

    def normal(self, p, weights, bases, factors, prior):
        """Return the normal matrix and the pull of residuals and priors."""
        normal = np.diag(prior)
        pull = np.append(np.nan_to_num((self.mean - p) / self.sd**2), -weights)
        for k, factor in enumerate(factors):
            residual, jac = self.slopes(k, p, weights, bases)
            white = np.linalg.solve(factor, np.column_stack([jac, residual]))
            normal += white[:, :-1].T @ white[:, :-1]
            pull += white[:, :-1].T @ white[:, -1]
        return normal, pull
