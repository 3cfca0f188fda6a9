"""Exercises of lesson 1: from two noon shadows to Earth's diameter."""

import numpy as np
from astropy import units as u

from moonreach.exercises.asked import exercises_of, of_error
from moonreach.lessons import earth_size, today


def _slope(r, place="north"):
    return (r[f"{place}_shadow_length"] / r[f"{place}_gnomon_height"]).to_value(u.one)


def _other_arc(r):
    opposite = "shadows" in r and r["shadows"] == "opposite_sides"
    return abs(r["north_zenith"] + (-1 if opposite else 1) * r["south_zenith"])


def _lengths_subtracted(r):
    """Return the angle of the shadows' difference, for either gnomon's height."""
    heights = u.Quantity([r["north_gnomon_height"], r["south_gnomon_height"]])
    return np.arctan(abs(r["north_shadow_length"] - r["south_shadow_length"]) / heights)


def _diameter(r):
    """Return the diameter from the arc as it was read: the air takes a little off in the result."""
    return earth_size.diameter(r["arc"], r["baseline"]).to(u.km)


def _of_today(r):
    return (_diameter(r) / today.EARTH_DIAMETER).to_value(u.one)


RIGHT = {
    "north_zenith": lambda r: r["north_zenith"],
    "arc": lambda r: r["arc"],
    "circle_parts": lambda r: 360 * u.deg / r["arc"],
    "circumference": lambda r: earth_size.circumference(r["arc"], r["baseline"]),
    "earth_diameter": _diameter,
    "earth_error": lambda r: 100 * (_of_today(r) - 1),
}
WRONG = {
    "north_zenith": {
        "ratio upside down": lambda r: np.arctan(1 / _slope(r)) * u.rad,
        "sine for tangent": lambda r: np.arcsin(_slope(r)) * u.rad,
        "ratio for angle": lambda r: [_slope(r), np.degrees(_slope(r))],
    },
    "arc": {
        "lengths subtracted": _lengths_subtracted,
        "sum for difference": _other_arc,
        "one place alone": lambda r: u.Quantity([r["north_zenith"], r["south_zenith"]]),
        "shadows subtracted": lambda r: np.arctan(abs(_slope(r) - _slope(r, "south"))) * u.rad,
    },
    "circle_parts": {
        "ratio upside down": lambda r: r["arc"] / (360 * u.deg),
        "degrees for radians": lambda r: 2 * np.pi / r["arc"].to_value(u.deg),
    },
    "circumference": {
        "arc times distance": lambda r: r["arc"].to_value(u.deg) * r["baseline"],
        "divided instead of multiplied": lambda r: r["baseline"] * (r["arc"] / (360 * u.deg)),
        "degrees for radians": lambda r: r["baseline"] * (360 / r["arc"].to_value(u.rad)),
    },
    "earth_error": of_error(_of_today, today.EARTH_DIAMETER.value),
}
EXERCISES = exercises_of("earth_size", RIGHT, WRONG)
