"""Exercises of lesson 1: from two noon shadows to Earth's diameter."""

import numpy as np
from astropy import units as u

from moonreach.exercises.checking import Exercise, Slip
from moonreach.exercises.error import error_exercise
from moonreach.lessons import earth_size, today

_NORTH = ("north_gnomon_height", "north_shadow_length", "shadow_edge")
_ROAD = ("north_south_distance", "road_distance", "road_bearing")
_RADIANS = "the calculator works in radians", "one radian is about 57 degrees"


def _slope(r, place="north"):
    return (r[f"{place}_shadow_length"] / r[f"{place}_gnomon_height"]).to_value(u.one)


def _other_arc(r):
    opposite = r.words.get("shadows") == "opposite_sides"
    return abs(r.zenith("north") + (-1 if opposite else 1) * r.zenith("south"))


def _of_today(r):
    return (r.earth / today.EARTH_DIAMETER).to_value(u.one)


# fmt: off
EXERCISES = (
    Exercise("north_zenith",
        "How far from the zenith did the Sun stand at the northern place, in degrees?",
        u.deg, ("earth",), _NORTH, lambda r: r.zenith("north"),
        "the angle whose tangent is shadow / gnomon", (
        Slip("ratio upside down", lambda r: np.arctan(1 / _slope(r)) * u.rad,
            "you divide the gnomon by its shadow: the Sun's height above the horizon",
            "which side of the triangle lies opposite the angle at the gnomon's top?"),
        Slip("sine for tangent", lambda r: np.arcsin(_slope(r)) * u.rad,
            "you take the sine for the tangent",
            "the gnomon stands upright, so is it the longest side of the triangle?"),
        Slip("radians for degrees", lambda r: np.arctan(_slope(r)), *_RADIANS),
        Slip("ratio for angle", lambda r: [_slope(r), np.degrees(_slope(r))],
            "you take shadow / gnomon itself for the angle",
            "that is its tangent: which angle belongs to it?"),
    )),
    Exercise("arc",
        "How many degrees of the Earth's curve lie between the two places?",
        u.deg, ("earth",), (*_NORTH, "south_gnomon_height", "south_shadow_length", "shadows"),
        lambda r: r.arc,
        "the difference of the zenith distances; their sum if the shadows point opposite ways", (
        Slip("sum for difference", _other_arc,
            "you take the sum of the two angles for their difference, or the reverse",
            "do the two shadows point the same way?"),
        Slip("one place alone", lambda r: u.Quantity([r.zenith("north"), r.zenith("south")]),
            "you use one place only",
            "that would do if the Sun stood in the zenith of the other one, as at Syene"),
        Slip("shadows subtracted", lambda r: np.arctan(abs(_slope(r) - _slope(r, "south"))) * u.rad,
            "you subtract the ratios first and then look for an angle",
            "tangents do not subtract like angles, so find each place's angle first"),
        Slip("radians for degrees", lambda r: r.arc.to_value(u.rad), *_RADIANS),
    )),
    Exercise("circle_parts",
        "How many such arcs make the whole circle?",
        u.one, ("earth",), ("arc",), lambda r: 360 * u.deg / r.arc, "360° / arc", (
        Slip("half a circle", lambda r: 180 * u.deg / r.arc,
            "the whole circle has 180 degrees", "how far round do 180 degrees lead?"),
        Slip("ratio upside down", lambda r: r.arc / (360 * u.deg),
            "you divide the arc by the circle", "can less than one arc make a whole circle?"),
        Slip("degrees for radians", lambda r: 2 * np.pi / r.arc.to_value(u.deg),
            "the circle is in radians, 2π, and the arc in degrees", "use one unit for both"),
    )),
    Exercise("circumference",
        "How long is the way all round the Earth, in km?",
        u.km, ("earth",), (*_ROAD, "circle_parts"),
        lambda r: earth_size.circumference(r.arc, r.road),
        "number of arcs × north-south distance", (
        Slip("divided instead of multiplied", lambda r: r.road * (r.arc / (360 * u.deg)),
            "you divide the distance by the number of arcs",
            "can the whole circle be shorter than a part of it?"),
        Slip("half a circle", lambda r: earth_size.circumference(r.arc, r.road) / 2,
            "the whole circle has 180 degrees", "that leads only to the opposite point"),
        Slip("diameter for circumference", lambda r: earth_size.diameter(r.arc, r.road),
            "you go straight through the Earth", "the way round is asked; π comes later"),
        Slip("degrees for radians", lambda r: r.road * (360 / r.arc.to_value(u.rad)),
            "the arc is in radians and the circle in degrees", "use one unit for both"),
    )),
    Exercise("earth_diameter",
        "What is Earth's diameter, in km?",
        u.km, ("earth",), ("circumference",), lambda r: r.earth, "circumference / π", (
        Slip("radius for diameter", lambda r: r.earth / 2,
            "you divide by 2π, which gives the radius",
            "the radius leads only from the middle to the surface"),
        Slip("circumference for diameter", lambda r: r.earth * np.pi,
            "you stop at the circumference", "how much shorter is the way straight through?"),
        Slip("half the circumference", lambda r: r.earth * np.pi / 2,
            "you halve the circumference",
            "that leads to the opposite point over the surface, not straight through"),
    )),
    error_exercise("earth_error",
        "By how many per cent of today's 12 742 km is your diameter too large (minus: too small)?",
        ("earth",), ("earth_diameter",), _of_today, within=0.1),
)
