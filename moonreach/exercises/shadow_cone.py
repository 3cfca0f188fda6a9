"""Exercises of lesson 3: from the shadow ratio to the Moon's size."""

import numpy as np

from moonreach.exercises.asked import exercises_of
from moonreach.lessons import shadow_cone

_WIDE_SUN = 1.10  # about the most there is: the Sun in January and the Moon at its farthest
_NEAR_SUN = 19  # Moon distances, as Aristarchus found: On the Sizes and Distances, Prop. 7

RIGHT = {
    "earth_in_moons": lambda r: r["earth_in_moons"],
    "moon_percent": lambda r: 100 / r["earth_in_moons"],
    "moon_diameter": lambda r: r["earth"] / r["earth_in_moons"],
    "wide_sun": lambda r: shadow_cone.earth_in_moons(r["ratio"], _WIDE_SUN),
    "near_sun": lambda r: shadow_cone.earth_in_moons(r["ratio"], sun_distance_ratio=_NEAR_SUN),
}
WRONG = {
    "earth_in_moons": {
        "shadow doubled": lambda r: 2 * r["ratio"],
        "two Moons added": lambda r: r["ratio"] + 2,
        "shadow not narrowed": lambda r: r["ratio"],
        "narrowing the wrong way": lambda r: r["ratio"] - 1,
        "ratio upside down": lambda r: 1 / r["earth_in_moons"],
        "half a Moon": lambda r: r["ratio"] + 0.5,
    },
    "moon_percent": {
        "Moons for per cent": lambda r: r["earth_in_moons"],
        "shadow not narrowed": lambda r: 100 / r["ratio"],
        "percentage the wrong way round": lambda r: 100 * r["earth_in_moons"],
        "area or volume for width": lambda r: 100 / r["earth_in_moons"] ** np.array([2, 3]),
    },
    "moon_diameter": {
        "multiplied instead of divided": lambda r: r["earth"] * r["earth_in_moons"],
        "shadow not narrowed": lambda r: r["earth"] / r["ratio"],
    },
    "wide_sun": {
        "equal discs": lambda r: r["earth_in_moons"],
        "all of it stretched": lambda r: _WIDE_SUN * r["earth_in_moons"],
        "wrong part stretched": lambda r: _WIDE_SUN * r["ratio"] + 1,
        "ratio upside down": lambda r: r["ratio"] + 1 / _WIDE_SUN,
    },
    "near_sun": {
        "distant Sun": lambda r: r["earth_in_moons"],
        "multiplied instead of divided": lambda r: r["earth_in_moons"] * (1 + 1 / _NEAR_SUN),
        "divided by the distance": lambda r: r["earth_in_moons"] / _NEAR_SUN,
    },
}
EXERCISES = exercises_of("shadow_cone", RIGHT, WRONG)
