"""The quadrant: a quarter circle with a plumb line, for the altitude of the Moon."""

import numpy as np

MOON = (
    "For the Moon alone. Never point the straw at or near the Sun: by day only when the Sun stands "
    "behind a wall or behind your back, a quarter of the sky away. Craft knife and pin: a cutting "
    "mat, fingers behind the edge, an adult beside it; the rules of school and workshop come first."
)
RADIUS = 140.0  # mm, of the scale; a degree is 2.4 mm


def page(kit):
    """Yield the page of the quadrant."""
    sheet = kit.page("Quadrant with plumb line")
    y = sheet.caution(sheet.top, MOON)
    how = (
        "Glue the sheet on stiff card and cut along the outline. Pierce the cross with a pin, hang "
        "from it a thread with a nut below the scale. Glue a drinking straw along the upper edge. "
        "One person looks at the Moon through the straw, from the left, and says when; the other "
        "lets the thread come to rest without touching the card, holds it there and reads: the "
        "outer numbers are the altitude, the inner ones the zenith distance. Try it on something "
        "far away and as high as your eye, found with a water level: what the thread shows there "
        "in place of 0° is the straw's own error, to be taken off. For directions along the "
        "horizon use this kit's gnomon base."
    )
    y = sheet.paragraph(sheet.left, y, sheet.right - sheet.left, how)
    corner = np.array([sheet.right - 8.0, y - 14.0])
    rim = RADIUS + 12
    turns = np.radians(np.linspace(0, 90, 181))
    arc = corner + rim * _way(turns)

    def off(right, up):
        return corner + np.array([right, up])

    sheet.area([off(4, 8), off(-rim, 8), *arc[::-1], off(4, -rim)], lw=0.8)
    sheet.strokes([(off(-RADIUS, 0), corner), (corner, off(0, -RADIUS))])
    sheet.strokes([(off(-2, -2), off(2, 2)), (off(-2, 2), off(2, -2))])
    sheet.words(corner[0] - RADIUS / 2, corner[1] + 2, "straw along this edge: eye at the left, "
                "Moon to the right", 8, ha="center")  # fmt: skip
    ticks = []
    for half_degrees, turn in enumerate(turns):
        size = 6 if half_degrees % 20 == 0 else 4 if half_degrees % 2 == 0 else 2
        ticks.append((corner + RADIUS * _way(turn), corner + (RADIUS - size) * _way(turn)))
        if half_degrees % 20 == 0:
            degrees = half_degrees // 2
            look = {"ha": "center", "va": "center", "rotation": -degrees}
            sheet.words(*(corner + (RADIUS + 5) * _way(turn)), f"{degrees}°", 9, **look)
            sheet.words(*(corner + (RADIUS - 11) * _way(turn)), f"{90 - degrees}°", 7, **look)
    sheet.strokes(ticks)
    names = ((RADIUS + 5, "altitude", 9), (RADIUS - 17, "zenith distance", 7))
    for radius, name, size in names:
        at = corner + radius * _way(np.radians(45))
        sheet.words(*at, name, size, ha="center", va="center", rotation=-45)
    yield sheet


def _way(turn):
    """Return the direction in which the thread hangs at an altitude, from straight down."""
    return np.stack([-np.sin(turn), -np.cos(turn)], axis=-1)
