"""A drawing for lesson 2: the two triangles that give the formula for any path."""

import numpy as np

from moonreach.figures import style
from moonreach.figures.circles import GAP, disc
from moonreach.figures.drawing import Drawing, strokes
from moonreach.figures.eclipse_timing import OFFSET, RATIO

PX = 88  # pixels for one semidiameter of the Moon
MIDDLE = np.array([60, 135])  # of the shadow


class TwoTriangles(Drawing):
    """Shadow, path and the Moon at U3 and U4: two right triangles with one side in common."""

    title = "Two triangles with one side in common"
    caption = (
        "The Moon leaves the shadow. At U3 the middles of Moon and shadow are S − s apart, at U4 "
        "they are S + s apart. Both triangles have the upright side b. Move the path: every side "
        "changes, but the difference of the two squares on the right stays as it is. It "
        "holds the shadow ratio alone. (All lengths here are in semidiameters of the Moon, s = 1.)"
    )
    alternative = (
        "A quarter of the round shadow with the Moon's path above its middle, and the Moon at the "
        "contacts U3 and U4. Lines from the shadow's middle to the Moon's middles, upright to the "
        "path, and along the path make two right triangles; their sides squared stand beside."
    )
    sliders = (OFFSET, RATIO)

    def build(self):
        """Make the quarter of the shadow on the left, the squares of the sides on the right."""
        sky = self.stage(0, 0, 560)
        self.umbra = self.area(sky, style.SHADOW, alpha=0.22)
        self.moons = self.line(sky, style.SHADOW_EDGE, lw=1.2)
        self.path = self.line(sky, style.FAINT, lw=1)
        self.ways = self.line(sky, style.FAINT, lw=1)
        self.drops = self.line(sky, style.FAINT, lw=0.8, ls=":")
        self.slants = self.line(sky, style.INK, lw=2)
        self.upright = self.line(sky, style.DROPPED, lw=4, solid_capstyle="butt")
        self.b_word = self.words(sky, ha="right", va="center", color=style.DROPPED_WORDS)
        self.slant_words = [
            self.words(sky, text=text, ha=ha, va=va, size=9)
            for text, ha, va in (("S − s", "right", "bottom"), ("S + s", "left", "top"))
        ]
        self.contacts = [
            self.words(sky, text=f"U{number}", ha="center", va="bottom", weight="bold")
            for number in (3, 4)
        ]
        halves = ("v × half of U2 to U3", "v × half of U1 to U4")
        self.way_words = [
            self.words(sky, y=y, text=text, va="center", size=9)
            for y, text in zip((75, 35), halves, strict=True)
        ]
        right = self.stage(560, 0, 240)
        right.text(570, 360, "Squares of the sides", weight="bold")
        rows = (
            (325, "long, (S + s)²", style.INK),
            (300, "short, (S − s)²", style.INK),
            (275, "in common, b²", style.DROPPED_WORDS),
            (225, "along the path, long", style.INK),
            (200, "along the path, short", style.INK),
            (150, "their difference", style.OWN_WORDS),
            (125, "4 × S × s", style.OWN_WORDS),
        )
        self.cells = []
        for y, text, color in rows:
            right.text(570, y, text, color=color)
            self.cells.append(self.words(right, 785, y, ha="right", color=color, weight="bold"))

    def update(self, offset, ratio):
        """Put the Moon at its two contacts on this path, and square the sides."""
        b = offset * ratio
        slants = np.array([ratio - 1, ratio + 1])
        along = np.sqrt(slants**2 - b**2)
        y = MIDDLE[1] + b * PX
        x = MIDDLE[0] + along * PX
        quarter = np.linspace(0, np.pi / 2, 61)
        rim = MIDDLE + ratio * PX * np.column_stack([np.cos(quarter), np.sin(quarter)])
        self.umbra.set_xy(np.vstack([MIDDLE, rim]))
        self.moons.set_data(*np.vstack([disc(x[0], y, PX), GAP, disc(x[1], y, PX)]).T)
        self.path.set_data([5, 555], [y, y])
        self.slants.set_data(*strokes((MIDDLE, (end, y)) for end in x))
        self.upright.set_data([MIDDLE[0]] * 2, [MIDDLE[1], y])
        self.b_word.set_position((MIDDLE[0] - 8, MIDDLE[1] + b * PX / 2))
        self.b_word.set_text("b" if b > 0.1 else "")
        self.ways.set_data(
            *strokes(((MIDDLE[0], low), (end, low)) for end, low in zip(x, (75, 35), strict=True))
        )
        self.drops.set_data(
            *strokes(((end, y), (end, low)) for end, low in zip(x, (75, 35), strict=True))
        )
        for word, way, end in zip(self.contacts, self.way_words, x, strict=True):
            word.set_position((end, y + 6))
            way.set_x(end + 6)
        for word, end, part, aside in zip(
            self.slant_words, x, (0.5, 0.6), ((-6, 3), (6, -3)), strict=True
        ):
            word.set_position(MIDDLE + part * (np.array([end, y]) - MIDDLE) + aside)
        self.slant_words[0].set_text("S − s" if along[0] > 1 else "")  # else no room
        squares = (*slants[::-1] ** 2, b**2, *along[::-1] ** 2)
        difference = along[1] ** 2 - along[0] ** 2
        for cell, value in zip(self.cells, (*squares, difference, 4 * ratio), strict=True):
            cell.set_text(f"{value:.2f}")
