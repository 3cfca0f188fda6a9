"""The Moon's angular size from a small disc that just covers it.

A disc of diameter d stands on a rod at distance L from a sight hole of diameter a. A point eye
would see it cover the Moon when tan(theta/2) = d / 2L. A hole is not a point: light enters all
over it. The Moon vanishes from every part of the hole when tan(theta/2) = (d - a) / 2L, and its
rim shows from every part when tan(theta/2) = (d + a) / 2L. Both readings together need no hole.

For the Moon at night only: never look at or near the Sun, and keep a soft, wide stop at the eye.
"""

import numpy as np
from astropy import units as u

from moonreach.lessons.refuse import Impossible, require, require_positive

READINGS = {"vanish": -1, "rim": +1}


def angular_diameter(disc, reading, hole=0 * u.mm, seen="vanish"):
    """Return the Moon's angular diameter from one reading of the rod.

    Parameters
    ----------
    disc, hole : lengths, the diameters of disc and sight hole.
    reading : length from the hole to the disc.
    seen : ``"vanish"``, where the Moon is just wholly covered, or ``"rim"``, where its rim just
        shows all round.

    Returns an angle, topocentric. Raises `Impossible` for a disc no larger than the hole.
    Source: similar triangles; a hole of 1 mm before a wide pupil and 14 mm at 1600 mm are common
    practice, no source. Correcting for the width of what sees is Archimedes' (Sand Reckoner I).

    >>> angular_diameter(14 * u.mm, 1600 * u.mm).to(u.arcmin).round(2)
    <Quantity 30.08 arcmin>
    """
    require_positive(disc_diameter=disc, sighting_distance=reading)
    if seen not in READINGS:
        raise Impossible(f"found {seen!r}, accepted are 'vanish' and 'rim'")
    _require_disc_beyond_hole(disc, hole)
    return 2 * np.arctan((disc + READINGS[seen] * hole) / (2 * reading))


def bracketed_angular_diameter(disc, vanish_distance, rim_distance):
    """Return the Moon's angular diameter from both readings, which needs no hole.

    Parameters: three lengths. Returns an angle, topocentric. Raises `Impossible` where one is not
    positive. Source: the two formulas of `angular_diameter`, added: tan(theta/2) = d / (Lv + Lr).

    >>> bracketed_angular_diameter(14 * u.mm, 1.45 * u.m, 1.65 * u.m).to(u.arcmin).round(2)
    <Quantity 31.05 arcmin>
    """
    require_positive(disc_diameter=disc, vanish_distance=vanish_distance, rim_distance=rim_distance)
    return 2 * np.arctan(disc / (vanish_distance + rim_distance))


def hole_from_bracket(disc, vanish_distance, rim_distance):
    """Return the hole's diameter that the two readings imply, to check them by.

    Parameters: three lengths. Returns a length; negative where vanish and rim were swapped.
    Source: the two formulas of `angular_diameter`, divided.

    >>> hole_from_bracket(14 * u.mm, 1.45 * u.m, 1.65 * u.m).round(2)
    <Quantity 0.9 mm>
    """
    require_positive(disc_diameter=disc, vanish_distance=vanish_distance, rim_distance=rim_distance)
    return disc * ((rim_distance - vanish_distance) / (rim_distance + vanish_distance)).to(u.one)


def expected_reading(disc, angle, hole=0 * u.mm, seen="vanish"):
    """Return where the disc must stand for a Moon of this angle, the reverse of `angular_diameter`.

    Parameters: as there, and an angle. Returns a length.

    >>> expected_reading(14 * u.mm, 31.08 * u.arcmin, 1 * u.mm, "rim").to(u.m).round(2)
    <Quantity 1.66 m>
    """
    require_positive(disc_diameter=disc, angle=angle)
    _require_disc_beyond_hole(disc, hole)
    return (disc + READINGS[seen] * hole) / (2 * np.tan(angle / 2))


def _require_disc_beyond_hole(disc, hole):
    require(hole >= 0 * u.mm, "a hole cannot be smaller than nothing: found {}", hole)
    require(
        disc > hole,
        "the disc ({}) is not larger than the sight hole ({}): some part of the hole "
        "would always see past it, and the Moon never vanishes",
        disc,
        hole,
    )
