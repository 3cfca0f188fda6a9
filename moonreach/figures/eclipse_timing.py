"""Drawings for lesson 2: the Moon's path through the umbra, and what a path offset costs."""

from dataclasses import replace

import numpy as np
from astropy import units as u

from moonreach.figures import style
from moonreach.figures.circles import covered_fraction, disc
from moonreach.figures.drawing import Drawing, Slider
from moonreach.figures.parts import PERCENT, joined
from moonreach.lessons import eclipse_timing, today

RATIO = Slider("ratio", "Shadow ratio (x)", 2.2, 3.2, 2.7, 0.01, "", ".2f")
OFFSET = Slider("offset", "Path offset", 0, 0.5, 0.3, 0.01, "of S", ".2f")
MOON = Slider("moon", "Moon's semidiameter", 14.7, 16.75, 15.54, 0.01, "′", ".2f")
DROPPED, OWN, INK = style.DROPPED_WORDS, style.OWN_WORDS, style.INK


class MoonPath(Drawing):
    """The Moon's path through the umbra, the four contacts, and the light that is left."""

    sliders = (
        OFFSET,
        RATIO,
        MOON,
        Slider("moment", "Moment, from the middle", -150, 150, -100, 1, "min", ".0f"),
    )
    middle_x, middle_y, px = 280, 282, 2.45  # the umbra's middle, and pixels for one arcminute

    def build(self):
        """Make the umbra above, the time line below, the two results at the right."""
        sky = self.pane(0, 150, 560, 300)
        sky.disc("umbra", style.SHADOW, alpha=0.75)
        sky.line("path", style.FAINT, lw=1)
        sky.line("outside", style.SHADOW_EDGE, lw=1.3)
        sky.line("inside", style.PALE, lw=1.3)
        sky.disc("disc", style.MOON, edgecolor=INK, lw=0.8)
        for name, color in (("U1", INK), ("U2", "white"), ("U3", "white"), ("U4", INK)):
            sky.words(0, 0, name, name, ha="center", va="bottom", color=color, weight="bold")
        look = {"xlim": (-150, 150), "ylim": (0, 110), "yticks": (0, 50, 100)}
        time = self.graph(60, 52, 480, 95, ylabel="% in light", **look)
        time.axes.set_xlabel("minutes from the middle of the eclipse")
        time.axes.grid(False)
        time.line("light", lw=1.8)
        time.line("contacts", style.SHADOW_EDGE, lw=1, ls=":")
        time.dots("now", style.MOON, 9, mec=INK)
        rows = (
            (345, "entry time t_in", "t_in", "{:.0f} min", INK),
            (320, "totality t_tot", "t_tot", "{:.0f} min", INK),
            (265, "central formula", "", "", DROPPED),
            (240, "x = 1 + t_tot / t_in", "central", "{:.2f}", DROPPED),
            (190, "chord formula", "", "", OWN),
            (165, "x", "chord", "{:.2f}", OWN),
            (140, "path offset", "off", "{:.2f} S", OWN),
            (90, "central formula wrong by", "", "", DROPPED),
            (66, "", "wrong", PERCENT, DROPPED),
        )
        self.pane(560, 0, 240).table(580, 785, rows)

    def work_out(self, offset, ratio, moon, moment):
        """Let this Moon take this path, time its contacts, and find the shadow ratio again."""
        s = moon * u.arcmin
        rate = eclipse_timing.scaled_rate(s)
        t_in, t_tot = eclipse_timing.expected_phases(ratio, offset, s, rate)
        central = float(eclipse_timing.ratio_through_middle(t_in, t_tot))
        chord = float(eclipse_timing.ratio_off_centre(t_in, t_tot, s, rate))
        entry, total = t_in.to_value(u.min), t_tot.to_value(u.min)
        contacts = np.array([-total / 2 - entry, -total / 2, total / 2, total / 2 + entry])
        rate = rate.to_value(u.arcmin / u.min)
        radius, size = ratio * moon * self.px, moon * self.px
        y = self.middle_y + offset * radius
        x = self.middle_x + contacts * rate * self.px
        minutes = np.append(np.linspace(-150, 150, 121), moment)
        apart = np.hypot(minutes * rate, offset * ratio * moon)
        light = 100 * (1 - covered_fraction(moon, ratio * moon, apart))
        curve = np.column_stack([minutes, light])
        return {
            "umbra": (self.middle_x, self.middle_y, radius),
            "path": [(5, y), (555, y)],
            "outside": joined(disc(x[0], y, size), disc(x[3], y, size)),
            "inside": joined(disc(x[1], y, size), disc(x[2], y, size)),
            "disc": (self.middle_x + moment * rate * self.px, y, size),
            **{f"U{i}": (a, y + 2) for i, a in enumerate(x, start=1)},
            "light": curve[:-1],
            "now": curve[-1:],
            "contacts": joined(*([(minute, 0), (minute, 110)] for minute in contacts)),
            "t_in": entry,
            "t_tot": total,
            "central": central,
            "chord": chord,
            "off": float(eclipse_timing.path_offset(chord, t_in, t_tot)),
            "wrong": 100 * (central / chord - 1),
        }


class PathCost(Drawing):
    """How wrong each formula is, against how far from the middle the Moon passed."""

    # On a night of mean size the two rates agree; start on another.
    sliders = (OFFSET, RATIO, replace(MOON, start=16.2))

    def build(self):
        """Make the chart: offset to the right, error upwards."""
        graph = self.graph(75, 60, 470, 330, xlim=(0, 0.5), ylim=(-40, 30))
        graph.axes.set_xlabel("path offset, in shadow radii (b/S)")
        graph.axes.set_ylabel("error of x, in %")
        graph.axes.axhspan(-5, 5, color=style.PALE, alpha=0.6, lw=0)
        graph.line("scaled", style.TODAY, ls=style.DASHED)
        graph.line("mean", ls=":", lw=2)
        graph.line("central", style.DROPPED, lw=2.2)
        graph.line("here", style.SHADOW_EDGE, lw=1)
        graph.dots("dots")
        right = self.pane(560, 0, 240)
        right.words(570, 360, "Error on this night", weight="bold")
        rows = (
            (325, "— central formula", "", "", DROPPED),
            (301, "", "central_now", PERCENT, DROPPED),
            (260, "··· chord, mean rate", "", "", INK),
            (236, "", "mean_now", PERCENT, INK),
            (195, "- - chord, scaled rate", "", "", style.TODAY_WORDS),
            (171, "", "scaled_now", PERCENT, style.TODAY_WORDS),
        )
        right.table(570, 590, rows, ha="left")

    def work_out(self, offset, ratio, moon):
        """Time the contacts on every path and find x with each formula."""
        s = moon * u.arcmin
        true_rate = eclipse_timing.scaled_rate(s)
        mean_rate = eclipse_timing.scaled_rate(today.MOON_SEMIDIAMETER)
        offsets = np.append(np.linspace(0, 0.5, 51), offset)
        t_in, t_tot = eclipse_timing.expected_phases(ratio, offsets, s, true_rate)
        ratios = {
            "central": eclipse_timing.ratio_through_middle(t_in, t_tot),
            "mean": eclipse_timing.ratio_off_centre(t_in, t_tot, s, mean_rate),
            "scaled": eclipse_timing.ratio_off_centre(t_in, t_tot, s, true_rate),
        }
        curves = {
            name: np.column_stack([offsets, 100 * (np.asarray(x) / ratio - 1)])
            for name, x in ratios.items()
        }
        return {
            **{name: curve[:-1] for name, curve in curves.items()},
            **{f"{name}_now": curve[-1, 1] for name, curve in curves.items()},
            "here": [(offset, -40), (offset, 30)],
            "dots": [curve[-1] for curve in curves.values()],
        }


class TwoTriangles(Drawing):
    """Shadow, path and the Moon at U3 and U4: two right triangles with one side in common."""

    sliders = (OFFSET, RATIO)
    middle, px = np.array([60, 135]), 88  # of the shadow; pixels for one semidiameter of the Moon
    ways = ("v × half of U2 to U3", 75), ("v × half of U1 to U4", 35)  # words, height

    def build(self):
        """Make the quarter of the shadow on the left, the squares of the sides on the right."""
        sky = self.pane(0, 0, 560)
        sky.area("umbra", style.SHADOW, alpha=0.22)
        sky.line("moons", style.SHADOW_EDGE, lw=1.2)
        sky.line("path", style.FAINT, lw=1)
        sky.line("along", style.FAINT, lw=1)
        sky.line("drops", style.FAINT, lw=0.8, ls=":")
        sky.line("slants", lw=2)
        sky.bar_line("upright", style.DROPPED)
        sky.words(feed="b_word", ha="right", va="center", color=DROPPED)
        sky.words(feed="slant_U3", ha="right", va="bottom", size=9)
        sky.words(feed="slant_U4", ha="left", va="top", size=9)
        for name, (text, _) in zip(("U3", "U4"), self.ways, strict=True):
            sky.words(0, 0, name, name, ha="center", va="bottom", weight="bold")
            sky.words(0, 0, text, f"way_{name}", va="center", size=9)
        right = self.pane(560, 0, 240)
        right.words(570, 360, "Squares of the sides", weight="bold")
        rows = (
            (325, "long, (S + s)²", "long", "{:.2f}", INK),
            (300, "short, (S − s)²", "short", "{:.2f}", INK),
            (275, "in common, b²", "common", "{:.2f}", DROPPED),
            (225, "along the path, long", "long_way", "{:.2f}", INK),
            (200, "along the path, short", "short_way", "{:.2f}", INK),
            (150, "their difference", "difference", "{:.2f}", OWN),
            (125, "4 × S × s", "product", "{:.2f}", OWN),
        )
        right.table(570, 785, rows)

    def work_out(self, offset, ratio):
        """Put the Moon at its two contacts on this path, and square the sides."""
        b, short, long = offset * ratio, ratio - 1, ratio + 1
        short_way, long_way = short**2 - b**2, long**2 - b**2
        left, low = self.middle
        y = low + b * self.px
        ends = left + np.sqrt([short_way, long_way]) * self.px
        turn = np.linspace(0, np.pi / 2, 61)
        rim = self.middle + ratio * self.px * np.column_stack([np.cos(turn), np.sin(turn)])
        values = {
            "umbra": [self.middle, *rim],
            "moons": joined(*(disc(x, y, self.px) for x in ends)),
            "path": [(5, y), (555, y)],
            "slants": joined(*([self.middle, (x, y)] for x in ends)),
            "upright": [self.middle, (left, y)],
            "b_word": (left - 8, (low + y) / 2, "b" if b > 0.1 else ""),
            "long": long**2,
            "short": short**2,
            "common": b**2,
            "long_way": long_way,
            "short_way": short_way,
            "difference": long_way - short_way,
            "product": 4 * ratio,
        }
        heights = [height for _, height in self.ways]
        pairs = list(zip(ends, heights, strict=True))
        values["along"] = joined(*([(left, height), (x, height)] for x, height in pairs))
        values["drops"] = joined(*([(x, y), (x, height)] for x, height in pairs))
        for name, (x, height) in zip(("U3", "U4"), pairs, strict=True):
            values |= {name: (x, y + 6), f"way_{name}": (x + 6, height)}
        room = "S − s" if short_way > 1 else ""
        first, second = (np.array([x, y]) - self.middle for x in ends)
        values["slant_U3"] = (*(self.middle + 0.5 * first + (-6, 3)), room)
        values["slant_U4"] = (*(self.middle + 0.6 * second + (6, -3)), "S + s")
        return values
