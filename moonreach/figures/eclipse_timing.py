"""Drawings for lesson 2: the Moon's path through the shadow, and what an aslant path costs."""

from dataclasses import replace

import numpy as np
from astropy import units as u

from moonreach.figures import style
from moonreach.figures.circles import GAP, covered_fraction, disc
from moonreach.figures.drawing import Drawing, Slider, signed
from moonreach.lessons import eclipse_timing, today

RATIO = Slider("ratio", "Shadow, in Moons (x)", 2.2, 3.2, 2.7, 0.01, "", ".2f")
OFFSET = Slider("offset", "Path off the middle by", 0, 0.5, 0.3, 0.01, "of S", ".2f")
MOON = Slider("moon", "Moon's semidiameter", 14.7, 16.75, 15.54, 0.01, "′", ".2f")
PX = 2.45  # pixels for one arcminute


class MoonPath(Drawing):
    """The Moon's path through the umbra, the four contacts, and the light that is left."""

    title = "Four contacts on the way through the shadow"
    caption = (
        "The Moon touches the shadow at U1, is wholly in at U2, begins to leave at U3 and is out "
        "at U4. Move the path off the middle: it enters aslant, U1 to U2 takes longer, the total "
        "phase grows shorter, and the simple formula finds too small a shadow. The formula for "
        "any path does not mind. A large Moon is near, and therefore fast. (Time runs "
        "to the right here; in a northern sky the Moon goes through the shadow to the left.)"
    )
    alternative = (
        "The round shadow of the Earth with the Moon's path across it and the Moon at the four "
        "contacts; below, against time, how much of the Moon is outside the shadow; beside it the "
        "shadow ratio by the simple formula and by the formula for any path."
    )
    sliders = (
        OFFSET,
        RATIO,
        MOON,
        Slider("moment", "Moment, from the middle", -150, 150, -100, 1, "min", ".0f"),
    )

    def build(self):
        """Make the shadow above, the time line below, the two results at the right."""
        sky = self.stage(0, 150, 560, 300)
        self.umbra = self.area(sky, style.SHADOW, alpha=0.75)
        self.path = self.line(sky, style.FAINT, lw=1)
        self.outside = self.line(sky, style.SHADOW_EDGE, lw=1.3)
        self.inside = self.line(sky, style.PALE, lw=1.3)
        self.moon = self.area(sky, style.MOON, edgecolor=style.INK, lw=0.8)
        self.names = [
            self.words(sky, text=f"U{i}", ha="center", va="bottom", color=color, weight="bold")
            for i, color in ((1, style.INK), (2, "white"), (3, "white"), (4, style.INK))
        ]
        time = self.chart(60, 52, 480, 95, xlim=(-150, 150), ylim=(0, 110), yticks=(0, 50, 100))
        time.set_xlabel("minutes from the middle of the eclipse")
        time.set_ylabel("% in light")
        self.light = self.line(time, style.INK, lw=1.8)
        self.contacts = self.line(time, style.SHADOW_EDGE, lw=1, ls=":")
        self.now = self.line(
            time, style.MOON, marker="o", ms=9, mec=style.INK, ls="", clip_on=False
        )
        right = self.stage(560, 0, 240)
        rows = (
            (345, "t1, U1 to U2", style.INK),
            (320, "t2, U2 to U3", style.INK),
            (265, "as if through the middle", style.DROPPED_WORDS),
            (240, "x = 1 + t2 / t1", style.DROPPED_WORDS),
            (190, "on any path", style.OWN_WORDS),
            (165, "x", style.OWN_WORDS),
            (140, "path off the middle", style.OWN_WORDS),
            (90, "simple formula wrong by", style.DROPPED_WORDS),
        )
        for y, text, color in rows:
            right.text(580, y, text, color=color)
        cells = (345, 320, 240, 165, 140, 66)
        own, dropped = style.OWN_WORDS, style.DROPPED_WORDS
        colors = (style.INK, style.INK, dropped, own, own, dropped)
        self.cells = [
            self.words(right, 785, y, ha="right", color=color, weight="bold")
            for y, color in zip(cells, colors, strict=True)
        ]

    def update(self, offset, ratio, moon, moment):
        """Let this Moon take this path, time its contacts, and find the shadow again."""
        s = moon * u.arcmin
        rate = eclipse_timing.scaled_rate(s)
        t1, t2 = eclipse_timing.expected_phases(ratio, offset, s, rate)
        half, inner = ((t2 + 2 * t1) / 2).to_value(u.min), (t2 / 2).to_value(u.min)
        contacts = np.array([-half, -inner, inner, half])
        rate = rate.to_value(u.arcmin / u.min)
        radius, size = ratio * moon * PX, moon * PX
        y = 282 + offset * radius
        x = 280 + contacts * rate * PX
        self.umbra.set_xy(disc(280, 282, radius))
        self.path.set_data([5, 555], [y, y])
        for line, (a, b) in ((self.outside, x[[0, 3]]), (self.inside, x[[1, 2]])):
            line.set_data(*np.vstack([disc(a, y, size), GAP, disc(b, y, size)]).T)
        for name, a in zip(self.names, x, strict=True):
            name.set_position((a, y + 2))
        self.moon.set_xy(disc(280 + moment * rate * PX, y, size))
        minutes = np.append(np.linspace(-150, 150, 121), moment)
        apart = np.hypot(minutes * rate, offset * ratio * moon)
        light = 100 * (1 - covered_fraction(moon, ratio * moon, apart))
        self.light.set_data(minutes[:-1], light[:-1])
        self.now.set_data(minutes[-1:], light[-1:])
        self.contacts.set_data(np.repeat(contacts, 3), [0, 110, np.nan] * 4)
        simple = float(eclipse_timing.ratio_through_middle(t1, t2))
        found = float(eclipse_timing.ratio_off_centre(t1, t2, s, eclipse_timing.scaled_rate(s)))
        off = float(eclipse_timing.path_offset(found, t1, t2))
        texts = (
            f"{t1.to_value(u.min):.0f} min",
            f"{t2.to_value(u.min):.0f} min",
            f"{simple:.2f}",
            f"{found:.2f}",
            f"{off:.2f} S",
            f"{signed(100 * (simple / found - 1))} %",
        )
        for cell, text in zip(self.cells, texts, strict=True):
            cell.set_text(text)


class PathCost(Drawing):
    """How wrong each formula is, against how far from the middle the Moon passed."""

    title = "When may you use the simple formula?"
    caption = (
        "The simple formula takes every path for one through the middle. Up to about a fifth of "
        "the shadow's radius it is within 5 % (the pale band); further out it fails fast. The "
        "formula for any path needs the Moon's rate: with the mean rate it errs on nights when the "
        "Moon is near or far, with the rate scaled by the Moon's size it does not."
    )
    alternative = (
        "The error of the shadow ratio in per cent against the path's offset from the middle: the "
        "simple formula falls away steeply, the formula for any path stays level."
    )
    # On a night of mean size the two rates agree; start on another.
    sliders = (OFFSET, RATIO, replace(MOON, start=16.2))

    def build(self):
        """Make the chart: offset to the right, error upwards."""
        chart = self.chart(75, 60, 470, 330, xlim=(0, 0.5), ylim=(-40, 30))
        chart.set_xlabel("least distance from the shadow's middle, in shadow radii (b/S)")
        chart.set_ylabel("error of x, in %")
        chart.grid(True)
        chart.axhspan(-5, 5, color=style.PALE, alpha=0.6, lw=0)
        self.scaled = self.line(chart, style.TODAY, ls=style.DASHED)
        self.mean = self.line(chart, style.INK, ls=":", lw=2)
        self.simple = self.line(chart, style.DROPPED, lw=2.2)
        self.here = self.line(chart, style.SHADOW_EDGE, lw=1)
        self.dots = self.line(chart, style.OWN, marker="o", ms=7, ls="", clip_on=False)
        right = self.stage(560, 0, 240)
        right.text(570, 360, "Error on this night", weight="bold")
        rows = (
            (325, "— simple formula", style.DROPPED_WORDS),
            (260, "··· any path, mean rate", style.INK),
            (195, "- - any path, scaled rate", style.TODAY_WORDS),
        )
        self.cells = []
        for y, text, color in rows:
            right.text(570, y, text, color=color)
            self.cells.append(self.words(right, 590, y - 24, color=color, weight="bold"))

    def update(self, offset, ratio, moon):
        """Time the contacts on every path and find x with each formula."""
        s = moon * u.arcmin
        true_rate = eclipse_timing.scaled_rate(s)
        mean_rate = eclipse_timing.scaled_rate(today.MOON_SEMIDIAMETER)
        offsets = np.append(np.linspace(0, 0.5, 51), offset)
        t1, t2 = eclipse_timing.expected_phases(ratio, offsets, s, true_rate)
        found = (
            eclipse_timing.ratio_through_middle(t1, t2),
            eclipse_timing.ratio_off_centre(t1, t2, s, mean_rate),
            eclipse_timing.ratio_off_centre(t1, t2, s, true_rate),
        )
        errors = [100 * (np.asarray(x) / ratio - 1) for x in found]
        lines = (self.simple, self.mean, self.scaled)
        for line, cell, error in zip(lines, self.cells, errors, strict=True):
            line.set_data(offsets[:-1], error[:-1])
            cell.set_text(f"{signed(error[-1])} %")
        self.here.set_data([offset, offset], [-40, 30])
        self.dots.set_data([offset] * 3, [error[-1] for error in errors])
