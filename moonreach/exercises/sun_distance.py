"""Exercises of lesson 6: from a half Moon to the Sun's distance, at its least.

They stand on the lower end of the elongation's interval, as the upper one leads nowhere.
"""

import numpy as np
from astropy import units as u

from moonreach.exercises.checking import Exercise, Slip
from moonreach.lessons import shadow_cone, sun_distance, today
from moonreach.reduction.further import BY_ALTITUDES

_HALF = ("half_moon",)
_SIDEREAL_MONTH = 27.32 * u.day
_ARCMINUTE = 1 * u.arcmin


def _angles(r):
    return [r[name] for name in BY_ALTITUDES]


def _elongation(r):
    return sun_distance.elongation_from_altitudes(*_angles(r))


def _least(r):
    return sun_distance.distance_ratio(r.least_elongation)


def _lead(r, month=today.SYNODIC_MONTH):
    return sun_distance.lead(_least(r), month)


def _earths(r):
    return sun_distance.sun_in_earths(_least(r), r.cone_ratio)


def _cone_cost(r):
    moons = [shadow_cone.earth_in_moons(r.cone_ratio, 1, n) for n in (_least(r), np.inf)]
    return 100 * (1 - moons[0] / moons[1])


def _growth(e, step=_ARCMINUTE):
    return 100 * (sun_distance.nearness(e) / sun_distance.nearness(e + step) - 1)


# fmt: off
EXERCISES = (
    Exercise("elongation",
        "What angle between Sun and half Moon follows from the two altitudes and the angle along "
        "the horizon? (In degrees.)",
        u.deg, BY_ALTITUDES, BY_ALTITUDES, _elongation,
        "its cosine is sin(Sun's altitude) × sin(Moon's) + cos × cos × cos(angle along the "
        "horizon)", (
        Slip("angle along the horizon", lambda r: _angles(r)[2],
            "you stop at the angle along the horizon", "what is it for two bodies high up?"),
        Slip("sine and cosine swapped", lambda r: np.arccos(
                np.cos(_angles(r)[0]) * np.cos(_angles(r)[1])
                + np.sin(_angles(r)[0]) * np.sin(_angles(r)[1]) * np.cos(_angles(r)[2])),
            "sine and cosine of the altitudes are swapped",
            "with both on the horizon only the angle along it may be left"),
        Slip("forgot the angle along the horizon", lambda r: abs(_angles(r)[0] - _angles(r)[1]),
            "both stand in one direction", "how far must you turn from the one to the other?"),
        Slip("forgot the sines", lambda r: np.arccos(
                np.cos(_angles(r)[0]) * np.cos(_angles(r)[1]) * np.cos(_angles(r)[2])),
            "the product of the sines is left out", "it is large when both stand high"),
    )),
    Exercise("least_ratio",
        "How many Moon distances away is the Sun at least, by the lower end of your elongation?",
        u.one, _HALF, ("least_elongation",), _least, "1 / cosine of the least elongation", (
        Slip("sine for cosine", lambda r: 1 / np.sin(r.least_elongation),
            "you use the sine", "which side of the triangle lies between its two known corners?"),
        Slip("ratio upside down", lambda r: 1 / _least(r),
            "you get the Moon's distance in Sun distances", "which of the two is farther?"),
        Slip("degrees for radians", lambda r: 1 / np.cos(r.least_elongation.to_value(u.deg)),
            "the calculator works in radians", "the elongation is in degrees"),
        Slip("mean for lower end", lambda r: 1 / np.cos(
                r.result.outcome("elongation").value * u.deg),
            "you use the mean of your elongations", "what is the Sun's distance at least?"),
    )),
    Exercise("half_moon_lead",
        "If the Sun were at that least distance, how many hours before first quarter would the "
        "Moon be half lit? (From new Moon to new Moon it takes 29.53 days.)",
        u.h, _HALF, ("least_elongation", "least_ratio"), lambda r: _lead(r).to(u.h),
        "29.53 days × (90° − elongation) / 360°", (
        Slip("a day for a month", lambda r: _lead(r, 1 * u.day).to(u.h),
            "you take a day for the whole circle", "that is the sky's turn; how long does the Moon "
            "take to come back to the Sun?"),
        Slip("month among the stars", lambda r: _lead(r, _SIDEREAL_MONTH).to(u.h),
            "you take 27.3 days, the Moon's way round among the stars",
            "the Sun has moved on meanwhile"),
        Slip("half a circle", lambda r: 2 * _lead(r).to(u.h),
            "you divide by 180°", "the month is a whole turn"),
        Slip("days for hours", lambda r: _lead(r).to_value(u.day),
            "your number is in days", "hours are asked"),
    )),
    Exercise("sun_in_earths",
        "How many Earths wide is the Sun at least, if it looks as large as the Moon?",
        u.one, _HALF, ("least_ratio", "cone_ratio"), _earths,
        "(n + 1) / (x + 1): n Moons, by the cone with a Sun so near", (
        Slip("in Moons", _least,
            "you get the Sun's width in Moons", "how many Moons make an Earth?"),
        Slip("2.5 for 3.5", lambda r: _least(r) / r.cone_ratio,
            "you divide by the shadow ratio", "the shadow has narrowed by one Moon on its way"),
        Slip("multiplied instead of divided", lambda r: _least(r) * (r.cone_ratio + 1),
            "you multiply", "is the Earth wider or narrower than the Moon?"),
        Slip("radius for diameter", lambda r: _earths(r) / 2,
            "you halve it", "both widths are whole ones"),
    )),
    Exercise("near_sun_cone",
        "By how many per cent does a Sun at that least distance make the Earth smaller, in Moons, "
        "than an infinitely far one would?",
        u.percent, _HALF, ("least_ratio",), _cone_cost, "100 / (n + 1)", (
        Slip("what is left", lambda r: 100 - _cone_cost(r),
            "you tell what is left of it", "by how much is it smaller?"),
        Slip("fraction for per cent", lambda r: _cone_cost(r) / 100,
            "your number is a fraction", "per cent are asked"),
        Slip("multiplied instead of divided", lambda r: 100 * (1 + 1 / _least(r)),
            "you take 1 + 1/n itself", "how much of it is more than one?"),
    )),
    Exercise("one_arcminute",
        "By how many per cent would that least distance grow if the elongation were one arcminute "
        "larger?",
        u.percent, _HALF, ("least_elongation",), lambda r: _growth(r.least_elongation),
        "compare 1 / cosine of both", (
        Slip("a degree for an arcminute", lambda r: _growth(r.least_elongation, 1 * u.deg),
            "you add a whole degree", "one degree has 60 arcminutes"),
        Slip("a hundredth for an arcminute", lambda r: _growth(r.least_elongation, 0.01 * u.deg),
            "you add a hundredth of a degree", "one degree has 60 arcminutes"),
        Slip("fraction for per cent", lambda r: _growth(r.least_elongation) / 100,
            "your number is a fraction", "per cent are asked"),
    ), within=0.02),
)
