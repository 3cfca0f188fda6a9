"""The Moon's distance by all ways, antiquity's and a group's own, on one axis."""

import io
from base64 import b64encode
from dataclasses import dataclass

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from moonreach.figures import style
from moonreach.lessons import today
from moonreach.reduction.words import rounded

# In Earth radii: least, most, and the mean where one was given. Aristarchus gave no distance in
# Earths; his Prop. 11 (22.5 to 30 Moon diameters) and Prop. 17 (Moon / Earth 43:108 to 19:60; Heath
# 1913) do. Hipparchus: Pappus on Almagest V.11 (Toomer 1974; 72 2/3 from memory); Ptolemy's mean
# and greatest at new and full Moon: Almagest V.13 (Berry 1898, sec. 49).
_LEAST, _MOST = 22.5 * 2 * 19 / 60, 30 * 2 * 43 / 108
ANTIQUITY = (
    ("Aristarchus", _LEAST, None, _MOST),
    ("Hipparchus, solar eclipse", 71, 77, 83),
    ("Hipparchus, parallaxes", 62, 67 + 1 / 3, 72 + 2 / 3),
    ("Ptolemy", None, 59, 64 + 1 / 6),
)
_NAMES = (
    ("distance_earth_diameters", "Yours, shadow and rod"),
    ("solar_eclipse_distance", "Yours, solar eclipse"),
    ("pair_distance", "Yours, two places"),
)
_EDGE = 110  # Earth radii: the end of the axis
# Perigee and apogee, km (Meeus, Astronomical Algorithms, ch. 50; from memory).
TODAY = tuple(km / today.EARTH_RADIUS.value for km in (356_400, 406_700))


@dataclass(frozen=True)
class Way:
    """One way to the Moon: who, the ends and the middle in Earth radii, None where not given."""

    who: str
    low: float | None
    value: float | None
    high: float | None
    own: bool = False

    def __str__(self):
        if self.own:
            value, low, high = rounded(self.value, self.low, self.high)
            return f"{self.who}: {value} (95 %: {low} to {high})"
        ends = " to ".join(f"{end:.3g}" for end in (self.low, self.high) if end is not None)
        if self.low is None:
            ends = f"at most {ends}"
        middle = f", mean {self.value:.3g}" if self.value is not None else ""
        return f"{self.who}: {ends}{middle}"


class AllWays:
    """The ways of antiquity and those of a `GroupResult`, as a picture and in words."""

    def __init__(self, result):
        """Take a group's result; what it has not found is left out."""
        self.ways = [Way(*way) for way in ANTIQUITY]
        for name, who in _NAMES:
            if (found := result.outcome(name)) is not None:
                ends = (2 * found.low, 2 * found.value, 2 * found.high)  # radii of diameters
                self.ways.append(Way(who, *ends, own=True))

    def __repr__(self):
        lines = ["The Moon's distance in Earth radii:", *(f"  {way}" for way in self.ways)]
        return "\n".join([*lines, f"  Today: {TODAY[0]:.1f} to {TODAY[1]:.1f} over the months"])

    def figure(self):
        """Return the figure: one row a way, today's range as a band."""
        with style.look():
            picture = Figure(figsize=(8, 0.8 + 0.42 * len(self.ways)), dpi=style.DPI)
            FigureCanvasAgg(picture)
            axes = picture.add_axes((0.3, 0.19, 0.67, 0.76))
            axes.axvspan(*TODAY, color=style.TODAY, alpha=0.18, lw=0)
            for end in TODAY:
                axes.axvline(end, color=style.TODAY, ls=style.DASHED, lw=1)
            for y, way in enumerate(self.ways):
                _draw(axes, y, way)
            axes.set(xlim=(0, _EDGE), ylim=(len(self.ways) - 0.5, -0.75))
            axes.set_yticks(range(len(self.ways)), [way.who for way in self.ways])
            axes.tick_params(axis="y", length=0)
            axes.spines["left"].set_visible(False)
            axes.set_xlabel("Moon's distance from Earth's centre, Earth radii", loc="right")
            axes.text(np.mean(TODAY), -0.62, "today", color=style.TODAY_WORDS, ha="center",
                      va="center", size=9)  # fmt: skip
        return picture

    def png(self):
        """Return the figure as the bytes of a PNG."""
        data = io.BytesIO()
        with style.look():
            self.figure().savefig(data, format="png")
        return data.getvalue()

    def _repr_mimebundle_(self, **kwargs):
        data = {"text/plain": repr(self), "image/png": b64encode(self.png()).decode("ascii")}
        return data, {"image/png": {"alt": repr(self)}}


def _draw(axes, y, way):
    color = style.OWN if way.own else style.SHADOW_EDGE
    low = way.value if way.low is None else way.low
    high = min(way.high, _EDGE)
    axes.plot([low, high], [y, y], color=color, lw=4, alpha=0.55, solid_capstyle="butt")
    if way.value is not None and way.value < _EDGE:
        axes.plot(way.value, y, "o", ms=7, color=color)
    if way.high > _EDGE:
        axes.plot(_EDGE, y, ">", ms=9, color=color, clip_on=False)
