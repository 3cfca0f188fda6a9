"""The Moon's distance by all ways on one axis, antiquity's and a group's: each says whose it is."""

from base64 import b64encode
from collections.abc import Collection
from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure

from moonreach.figures import pictures, style
from moonreach.lessons import today
from moonreach.lessons.refuse import capital
from moonreach.reduction.group import GroupResult
from moonreach.reduction.words import rounded, whose
from moonreach.sheet.origin import Origin

EDGE = 110  # Earth radii: the end of the axis
# Perigee and apogee, km (Meeus, Astronomical Algorithms, ch. 50; from memory).
TODAY = tuple(km / today.EARTH_RADIUS.value for km in (356_400, 406_700))
WORDS = style.described("all_ways")
WAYS, CAPTION = WORDS["ways"], WORDS["caption"]


@dataclass(frozen=True)
class Way:
    """One way to the Moon: who, the ends and the middle in Earth radii, None where not given.

    ``origin`` is whose a worked-out distance is; antiquity's have none.
    """

    who: str
    high: float
    low: float | None = None
    value: float | None = None
    origin: Origin | None = None

    def __str__(self) -> str:
        if self.origin:
            value, low, high = rounded(self.value, self.low, self.high)
            return f"{self.who}: {value} (95 %: {low} to {high})"
        ends = f"{self.low:.3g} to {self.high:.3g}" if self.low else f"at most {self.high:.3g}"
        return f"{self.who}: {ends}" + (f", mean {self.value:.3g}" if self.value else "")


ANTIQUITY = tuple(Way(**way) for way in WORDS["antiquity"])


def label_of_way(name: str, origin: Origin) -> str:
    """Return what a distance is called: yours, the practice group's, or partly today's.

    Parameters: a key of `WAYS`, and whose the distance is.

    >>> label_of_way("pair_distance", Origin.OWN), label_of_way("pair_distance", Origin.PRACTICE)
    ('Yours, two places', 'Practice group, two places')
    """
    if origin == Origin.PRACTICE:
        return f"Practice group, {WAYS[name]}"
    way = capital(WAYS[name]) if origin == Origin.TODAY else f"Yours, {WAYS[name]}"
    return f"{way} {whose(name, origin)}".strip()


class AllWays:
    """The ways of antiquity and those of a group, as a picture and in words."""

    def __init__(self, *results: GroupResult, still_open: Collection[str] = ()):
        """Take results, the group's own before a practice group's: each way is the first's.

        What none of them has found is left out, and the ways that are still open.
        """
        self.ways = list(ANTIQUITY)
        for name in WAYS:
            found = next(filter(None, (result.outcome(name) for result in results)), None)
            if found and name not in still_open:
                ends = (2 * found.high, 2 * found.low, 2 * found.value)  # radii of diameters
                self.ways.append(Way(label_of_way(name, found.origin), *ends, found.origin))

    def __repr__(self) -> str:
        lines = ["The Moon's distance in Earth radii:", *(f"  {way}" for way in self.ways)]
        return "\n".join([*lines, f"  Today: {TODAY[0]:.1f} to {TODAY[1]:.1f} over the months"])

    def figure(self) -> Figure:
        """Return the figure: one row a way, today's range as a band."""
        with style.look():
            picture = Figure(figsize=(8, 0.8 + 0.42 * len(self.ways)), dpi=style.DPI)
            axes = picture.add_axes((0.3, 0.19, 0.67, 0.76))
            axes.axvspan(*TODAY, color=style.TODAY, alpha=0.18, lw=0)
            for end in TODAY:
                axes.axvline(end, color=style.TODAY, ls=style.DASHED, lw=1)
            for y, way in enumerate(self.ways):
                _draw(axes, y, way)
            axes.set(xlim=(0, EDGE), ylim=(len(self.ways) - 0.5, -1.1))
            style.named_rows(axes, [way.who for way in self.ways])
            axes.set_xlabel("Moon's distance from Earth's centre, Earth radii", loc="right")
            look = {"color": style.TODAY_WORDS, "ha": "left", "va": "center", "size": 9}
            axes.text(TODAY[1] + 1, -0.8, "today", **look)
        return picture

    def png(self) -> bytes:
        """Return the figure as the bytes of a PNG."""
        with style.look():
            return pictures.saved(self.figure(), "png")

    def _repr_mimebundle_(self, **kwargs):
        data = {"text/plain": repr(self), "image/png": b64encode(self.png()).decode("ascii")}
        return data, {"image/png": {"alt": repr(self)}}


def _draw(axes, y, way):
    look = {"color": style.color_of(way.origin) if way.origin else style.SHADOW_EDGE}
    low = way.value if way.low is None else way.low
    high = min(way.high, EDGE)
    axes.plot([low, high], [y, y], lw=4, alpha=0.55, solid_capstyle="butt", **look)
    if way.value is not None and way.value < EDGE:
        axes.plot(way.value, y, "o", ms=7, **look)
    if np.isinf(way.high):
        axes.plot(EDGE, y, ">", ms=9, clip_on=False, **look)
    elif way.high > EDGE:  # an arrow would mean that there is no upper end
        words = f"to {rounded(way.value, way.low, way.high)[2]}"
        axes.text(EDGE, y - 0.15, words, ha="right", va="bottom", size=9, color=style.INK)
