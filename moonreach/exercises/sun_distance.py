"""Exercises of lesson 6: from a half Moon to the Sun's distance, at its least.

They stand on the lower end of the elongation's interval, as the upper one leads nowhere.
"""

import numpy as np
from astropy import units as u

from moonreach.exercises.asked import exercises_of
from moonreach.lessons import moon_phase, shadow_cone, sun_distance, today
from moonreach.reduction.further import BY_ALTITUDES

_SIDEREAL_MONTH = 27.32 * u.day
_ARCMINUTE = 1 * u.arcmin


def _angles(r):
    return [r[name] for name in BY_ALTITUDES]


def _elongation(r):
    return sun_distance.elongation_from_altitudes(*_angles(r))


def _swapped(r):
    sun, moon, between = _angles(r)
    return np.arccos(np.cos(sun) * np.cos(moon) + np.sin(sun) * np.sin(moon) * np.cos(between))


def _least(r):
    return sun_distance.distance_ratio(r["least_elongation"])


def _lead(r, month=today.SYNODIC_MONTH):
    return moon_phase.lead(_least(r), month)


def _earths(r):
    return sun_distance.sun_in_earths(_least(r), r["cone_ratio"])


def _cone_cost(r):
    moons = [shadow_cone.earth_in_moons(r["cone_ratio"], 1, n) for n in (_least(r), np.inf)]
    return 100 * (1 - moons[0] / moons[1])


def _growth(e, step=_ARCMINUTE):
    return 100 * (sun_distance.nearness(e) / sun_distance.nearness(e + step) - 1)


RIGHT = {
    "elongation": _elongation,
    "least_ratio": _least,
    "half_moon_lead": lambda r: _lead(r).to(u.h),
    "sun_in_earths": _earths,
    "near_sun_cone": _cone_cost,
    "one_arcminute": lambda r: _growth(r["least_elongation"]),
}
WRONG = {
    "elongation": {
        "the rest of half a circle": lambda r: 180 * u.deg - _elongation(r),
        "angle along the horizon": lambda r: _angles(r)[2],
        "sine and cosine swapped": _swapped,
        "forgot the angle along the horizon": lambda r: abs(_angles(r)[0] - _angles(r)[1]),
        "forgot the sines": lambda r: np.arccos(np.prod(np.cos(u.Quantity(_angles(r))))),
    },
    "least_ratio": {
        "tangent for cosine": lambda r: 1 / np.tan(r["least_elongation"]),
        "sine for cosine": lambda r: 1 / np.sin(r["least_elongation"]),
        "ratio upside down": lambda r: 1 / _least(r),
        "degrees for radians": lambda r: 1 / np.cos(r["least_elongation"].to_value(u.deg)),
        "mean for lower end": lambda r: 1 / np.cos(r["elongation"]),
    },
    "half_moon_lead": {
        "a day for a month": lambda r: _lead(r, 1 * u.day).to(u.h),
        "month among the stars": lambda r: _lead(r, _SIDEREAL_MONTH).to(u.h),
    },
    "sun_in_earths": {
        "a Sun without end": lambda r: _least(r) / (r["cone_ratio"] + 1),
        "in Moons": _least,
        "shadow not narrowed": lambda r: _least(r) / r["cone_ratio"],
        "multiplied instead of divided": lambda r: _least(r) * (r["cone_ratio"] + 1),
    },
    "near_sun_cone": {
        "what is left": lambda r: 100 - _cone_cost(r),
        "multiplied instead of divided": lambda r: 100 * (1 + 1 / _least(r)),
    },
    "one_arcminute": {
        "a degree for an arcminute": lambda r: _growth(r["least_elongation"], 1 * u.deg),
        "a hundredth for an arcminute": lambda r: _growth(r["least_elongation"], 0.01 * u.deg),
    },
}
EXERCISES = exercises_of("sun_distance", RIGHT, WRONG)
