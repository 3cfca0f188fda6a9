"""Exercises of lesson 7: from one Moon seen from two places to its distance."""

import numpy as np
from astropy import units as u

from moonreach.exercises.checking import Exercise, Slip
from moonreach.lessons import other_ways
from moonreach.reduction.further import PAIR_READINGS, SOLAR_ECLIPSE

_PAIR, _ECLIPSE = ("pair",), ("solar_eclipse",)
_PARTS = SOLAR_ECLIPSE[2:4]


def _latitudes(r):
    return r["pair_north_latitude"] - r["pair_south_latitude"]


def _zeniths(r):
    return r.pair_north_zenith, r.pair_south_zenith


def _shift(r):
    return other_ways.shift_from_zenith_distances(_latitudes(r), *_zeniths(r))


def _base(r):
    return 2 * np.sin(_latitudes(r) / 2)


def _distance(r, shift=None):
    shift = r.pair_shift if shift is None else shift
    zenith = r.pair_north_zenith
    return other_ways.distance_in_earth_radii(shift, _latitudes(r), zenith) / 2


def _parallax(r):
    return np.arcsin(0.5 / _distance(r)).to(u.arcmin)


def _uncovered(r):
    return abs(r[_PARTS[0]] - r[_PARTS[1]])


def _eclipse_shift(r):
    return (_uncovered(r) * r.sun_angle).to(u.arcmin)


def _eclipse_base(r):
    return 2 * np.sin((r["solar_eclipse_north_latitude"] - r["solar_eclipse_south_latitude"]) / 2)


def _eclipse_distance(r):
    return 0.5 / r.solar_eclipse["sine"]


# fmt: off
EXERCISES = (
    Exercise("eclipse_shift",
        "By how many arcminutes did the Moon stand elsewhere before the Sun at the other place?",
        u.arcmin, _ECLIPSE, (*_PARTS, "sun_wide"), _eclipse_shift,
        "difference of the covered parts × the Sun's angular diameter", (
        Slip("covered for uncovered", lambda r: (1 - _uncovered(r)) * r.sun_angle,
            "you take the part that is still covered", "how far has the Moon moved off?"),
        Slip("radius for diameter", lambda r: _eclipse_shift(r) / 2,
            "you count in the Sun's radius", "the parts are those of its diameter"),
        Slip("degrees for arcminutes", lambda r: _eclipse_shift(r).to_value(u.deg),
            "your number is in degrees", "arcminutes are asked, 60 to the degree"),
        Slip("whole Sun", lambda r: r.sun_angle,
            "you take the whole Sun", "which part of it came out from behind the Moon?"),
    ), within=0.03),
    Exercise("eclipse_distance",
        "How far was the Moon from Earth's centre, by this solar eclipse, in Earth diameters?",
        u.one, _ECLIPSE, (*SOLAR_ECLIPSE[:2], "solar_eclipse_sun_altitude", "eclipse_shift"),
        _eclipse_distance,
        "chord between the places, as it is seen from the Moon, over the shift; then on to "
        "Earth's centre", (
        Slip("radii for diameters", lambda r: 2 * _eclipse_distance(r),
            "you count in Earth's radii", "Earth's diameters are asked"),
        Slip("chord seen straight on", lambda r: _eclipse_base(r) / 2 / _eclipse_shift(r).to_value(
                u.rad),
            "you take the whole chord", "from the Moon it is seen at a slant: by how much?"),
        Slip("degrees for radians",
            lambda r: _eclipse_base(r) / 2 / _eclipse_shift(r).to_value(u.deg),
            "the shift in degrees is taken as radians", "one radian is about 57 degrees"),
        Slip("covered for uncovered", lambda r: _eclipse_distance(r) * _uncovered(r)
                / (1 - _uncovered(r)),
            "you take the part that is still covered", "how far has the Moon moved off?"),
    )),
    Exercise("pair_shift",
        "By how many degrees do the directions to the Moon from the two places differ?",
        u.deg, PAIR_READINGS, PAIR_READINGS, _shift,
        "the angle between the two plumb lines' Moons, less the angle between the plumb lines", (
        Slip("forgot the latitudes", lambda r: _zeniths(r)[0] - _zeniths(r)[1],
            "you add the zenith distances and stop",
            "the two plumb lines point apart by how much?"),
        Slip("difference for sum", lambda r: abs(abs(_zeniths(r)[0]) - abs(_zeniths(r)[1])),
            "you subtract the zenith distances", "do both places look to the same side?"),
        Slip("a latitude's sign", lambda r: _zeniths(r)[0] - _zeniths(r)[1]
                - r["pair_north_latitude"] - r["pair_south_latitude"],
            "you subtract the sum of the latitudes", "south latitudes are negative: how far apart "
            "are the places?"),
        Slip("arcminutes for degrees", lambda r: _shift(r).to_value(u.arcmin),
            "your number is in arcminutes", "degrees are asked"),
    ), within=0.03),
    Exercise("pair_base",
        "How long is the straight line through the Earth from place to place, in Earth radii?",
        u.one, PAIR_READINGS[:2], PAIR_READINGS[:2], _base,
        "2 × sine of half the difference of the latitudes", (
        Slip("along the ground", lambda r: _latitudes(r).to_value(u.rad),
            "you go along the ground", "how long is the straight way?"),
        Slip("diameters for radii", lambda r: _base(r) / 2,
            "you count in Earth's diameters", "Earth's radii are asked"),
        Slip("whole angle for half", lambda r: [np.sin(_latitudes(r)), 2 * np.sin(_latitudes(r))],
            "you take the sine of the whole angle", "cut the triangle of the two places and "
            "Earth's centre in halves"),
        Slip("degrees for radians", lambda r: 2 * np.sin(_latitudes(r).to_value(u.deg) / 2),
            "the calculator works in radians", "the latitudes are in degrees"),
    )),
    Exercise("pair_distance",
        "How far is the Moon from Earth's centre, by the two places, in Earth diameters?",
        u.one, _PAIR, ("pair_base", "pair_shift", "pair_north_zenith_distance"), _distance,
        "base line, as it is seen from the Moon, over the shift; then on to Earth's centre", (
        Slip("radii for diameters", lambda r: 2 * _distance(r),
            "you count in Earth's radii", "Earth's diameters are asked"),
        Slip("degrees for radians", lambda r: _base(r) / 2 / r.pair_shift.to_value(u.deg),
            "the shift in degrees is taken as radians", "one radian is about 57 degrees"),
        Slip("base line halved twice", lambda r: _distance(r) / 2,
            "you halve once too often", "are base line and distance in the same measure?"),
        Slip("along the ground",
            lambda r: _latitudes(r).to_value(u.rad) / 2 / r.pair_shift.to_value(u.rad),
            "the base line goes along the ground", "light goes straight"),
    )),
    Exercise("parallax",
        "How wide would Earth's radius look from the Moon, in arcminutes? (Its horizontal "
        "parallax.)",
        u.arcmin, _PAIR, ("pair_distance",), _parallax,
        "the angle whose sine is 1 / (distance in Earth radii)", (
        Slip("diameter for radius", lambda r: 2 * _parallax(r),
            "you take the whole Earth", "its radius is asked: how many radii away is the Moon?"),
        Slip("shift for parallax", lambda r: r.pair_shift,
            "you give the shift between your two places", "is your base line one Earth radius?"),
        Slip("degrees for arcminutes", lambda r: _parallax(r).to_value(u.deg),
            "your number is in degrees", "arcminutes are asked, 60 to the degree"),
        Slip("radians for degrees", lambda r: _parallax(r).to_value(u.rad) * 60,
            "you take radians for degrees", "one radian is about 57 degrees"),
    )),
)
