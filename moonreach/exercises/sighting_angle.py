"""Exercises of lesson 4: from a small disc on a rod to the Moon's angle."""

import numpy as np
from astropy import units as u

from moonreach.exercises.checking import Exercise, Slip
from moonreach.lessons import sighting_angle

_RODS = [2, 2.5, 3] * u.m  # lengths that rods often have, for readings from the wrong end


_FARTHEST = 29.4 * u.arcmin  # the Moon's least angle, from Earth's centre


def _far_moon(r, seen="vanish"):
    return sighting_angle.expected_reading(r["disc_diameter"], _FARTHEST, r["hole_diameter"], seen)


def _vanish(r, hole=0 * u.mm):
    return sighting_angle.angular_diameter(r["disc_diameter"], r["vanish_distance"], hole)


def _both(r):
    return sighting_angle.bracketed_angular_diameter(*_bracket(r)).to(u.arcmin)


def _bracket(r):
    return r["disc_diameter"], r["vanish_distance"], r["rim_distance"]


def _wrong_end(r):
    left = _RODS - r["vanish_distance"]
    return 2 * np.arctan(r["disc_diameter"] / (2 * left[left > 0]))


# fmt: off
EXERCISES = (
    Exercise("point_eye",
        "How wide does the Moon look from the vanish distance alone, if the hole were a point? "
        "(In arcminutes.)",
        u.arcmin, ("disc_diameter", "vanish_distance"), ("disc_diameter", "vanish_distance"),
        _vanish, "2 × the angle whose tangent is disc / (2 × distance)", (
        Slip("half for full angle", lambda r: _vanish(r) / 2,
            "you stop at the angle from the middle of the disc to its edge",
            "the Moon is two of them wide"),
        Slip("diameter for radius", lambda r: 2 * _vanish(r),
            "you take the whole disc for half of it and then double",
            "double the half angle, or use the whole disc at once"),
        Slip("degrees for arcminutes", lambda r: _vanish(r).to_value(u.deg),
            "your number is in degrees", "arcminutes are asked, 60 to the degree"),
        Slip("radians for degrees", lambda r: [_vanish(r).to_value(u.rad),
                                               60 * _vanish(r).to_value(u.rad)],
            "the calculator works in radians", "one radian is about 57 degrees"),
        Slip("wrong end of the rod", _wrong_end,
            "the distance is read from the far end of the rod", "it counts from the hole"),
    )),
    Exercise("hole_angle",
        "And with the hole taken into account, from the vanish distance alone? (In arcminutes.)",
        u.arcmin, ("disc_diameter", "vanish_distance", "hole_diameter"),
        ("disc_diameter", "hole_diameter", "vanish_distance"),
        lambda r: _vanish(r, r["hole_diameter"]),
        "2 × the angle whose tangent is (disc − hole) / (2 × distance)", (
        Slip("forgot the hole", _vanish,
            "the hole is a point", "light from the Moon's rim still comes in past the disc"),
        Slip("hole added", lambda r:
            sighting_angle.angular_diameter(r["disc_diameter"], r["vanish_distance"],
                                            r["hole_diameter"], "rim"),
            "you add the hole to the disc", "that belongs to the rim, but here the Moon is gone"),
        Slip("half the hole", lambda r: _vanish(r, r["hole_diameter"] / 2),
            "you take off the hole's radius from the disc's diameter",
            "half of the hole on each side makes how much?"),
        Slip("half for full angle", lambda r: _vanish(r, r["hole_diameter"]) / 2,
            "you stop at the angle from the middle of the disc to its edge",
            "the Moon is two of them wide"),
    )),
    Exercise("bracket_angle",
        "How wide does the Moon look from both distances, vanish and rim? (In arcminutes.)",
        u.arcmin, ("rod",), ("disc_diameter", "vanish_distance", "rim_distance"), _both,
        "2 × the angle whose tangent is disc / (vanish + rim distance)", (
        Slip("half for full angle", lambda r: _both(r) / 2,
            "you halve too often", "the sum of the two distances is twice their mean already"),
        Slip("vanish distance alone", _vanish,
            "you use the vanish distance only", "the hole drops out only when both are used"),
        Slip("rim distance alone", lambda r: sighting_angle.angular_diameter(
                r["disc_diameter"], r["rim_distance"], seen="rim"),
            "you use the rim distance only", "the hole drops out only when both are used"),
        Slip("sum for mean", lambda r: 2 * _both(r),
            "you forget that the sum of the two distances is twice their mean",
            "half of the disc stands over half of the sum"),
        Slip("difference for sum", lambda r: 2 * np.arctan(
                r["disc_diameter"] / abs(r["rim_distance"] - r["vanish_distance"])),
            "you subtract the distances", "the right distance lies between the two"),
    )),
    Exercise("hole_back",
        "How wide must the hole be for these two distances, in mm? (A check on your readings.)",
        u.mm, ("rod",), ("disc_diameter", "vanish_distance", "rim_distance"),
        lambda r: sighting_angle.hole_from_bracket(*_bracket(r)),
        "disc × (rim − vanish) / (rim + vanish)", (
        Slip("mean for sum", lambda r: 2 * sighting_angle.hole_from_bracket(*_bracket(r)),
            "you divide by the mean of the distances", "their sum is needed"),
        Slip("radius for diameter", lambda r: sighting_angle.hole_from_bracket(*_bracket(r)) / 2,
            "you get the hole's radius", "the hole's diameter is asked"),
        Slip("ratio upside down",
            lambda r: r["disc_diameter"] ** 2 / sighting_angle.hole_from_bracket(*_bracket(r)),
            "you divide the sum by the difference", "is the hole wider than the disc?"),
        Slip("readings swapped", lambda r: -sighting_angle.hole_from_bracket(*_bracket(r)),
            "you subtract the rim distance from the vanish distance", "which of them is longer?"),
    ), within=0.02),
    Exercise("far_moon",
        "Where would the same disc just cover the Moon at its farthest, when it looks 29.4′ wide, "
        "through the same hole? (In cm.)",
        u.cm, ("disc_diameter", "hole_diameter"), ("disc_diameter", "hole_diameter"),
        _far_moon, "(disc − hole) / (2 × tangent of half the angle)", (
        Slip("forgot the hole", lambda r: sighting_angle.expected_reading(
                r["disc_diameter"], _FARTHEST),
            "the hole is a point", "the disc must hide the Moon from all of the hole"),
        Slip("hole added", lambda r: _far_moon(r, "rim"),
            "you add the hole to the disc", "that is where the rim shows all round"),
        Slip("half for full angle", lambda r: _far_moon(r) / 2,
            "you use the whole angle with half the disc", "half goes with half"),
        Slip("diameter for radius", lambda r: 2 * _far_moon(r),
            "you use half the angle with the whole disc", "half goes with half"),
        Slip("degrees for radians",
            lambda r: (r["disc_diameter"] - r["hole_diameter"]) / _FARTHEST.to_value(u.deg),
            "the angle in degrees is taken as radians", "one radian is about 57 degrees"),
    )),
)
