"""A drawing for lesson 3: the shadow of a small disc in sunlight, which narrows as all do here."""

import numpy as np
from astropy import units as u

from moonreach.figures import style
from moonreach.figures.circles import disc as outline
from moonreach.figures.drawing import Drawing, Slider
from moonreach.lessons import shadow_cone, today

DISC_X, AXIS_Y = 90, 197
PX_PER_CM, PX_PER_M = 12, 48
VIEW_X, VIEW_Y, SUN_PX = 725, 370, 26
SUN = today.SUN_RADIUS, today.SUN_DISTANCE


class DiscShadow(Drawing):
    """A disc that faces the Sun, its full and its half shadow, and a card that catches them."""

    title = "The shadow of a small disc in sunlight"
    caption = (
        "The full shadow (dark) narrows and ends in a point, the half shadow (pale) widens. Slide "
        "the card and read by how much the full shadow has narrowed; then take another disc. "
        "Beyond the point a ring of the Sun is left round the disc. Catch the shadow on a card or "
        "on the ground; nobody looks towards the Sun."
    )
    alternative = (
        "At the left a disc facing the Sun, seen from the side. Behind it a dark full shadow that "
        "narrows to a point and a pale half shadow that widens, with a card across both. A small "
        "picture shows how much of the Sun the disc covers from the middle of the card."
    )
    sliders = (
        Slider("disc", "Width of the disc", 2, 10, 6, 0.5, "cm"),
        Slider("card", "Card behind the disc at", 0.5, 12, 3, 0.1, "m"),
    )

    def build(self):
        """Make light, shadows, disc and card below, the numbers above."""
        stage = self.stage()
        times = 100 * PX_PER_CM / PX_PER_M
        note = f"widths drawn {times:.0f} times too large against distances"
        stage.text(20, 398, note, color=style.FAINT, size=9)
        stage.text(20, AXIS_Y + 50, "sunlight", color=style.FAINT, size=9)
        for y in (-40, -20, 0, 20, 40):
            stage.plot([20, DISC_X - 12], [AXIS_Y + y] * 2, color=style.SUN, lw=1.2)
        self.penumbra = self.area(stage, style.SHADOW, alpha=0.15)
        self.umbra = self.area(stage, style.SHADOW, alpha=0.7)
        self.disc = self.line(stage, style.MOON, lw=6, solid_capstyle="butt")
        self.card = self.line(stage, style.INK, lw=1.5)
        self.patch = self.line(stage, style.OWN, lw=5, solid_capstyle="butt")
        for m in range(0, 13, 2):
            x = DISC_X + m * PX_PER_M
            stage.plot([x, x], [46, 52], color=style.FAINT, lw=1)
            stage.text(x, 42, f"{m}", ha="center", va="top", size=9)
        stage.plot([DISC_X, DISC_X + 12 * PX_PER_M], [52, 52], color=style.INK, lw=1)
        stage.text(790, 42, "m from the disc", ha="right", va="top", size=9)
        rows = ("Full shadow on the card", "Narrower than the disc by", "Full shadow ends at")
        self.cells = []
        for y, text in zip((370, 347, 324), rows, strict=True):
            stage.text(20, y, text)
            self.cells.append(self.words(stage, 215, y, weight="bold", color=style.OWN_WORDS))
        stage.fill(*outline(VIEW_X, VIEW_Y, SUN_PX).T, fc=style.SUN)
        self.before = self.area(stage, style.SHADOW_EDGE)
        rim = self.line(stage, style.SUN, lw=1.2)  # the Sun's, to be seen before the disc too
        rim.set_data(*outline(VIEW_X, VIEW_Y, SUN_PX).T)
        words = "the Sun from there,\nas reckoned"
        stage.text(VIEW_X - 55, VIEW_Y, words, ha="right", va="center", color=style.FAINT, size=9)

    def update(self, disc, card):
        """Let the two shadows run to the picture's edge, and put the card across them."""
        radius = disc / 2 * u.cm
        end = shadow_cone.umbra_length(radius, *SUN).to_value(u.m)
        half, far = disc / 2 * PX_PER_CM, (790 - DISC_X) / PX_PER_M
        shut, spread = half * (1 - min(far / end, 1)), half * (1 + far / end)
        stop = DISC_X + min(end, far) * PX_PER_M
        edge = DISC_X + far * PX_PER_M
        for area, x, height in ((self.umbra, stop, shut), (self.penumbra, edge, spread)):
            area.set_xy(
                [(px, AXIS_Y + py) for px, py in ((DISC_X, -half), (DISC_X, half), (x, height))]
                + [(x, AXIS_Y - height)]
            )
        self.disc.set_data([DISC_X] * 2, [AXIS_Y - half, AXIS_Y + half])
        x = DISC_X + card * PX_PER_M
        self.card.set_data([x, x], [60, AXIS_Y + 115])
        left = max(1 - card / end, 0)
        size = half * left if left else np.nan
        self.patch.set_data([x, x], [AXIS_Y - size, AXIS_Y + size])
        texts = (
            f"{disc * left:.1f} cm" if left else "none, a ring of the Sun is left",
            f"{disc * (1 - left):.1f} cm" if left else "its whole width",
            f"{end:.1f} m",
        )
        for cell, text in zip(self.cells, texts, strict=True):
            cell.set_text(text)
        covers = min(SUN_PX * end / card, 44)  # of the Sun's width, and not beyond the picture
        self.before.set_xy(outline(VIEW_X, VIEW_Y, covers))
