"""A drawing for lesson 1: a flat Earth under a near Sun, and the third place that decides."""

import numpy as np
from astropy import units as u

from moonreach.figures import style
from moonreach.figures.drawing import Drawing, Slider, signed, strokes, thousands
from moonreach.lessons import earth_size, today

WHOLE = today.EARTH_DIAMETER * np.pi


class NearSun(Drawing):
    """A flat Earth under a near Sun fits two shadows; a third place decides."""

    title = "Or is the Earth flat, and the Sun near?"
    caption = (
        "Two shadows alone do not show a round Earth: move the near Sun up or down until the flat "
        "Earth gives the second place its reading. Now look at the third place. One height of the "
        "Sun cannot serve both."
    )
    alternative = (
        "On the left a flat ground with three gnomons under a near Sun. On the right the shadow of "
        "a gnomon of one metre against the distance from the place under the Sun: a curve for the "
        "round Earth, a straight line for the flat one, and the readings of two places."
    )
    sliders = (
        Slider("height", "Near Sun stands up", 3000, 9000, 5000, 50, "km", ".0f"),
        Slider("second", "Second place, away", 500, 2000, 800, 50, "km", ".0f"),
        Slider("third", "Third place, away", 2500, 5000, 4500, 50, "km", ".0f"),
    )
    scale = 0.034  # pixels of the left part for one km

    def build(self):
        """Make the flat ground on the left and the chart on the right."""
        left = self.stage(0, 0, 330)
        left.plot([20, 320], [70, 70], color=style.EARTH, lw=3)
        left.text(20, 398, "gnomons drawn 600 000 times too tall", color=style.FAINT, size=9)
        left.text(20, 40, "a flat Earth", color=style.FAINT)
        self.disc = self.line(left, style.SUN, marker="o", ms=22, ls="")
        self.height_words = self.words(left, 95, 0, va="center", color=style.FAINT)
        self.rays = self.line(left, style.SUN, lw=1.2)
        self.gnomons = self.line(left, style.INK, lw=3, solid_capstyle="butt")
        self.shadows = self.line(left, style.SHADOW, lw=4, solid_capstyle="butt")
        chart = self.chart(400, 130, 370, 255, xlim=(0, 6000), ylim=(0, 150))
        chart.set_xlabel("km from the place under the Sun")
        chart.set_ylabel("shadow of 1 m, in cm")
        chart.grid(True)
        away = np.linspace(0, 6000, 100)
        chart.plot(away, round_shadow(away), color=style.TODAY, ls=style.DASHED)
        chart.text(5900, 18, "- - round Earth, far Sun", color=style.TODAY_WORDS, ha="right")
        chart.text(5900, 5, "— flat Earth, near Sun", color=style.DROPPED_WORDS, ha="right")
        self.flat = self.line(chart, style.DROPPED, lw=2)
        self.readings = self.line(chart, style.OWN, marker="o", ms=7, ls="")
        words = self.stage(400, 0, 400, 100)
        for x, text in ((560, "reads"), (680, "flat Earth says"), (790, "differs by")):
            words.text(x, 64, text, ha="right", color=style.FAINT, size=9)
        self.rows = []
        for y, name in ((42, "second"), (18, "third")):
            words.text(400, y, f"{name} place")
            looks = ({"color": style.OWN_WORDS}, {"color": style.DROPPED_WORDS}, {"weight": "bold"})
            columns = zip((560, 680, 790), looks, strict=True)
            self.rows.append([self.words(words, x, y, ha="right", **look) for x, look in columns])

    def update(self, height, second, third):
        """Move the near Sun, the gnomons, and what each Earth says about their shadows."""
        places = np.array([0, second, third])
        read = round_shadow(places)
        flat = flat_shadow(places, height)
        x, tall = 60 + places * self.scale, 600 * self.scale
        sun = (60, 70 + height * self.scale)
        self.disc.set_data([sun[0]], [sun[1]])
        self.height_words.set_y(sun[1])
        self.height_words.set_text(f"Sun, {thousands(height)} km up")
        ends = x + tall * flat_shadow(places, height - 600) / 100  # so tall in the drawing
        self.rays.set_data(*strokes((sun, (end, 70)) for end in ends))
        self.gnomons.set_data(*strokes(((a, 70), (a, 70 + tall)) for a in x))
        self.shadows.set_data(
            *strokes(((a, 70), (end, 70)) for a, end in zip(x, ends, strict=True))
        )
        self.flat.set_data([0, 6000], flat_shadow(np.array([0, 6000]), height))
        self.readings.set_data(places[1:], read[1:])
        for row, reading, says in zip(self.rows, read[1:], flat[1:], strict=True):
            for cell, value in zip(row[:2], (reading, says), strict=True):
                cell.set_text(f"{value:.1f} cm")
            row[2].set_text(f"{signed(says - reading)} cm")


def round_shadow(away):
    """Return the shadow of 1 m in cm on the round Earth, km away from the place under the Sun."""
    return 100 * np.tan((away * u.km / WHOLE * 360 * u.deg).to_value(u.rad))


def flat_shadow(away, height):
    """Return the shadow of 1 m in cm on a flat Earth, as under a lamp at that height in km."""
    return 100 * np.tan(earth_size.zenith_distance(height * u.km, away * u.km).to_value(u.rad))
