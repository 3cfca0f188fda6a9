"""The quadrant: a quarter circle with a plumb line, for the altitude of the Moon."""

import numpy as np

from moonreach.kit.page import MIDDLE, PAGES

RADIUS = 140.0  # mm, of the scale; a degree is 2.4 mm
_RIM = RADIUS + 12


def page(kit):
    """Yield the page of the quadrant."""
    sheet, y = kit.begin("quadrant")
    corner = np.array([sheet.right - 8.0, y - 10.0])
    half_degrees = np.arange(181)
    # Where the thread hangs at an altitude, from straight down.
    turns = np.radians(half_degrees / 2)
    ways = np.stack([-np.sin(turns), -np.cos(turns)], axis=-1)
    outline = np.concatenate([[(7, -_RIM), (7, 8), (-_RIM, 8)], _RIM * ways[::-1]])
    sheet.area(corner + outline, lw=0.8)
    free = RADIUS - 17  # where the numbers stand no line goes
    edges = [((-free, 0), (0, 0)), ((0, 0), (0, -free))]
    pin = [((-2, -2), (2, 2)), ((-2, 2), (2, -2))]
    sheet.strokes(corner + np.array(edges + pin))
    straw = PAGES["quadrant"]["straw"]
    sheet.words(corner[0] - RADIUS / 2, corner[1] + 2, straw, 8, ha="center")
    sheet.scale(half_degrees, corner + RADIUS * ways, -ways, {20: 6, 2: 4, 1: 2})

    def write(degrees, away, text, size):
        at = corner + (RADIUS + away) * ways[2 * degrees]
        sheet.words(*at, text, size, rotation=-degrees, **MIDDLE)

    for degrees in range(0, 91, 10):
        write(degrees, 5, f"{degrees}°", 9)
        write(degrees, -11, f"{90 - degrees}°", 7)
    write(45, 5, "altitude", 9)
    write(45, -17, "zenith distance", 7)
    yield sheet
