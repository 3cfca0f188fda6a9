"""Exercises of lesson 5: from the Moon's angular diameter and size to its distance."""

import numpy as np
from astropy import constants
from astropy import units as u

from moonreach.exercises.asked import exercises_of, of_error
from moonreach.lessons import moon_distance, today
from moonreach.reduction.results import STEPS
from moonreach.reduction.steps import work_out
from moonreach.sheet.quantities import ROD

_KM2_S = u.km**2 / u.s


def _degrees(r):
    return r["angle"].to_value(u.deg)


def _moons(r):
    return moon_distance.distance_in_moon_diameters(r["angle"])


def _minutes_as_radians(angle):
    return [1 / angle, abs(0.5 / np.sin(angle / 2))]


def _earths(r):
    return moon_distance.distance_in_earth_diameters(r["angle"], r["earth_in_moons"])


def _from_centre(r):
    return moon_distance.geocentric_distance(_earths(r), r["moon_altitude"], 0.5)


def _distance(r):
    return _from_centre(r) * r["earth"]


def _wider_moon(r):
    """Return by how many per cent the distance changes if the Moon looks 1 % wider in the rod."""
    begin = {row.quantity for row in r.rows} | set(r.inputs)
    wider = {name: r[name] for name in begin if name in r}
    wider |= {name: wider[name] / 1.01 for name in ROD[1:] if name in wider}
    work_out(STEPS, wider)
    name = "distance_earth_diameters"
    return 100 * (wider[name] / r[name] - 1).to_value(u.one)


def _of_today(r):
    return (_distance(r) / today.MOON_DISTANCE).to_value(u.one)


RIGHT = {
    "moon_diameters": _moons,
    "earth_diameters": _earths,
    "to_the_centre": lambda r: _from_centre(r) - _earths(r),
    "moon_distance": _distance,
    "distance_error": lambda r: 100 * (_of_today(r) - 1),
    "moonlight": lambda r: (_distance(r) / constants.c).to(u.s),
    "rod_twice": _wider_moon,
}
WRONG = {
    "moon_diameters": {
        "ratio upside down": lambda r: 1 / _moons(r),
        "minutes for radians": lambda r: _minutes_as_radians(r["angle"].to_value(u.arcmin)),
        "minutes as decimals": lambda r: 0.5 / np.sin(r["angle"].value / 200 * u.deg),
        "degrees for radians": lambda r: [1 / _degrees(r), 0.5 / np.sin(_degrees(r) / 2)],
    },
    "earth_diameters": {
        "shadow not narrowed": lambda r: _moons(r) / r["ratio"],
        "multiplied instead of divided": lambda r: _moons(r) * r["earth_in_moons"],
        "ratio upside down": lambda r: r["earth_in_moons"] / _moons(r),
    },
    "to_the_centre": {
        "radius for diameter": lambda r: np.sin(r["moon_altitude"]),
        "cosine for sine": lambda r: 0.5 * np.cos(r["moon_altitude"]),
        "degrees for radians": lambda r: 0.5 * np.sin(r["moon_altitude"].to_value(u.deg)),
        "forgot the altitude": lambda r: 0.5,
    },
    "moon_distance": {
        "not to the centre": lambda r: _earths(r) * r["earth"],
        "divided instead of multiplied": lambda r: r["earth"] / _from_centre(r),
        "shadow not narrowed": lambda r: _moons(r) / r["ratio"] * r["earth"],
        "Moons for Earths": lambda r: _moons(r) * r["earth"],
    },
    "distance_error": of_error(_of_today, today.MOON_DISTANCE.value),
    "moonlight": {
        "ratio upside down": lambda r: (constants.c / _distance(r)).to_value(1 / u.s),
        "multiplied instead of divided": lambda r: (_distance(r) * constants.c).to_value(_KM2_S),
    },
    "rod_twice": {
        "counted once": lambda r: 100 * (1 / 1.01 - 1),
        "the angle alone": lambda r: 1.0,
    },
}
EXERCISES = exercises_of("moon_distance", RIGHT, WRONG)
