"""The gnomon: its base with compass and rings, and the tape for its shadow."""

import numpy as np
from astropy import units as u

from moonreach.kit import strips
from moonreach.lessons import earth_size

SUN = (
    "Nobody looks at the Sun: not with the eye, not along the gnomon, not through anything. Stand "
    "with your back to it and read the shadow on the ground."
)
_HEIGHT = 100 * u.mm  # the gnomon that the rings' angles belong to
_TALL = 1 * u.m  # the gnomon that the tape's angles belong to


def base(kit):
    """Yield the page of the gnomon's base."""
    page = kit.page("Gnomon base")
    y = page.caution(page.top, SUN)
    how = (
        "Lay it level, on a board, and stand a gnomon upright on the cross: a pencil, a screw or a "
        "dowel; check it with a set square from two sides. Every ring is 10 mm from the next; the "
        "angle on a ring is the Sun's zenith distance when the shadow of a gnomon of 100 mm ends "
        "there. Local noon is when the shadow is shortest. It then points due north or south "
        "(or vanishes), as it does half-way between two marks, before and after noon, where its "
        "end meets the same ring: lay the north line there, not along a compass needle."
    )
    y = page.paragraph(page.left, y, page.right - page.left, how)
    radius = min((page.right - page.left) / 2 - 6, (y - page.bottom) / 2 - 10)
    radius = int(radius // 10) * 10
    x, y = (page.left + page.right) / 2, y - radius - 9
    for ring in range(10, radius + 1, 10):
        page.circle(x, y, ring, lw=0.35 if ring % 50 else 0.8)
        angle = earth_size.zenith_distance(_HEIGHT, ring * u.mm).to_value(u.deg)
        for sign in (1, -1):
            at = y + sign * (ring - 0.7)  # inside its ring
            page.words(x + 0.7, at, f"{angle:.1f}°", 5.5, va="top" if sign > 0 else "bottom")
    page.strokes([((x - radius, y), (x + radius, y)), ((x, y - radius), (x, y + radius))], lw=0.5)
    turns = np.radians(np.arange(0, 360, 2))
    for turn, degrees in zip(turns, range(0, 360, 2), strict=True):
        size = 3 if degrees % 10 == 0 else 1.5
        way = np.array([np.sin(turn), np.cos(turn)])
        start = np.array([x, y])
        page.strokes([(start + radius * way, start + (radius + size) * way)])
        if degrees % 30 == 0:
            name = {0: "N", 90: "E", 180: "S", 270: "W"}.get(degrees, f"{degrees}°")
            size = 8 if degrees % 90 else 11
            page.words(*(start + (radius + 6) * way), name, size, ha="center", va="center")
    yield page


def tapes(kit):
    """Yield the pages of the shadow tape, 2 m long."""
    angles = np.arange(0.1, 63.5, 0.1).round(1)
    # Where each angle stands, from the lesson's own formula: it rises with the shadow.
    lengths = np.arange(0, 2000.5, 0.5)
    zeniths = earth_size.zenith_distance(_TALL, lengths * u.mm).to_value(u.deg)
    rows = {"°": (angles, np.interp(angles, zeniths, lengths))}
    how = (
        "Glue the strips end to end on a straight lath, with zero at the middle of the gnomon's "
        "foot, and lay it on level ground along the shadow. The end of the "
        "shadow of a gnomon of 1 m is blurred over 9 mm and more: read the middle of the blur, at "
        "both places alike, every two minutes from a quarter of an hour before local noon until "
        "the shadow grows again. Check the tape with a steel one. Where the shadow is longer than "
        "2 m, take a gnomon of 500 mm."
    )
    zero = "from the gnomon; below it the zenith distance in degrees for a gnomon of 1 m"
    yield from strips.pages(kit, "Shadow tape", how, SUN, 0, 2000, rows, zero)
