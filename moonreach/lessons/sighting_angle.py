"""The Moon's angular size from a small disc that just covers it.

A disc of diameter d stands on a rod, at distance L from a sight hole of diameter a. An eye that
were a point would see it cover the Moon when tan(theta/2) = d / 2L. Light enters all over a hole:
the Moon has vanished from every part of it when tan(theta/2) = (d - a) / 2L, and its rim is at
full brightness, seen from every part, when tan(theta/2) = (d + a) / 2L. Whoever reads both needs
no hole.

Light bends round the disc, and people call differently: a lit target of known size at a known
distance, read by the same people under the same rule, gives the hole as they use it.

For the Moon at night only: never look at or near the Sun, and keep a soft, wide stop at the eye.
"""

import numpy as np
from astropy import units as u

from moonreach.lessons import Angle, Length
from moonreach.lessons.refuse import require, require_one_of, require_positive

READINGS = {"vanish": -1, "rim": +1}


def angular_diameter(
    disc: Length, reading: Length, hole: Length = 0 * u.mm, seen: str = "vanish"
) -> Angle:
    """Return the Moon's angular diameter from one reading of the rod.

    Parameters
    ----------
    disc, hole : scalar, array or Distribution, length
        The diameters of disc and sight hole.
    reading : scalar, array or Distribution, length
        From the hole to the disc.
    seen : {"vanish", "rim"}
        Whether the last light has just gone, or the ring all round just begins to fade.

    Returns
    -------
    scalar, array or Distribution, angle in rad
        As from the place of the rod.

    Raises
    ------
    Impossible
        For a length that is not positive, a disc no larger than the hole, or another word.

    References
    ----------
    Similar triangles; to allow for the width of what sees is Archimedes', Sand Reckoner I (Heath
    1897). The kit's rod has a disc of 15 mm and a hole of 1.5 mm.

    Examples
    --------
    15 mm at 1500 mm is one part in 100, and a radian has 3437.7 arcminutes.

    >>> angular_diameter(15 * u.mm, 1500 * u.mm).to(u.arcmin).round(1)
    <Quantity 34.4 arcmin>
    """
    require_positive(disc_diameter=disc, sighting_distance=reading)
    require_one_of(READINGS, seen=seen)
    _require_disc_beyond_hole(disc, hole)
    return 2 * np.arctan((disc + READINGS[seen] * hole) / (2 * reading))


def bracketed_angular_diameter(
    disc: Length,
    vanish_distance: Length,
    rim_distance: Length,
    vanish_hole: Length = 0 * u.mm,
    rim_hole: Length = 0 * u.mm,
) -> Angle:
    """Return the Moon's angular diameter from both readings, in which one hole drops out.

    Parameters
    ----------
    disc : scalar, array or Distribution, length
        The disc's diameter.
    vanish_distance, rim_distance : scalar, array or Distribution, length
        From the hole to the disc.
    vanish_hole, rim_hole : scalar, array or Distribution, length
        The holes as they work for the two readings (`effective_hole`); only their difference
        counts.

    Returns
    -------
    scalar, array or Distribution, angle in rad
        As from the place of the rod.

    Raises
    ------
    Impossible
        For a length that is not positive.

    References
    ----------
    The two formulas of `angular_diameter`, added: tan(theta/2) = (d + (ar - av) / 2) / (Lv + Lr).

    Examples
    --------
    1.35 m and 1.65 m have the mean 1.5 m; see `angular_diameter`.

    >>> bracketed_angular_diameter(15 * u.mm, 1.35 * u.m, 1.65 * u.m).to(u.arcmin).round(1)
    <Quantity 34.4 arcmin>
    """
    require_positive(disc_diameter=disc, vanish_distance=vanish_distance, rim_distance=rim_distance)
    width = disc + (rim_hole - vanish_hole) / 2
    return 2 * np.arctan(width / (vanish_distance + rim_distance))


def effective_hole(
    disc: Length,
    reading: Length,
    target_diameter: Length,
    target_distance: Length,
    seen: str = "vanish",
) -> Length:
    """Return the hole's diameter as a rod and its people use it, from a target of known size.

    Parameters
    ----------
    disc : scalar, array or Distribution, length
        The disc's diameter.
    reading : scalar, array or Distribution, length
        From the hole to the disc, when the target vanished, or its rim began to fade.
    target_diameter, target_distance : scalar, array or Distribution, length
        Of a lit disc, and from the hole to it.
    seen : {"vanish", "rim"}
        Which of the two readings.

    Returns
    -------
    scalar, array or Distribution, length
        Negative where a point would have called sooner.

    Raises
    ------
    Impossible
        For a length that is not positive, a target no farther than the disc, or another word.

    References
    ----------
    Similar triangles from the hole's edge past the disc's edge to the target's: vanish
    (d - a) / L = (T - a) / B, rim (d + a) / L = (T + a) / B.

    Examples
    --------
    A disc of 10 mm at 1 m covers 19 mm at 2 m from all over a hole of 1 mm.

    >>> effective_hole(10 * u.mm, 1 * u.m, 19 * u.mm, 2 * u.m).round(6)
    <Quantity 1. mm>
    """
    require_positive(disc_diameter=disc, target_reading=reading, target_diameter=target_diameter)
    require_one_of(READINGS, seen=seen)
    require(
        target_distance > reading,
        "the target ({}) must stand farther off than the disc ({})",
        target_distance,
        reading,
    )
    narrowing = (target_diameter * reading - disc * target_distance) / (target_distance - reading)
    return READINGS[seen] * narrowing


def hole_from_bracket(disc: Length, vanish_distance: Length, rim_distance: Length) -> Length:
    """Return the hole's diameter that the two readings imply, to check them by.

    Parameters
    ----------
    disc : scalar, array or Distribution, length
        The disc's diameter.
    vanish_distance, rim_distance : scalar, array or Distribution, length
        From the hole to the disc.

    Returns
    -------
    scalar, array or Distribution, length
        Negative where vanish and rim were swapped.

    Raises
    ------
    Impossible
        For a length that is not positive.

    References
    ----------
    The two formulas of `angular_diameter`, divided: a = d (Lr - Lv) / (Lr + Lv).

    Examples
    --------
    >>> hole_from_bracket(15 * u.mm, 1.35 * u.m, 1.65 * u.m).round(6)
    <Quantity 1.5 mm>
    """
    require_positive(disc_diameter=disc, vanish_distance=vanish_distance, rim_distance=rim_distance)
    return disc * ((rim_distance - vanish_distance) / (rim_distance + vanish_distance)).to(u.one)


def expected_reading(
    disc: Length, angle: Angle, hole: Length = 0 * u.mm, seen: str = "vanish"
) -> Length:
    """Return where the disc must stand for a Moon of this angle, the reverse of `angular_diameter`.

    Parameters
    ----------
    disc, hole : scalar, array or Distribution, length
        The diameters of disc and sight hole.
    angle : scalar, array or Distribution, angle
        The Moon's angular diameter.
    seen : {"vanish", "rim"}
        Which of the two readings.

    Returns
    -------
    scalar, array or Distribution, length
        From the hole to the disc.

    Raises
    ------
    Impossible
        For a disc, a hole or an angle that cannot be, or another word.

    References
    ----------
    Similar triangles, as `angular_diameter`.

    Examples
    --------
    The tangent of 45 degrees is 1: a disc seen 90 degrees wide is half its width away.

    >>> expected_reading(15 * u.mm, 90 * u.deg).round(6)
    <Quantity 7.5 mm>
    """
    require_positive(disc_diameter=disc, angle=angle)
    require_one_of(READINGS, seen=seen)
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
