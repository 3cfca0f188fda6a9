"""Drawings for lesson 4: the sighting rod before the Moon, and what the hole does to the angle."""

import numpy as np
from astropy import units as u

from moonreach.figures import style
from moonreach.figures.circles import covered_fraction
from moonreach.figures.drawing import Drawing, Slider, signed
from moonreach.lessons import sighting_angle, today

DISC = Slider("disc", "Width of the disc", 10, 16, 14, 0.5, "mm")
HOLE = Slider("hole", "Sight hole", 0.5, 3, 1, 0.1, "mm")
ANGLE = Slider("angle", "Moon's true angle", 29.4, 33.5, 31.1, 0.1, "′")
HOLE_X, AXIS_Y, EDGE_X = 70, 165, 790
PX_PER_M, PX_PER_MM = 220, 6
VIEW, VIEW_PX_PER_ARCMIN = 150, 3


class Rod(Drawing):
    """The disc between hole and Moon, and what is seen through the hole."""

    title = "A disc that just covers the Moon (at night only)"
    caption = (
        "The grey beams are moonlight from the upper and the lower limb; each fills the whole "
        "hole. Slide the disc: nearer than the vanish mark it stops both beams wholly, beyond "
        "the rim mark it stops nothing of them. Between the two marks, part of the hole sees the "
        "limb and part does not. Widen the hole and the marks move apart."
    )
    alternative = (
        "A rod with a sight hole at the left end, a disc on it, and beams of moonlight from the "
        "right. Marks show where the Moon vanishes and where its rim shows all round. A small "
        "picture shows what is seen through the hole."
    )
    sliders = (
        Slider("distance", "Disc stands at", 0.6, 2.4, 1.6, 0.01, "m", ".2f"),
        DISC,
        HOLE,
        ANGLE,
    )

    def build(self):
        """Make the rod below, the numbers above, the view through the hole at the right."""
        stage = self.stage()
        note = f"widths drawn {1000 * PX_PER_MM / PX_PER_M:.0f} times too large against the rod"
        stage.text(20, 398, note, color=style.FAINT, size=9)
        marks = np.arange(0.6, 2.41, 0.2)
        for m in marks:
            x = HOLE_X + m * PX_PER_M
            stage.plot([x, x], [46, 52], color=style.FAINT, lw=1)
            stage.text(x, 42, f"{m:.1f}", ha="center", va="top", size=9)
        stage.text(HOLE_X + 2.5 * PX_PER_M, 42, "m from the hole", va="top", size=9)
        stage.plot([HOLE_X, HOLE_X + 2.45 * PX_PER_M], [52, 52], color=style.INK, lw=2)
        stage.text(EDGE_X, AXIS_Y, "moonlight", ha="right", va="center", color=style.FAINT)
        stage.text(HOLE_X - 14, AXIS_Y, "eye", ha="right", va="center", color=style.FAINT)
        self.beams = [self.area(stage, style.MOON, alpha=0.35) for _ in range(2)]
        self.passing = [self.area(stage, style.MOON, alpha=0.9) for _ in range(2)]
        self.wall = self.line(stage, style.INK, lw=4, solid_capstyle="butt")
        self.disc = self.line(stage, style.OWN, lw=5, solid_capstyle="butt")
        self.marks = self.line(stage, style.OWN, marker="^", ms=8, ls="")
        self.post = self.line(stage, style.FAINT, lw=1)
        self.mark_words = [
            self.words(stage, 0, 60, text, ha=ha, size=9, color=style.OWN_WORDS)
            for text, ha in (("vanish", "right"), ("rim", "left"))
        ]
        rows = (
            "The Moon vanishes at",
            "Its rim shows all round at",
            "Disc here, for a point eye",
            "Through the hole",
        )
        self.cells = []
        for y, text in zip((365, 342, 319, 296), rows, strict=True):
            stage.text(20, y, text)
            self.cells.append(self.words(stage, 225, y, weight="bold", color=style.OWN_WORDS))
        self.view = self.figure.add_axes((640 / 800, 296 / 450, VIEW / 800, VIEW / 450))
        self.view.set_axis_off()
        reach = np.arange(VIEW) - (VIEW - 1) / 2
        self.apart = np.hypot(*np.meshgrid(reach, reach)) / VIEW_PX_PER_ARCMIN
        blank = np.zeros((VIEW, VIEW, 3), np.uint8)
        self.seen = self.moves(self.view.imshow(blank, interpolation="none"))
        stage.text(715, 281, "seen through the hole", ha="center", color=style.FAINT, size=9)

    def update(self, distance, disc, hole, angle):
        """Stop the beams at the disc, mark both readings, and look through the hole."""
        d, a, theta, here = disc * u.mm, hole * u.mm, angle * u.arcmin, distance * u.m
        vanish, rim = (
            sighting_angle.expected_reading(d, theta, a, seen).to_value(u.m)
            for seen in ("vanish", "rim")
        )
        x = HOLE_X + distance * PX_PER_M
        half_hole, half_disc = hole * PX_PER_MM / 2, disc * PX_PER_MM / 2
        slope = np.tan(theta.to_value(u.rad) / 2) * 1000 * PX_PER_MM / PX_PER_M
        at_disc, at_edge = slope * (x - HOLE_X), slope * (EDGE_X - HOLE_X)
        lowest = np.clip(half_disc - at_disc, -half_hole, half_hole)  # in the hole
        for beam, passing, side in zip(self.beams, self.passing, (1, -1), strict=True):
            corners = [(EDGE_X, at_edge - half_hole), (EDGE_X, at_edge + half_hole)]
            corners += [(x, at_disc + half_hole), (x, at_disc - half_hole)]
            beam.set_xy([(px, AXIS_Y + side * py) for px, py in corners])
            corners = [(HOLE_X, lowest), (HOLE_X, half_hole)]
            corners += [(x, at_disc + half_hole), (x, at_disc + lowest)]
            passing.set_xy([(px, AXIS_Y + side * py) for px, py in corners])
        wall = np.array([AXIS_Y - 60, AXIS_Y - half_hole, np.nan, AXIS_Y + half_hole, AXIS_Y + 60])
        self.wall.set_data([HOLE_X] * 5, wall)
        self.disc.set_data([x, x], [AXIS_Y - half_disc, AXIS_Y + half_disc])
        self.post.set_data([x, x], [52, AXIS_Y - half_disc])
        at = HOLE_X + np.array([vanish, rim]) * PX_PER_M
        self.marks.set_data(at, [58, 58])
        for words, px, step in zip(self.mark_words, at, (-8, 8), strict=True):
            words.set_x(px + step)
        if distance <= vanish:
            state = "the Moon is gone"
        elif distance >= rim:
            state = "the rim shows all round"
        else:
            state = "the rim shows dimly"
        point = sighting_angle.angular_diameter(d, here).to_value(u.arcmin)
        texts = (f"{vanish:.2f} m", f"{rim:.2f} m", f"{point:.1f}′", state)
        for cell, text in zip(self.cells, texts, strict=True):
            cell.set_text(text)
        self.seen.set_data(self.through_hole(distance, disc, hole, angle))

    def through_hole(self, distance, disc, hole, angle):
        """Return the picture: the Moon, dimmed where only part of the hole sees past the disc."""
        steps = np.linspace(0, angle / 2, 60)
        aside = np.radians(steps / 60) * distance * 1000  # where that ray meets the disc, in mm
        light = 1 - covered_fraction(hole / 2, disc / 2, aside)
        grey = np.interp(self.apart, steps, 40 + 190 * light)
        grey[self.apart > angle / 2] = 20
        return np.repeat(grey.astype(np.uint8)[:, :, None], 3, axis=2)


class HoleCost(Drawing):
    """The angle from one reading taken for a point eye's, and from both readings."""

    title = "What if …? A hole taken for a point"
    caption = (
        "If only the vanish position is read and the hole forgotten, the Moon comes out too large; "
        "with the rim position alone, too small. Both together give the true angle, whatever the "
        "hole. Compare with the band in which the true angle moves in the course of the months: "
        "the hole can cost more than the whole band."
    )
    alternative = (
        "The Moon's angle against the width of the sight hole. Vanish alone rises above the true "
        "angle, rim alone falls below it, both together stay level. A band marks the range of the "
        "true angle, 29.4 to 33.5 arcminutes."
    )
    sliders = (HOLE, DISC, ANGLE)

    def build(self):
        """Make the chart and the three results beside it."""
        chart = self.chart(70, 60, 440, 330, xlim=(0, 3), ylim=(20, 50))
        chart.set_xlabel("sight hole, in mm")
        chart.set_ylabel("Moon's angle found, in arcminutes")
        chart.grid(True)
        least, greatest = (
            each.to_value(u.arcmin)
            for each in (today.MOON_LEAST_DIAMETER, today.MOON_GREATEST_DIAMETER)
        )
        chart.axhspan(least, greatest, color=style.TODAY, alpha=0.15, lw=0)
        for edge in (least, greatest):
            chart.axhline(edge, color=style.TODAY, ls=style.DASHED, lw=1)
        looks = ({"color": style.DROPPED}, {"color": style.DROPPED, "ls": "-."}, {"lw": 2.4})
        looks[2]["color"] = style.OWN
        self.curves = [self.line(chart, **look) for look in looks]
        self.here = self.line(chart, style.SHADOW_EDGE, lw=1)
        self.dots = self.line(chart, style.OWN, marker="o", ms=7, ls="", clip_on=False)
        right = self.stage(520, 0, 280)
        right.text(530, 365, "Angle found", weight="bold")
        rows = (
            (330, "— vanish, as if a point", style.DROPPED_WORDS),
            (265, "-·- rim, as if a point", style.DROPPED_WORDS),
            (200, "— both readings", style.OWN_WORDS),
        )
        words = f"- - the Moon's own range,\n      {least:.1f}′ to {greatest:.1f}′"
        right.text(530, 110, words, color=style.TODAY_WORDS)
        self.cells = []
        for y, text, color in rows:
            right.text(530, y, text, color=color)
            self.cells.append(self.words(right, 552, y - 24, color=color, weight="bold"))

    def update(self, hole, disc, angle):
        """Take both readings through holes of every width, and find the angle three ways."""
        d, theta = disc * u.mm, angle * u.arcmin
        holes = np.append(np.linspace(0, 3, 31), hole)
        vanish, rim = (
            sighting_angle.expected_reading(d, theta, holes * u.mm, seen)
            for seen in ("vanish", "rim")
        )
        found = (
            sighting_angle.angular_diameter(d, vanish),
            sighting_angle.angular_diameter(d, rim),
            sighting_angle.bracketed_angular_diameter(d, vanish, rim),
        )
        found = [each.to_value(u.arcmin) for each in found]
        for curve, cell, each in zip(self.curves, self.cells, found, strict=True):
            curve.set_data(holes[:-1], each[:-1])
            cell.set_text(f"{each[-1]:.1f}′  ({signed(100 * (each[-1] / angle - 1))} %)")
        self.here.set_data([hole, hole], [20, 50])
        self.dots.set_data([hole] * 3, [each[-1] for each in found])
