"""Exercises of lesson 5: from the Moon's angle and size to its distance."""

import numpy as np
from astropy import constants
from astropy import units as u

from moonreach.exercises.checking import Exercise, Slip
from moonreach.exercises.error import error_exercise
from moonreach.lessons import moon_distance, today

_BOTH = ("angle", "ratio")


def _moons(r):
    return moon_distance.distance_in_moon_diameters(r.angle)


def _earths(r):
    return moon_distance.distance_in_earth_diameters(r.angle, r.earth_in_moons)


def _from_centre(r):
    return moon_distance.geocentric_distance(_earths(r), r.altitude, 0.5)


def _distance(r):
    return _from_centre(r) * r.earth


def _of_today(r):
    return (_distance(r) / today.MOON_DISTANCE).to_value(u.one)


# fmt: off
EXERCISES = (
    Exercise("moon_diameters",
        "From where you stood, how many Moon diameters away is the Moon?",
        u.one, ("angle",), ("angle",), _moons, "1 / (2 × sine of half the angle)", (
        Slip("half for full angle", lambda r: 2 * _moons(r),
            "you count in Moon radii, or use half the angle twice",
            "half the angle belongs to half the Moon"),
        Slip("radius for diameter", lambda r: _moons(r) / 2,
            "you halve the distance", "does the angle span the Moon's diameter or its radius?"),
        Slip("minutes as decimals", lambda r: 0.5 / np.sin(r.angle.value / 200 * u.deg),
            "you read the arcminutes as hundredths of a degree", "one degree has 60 arcminutes"),
        Slip("degrees for radians", lambda r: [1 / r.angle.to_value(u.deg),
                                               0.5 / np.sin(r.angle.to_value(u.deg) / 2)],
            "the angle in degrees is taken as radians",
            "convert it, or set the calculator to degrees"),
    )),
    Exercise("earth_diameters",
        "And how many Earth diameters?",
        u.one, _BOTH, ("earth_in_moons", "moon_diameters"), _earths,
        "Moon diameters / Moons in an Earth", (
        Slip("2.5 for 3.5", lambda r: _moons(r) / r.ratio,
            "you divide by the shadow ratio", "the shadow has narrowed by one Moon on its way"),
        Slip("multiplied instead of divided", lambda r: _moons(r) * r.earth_in_moons,
            "you multiply", "does the larger measure go in more often?"),
        Slip("radius for diameter", lambda r: 2 * _earths(r),
            "you count in Earth's radii", "Earth's diameters are asked"),
        Slip("ratio upside down", lambda r: r.earth_in_moons / _moons(r),
            "you divide the wrong way round", "is the Moon nearer than the Earth is wide?"),
    )),
    Exercise("to_the_centre",
        "How much farther is the Moon from Earth's centre than from you, in Earth diameters?",
        u.one, (*_BOTH, "moon_altitude"), ("moon_altitude", "earth_diameters"),
        lambda r: _from_centre(r) - _earths(r),
        "about half an Earth diameter × sine of the Moon's altitude", (
        Slip("radius for diameter", lambda r: np.sin(r.altitude),
            "you take Earth's diameter for its radius", "how far is it from you to the centre?"),
        Slip("cosine for sine", lambda r: 0.5 * np.cos(r.altitude),
            "you take the cosine of the altitude",
            "a Moon in the zenith is nearer by the whole radius"),
        Slip("degrees for radians", lambda r: 0.5 * np.sin(r.altitude.to_value(u.deg)),
            "the calculator works in radians", "the altitude is in degrees"),
        Slip("forgot the altitude", lambda r: 0.5,
            "the Moon stands in the zenith", "how high did it stand?"),
    ), within=0.006),
    Exercise("moon_distance",
        "How far is the Moon from Earth's centre, in km?",
        u.km, _BOTH, ("earth", "earth_diameters", "to_the_centre"), _distance,
        "Earth diameters (to the centre) × Earth's diameter", (
        Slip("radius for diameter", lambda r: _distance(r) / 2,
            "you take Earth's radius for its diameter", "you counted in diameters"),
        Slip("divided instead of multiplied", lambda r: r.earth / _from_centre(r),
            "you divide", "is the Moon nearer than the Earth is wide?"),
        Slip("circumference for diameter", lambda r: _distance(r) * np.pi,
            "you take Earth's circumference for its diameter", "you counted in diameters"),
        Slip("2.5 for 3.5", lambda r: _moons(r) / r.ratio * r.earth,
            "you divide by the shadow ratio", "the shadow has narrowed by one Moon on its way"),
        Slip("Moons for Earths", lambda r: _moons(r) * r.earth,
            "you count Moon diameters, each as wide as the Earth", "how many Moons make an Earth?"),
    )),
    error_exercise("distance_error",
        "By how many per cent of today's mean, 384 399 km, is your distance too large "
        "(minus: too small)?",
        _BOTH, ("moon_distance",), _of_today, within=0.2),
    Exercise("moonlight",
        "How long does moonlight take to Earth's centre, in seconds? (Light: 299 792 km a second.)",
        u.s, _BOTH, ("moon_distance",), lambda r: (_distance(r) / constants.c).to(u.s),
        "distance / speed of light", (
        Slip("there and back", lambda r: (2 * _distance(r) / constants.c).to(u.s),
            "the light goes there and back", "moonlight comes one way"),
        Slip("ratio upside down", lambda r: (constants.c / _distance(r)).to_value(1 / u.s),
            "you divide the speed by the distance", "does a longer way take less time?"),
        Slip("multiplied instead of divided",
            lambda r: _distance(r).to_value(u.km) * constants.c.to_value(u.km / u.s),
            "you multiply", "how many times does one second's way fit into the distance?"),
    )),
)
