"""The light model: how bright each patch of a shaded, phased or full Moon is in a photograph."""

import tomllib
from collections import namedtuple
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
from scipy.ndimage import gaussian_filter1d

from moonreach.photo.patches import FLOOR
from moonreach.photo.penumbra import glow_at, sunlight


class Rule(NamedTuple):
    """What is known of an unknown beforehand, a row of `light_model.toml`; an sd of 0 fixes it."""

    start: float
    sd: float = np.inf
    low: float = -np.inf
    high: float = np.inf
    loose: float = 0.0
    step: float = 1e-5


_TABLES = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
SHARED = {name: Rule(**rule) for name, rule in _TABLES["shared"].items()}
OWN = {name: Rule(**rule) for name, rule in _TABLES["own"].items()}
RULES = SHARED | OWN
Unknowns = namedtuple("Unknowns", RULES)  # all that one picture's light depends on
TOE = 0.1


@lru_cache(256)
def light_curve(shadow_ratio, sun, blur):
    """Return knots of distance from the axis and the Sun's light there, averaged over a patch."""
    knots = shadow_ratio + np.linspace(-0.4, 2 * sun + 0.3, 220)
    light = sunlight(knots, shadow_ratio, sun, rings=60)
    return knots, gaussian_filter1d(light, blur / (knots[1] - knots[0]), mode="nearest")


def shade(patches, u):
    """Return the log of sunlight and glow in each patch at the `Unknowns` u, ground apart."""
    ratio = 1 / u.curvature
    apart = np.abs(patches.place - (ratio + u.edge) * np.exp(1j * u.axis))
    light = np.interp(apart, *light_curve(ratio, u.sun, patches.blur))
    return np.log(light + glow_at(apart, ratio, np.exp(u.glow), u.fading, beyond=0.3))


def full_moon(patches, u):
    """Return the log of sunlight on a Moon outside the shadow, ground apart."""
    return np.zeros(len(patches.place))


def terminator(patches, u):
    """Return the log of sunlight on a Moon in its phases, terminator at ``u.edge``, ground apart.

    Lommel and Seeliger's law, mu0 / (mu0 + mu), from memory; the axis points to the dark side.
    """
    mu, edge = patches.mu, np.clip(u.edge, -1, 1)
    along = (patches.place * np.exp(-1j * u.axis)).real
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
    # A phone's local gain, a power of the mean light about a patch, near and wide.
    seen = signal * bent * np.exp(-patches.around @ (u.near, u.wide))
    total = np.maximum(seen + u.veil * patches.veil_sd + FLOOR, 0.2 * FLOOR)
    steepness = 1 / (1 + u.shoulder * signal) + u.toe * TOE / (signal + TOE)
    return np.log(total), share * steepness * seen / total


# What is known of one picture under each law. A full Moon asks for no shadow, and no law holds
# close to the terminator.
LAWS = {
    shade: OWN,
    full_moon: OWN
    | {name: OWN[name]._replace(sd=0) for name in ("edge", "axis", "glow", "fading")},
    terminator: OWN | {"gamma": OWN["gamma"]._replace(sd=0.5)},
}
