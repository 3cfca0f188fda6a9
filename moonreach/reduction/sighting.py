"""The steps of lesson 4: from the sighting rod, tried on a target or not, to the Moon's width."""

from functools import partial

import numpy as np
from astropy import units as u

from moonreach.lessons import sighting_angle
from moonreach.reduction.steps import Step, about

CALLS = ("vanish_call", "rim_call")  # where people call, which no one measures


def _hole(seen):
    """Return the steps to the hole as it works for one of the two readings.

    A target of known size tells it; else it is the hole as measured, and nobody knows where
    between the first and the last trace of light people call.
    """

    target = ("disc_diameter", f"target_{seen}_distance", "target_diameter", "target_distance")
    yield Step(f"{seen}_hole", target, partial(sighting_angle.effective_hole, seen=seen), u.mm)
    yield Step(f"{seen}_hole", ("hole_diameter", f"{seen}_call"), np.add)


def _seen(seen):
    """Return the step from one reading alone to the angle."""

    def angle(disc, hole, reading):
        hole = np.maximum(hole, 0 * u.mm)
        return sighting_angle.angular_diameter(disc, reading, hole, seen)

    return Step("angle", ("disc_diameter", f"{seen}_hole", f"{seen}_distance"), angle, u.arcmin)


def _hole_misfit(disc, vanish, rim, *holes):
    """Return how far the hole that both readings imply is from the hole as it works otherwise.

    In standard uncertainties: of each distance 2 %, and of the two calls (assumptions.toml).
    """
    implied = sighting_angle.hole_from_bracket(disc, vanish, rim)
    return ((implied - (holes[0] + holes[1]) / 2) / np.hypot(0.015 * disc, 0.3 * u.mm)).to(u.one)


_BRACKET = ("disc_diameter", "vanish_distance", "rim_distance", "vanish_hole", "rim_hole")

SIGHTING = about(
    "the Moon's angular diameter",
    *_hole("vanish"),
    *_hole("rim"),
    Step("hole_misfit", _BRACKET, _hole_misfit),
    Step("angle", _BRACKET, sighting_angle.bracketed_angular_diameter, u.arcmin),
    _seen("vanish"),
    _seen("rim"),
)
