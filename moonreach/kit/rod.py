"""The sighting rod: how it is put together, discs, sight-hole card, scales, target, slider."""

import numpy as np
from astropy import units as u

from moonreach.figures import style
from moonreach.kit import strips
from moonreach.kit.page import MIDDLE, PAGES

_TARGET = 60.0  # mm, the usual target's diameter
_EXTREMES = (36 * u.arcmin, 27 * u.arcmin)  # the scales go somewhat beyond every Moon


def assembled(kit):
    """Yield the page with the drawing of the rod, its parts, and how it is put together."""
    words = PAGES["rod"]
    page, y = kit.begin("rod")
    low, hole, end = y - 68, page.left + 13.6, page.right - 22
    places = {"hole": hole, "end": end, "disc": page.left + 112, "moon": page.right - 8}
    page.draw(words["marks"], places, low)
    ticks = np.arange(hole + 52.4, end, 3)
    page.strokes([((x, low + 25.2), (x, low + 27.8)) for x in ticks])
    page.words(page.left, low - 3, words["note"], 8, color=style.FAINT)
    y = page.paragraph(y - 74, kit.reach())
    y = page.paragraph(y - 1, words["heading"], 10)
    y = page.paragraph(y, words["parts"].format(rod=kit.rod), 8.5)
    page.paragraph(y - 1, words["use"], 8.5)
    yield page


def discs(kit):
    """Yield the page of disc and cap outlines of the rod's disc, and of other diameters."""
    words, diameter = PAGES["discs"], kit.disc.to_value(u.mm)
    radius = diameter / 2
    page, y = kit.begin("discs", diameter=diameter)
    y -= radius + 3
    step = diameter + 10
    count = int((page.right - page.left) // step)
    for row in range(2 if diameter <= 20 else 1):  # enough for a class, where they fit
        y -= row * (diameter + 20)
        for x in page.left + step * (np.arange(count) + 0.5):
            page.circle(x, y, radius)
            page.cross(x, y, 2)
            page.rectangle(x - 2, y - radius - 12, 4, 12)
    y = page.paragraph(y - radius - 18, words["cap"]) - radius - 8
    for x in page.left + (diameter + 16) * (np.arange(3) + 0.5):
        if x + radius + 8 < page.right:
            _cap(page, x, y, radius)
    y -= radius + 20
    around = np.pi * diameter
    page.rectangle(page.left, y, around + 8, 8)
    page.strokes([((page.left + around, y), (page.left + around, y + 8))])
    page.words(page.left + 2, y + 4, words["strip"].format(around), 7, va="center")
    y = page.paragraph(y - 6, words["others"]) - 14
    x = page.left
    for size in words["diameters"]:
        if size != diameter:
            page.circle(x + size / 2, y, size / 2)
            page.words(x + size / 2, y, f"{size}", 7, **MIDDLE)
            x += size + 9
    yield page


def _cap(page, x, y, radius, teeth=12):
    """Draw a circle with teeth to fold back."""
    page.circle(x, y, radius, ls="--")
    page.cross(x, y, 2)
    turns = np.arange(2 * teeth + 1) * np.pi / teeth
    reach = radius + np.resize([6, 0.4], len(turns))
    page.line(x + reach * np.cos(turns), y + reach * np.sin(turns))


def sight_hole(kit):
    """Yield the page of sight-hole cards and eye stops."""
    words, hole = PAGES["sight_hole"], kit.hole.to_value(u.mm)
    page, y = kit.begin("sight_hole", hole=hole)
    low = y - 89
    for x in (page.left + 34, page.left + 106):
        page.draw(words["card"], {"hole": x}, low)
        page.circle(x, low + 55, hole / 2, lw=0.3)
        page.cross(x, low + 55, 24, free=hole / 2 + 0.5)
    y = page.paragraph(y - 97, words["stop"])
    page.draw(words["ring"], {"ring": page.left + 30}, y - 48)
    yield page


def scales(kit):
    """Yield the pages of scale strips: distance from the hole, and the angle by it."""
    first = kit.reading(_EXTREMES[0], "vanish").to_value(u.mm)
    first = max(0, np.floor(first / strips.LENGTH) * strips.LENGTH)
    angles = np.arange(_EXTREMES[1].value, 60.01, 0.1).round(1)
    rows = {
        seen: (angles, kit.reading(angles * u.arcmin, seen).to_value(u.mm))
        for seen in ("vanish", "rim")
    }
    words = {"reach": kit.reach(), "begins": first / 1000}
    yield from strips.pages(kit, "scales", first, kit.rod.to_value(u.mm), rows, **words)


def target(kit):
    """Yield the page of the lit target to try the rod on, and of the slider."""
    words = PAGES["target"]
    page, y = kit.begin("target")
    x = page.left + 36
    page.circle(x, y - 34, _TARGET / 2)
    page.cross(x, y - 34, 3)
    page.words(x, y - 39, words["cut"], 8, ha="center", va="top")
    page.draw(words["setting"], {"hole": page.left + 78, "target": page.right - 14}, y - 64)
    y = page.paragraph(y - 72, words["slider"])
    page.draw(words["net"], {"flat": page.left, "folded": page.left + 150}, y - 40)
    yield page
