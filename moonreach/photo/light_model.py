"""The light model: how bright each patch of a shaded, phased or full Moon is in a photograph.

The ground's pattern is an unknown: a Gaussian process with the covariance a^2 exp(-d / length),
which allows shores, written with as many unknowns as nodes, each of unit variance. It knows
nothing of the real Moon's face.
"""

from collections import namedtuple
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from scipy.ndimage import gaussian_filter1d
from scipy.spatial.distance import cdist

from moonreach.photo.patches import FLOOR
from moonreach.photo.penumbra import glow_at, sunlight

RANGE = (1.5, 5.0)  # of x, all that is assumed about it


class Rule(NamedTuple):
    """What is known of an unknown beforehand, and how it is handled.

    start: where a fit begins, and the mean of its weak prior. sd: the prior's, inf for none.
    low, high: limits. loose: how far a single fit may be off. step: for slopes.
    """

    start: float
    sd: float = np.inf
    low: float = -np.inf
    high: float = np.inf
    loose: float = 0.0
    step: float = 1e-5


SHARED = {
    "curvature": Rule(0.4, np.inf, 1 / RANGE[1], 1 / RANGE[0], 0.03),  # 1 / x
    "sun": Rule(1.02, 0.04, 0.9, 1.13, 0.04),  # its semidiameter over the Moon's: 0.93 to 1.10
    "limb_law": Rule(0.0, 0.15, -0.6, 0.6, 0.15),  # power of mu: a full Moon fades to its limb
}
OWN = {
    "edge": Rule(0.0, np.inf, -1.3, 1.3, 0.05),  # umbra's, from the Moon's centre along the axis
    "axis": Rule(0.0, loose=0.1),  # direction of the shadow's centre
    "exposure": Rule(0.0, np.inf, -12.0, 12.0, 0.5),  # log
    "gamma": Rule(1.0, 0.1, 0.5, 1.8, 0.1),
    "shoulder": Rule(0.0, 0.3, -0.2, 4.0, 0.3),
    "toe": Rule(0.0, 0.1, -0.4, 2.0, 0.3),  # further steepness of the curve below TOE
    "glow": Rule(-6.5, 1.5, -12.0, -2.0, 1.0),  # log of light at the umbra's edge
    "fading": Rule(1.0, 0.7, -1.0, 4.0, 0.5),  # of the glow's log inwards, per Moon radius
    "veil": Rule(0.0, 1.0, -5.0, 5.0, 1.0),  # in units of the patches' veil_sd
    "turn": Rule(0.0, step=1e-3),  # of the face against the first picture
}
RULES = SHARED | OWN
Unknowns = namedtuple("Unknowns", RULES)  # all that one picture's light depends on
TOE = 0.1
SPREAD = 0.25  # standard deviation of the logarithm of the ground's brightness
LENGTH = 0.45  # radii of the Moon over which it changes
SPACING = 0.15  # of the nodes, radii of the Moon


@lru_cache(256)
def light_curve(shadow_ratio, sun, blur):
    """Return knots of distance from the axis and the Sun's light there, averaged over a patch."""
    knots = shadow_ratio + np.linspace(-0.4, 2 * sun + 0.3, 220)
    light = sunlight(knots, shadow_ratio, sun, rings=60)
    return knots, gaussian_filter1d(light, blur / (knots[1] - knots[0]), mode="nearest")


def shade(patches, u):
    """Return the log of sunlight and glow in each patch at the `Unknowns` u, ground apart."""
    ratio = 1 / u.curvature
    centre = ratio + u.edge
    apart = np.hypot(patches.x - centre * np.cos(u.axis), patches.y - centre * np.sin(u.axis))
    light = np.interp(apart, *light_curve(ratio, u.sun, patches.blur))
    return np.log(light + glow_at(apart, ratio, np.exp(u.glow), u.fading, beyond=0.3))


def full_moon(patches, u):
    """Return the log of sunlight on a Moon outside the shadow, ground apart."""
    return np.zeros(len(patches.x))


def terminator(patches, u):
    """Return the log of sunlight on a Moon in its phases, terminator at ``u.edge``, ground apart.

    Lommel and Seeliger's law, mu0 / (mu0 + mu), from memory; the axis points to the dark side.
    """
    mu = patches.mu
    edge = np.clip(u.edge, -1, 1)
    along = patches.x * np.cos(u.axis) + patches.y * np.sin(u.axis)
    mu0 = edge * mu - np.sqrt(1 - edge**2) * along
    mu0 = patches.blur * np.logaddexp(0, mu0 / patches.blur)  # patches are not points
    return np.log(2 * mu0 / (mu0 + mu) + np.exp(u.glow))


def expected(patches, u, ground, law=shade, share=1.0):
    """Return the modelled log level of each patch and its slope with the ground's pattern.

    ``share`` is the steepness with which the camera shows the ground: the pattern is that of the
    night's mean camera, lest a steep camera be believed only because its ground can be smooth.
    """
    log_light = u.gamma * (law(patches, u) + u.limb_law * np.log(patches.mu)) + share * ground
    signal = np.exp(np.clip(u.exposure + log_light, -30, 10))
    bent = (signal / (signal + TOE)) ** u.toe / (1 + u.shoulder * signal)
    seen = signal * bent
    total = np.maximum(seen + u.veil * patches.veil_sd + FLOOR, 0.2 * FLOOR)
    steepness = 1 / (1 + u.shoulder * signal) + u.toe * TOE / (signal + TOE)
    return np.log(total), share * steepness * seen / total


def covariance(a, b, spread=SPREAD, length=LENGTH):
    """Return the covariance of a random pattern between two sets of points, n x 2 and m x 2."""
    return spread**2 * np.exp(-cdist(a, b) / length)


_LATTICE = np.indices((25, 25)).reshape(2, -1).T - 12
NODES = SPACING * _LATTICE @ np.array([[1, 0], [0.5, np.sqrt(0.75)]])  # of triangles
NODES = NODES[np.hypot(*NODES.T) < 1.06]
_WHITEN = np.linalg.inv(np.linalg.cholesky(covariance(NODES, NODES))).T


def pattern(patches, turn):
    """Return the matrix, patches x nodes, that turns unit-variance unknowns into log brightness.

    Parameters: `Patches`, and the angle (radians) by which their picture is turned.
    """
    turning = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    return covariance(patches.points @ turning, NODES) @ _WHITEN
