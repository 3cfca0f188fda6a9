"""Exercises of lesson 3: from the shadow ratio to the Moon's size."""

import numpy as np
from astropy import units as u

from moonreach.exercises.checking import Exercise, Slip
from moonreach.lessons import shadow_cone

_WIDE_SUN = 1.10  # about the most there is: the Sun in January and the Moon at its farthest
_NEAR_SUN = 19  # Moon distances, as Aristarchus found: On the Sizes and Distances, Prop. 7


# fmt: off
EXERCISES = (
    Exercise("earth_in_moons",
        "How many Moons side by side are as wide as the Earth?",
        u.one, ("ratio",), ("ratio",), lambda r: r.earth_in_moons, "shadow ratio + 1", (
        Slip("2.5 for 3.5", lambda r: r.ratio,
            "the shadow is as wide at the Moon as at the Earth",
            "the shadow narrows on its way, and by how much?"),
        Slip("narrowing the wrong way", lambda r: r.ratio - 1,
            "the shadow widens by one Moon on its way", "where is it wider, here or there?"),
        Slip("ratio upside down", lambda r: 1 / r.earth_in_moons,
            "you count Earths in a Moon", "Moons in an Earth are asked"),
        Slip("half a Moon", lambda r: r.ratio + 0.5,
            "the shadow narrows by half a Moon", "it narrows on both sides"),
    )),
    Exercise("moon_percent",
        "How wide is the Moon, in per cent of Earth's diameter?",
        u.percent, ("ratio",), ("earth_in_moons",), lambda r: 100 / r.earth_in_moons,
        "100 / Moons in an Earth", (
        Slip("2.5 for 3.5", lambda r: 100 / r.ratio,
            "you use the shadow's width for Earth's", "the shadow has narrowed by one Moon"),
        Slip("percentage the wrong way round", lambda r: 100 * r.earth_in_moons,
            "you give the Earth in per cent of the Moon", "which of the two is the hundred?"),
        Slip("fraction for per cent", lambda r: 1 / r.earth_in_moons,
            "you give the fraction", "per cent means of a hundred"),
        Slip("area or volume for width", lambda r: 100 / r.earth_in_moons ** np.array([2, 3]),
            "you compare areas or volumes", "only the widths are asked"),
    )),
    Exercise("moon_diameter",
        "What is the Moon's diameter, in km?",
        u.km, ("ratio",), ("earth", "earth_in_moons"), lambda r: r.earth / r.earth_in_moons,
        "Earth's diameter / Moons in an Earth", (
        Slip("radius for diameter", lambda r: r.earth / 2 / r.earth_in_moons,
            "you take Earth's radius for its diameter", "diameters go with diameters"),
        Slip("multiplied instead of divided", lambda r: r.earth * r.earth_in_moons,
            "you multiply", "is the Moon larger than the Earth?"),
        Slip("2.5 for 3.5", lambda r: r.earth / r.ratio,
            "you divide by the shadow ratio", "the shadow has narrowed by one Moon on its way"),
        Slip("circumference for diameter", lambda r: r.earth * np.pi / r.earth_in_moons,
            "you start from Earth's circumference", "its diameter is needed"),
    )),
    Exercise("wide_sun",
        "Suppose the Sun had looked 1.10 times as wide as the Moon that night: how many Moons "
        "make an Earth then?",
        u.one, ("ratio",), ("ratio",), lambda r: shadow_cone.earth_in_moons(r.ratio, _WIDE_SUN),
        "shadow ratio + 1.10", (
        Slip("equal discs", lambda r: r.earth_in_moons,
            "Sun and Moon look equally wide", "a wider Sun makes the shadow narrow faster"),
        Slip("all of it stretched", lambda r: _WIDE_SUN * r.earth_in_moons,
            "you make the whole sum 1.10 times larger", "only the narrowing grows"),
        Slip("wrong part stretched", lambda r: _WIDE_SUN * r.ratio + 1,
            "you make the ratio larger and not the narrowing", "the ratio was measured and stays"),
        Slip("ratio upside down", lambda r: r.ratio + 1 / _WIDE_SUN,
            "you take the Moon over the Sun", "does a wider Sun make a longer shadow?"),
    )),
    Exercise("near_sun",
        "Suppose the Sun were only 19 times as far as the Moon: how many Moons make an Earth then?",
        u.one, ("ratio",), ("ratio",),
        lambda r: shadow_cone.earth_in_moons(r.ratio, sun_distance_ratio=_NEAR_SUN),
        "(shadow ratio + 1) / (1 + 1/19)", (
        Slip("distant Sun", lambda r: r.earth_in_moons,
            "the Sun is very far away", "a near Sun's shadow does not narrow by a whole Moon"),
        Slip("multiplied instead of divided", lambda r: r.earth_in_moons * (1 + 1 / _NEAR_SUN),
            "you multiply by 1 + 1/19", "does a near Sun narrow the shadow more or less?"),
        Slip("divided by the distance", lambda r: r.earth_in_moons / _NEAR_SUN,
            "you divide by 19", "nineteen is far already, so the change is only a few per cent"),
    )),
)
