"""Exercises of lesson 4: from a small disc on a rod to the angular diameter."""

import numpy as np
from astropy import units as u

from moonreach.exercises.asked import exercises_of
from moonreach.lessons import sighting_angle

_RODS = [2, 2.5, 3] * u.m  # lengths that rods often have, for readings from the wrong end
_FARTHEST = 29.4 * u.arcmin  # the Moon's least angle, from Earth's centre


def _as_radians(angle):
    """Return what a calculator in radians shows, and that times 60, as numbers of minutes."""
    return angle.to_value(u.rad) * np.array([1, 60])


def _sum(r):
    return r["vanish_distance"] + r["rim_distance"]


def _far_moon(r, seen="vanish", angle=_FARTHEST):
    return sighting_angle.expected_reading(r["disc_diameter"], angle, r["hole_diameter"], seen)


def _vanish(r, hole=0 * u.mm):
    return sighting_angle.angular_diameter(r["disc_diameter"], r["vanish_distance"], hole)


def _both(r):
    return sighting_angle.bracketed_angular_diameter(*_bracket(r)).to(u.arcmin)


def _bracket(r):
    return r["disc_diameter"], r["vanish_distance"], r["rim_distance"]


def _at_target(r):
    return r["target_vanish_distance"]


def _target_hole(r):
    target = r["target_diameter"], r["target_distance"]
    return sighting_angle.effective_hole(r["disc_diameter"], _at_target(r), *target).to(u.mm)


def _shadow_of_target(r):
    return r["target_diameter"] * _at_target(r) / r["target_distance"]


def _hole(r):
    return sighting_angle.hole_from_bracket(*_bracket(r))


def _reading(r, name, seen, hole=0 * u.mm):
    return sighting_angle.angular_diameter(r["disc_diameter"], r[name], hole, seen)


def _apart(r):
    return abs(r["rim_distance"] - r["vanish_distance"])


def _wrong_end(r):
    left = _RODS - r["vanish_distance"]
    return 2 * np.arctan(r["disc_diameter"] / (2 * left[left > 0]))


RIGHT = {
    "point_eye": _vanish,
    "hole_angle": lambda r: _vanish(r, r["hole_diameter"]),
    "bracket_angle": _both,
    "hole_back": _hole,
    "target_hole": _target_hole,
    "far_moon": _far_moon,
}
WRONG = {
    "point_eye": {
        "ratio upside down": lambda r: 2 * np.arctan(2 * r["vanish_distance"] / r["disc_diameter"]),
        "radians for degrees": lambda r: _as_radians(_vanish(r)),
        "wrong end of the rod": _wrong_end,
    },
    "hole_angle": {
        "radians for degrees": lambda r: _as_radians(_vanish(r, r["hole_diameter"])),
        "forgot the hole": _vanish,
        "hole added": lambda r: _reading(r, "vanish_distance", "rim", r["hole_diameter"]),
        "half the hole": lambda r: _vanish(r, r["hole_diameter"] / 2),
    },
    "bracket_angle": {
        "ratio upside down": lambda r: 2 * np.arctan(_sum(r) / r["disc_diameter"]),
        "radians for degrees": lambda r: _as_radians(_both(r)),
        "vanish distance alone": _vanish,
        "rim distance alone": lambda r: _reading(r, "rim_distance", "rim"),
        "difference for sum": lambda r: 2 * np.arctan(r["disc_diameter"] / _apart(r)),
    },
    "hole_back": {
        "ratio upside down": lambda r: r["disc_diameter"] ** 2 / _hole(r),
    },
    "target_hole": {
        "target too far to matter": lambda r: r["disc_diameter"] - _shadow_of_target(r),
        "ratio upside down": lambda r: _target_hole(r) * (r["target_distance"] / _at_target(r)),
    },
    "far_moon": {
        "minutes for degrees": lambda r: _far_moon(r, angle=_FARTHEST.value * u.deg),
        "minutes for radians": lambda r: abs(_far_moon(r, angle=_FARTHEST.value * u.rad)),
        "forgot the hole": lambda r: sighting_angle.expected_reading(r["disc_diameter"], _FARTHEST),
        "hole added": lambda r: _far_moon(r, "rim"),
    },
}
EXERCISES = exercises_of("sighting_angle", RIGHT, WRONG)
