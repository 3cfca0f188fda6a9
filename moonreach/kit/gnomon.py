"""The gnomon: its base with compass and rings, and the tape for its shadow."""

import numpy as np
from astropy import units as u

from moonreach.kit import strips
from moonreach.lessons import earth_size

_HEIGHT = 100 * u.mm  # the gnomon that the rings' angles belong to
_TALL = 1 * u.m  # the gnomon that the tape's angles belong to
_COMPASS = {0: "N", 90: "E", 180: "S", 270: "W"}


def base(kit):
    """Yield the page of the gnomon's base."""
    page, y = kit.begin("base")
    radius = min((page.right - page.left) / 2 - 6, (y - page.bottom) / 2 - 10)
    radius = int(radius // 10) * 10
    x, y = (page.left + page.right) / 2, y - radius - 9
    for ring in range(10, radius + 1, 10):
        page.circle(x, y, ring, lw=0.35 if ring % 50 else 0.8)
        angle = earth_size.zenith_distance(_HEIGHT, ring * u.mm).to_value(u.deg)
        for sign, edge in ((1, "top"), (-1, "bottom")):  # inside its ring, clear of it
            page.words(x + 0.7, y + sign * (ring - 1.5), f"{angle:.1f}°", 5.5, va=edge)
    page.cross(x, y, radius, lw=0.5)
    degrees = np.arange(0, 360, 2)
    ways = np.stack([np.sin(np.radians(degrees)), np.cos(np.radians(degrees))], axis=-1)
    page.scale(degrees, (x, y) + radius * ways, ways, {10: 3, 2: 1.5})
    for degree, way in zip(degrees[::15], ways[::15], strict=True):
        name = _COMPASS.get(degree, f"{degree}°")
        side = {0: "center", 1: "left", -1: "right"}[round(1.4 * way[0])]
        at, size = (x, y) + (radius + (4 if degree % 90 else 6)) * way, 8 if degree % 90 else 11
        page.words(*at, name, size, va="center", ha=side)
    yield page


def tapes(kit):
    """Yield the pages of the shadow tape, 2 m long."""
    angles = np.arange(0.1, 63.5, 0.1).round(1)
    # Where each angle stands, from the lesson's own formula: it rises with the shadow.
    lengths = np.arange(0, 2000.5, 0.5)
    zeniths = earth_size.zenith_distance(_TALL, lengths * u.mm).to_value(u.deg)
    rows = {"°": (angles, np.interp(angles, zeniths, lengths))}
    yield from strips.pages(kit, "tapes", 0, 2000, rows)
