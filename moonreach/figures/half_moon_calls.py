"""A drawing for lesson 6: how sure the Sun's distance is when half Moon is called by eye."""

import numpy as np
from astropy import units as u

from moonreach.figures import style
from moonreach.figures.drawing import Drawing, Slider
from moonreach.lessons import sun_distance, today
from moonreach.reduction.further import TERMINATOR
from moonreach.reduction.inputs import assumption
from moonreach.reduction.uncertainty import normal, propagate

HALF = sun_distance.elongation_at_half(today.SUN_MOON_DISTANCE_RATIO).to_value(u.deg)
LEAST, MOST, FAR = 82, 96, 4000  # degrees; Moon distances, the end of the axis


class HalfMoonCalls(Drawing):
    """The interval of the elongation, and what becomes of it as a distance."""

    title = "How sure can it be?"
    caption = (
        "Above, the 95 % interval of the elongation from your calls of half; below, the same "
        "interval as the Sun's distance. As soon as it reaches 90° the distance has no upper end: "
        "the arrow. The lower end stays, whatever you do, and it is what antiquity could know."
    )
    alternative = (
        "Two axes one above the other. On the upper one a bar for the interval of the elongation "
        "about 90 degrees, on the lower one a bar or an arrow for the Sun's distance in Moon "
        "distances, with today's 389 as a dashed line."
    )
    sliders = (
        Slider("scatter", "One call is off by", 0.1, 4, 1.5, 0.1, "°"),
        Slider("calls", "Number of calls", 1, 40, 5, 1, "", ".0f"),
        Slider("late", "All lean towards full by", -3, 3, 0, 0.1, "°"),
    )

    def build(self):
        """Make both axes with their marks, and the words below."""
        upper = self.chart(60, 300, 690, 60, xlim=(LEAST, MOST), ylim=(0, 1), yticks=[])
        lower = self.chart(60, 150, 690, 60, xlim=(4, FAR), ylim=(0, 1), yticks=[], xscale="log")
        upper.set_title("elongation, in degrees", size=10, loc="left")
        lower.set_title("Sun's distance, in Moon distances", size=10, loc="left")
        lower.set_xticks([5, 10, 20, 50, 100, 400, 2000], map(str, [5, 10, 20, 50, 100, 400, 2000]))
        lower.minorticks_off()
        for chart in (upper, lower):
            chart.spines["left"].set_visible(False)
        upper.axvspan(90, MOST, color=style.PALE, alpha=0.6, lw=0)
        upper.text(90.15, 0.86, "here the lines never meet", color=style.FAINT, size=9, va="center")
        for chart, value, text in (
            (upper, HALF, "true half"),
            (lower, today.SUN_MOON_DISTANCE_RATIO, "today"),
        ):
            chart.axvline(value, color=style.TODAY, ls=style.DASHED, lw=1.4)
            chart.annotate(
                text, (value, 1), (-4, 3), textcoords="offset points", ha="right", size=9,
                color=style.TODAY_WORDS,
            )  # fmt: skip
        self.bars = [self.line(chart, style.OWN, lw=7, alpha=0.6) for chart in (upper, lower)]
        self.dots = [self.line(c, style.OWN, marker="o", ms=8, ls="") for c in (upper, lower)]
        self.arrow = self.line(lower, style.OWN, marker=">", ms=12, ls="", clip_on=False)
        self.arrow.set_data([FAR], [0.4])
        stage = self.stage(0, 0, 800, 110)
        heads = ((60, "Sun's distance"), (330, "Sun's diameter"), (600, "today's 389"))
        self.cells = []
        for x, text in heads:
            stage.text(x, 72, text, color=style.FAINT, size=9)
            self.cells.append(
                self.words(stage, x, 46, weight="bold", size=12, color=style.OWN_WORDS)
            )

    def update(self, scatter, calls, late):
        """Carry the calls' mean and its doubt to the distance, through the lesson's functions."""
        count = round(calls)
        called = normal("half_moon_elongation", (HALF + late) * u.deg, scatter / count**0.5 * u.deg)

        def found(v):
            elongation = v["called"] + v[TERMINATOR]
            return {"elongation": elongation, "near": sun_distance.nearness(elongation)}

        outcomes = propagate(found, {"called": called, TERMINATOR: assumption(TERMINATOR)})
        angle, near = outcomes["elongation"], outcomes["near"]
        self.bars[0].set_data([max(angle.low, LEAST), min(angle.high, MOST)], [0.4, 0.4])
        self.dots[0].set_data([angle.value], [0.4])
        meets = near.high > 0
        for artist in (self.bars[1], self.dots[1], self.arrow):
            artist.set_visible(meets)
        if not meets:
            self._say("none: look again", "none", "not held")
            return
        ratio = near.upside_down()
        self.bars[1].set_data([max(ratio.low, 4), min(ratio.high, FAR)], [0.4, 0.4])
        self.dots[1].set_data([min(ratio.value, FAR)], [0.4])
        self.dots[1].set_visible(ratio.value < FAR)
        self.arrow.set_visible(ratio.high > FAR)
        least, most = (
            float(sun_distance.sun_in_earths(end, 2.7)) if np.isfinite(end) else end
            for end in (ratio.low, ratio.high)
        )
        held = ratio.low <= today.SUN_MOON_DISTANCE_RATIO <= ratio.high
        self._say(
            _ends(ratio.low, ratio.high, ""), _ends(least, most, " Earths"),
            "held" if held else "not held",
        )  # fmt: skip

    def _say(self, *texts):
        for cell, text in zip(self.cells, texts, strict=True):
            cell.set_text(text)


def _ends(low, high, unit):
    digits = 1 if low < 10 else 0
    if not np.isfinite(high):
        return f"at least {low:.{digits}f}{unit}"
    return f"{low:.{digits}f} to {high:.{digits}f}{unit}"
