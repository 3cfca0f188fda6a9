"""A drawing for lesson 6: the triangle of eye, half Moon and Sun, and how far away the Sun is."""

import numpy as np
from astropy import units as u

from moonreach.figures import style
from moonreach.figures.circles import disc
from moonreach.figures.drawing import Drawing, Slider, strokes, thousands
from moonreach.lessons import sun_distance
from moonreach.lessons import today as modern

EYE = np.array([60.0, 110.0])
MOON_PX, EDGE = 150, 520  # the Moon's distance; where the picture of the triangle ends
MOON_RADIUS = 13
ARISTARCHUS = 87 * u.deg  # Hyp. 4 (Heath 1913)
_LEAST, _MOST = 60, 90


class HalfMoonTriangle(Drawing):
    """The right-angled triangle at true angles, the curve of n beside it."""

    title = "A half Moon makes a right angle"
    caption = (
        "The angle at the Moon is a right one, as half of it is lit. The angle at your eye, the "
        "elongation, is yours to set. Up to 70° the Sun still is in the picture; then the two "
        "lines to it run out to the right, ever more nearly parallel, and every arcminute moves "
        "their crossing by more."
    )
    alternative = (
        "A triangle with the eye at the lower left, the half-lit Moon above it and the Sun to the "
        "right, or beyond the edge. Beside it a curve of the Sun's distance against the "
        "elongation, which rises without bound at 90 degrees, with Aristarchus' 87 degrees and "
        "today's value marked."
    )
    sliders = (
        Slider("degrees", "Elongation, whole degrees", _LEAST, 89, 75, 1, "°", ".0f"),
        Slider("minutes", "and arcminutes", 0, 59, 0, 1, "′", ".0f"),
    )

    def build(self):
        """Make the triangle on the left, the curve on the right, the numbers below."""
        stage = self.stage()
        moon = 2 * MOON_RADIUS * 110.6 / MOON_PX  # the mean Moon is 110.6 of its diameters away
        note = f"angles are true; Moon and Sun are drawn {moon:.0f} times too large"
        stage.text(20, 398, note, color=style.FAINT, size=9)
        self.sides = self.line(stage, style.SUN, lw=1.4)
        self.own = self.line(stage, style.INK, lw=1.4)
        self.corner = self.line(stage, style.INK, lw=1)
        self.arc = self.line(stage, style.OWN, lw=2)
        self.sun = self.area(stage, style.SUN, clip_on=True)
        self.dark = self.area(stage, style.SHADOW_EDGE)
        self.lit = self.area(stage, "#f2f2f2", edgecolor=style.SHADOW_EDGE, lw=0.8)
        stage.plot(*EYE, "o", color=style.EARTH, ms=9)
        stage.text(EYE[0], EYE[1] - 14, "you", ha="center", va="top")
        self.elongation = self.words(
            stage, EYE[0] + 44, EYE[1] + 18, color=style.OWN_WORDS, weight="bold"
        )
        self.where = self.words(stage, EDGE - 4, EYE[1] - 16, ha="right", va="top", size=9)
        chart = self.chart(590, 150, 185, 220, xlim=(_LEAST, _MOST), ylim=(2, 5000), yscale="log")
        chart.set_yticks([2, 10, 20, 100, 400, 2000], ["2", "10", "20", "100", "400", "2000"])
        chart.minorticks_off()
        chart.set_xlabel("elongation, in degrees", size=9)
        chart.set_title("Sun's distance / Moon's", size=9, loc="left")
        angles = np.append(np.linspace(_LEAST, 89, 59), 90 - np.geomspace(1, 0.02, 30)[1:])
        chart.plot(angles, sun_distance.distance_ratio(angles * u.deg), color=style.SUN, lw=2)
        ancient = float(sun_distance.distance_ratio(ARISTARCHUS))
        chart.plot([_LEAST, 87, 87], [ancient, ancient, 2], color=style.FAINT, lw=1, ls=":")
        chart.text(61, 1.12 * ancient, "Aristarchus, 87°", color=style.FAINT, size=9)
        today = modern.SUN_MOON_DISTANCE_RATIO
        chart.axhline(today, color=style.TODAY, ls=style.DASHED, lw=1.2)
        chart.text(61, 1.12 * today, "today, 89.85°", color=style.TODAY_WORDS, size=9)
        self.dot = self.line(chart, style.OWN, marker="o", ms=8, ls="", clip_on=False)
        heads = (
            (20, "Sun's distance"),
            (255, "one arcminute more"),
            (520, "half before quarter by"),
        )
        looks = (style.OWN_WORDS, style.DROPPED_WORDS, style.INK)
        self.cells = []
        for (x, text), color in zip(heads, looks, strict=True):
            stage.text(x, 44, text, color=style.FAINT, size=9)
            self.cells.append(self.words(stage, x, 18, weight="bold", size=12, color=color))

    def update(self, degrees, minutes):
        """Turn the Moon's line to the elongation, and see where the two lines to the Sun meet."""
        angle = degrees + minutes / 60
        ratio, more = (
            float(sun_distance.distance_ratio(min(each, 89.999) * u.deg))
            for each in (angle, angle + 1 / 60)
        )
        turn = np.radians(angle)
        out = np.array([np.cos(turn), np.sin(turn)])
        sunward = np.array([np.sin(turn), -np.cos(turn)])  # from the Moon, at right angles
        moon = EYE + MOON_PX * out
        sun = EYE + np.array([ratio * MOON_PX, 0])
        here = sun[0] < EDGE
        end = min(sun[0], EDGE)
        along = (end - moon[0]) / sunward[0]
        self.sides.set_data(*strokes([(EYE, (end, EYE[1])), (moon, moon + along * sunward)]))
        self.own.set_data(*np.array([EYE, moon]).T)
        square = moon + 16 * np.array([-out, -out + sunward, sunward])
        self.corner.set_data(*square.T)
        sweep = np.linspace(0, turn, 30)
        self.arc.set_data(EYE[0] + 36 * np.cos(sweep), EYE[1] + 36 * np.sin(sweep))
        self.dark.set_xy(disc(*moon, MOON_RADIUS))
        lit = np.linspace(turn - np.pi, turn, 30)  # the half towards the Sun
        self.lit.set_xy(moon + MOON_RADIUS * np.column_stack([np.cos(lit), np.sin(lit)]))
        # The Sun looks as large as the Moon, so it is as many Moons wide as it is far.
        self.sun.set_xy(disc(*sun, MOON_RADIUS * ratio) if here else [EYE] * 3)
        self.elongation.set_text(f"{degrees:.0f}° {minutes:02.0f}′")
        pictures = thousands(round(sun[0] / 800)) if sun[0] > 4000 else f"{sun[0] / 800:.1f}"
        self.where.set_text("" if here else f"the Sun is {pictures} widths of this picture away →")
        self.dot.set_data([angle], [ratio])
        lead = sun_distance.lead(ratio, modern.SYNODIC_MONTH)
        long = lead > 2 * u.h
        texts = (
            f"{ratio:.1f} Moon distances" if ratio < 100 else f"{thousands(ratio)} Moon distances",
            f"{100 * (more / ratio - 1):+.1f} %" if angle < 89.98 else "no end",
            f"{lead.to_value(u.h):.1f} h" if long else f"{lead.to_value(u.min):.0f} min",
        )
        for cell, text in zip(self.cells, texts, strict=True):
            cell.set_text(text)
