"""A group's results as pictures: each to scale beside today's value, with its interval."""

import re
from dataclasses import dataclass

import numpy as np
from astropy import units as u
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import Circle

from moonreach.figures import pictures, style
from moonreach.lessons import today
from moonreach.reduction.group import GroupResult
from moonreach.reduction.inputs import ASSUMED
from moonreach.reduction.propagation import Outcome
from moonreach.reduction.results import RESULTS
from moonreach.reduction.words import in_words, spaced, whose

_MEAN_DISTANCE = (today.MOON_DISTANCE / today.EARTH_DIAMETER).to_value(u.one)
_RATIOS = "ratio_chord", "ratio_central"
_LOOKS = style.described("own_result")
_TODAY = {
    "earth_diameter": today.EARTH_DIAMETER.to_value(u.km),
    "earth_in_moons": float(today.EARTH_RADIUS / today.MOON_RADIUS),
    "angle": 2 * today.MOON_SEMIDIAMETER.to_value(u.arcmin),
    "sun_in_earths": float(today.SUN_RADIUS / today.EARTH_RADIUS),
    "sun_distance_ratio": today.SUN_MOON_DISTANCE_RATIO,
    **dict.fromkeys(_RATIOS, float(ASSUMED["usual_shadow_ratio"]["value"])),
    **dict.fromkeys(
        ("distance_earth_diameters", "solar_eclipse_distance", "pair_distance"), _MEAN_DISTANCE
    ),
}
# What a night that is named gives in place of the mean, by the truth's own names.
_OF_NIGHT = dict.fromkeys(_RATIOS, "ratio") | {
    "distance_earth_diameters": "distance_earth_diameters"
}
_WIDE, _DISC_HIGH, _WAY_HIGH = 8.0, 2.2, 2.0  # inches


@dataclass(frozen=True)
class Row:
    """One result to draw: its key in `RESULTS`, its label, its outcome, what it is held against.

    ``guess`` is what the group guessed of it, if it did.
    """

    name: str
    label: str
    outcome: Outcome
    against: float | None
    against_words: str
    guess: float | None = None

    @property
    def whose(self):
        """Whose the result is, as it stands in the picture."""
        return whose(self.name, self.outcome.origin).strip("()") or "yours"


def rows_of(group: GroupResult, labels: dict[str, str], guess: str | None = None) -> list[Row]:
    """Return the rows for those of some results that a group has and that can be drawn.

    Parameters: the group, labels by the results' keys, and its guess as it was typed.
    """
    rows, number = [], re.match(r"[^\d]{0,12}(\d+(?:[.,]\d+)?)", guess or "")
    guess = float(number[1].replace(",", ".")) if number else None
    for name, label in labels.items():
        outcome = group.outcome(name)
        look = _LOOKS.get(name)
        if outcome is None or look is None:
            continue
        against, words = _TODAY.get(name), "today's mean" if "mean" in look else "today"
        if true := group.true_values.get(_OF_NIGHT.get(name)):
            against, words = true, "true that night"
        rows.append(Row(name, label, outcome, against, words, guess if "guessed" in look else None))
    return rows


def png(rows: list[Row]) -> bytes:
    """Return the picture of some rows as PNG."""
    heights = [_DISC_HIGH if "disc" in _LOOKS[row.name] else _WAY_HIGH for row in rows]
    with style.look():
        figure = Figure(figsize=(_WIDE, sum(heights)))
        canvas = FigureCanvasAgg(figure)
        grid = figure.add_gridspec(
            len(rows),
            1,
            height_ratios=heights,
            left=0.03,
            right=0.97,
            top=0.97,
            bottom=0.05,
            hspace=0,
        )
        for number, row in enumerate(rows):
            axes = figure.add_subplot(grid[number])
            axes.axis("off")
            if "disc" in _LOOKS[row.name]:
                _draw_discs(axes, row)
            else:  # ways to the same body are to one scale
                same = [one for one in rows if _ends(one) == _ends(row)]
                _draw_way(axes, row, max(map(_longest, same)))
        return pictures.drawn(canvas)


def _draw_discs(axes, row):
    """Draw a width as a disc with the rings of its interval, and beside it today's."""
    look, outcome, own = _LOOKS[row.name], row.outcome, style.color_of(row.outcome.origin)
    color, open_end = style.named(look["disc"]), not np.isfinite(outcome.high)
    value = outcome.low if open_end else outcome.value
    scale = 1 / max(filter(np.isfinite, (outcome.high, row.against or 0, value)))
    axes.set(xlim=(-0.6, 4.4), ylim=(-0.62, 0.62), aspect="equal")

    def disc(place, width, **look):
        axes.add_patch(Circle(place, width * scale / 2, **look))

    disc((0, 0), value, facecolor=color, edgecolor="none")
    for end in filter(np.isfinite, (outcome.low, outcome.high)):
        disc((0, 0), end, fill=False, edgecolor=own, lw=1.4)
    if open_end:
        _arrow(axes, (value * scale / 2, -0.6), (0.6, -0.6), own)
    if row.against:
        ring = {"edgecolor": style.TODAY, "ls": style.DASHED, "lw": 1.4}
        disc((1.25, 0), row.against, facecolor=color, **ring)
    if "unit" in look:
        right, up = look.get("unit_at", (0, 0))
        for middle in (0, 1.25) if row.against else (0,):
            small = {"facecolor": style.named(look["unit"]), "edgecolor": "white", "lw": 0.6}
            disc((middle + right, up), 1, **small)
    _words(axes, row, 0.52, 0.66, own)


def _ends(row):
    """Return from where to where a way leads, by colours; nothing for a disc."""
    return _LOOKS[row.name].get("way")


def _longest(row):
    """Return how long a way must be for all that is drawn on it."""
    outcome = row.outcome
    ends = [outcome.low, outcome.value, outcome.high, row.against or 0]
    longest = 1.08 * max(filter(np.isfinite, ends))
    return max(longest, min(1.08 * (row.guess or 0), 3 * longest))


def _draw_way(axes, row, longest):
    """Draw a way: to the Moon all to one scale, to the Sun as marks along it."""
    start, end = map(style.named, _ends(row))
    outcome, own = row.outcome, style.color_of(row.outcome.origin)
    wide, high = axes.get_window_extent().size
    tall = 1.03 * longest * high / wide  # so that both axes have one scale
    axes.set(xlim=(-0.03 * longest, longest), ylim=(-0.3 * tall, 0.7 * tall))
    axes.plot([0, longest], [0, 0], color=style.PALE, lw=1, zorder=0)
    below = -0.03 * longest
    to_scale = end == style.MOON
    axes.plot([0], [0], "o", color=start, ms=0 if to_scale else 9)
    if to_scale:
        axes.add_patch(Circle((0, 0), 0.5, facecolor=start, lw=0))
        axes.text(0, 2.2 * below, "sizes and distance to one scale", color=style.FAINT, fontsize=9)
        width = float(today.MOON_RADIUS / today.EARTH_DIAMETER)
        axes.add_patch(Circle((outcome.value, 0), width, facecolor=end, edgecolor=own, lw=0.8))
    if np.isfinite(outcome.high):
        axes.plot([outcome.low, outcome.high], [below] * 2, color=own, lw=5, alpha=0.4)
        axes.plot([outcome.value], [below], "o", color=own, ms=5)
    else:
        _arrow(axes, (outcome.low, below), (longest, below), own)
    if row.against:
        ends = [1.4 * below, -0.6 * below]
        axes.plot([row.against] * 2, ends, color=style.TODAY, ls=style.DASHED, lw=1.6)
    if row.guess:
        at = min(row.guess, longest)
        axes.plot([at], [-below], "v" if at == row.guess else ">", color=style.INK, mfc="white")
        words = {"ha": "right" if at > longest / 2 else "left", "va": "bottom", "fontsize": 10}
        axes.annotate(f"your guess: {row.guess:g}", (at, -1.5 * below), **words)
    _words(axes, row, 0.0, 1.0, own)


def _arrow(axes, start, end, color):
    """Draw a lower limit: a bar at its end and an arrow onwards, as there is no upper one."""
    look = {"arrowstyle": "|-|,widthA=0.5,widthB=0", "color": color, "lw": 2, "shrinkA": 0}
    axes.annotate("", end, start, arrowprops=look)
    axes.annotate("", end, start, arrowprops=look | {"arrowstyle": "->,head_width=0.4"})


def _words(axes, row, x, top, color):
    """Write whose result it is, its interval, and what it is held against."""
    unit = RESULTS[row.name].unit
    value, interval = in_words(row.outcome, unit)
    ends = unit if np.isfinite(row.outcome.high) else ""
    own = style.OWN_WORDS if color == style.OWN else color
    lines = [(f"{row.label}, {row.whose}: {value}", own), (f"95 % interval: {interval}{ends}", own)]
    if row.against:
        against = spaced(row.against) if row.against > 1e4 else f"{row.against:.4g}"
        lines.append((f"{row.against_words} (dashed): {against}{unit}", style.TODAY_WORDS))
    for number, (text, ink) in enumerate(lines):
        place = {"va": "top", "transform": axes.transAxes, "linespacing": 1.6}
        axes.text(x, top, "\n" * number + text, color=ink, fontsize=11, **place)
