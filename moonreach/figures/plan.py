"""The picture of a plan: each eclipse's path through the Earth's shadow, to one scale."""

import textwrap
from pathlib import Path

import numpy as np
from astropy import units as u
from matplotlib.figure import Figure
from matplotlib.patches import Circle

from moonreach import sky
from moonreach.figures import pictures, style
from moonreach.lessons.refuse import require
from moonreach.sheet import writing
from moonreach.sky import plan_words

WORDS = style.described("plan")
MOST = 12  # panels on one page
_PENUMBRA = {"facecolor": "#dddddd", "edgecolor": style.SHADOW_EDGE, "lw": 0.8}
_UP = {"facecolor": style.MOON, "edgecolor": "white", "lw": 1}
_BELOW = {"facecolor": "#eeeeee", "edgecolor": style.SHADOW_EDGE, "lw": 1, "ls": "--"}
_WIDE, _HIGH = 97, 84  # arcminutes shown on each side of the shadow's middle
_PANEL = 4.4, 4.8  # inches
_WORDS = 1.24  # inches for those above and below the panels


def draw(plan):
    """Return the figure of up to `MOST` of a plan's eclipses in sight, with its place's clocks.

    Every panel has the same scale; the Moon stands at each umbral contact and at the greatest
    eclipse, pale and dashed where it is below the place's horizon.
    """
    place, shown = plan.place, plan.umbral_in_sight[:MOST]
    columns = min(3, len(shown))
    rows = -(-len(shown) // columns)
    size = _PANEL[0] * max(columns, 2), _PANEL[1] * rows + _WORDS
    figure = Figure(figsize=size, dpi=110)
    figure.set_layout_engine("constrained", h_pad=0.1)
    for k, number in enumerate(shown, start=1):
        axes = figure.add_subplot(rows, columns, k)
        _panel(axes, plan.eclipses[number], plan.eclipse_rows[number], place)
    where, zone = WORDS["everywhere"], "UTC"
    notes = WORDS["scale"]
    if place:
        where, zone = WORDS["here"].format(plan_words.degrees_of(place)), place.zone
        notes += WORDS["altitudes"]
    if len(plan.umbral_in_sight) > MOST:
        notes += WORDS["more"].format(MOST, len(plan.umbral_in_sight))
    figure.suptitle(WORDS["title"].format(where, zone), fontsize=12)
    figure.supxlabel(notes, fontsize=9.5, linespacing=1.4)
    return figure


def save(path, plan):
    """Draw a plan's eclipses into a PNG file and return how many it shows.

    Raises ValueError where there is none to draw or the name does not end in .png.
    """
    require(Path(path).suffix.lower() == ".png", WORDS["ending"], path)
    require(len(plan.umbral_in_sight) > 0, WORDS["nothing"], path)
    writing.replace(path, pictures.saved(draw(plan), "png"))
    return min(len(plan.umbral_in_sight), MOST)


def _panel(axes, one, row, place):
    """Draw one eclipse: penumbra, umbra, the Moon's path, the Moon at each moment, the times."""
    axes.set_axis_off()
    axes.set(xlim=(-_WIDE, _WIDE), ylim=(-_HIGH, _HIGH), aspect="equal")
    offsets = one.offsets.to_value(u.arcmin) * ([1, -1] if row["south_up"] else [-1, 1])
    radii = one.penumbra_radius, one.umbra_radius, one.moon_semidiameter
    penumbra, umbra, moon = (radius.to_value(u.arcmin) for radius in radii)
    axes.add_patch(Circle((0, 0), penumbra, **_PENUMBRA))
    axes.add_patch(Circle((0, 0), umbra, facecolor=style.SHADOW))
    arrow = {"arrowstyle": "->", "color": style.SHADOW_EDGE, "lw": 1.2, "shrinkA": 0, "shrinkB": 0}
    axes.annotate("", offsets[-1], offsets[0], arrowprops=arrow)
    axes.plot([-_WIDE + 4, -_WIDE + 34], [-_HIGH + 3] * 2, color=style.SHADOW_EDGE, lw=2)

    def write(place, text, size, **look):
        axes.text(*place, text, **{"ha": "center", "va": "center", "fontsize": size} | look)

    away = -1 if offsets[3][1] >= 0 else 1
    write((0, away * 0.72 * umbra), "umbra", 9, color="white")
    write((0, away * (umbra + penumbra) / 2), "penumbra", 9, color=style.SHADOW_EDGE)
    up = WORDS["south_up" if row["south_up"] else "north_up"]
    write((_WIDE - 4, -_HIGH + 3), up, 8.5, ha="right", va="bottom")
    write((-_WIDE + 19, -_HIGH + 5), "30′", 8.5, va="bottom")
    times = plan_words.times(row, place)
    lines = "   ".join(times[:3]) + "\n" + "   ".join(times[3:])
    write((0, -_HIGH - 4), lines, 9, va="top")
    for k in (1, 5, 2, 4, 3):  # the greatest eclipse last, in front
        name, at = sky.MOMENTS[k], offsets[k]
        if not np.isfinite(at).all():
            continue
        look = _BELOW if place and row["altitudes_deg"][name] <= 0 else _UP
        axes.add_patch(Circle(at, moon, zorder=3 + (k == 3), **look))
        if k == 3 or np.hypot(*(at - offsets[3])) > 1.35 * moon:
            write(at, name, 8 if k == 3 else 9.5, zorder=5)
    told = plan_words.told(place)
    kind = f"{row['kind']} {row['umbral_magnitude']:.2f}; {told.timing(row)}"
    axes.set_title(f"{told.when(row)}\n{textwrap.fill(kind, 52)}", fontsize=9.5)
