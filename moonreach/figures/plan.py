"""The picture of a plan: each eclipse's path through the Earth's shadow, to one scale."""

import io
from pathlib import Path

import numpy as np
from astropy import units as u
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import Circle

from moonreach import sky
from moonreach.sheet import writing
from moonreach.sky import plan_words, planning

MOST = 12  # panels on one page
SHADOW, OUTLINE, MOON, PALE = "#000000", "#444444", "#999999", "#eeeeee"
_WIDE, _HIGH = 97, 84  # arcminutes shown on each side of the shadow's middle
_PANEL = 4.4, 4.55  # inches
_MARGIN = 0.62  # inches above and below the panels


def draw(eclipses, place=None):
    """Return the figure of up to `MOST` eclipses, with the place's clocks or UTC.

    Every panel has the same scale; the Moon stands at each umbral contact and at the greatest
    eclipse, pale and dashed where it is below the place's horizon.
    """
    shown = [eclipses[i] for i in range(min(len(eclipses), MOST))]
    columns = min(3, max(1, len(shown)))
    rows = max(1, -(-len(shown) // columns))
    height = _PANEL[1] * rows + 2 * _MARGIN
    figure = Figure(figsize=(_PANEL[0] * max(columns, 2), height), dpi=110)
    FigureCanvasAgg(figure)
    grid = figure.subplots(rows, columns, squeeze=False).ravel()
    edge = _MARGIN / height
    figure.subplots_adjust(
        left=0.01, right=0.99, top=1 - 1.7 * edge, bottom=1.8 * edge, hspace=0.25, wspace=0.03
    )
    for axes in grid[len(shown) :]:
        axes.set_axis_off()
    for axes, one in zip(grid, shown, strict=False):
        _panel(axes, one, place)
    where = f"seen from {plan_words.degrees_of(place)}" if place else "for all the Earth"
    clocks = place.zone if place else "UTC"
    figure.suptitle(
        f"The Moon's path through the Earth's shadow, {where}\nTimes: {clocks}",
        fontsize=12,
        y=1 - 0.25 * edge,
    )
    notes = "South is up, west" if _from_the_south(place) else "North is up, east"
    notes += " to the left, as the sky is seen. One scale everywhere: the bar is 30′ long."
    if place:
        notes += "\nIn brackets the Moon's altitude; pale and dashed: below the horizon."
    if len(eclipses) > MOST:
        notes += f" The first {MOST} of {len(eclipses)} eclipses."
    figure.text(0.5, 0.25 * edge, notes, ha="center", fontsize=9.5, linespacing=1.4)
    return figure


def save(path, eclipses, place=None):
    """Draw the eclipses into a PNG file and return how many it shows.

    Raises ValueError where there is none to draw or the name does not end in .png.
    """
    if Path(path).suffix.lower() != ".png":
        raise ValueError(f"--figure {path}: the name of a picture ends in .png")
    if not len(eclipses):
        raise ValueError(f"--figure {path}: no total or partial eclipse to draw in this span")
    picture = io.BytesIO()
    draw(eclipses, place).savefig(picture, format="png")
    writing.replace(path, picture.getvalue())
    return min(len(eclipses), MOST)


def _panel(axes, one, place):
    """Draw one eclipse: penumbra, umbra, the Moon's path, the Moon at each moment."""
    offsets = one.offsets.to_value(u.arcmin) * ([1, -1] if _from_the_south(place) else [-1, 1])
    moments = sky.moments_of(one)
    sight = sky.seen_from(one, place) if place else None
    above = sight.above if place else np.ones(len(moments), bool)
    moon = one.moon_semidiameter.to_value(u.arcmin)
    penumbra, umbra = (
        radius.to_value(u.arcmin) for radius in (one.penumbra_radius, one.umbra_radius)
    )
    axes.add_patch(Circle((0, 0), penumbra, facecolor="#dddddd", edgecolor=OUTLINE, lw=0.8))
    axes.add_patch(Circle((0, 0), umbra, facecolor=SHADOW))
    away = -1 if offsets[3][1] >= 0 else 1
    axes.text(0, away * 0.72 * umbra, "umbra", color="white", ha="center", va="center", fontsize=9)
    ring = away * (umbra + penumbra) / 2
    axes.text(0, ring, "penumbra", color=OUTLINE, ha="center", va="center", fontsize=9)
    arrow = {"arrowstyle": "->", "color": OUTLINE, "lw": 1.2, "shrinkA": 0, "shrinkB": 0}
    axes.annotate("", offsets[-1], offsets[0], arrowprops=arrow)
    for k in (1, 5, 2, 4, 3):
        if np.isnat(moments[k]):
            continue
        look = {"facecolor": MOON, "edgecolor": "white"}
        if not above[k]:
            look = {"facecolor": PALE, "edgecolor": OUTLINE, "ls": "--"}
        axes.add_patch(Circle(offsets[k], moon, lw=1, zorder=3 + (k == 3), **look))
        if k == 3 or np.hypot(*(offsets[k] - offsets[3])) > 1.35 * moon:
            size = 8 if k == 3 else 9.5
            axes.text(
                *offsets[k], sky.MOMENTS[k], ha="center", va="center", fontsize=size, zorder=5
            )
    axes.plot([-_WIDE + 4, -_WIDE + 34], [-_HIGH + 3] * 2, color=OUTLINE, lw=2)
    axes.text(-_WIDE + 19, -_HIGH + 5, "30′", ha="center", va="bottom", fontsize=8.5)
    axes.set_title(
        f"{plan_words.day(one.greatest, place)}, {one.kind} {one.umbral_magnitude:.2f}\n"
        f"{planning.advice(one)}",
        fontsize=10.5,
    )
    axes.text(
        0,
        -_HIGH - 4,
        _times(moments, sight, place),
        ha="center",
        va="top",
        fontsize=9,
        clip_on=False,
    )
    axes.set(xlim=(-_WIDE, _WIDE), ylim=(-_HIGH, _HIGH), aspect="equal")
    axes.set_axis_off()


def _times(moments, sight, place):
    """Return the umbral contacts in two lines, each with the Moon's altitude where known."""
    parts = []
    for k in range(1, 6):
        if np.isnat(moments[k]):
            continue
        part = f"{sky.MOMENTS[k]} {plan_words.clock(moments[k], place)}"
        if sight is not None:
            height = sight.altitude[k].to_value(u.deg)
            part += f" ({height:.0f}°)" if height > 0 else " (below)"
        parts.append(part)
    return "   ".join(parts[:3]) + "\n" + "   ".join(parts[3:])


def _from_the_south(place):
    return place is not None and place.latitude < 0 * u.deg
