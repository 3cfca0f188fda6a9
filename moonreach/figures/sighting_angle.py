"""Drawings for lesson 4: the sighting rod before the Moon, and what the hole does to the angle."""

import numpy as np
from astropy import units as u

from moonreach.figures import style
from moonreach.figures.circles import covered_fraction
from moonreach.figures.drawing import Drawing, Slider
from moonreach.figures.parts import joined, worded
from moonreach.lessons import sighting_angle, today

DISC = Slider("disc", "Width of the disc", 10, 18, 15, 0.5, "mm")
HOLE = Slider("hole", "Sight hole", 0.5, 3, 1.5, 0.1, "mm")
ANGLE = Slider("angle", "Moon's true angle", 29.4, 33.5, 31.1, 0.1, "′")


class Rod(Drawing):
    """The disc between hole and Moon, and what is seen through the hole."""

    sliders = (
        Slider("distance", "Disc stands at", 0.6, 2.4, 1.6, 0.01, "m", ".2f"),
        DISC,
        HOLE,
        ANGLE,
    )
    hole_x, axis_y, edge_x = 70, 165, 790
    px_per_m, px_per_mm = 220, 6
    view_px, px_per_arcmin = 150, 3

    def build(self):
        """Make the rod below, the numbers above, the view through the hole at the right."""
        stage = self.pane()
        times = 1000 * self.px_per_mm / self.px_per_m
        stage.note(f"widths drawn {times:.0f} times too large against the rod")
        marks = np.arange(0.6, 2.41, 0.2)
        stage.ruler(self.hole_x, 52, self.px_per_m, marks, "{:.1f}", "m from the hole", 725)
        look = {"ha": "right", "va": "center", "color": style.FAINT}
        stage.words(self.edge_x, self.axis_y, "moonlight", **look)
        stage.words(self.hole_x - 14, self.axis_y, "eye", **look)
        for side in ("upper", "lower"):
            stage.area(f"{side}_beam", style.MOON, alpha=0.35)
        for side in ("upper", "lower"):
            stage.area(f"{side}_passing", style.MOON, alpha=0.9)
        stage.bar_line("wall")
        stage.bar_line("disc", style.OWN, 5)
        stage.line("marks", style.OWN, marker="^", ms=8, ls="")
        stage.line("post", style.FAINT, lw=1)
        look = {"size": 9, "color": style.OWN_WORDS}
        stage.words(text="vanish", feed="vanish_at", ha="right", **look)
        stage.words(text="rim", feed="rim_at", ha="left", **look)
        rows = (
            (365, "The Moon vanishes at", "vanish", "{:.2f} m", style.OWN_WORDS),
            (342, "Its ring begins to fade at", "rim", "{:.2f} m", style.OWN_WORDS),
            (319, "Disc here, for a point eye", "point", "{:.1f}′", style.INK),
            (296, "Through the hole", "state", "{}", style.INK),
        )
        stage.table(20, 225, rows, ha="left")
        reach = np.arange(self.view_px) - (self.view_px - 1) / 2
        self.apart = np.hypot(*np.meshgrid(reach, reach)) / self.px_per_arcmin
        view = self.pane(640, 296, self.view_px, self.view_px)
        view.picture("seen", interpolation="none")
        stage.note("seen through the hole", 715, 281, ha="center")

    def work_out(self, distance, disc, hole, angle):
        """Stop the beams at the disc, mark both readings, and look through the hole."""
        d, theta = disc * u.mm, angle * u.arcmin
        vanish, rim = (
            sighting_angle.expected_reading(d, theta, hole * u.mm, seen).to_value(u.m)
            for seen in ("vanish", "rim")
        )
        x, y = self.hole_x + distance * self.px_per_m, self.axis_y
        half_hole, half_disc = hole * self.px_per_mm / 2, disc * self.px_per_mm / 2
        slope = np.tan(theta.to_value(u.rad) / 2) * 1000 * self.px_per_mm / self.px_per_m
        at_disc, at_edge = slope * (x - self.hole_x), slope * (self.edge_x - self.hole_x)
        lowest = np.clip(half_disc - at_disc, -half_hole, half_hole)  # in the hole
        passing = [
            (self.hole_x, lowest),
            (self.hole_x, half_hole),
            (x, at_disc + half_hole),
            (x, at_disc + lowest),
        ]
        ends = ((self.edge_x, at_edge), (x, at_disc))
        stopped = [(px, py + side * half_hole) for px, py in ends for side in (-1, 1)]
        shapes = {"beam": [stopped[i] for i in (0, 1, 3, 2)], "passing": passing}
        walls = [[(self.hole_x, y + s * 60), (self.hole_x, y + s * half_hole)] for s in (-1, 1)]
        at = [self.hole_x + reading * self.px_per_m for reading in (vanish, rim)]
        state = "a dim ring"
        if distance <= vanish:
            state = "the Moon is gone"
        elif distance >= rim:
            state = "a bright ring all round"
        return {
            **{f"upper_{name}": [(px, y + py) for px, py in shapes[name]] for name in shapes},
            **{f"lower_{name}": [(px, y - py) for px, py in shapes[name]] for name in shapes},
            "wall": joined(*walls),
            "disc": [(x, y - half_disc), (x, y + half_disc)],
            "post": [(x, 52), (x, y - half_disc)],
            "marks": [(px, 58) for px in at],
            "vanish_at": (at[0] - 8, 60),
            "rim_at": (at[1] + 8, 60),
            "vanish": vanish,
            "rim": rim,
            "point": sighting_angle.angular_diameter(d, distance * u.m).to_value(u.arcmin),
            "state": state,
            "seen": self.through_hole(distance, disc, hole, angle),
        }

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

    sliders = (HOLE, DISC, ANGLE)
    ways = (
        ("vanish", 330, "— vanish, as if a point", style.DROPPED_WORDS),
        ("rim", 265, "-·- rim, as if a point", style.DROPPED_WORDS),
        ("both", 200, "— both readings", style.OWN_WORDS),
    )

    def build(self):
        """Make the chart and the three results beside it."""
        graph = self.graph(70, 60, 440, 330, xlim=(0, 3), ylim=(20, 50))
        graph.axes.set(xlabel="sight hole, in mm", ylabel="Moon's angle found, in arcminutes")
        least, greatest = (
            each.to_value(u.arcmin)
            for each in (today.MOON_LEAST_DIAMETER, today.MOON_GREATEST_DIAMETER)
        )
        graph.axes.axhspan(least, greatest, color=style.TODAY, alpha=0.15, lw=0)
        for edge in (least, greatest):
            graph.axes.axhline(edge, color=style.TODAY, ls=style.DASHED, lw=1)
        right = self.pane(520, 0, 280)
        right.words(530, 365, "Angle found", weight="bold")
        words = f"- - the Moon's own range,\n      {least:.1f}′ to {greatest:.1f}′"
        right.words(530, 110, words, color=style.TODAY_WORDS)
        graph.line("vanish_curve", style.DROPPED)
        graph.line("rim_curve", style.DROPPED, ls="-.")
        graph.line("both_curve", style.OWN, lw=2.4)
        for name, y, text, color in self.ways:
            right.words(530, y, text, color=color)
            right.number(name, "{}", 552, y - 24, color=color, weight="bold")
        graph.line("here", style.SHADOW_EDGE, lw=1)
        graph.dots("dots")

    def work_out(self, hole, disc, angle):
        """Take both readings through holes of every width, and find the angle three ways."""
        d, theta = disc * u.mm, angle * u.arcmin
        holes = np.append(np.linspace(0, 3, 31), hole)
        vanish, rim = (
            sighting_angle.expected_reading(d, theta, holes * u.mm, seen)
            for seen in ("vanish", "rim")
        )
        found = {
            "vanish": sighting_angle.angular_diameter(d, vanish),
            "rim": sighting_angle.angular_diameter(d, rim),
            "both": sighting_angle.bracketed_angular_diameter(d, vanish, rim),
        }
        numbers = {"here": [(hole, 20), (hole, 50)], "dots": []}
        for name, angles in found.items():
            angles = angles.to_value(u.arcmin)
            off = worded("{:+.1f} %", 100 * (angles[-1] / angle - 1))
            numbers[name] = f"{angles[-1]:.1f}′  ({off})"
            numbers[f"{name}_curve"] = np.column_stack([holes, angles])[:-1]
            numbers["dots"].append((hole, angles[-1]))
        return numbers
