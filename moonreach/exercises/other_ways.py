"""Exercises of lesson 7: from one Moon seen from two places to its distance."""

import numpy as np
from astropy import units as u

from moonreach.exercises.asked import exercises_of
from moonreach.lessons import moon_distance, other_ways
from moonreach.reduction.further import PARTS


def _latitudes(r):
    return r["pair_north_latitude"] - r["pair_south_latitude"]


def _zeniths(r):
    return r["pair_north_zenith"], r["pair_south_zenith"]


def _shift(r):
    return other_ways.shift_from_zenith_distances(_latitudes(r), *_zeniths(r))


def _through_the_air(r):
    read = [r[f"pair_{place}_zenith_distance"] for place in ("north", "south")]
    signed = [np.sign(true) * seen for true, seen in zip(_zeniths(r), read, strict=True)]
    return other_ways.shift_from_zenith_distances(_latitudes(r), *signed)


def _base(r):
    return 2 * np.sin(_latitudes(r) / 2)


def _distance(r):
    angles = r["pair_shift"], _latitudes(r), r["pair_north_zenith"]
    return other_ways.distance_in_earth_radii(*angles) / 2


def _from_the_north(r):
    """Return the Moon's distance from the northern place, in Earth diameters."""
    altitude = 90 * u.deg - r["pair_north_zenith"]
    return moon_distance.topocentric_distance(_distance(r), altitude, 0.5)


def _parallax(r):
    return np.arcsin(0.5 / _distance(r)).to(u.arcmin)


def _uncovered(r):
    return abs(r[PARTS[0]] - r[PARTS[1]])


def _eclipse_shift(r):
    return (_uncovered(r) * r["sun_angle"]).to(u.arcmin)


def _straight_on(r, unit):
    apart = r["solar_eclipse_north_latitude"] - r["solar_eclipse_south_latitude"]
    return np.sin(apart / 2) / _eclipse_shift(r).to_value(unit)


def _eclipse_distance(r):
    return 0.5 / r["solar_eclipse_sine"]


RIGHT = {
    "eclipse_shift": _eclipse_shift,
    "eclipse_distance": _eclipse_distance,
    "pair_shift": _shift,
    "pair_base": _base,
    "pair_distance": _distance,
    "parallax": _parallax,
}
WRONG = {
    "eclipse_shift": {
        "covered for uncovered": lambda r: (1 - _uncovered(r)) * r["sun_angle"],
        "whole Sun": lambda r: r["sun_angle"],
    },
    "eclipse_distance": {
        "chord seen straight on": lambda r: _straight_on(r, u.rad),
        "degrees for radians": lambda r: _straight_on(r, u.deg),
        "covered for uncovered": lambda r: _eclipse_distance(r) / (1 / _uncovered(r) - 1),
    },
    "pair_shift": {
        "forgot the air": _through_the_air,
        "forgot the latitudes": lambda r: _zeniths(r)[0] - _zeniths(r)[1],
        "difference for sum": lambda r: abs(abs(_zeniths(r)[0]) - abs(_zeniths(r)[1])),
        "a latitude's sign": lambda r: _shift(r) - 2 * r["pair_south_latitude"],
    },
    "pair_base": {
        "along the ground": lambda r: _latitudes(r).to_value(u.rad),
        "whole angle for half": lambda r: [np.sin(_latitudes(r)), 2 * np.sin(_latitudes(r))],
        "degrees for radians": lambda r: 2 * np.sin(_latitudes(r).to_value(u.deg) / 2),
    },
    "pair_distance": {
        "not to the centre": _from_the_north,
        "degrees for radians": lambda r: _base(r) / 2 / r["pair_shift"].to_value(u.deg),
        "along the ground": lambda r: (_latitudes(r) / r["pair_shift"]).to_value(u.one) / 2,
    },
    "parallax": {
        "shift for parallax": lambda r: r["pair_shift"],
        "radians for degrees": lambda r: _parallax(r).to_value(u.rad) * 60,
    },
}
EXERCISES = exercises_of("other_ways", RIGHT, WRONG)
