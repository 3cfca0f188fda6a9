"""The picture of a plan: each eclipse's path through the Earth's shadow, to one scale."""

import io
from pathlib import Path

import numpy as np
from astropy import units as u
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import Circle

from moonreach import sky
from moonreach.lessons.refuse import require
from moonreach.sheet import writing
from moonreach.sky import plan_words

MOST = 12  # panels on one page
_OUTLINE = "#444444"
_PENUMBRA = {"facecolor": "#dddddd", "edgecolor": _OUTLINE, "lw": 0.8}
_UMBRA = {"facecolor": "#000000"}
_UP = {"facecolor": "#999999", "edgecolor": "white", "lw": 1}
_BELOW = {"facecolor": "#eeeeee", "edgecolor": _OUTLINE, "lw": 1, "ls": "--"}
_WIDE, _HIGH = 97, 84  # arcminutes shown on each side of the shadow's middle
_PANEL = 4.4, 4.55  # inches
_WORDS = 1.24  # inches for those above and below the panels


def draw(plan):
    """Return the figure of up to `MOST` of a plan's eclipses in sight, with its place's clocks.

    Every panel has the same scale; the Moon stands at each umbral contact and at the greatest
    eclipse, pale and dashed where it is below the place's horizon.
    """
    place, listed = plan.place, plan.umbral_in_sight
    shown = listed[:MOST]
    columns = min(3, max(1, len(shown)))
    rows = max(1, -(-len(shown) // columns))
    size = _PANEL[0] * max(columns, 2), _PANEL[1] * rows + _WORDS
    figure = Figure(figsize=size, dpi=110)
    figure.set_layout_engine("constrained", h_pad=0.1)
    FigureCanvasAgg(figure)
    for axes in figure.subplots(rows, columns, squeeze=False).ravel():
        axes.set_axis_off()
    for axes, number in zip(figure.axes, shown, strict=False):
        _panel(axes, plan.eclipses[number], plan.eclipse_rows[number], place)
    where = f"seen from {plan_words.degrees_of(place)}" if place else "for all the Earth"
    title = f"The Moon's path through the Earth's shadow, {where}\n"
    title += f"Times: {place.zone if place else 'UTC'}"
    figure.suptitle(title, fontsize=12)
    notes = "South is up, west" if _from_the_south(place) else "North is up, east"
    notes += " to the left, as the sky is seen. One scale everywhere: the bar is 30′ long."
    if place:
        notes += "\nIn brackets the Moon's altitude; pale and dashed: below the horizon."
    if len(listed) > MOST:
        notes += f" The first {MOST} of {len(listed)} eclipses."
    figure.supxlabel(notes, fontsize=9.5, linespacing=1.4)
    return figure


def save(path, plan):
    """Draw a plan's eclipses into a PNG file and return how many it shows.

    Raises ValueError where there is none to draw or the name does not end in .png.
    """
    named = Path(path).suffix.lower() == ".png"
    require(named, f"--figure {path}: the name of a picture ends in .png")
    nothing = f"--figure {path}: no total or partial eclipse to draw in this span"
    require(len(plan.umbral_in_sight) > 0, nothing)
    picture = io.BytesIO()
    draw(plan).savefig(picture, format="png")
    writing.replace(path, picture.getvalue())
    return min(len(plan.umbral_in_sight), MOST)


def _panel(axes, one, row, place):
    """Draw one eclipse: penumbra, umbra, the Moon's path, the Moon at each moment, the times."""
    offsets = one.offsets.to_value(u.arcmin) * ([1, -1] if _from_the_south(place) else [-1, 1])
    penumbra, umbra, moon = (
        radius.to_value(u.arcmin)
        for radius in (one.penumbra_radius, one.umbra_radius, one.moon_semidiameter)
    )
    axes.add_patch(Circle((0, 0), penumbra, **_PENUMBRA))
    axes.add_patch(Circle((0, 0), umbra, **_UMBRA))
    arrow = {"arrowstyle": "->", "color": _OUTLINE, "lw": 1.2, "shrinkA": 0, "shrinkB": 0}
    axes.annotate("", offsets[-1], offsets[0], arrowprops=arrow)
    axes.plot([-_WIDE + 4, -_WIDE + 34], [-_HIGH + 3] * 2, color=_OUTLINE, lw=2)
    away = -1 if offsets[3][1] >= 0 else 1
    times = plan_words.times(row, place)
    times = "   ".join(times[:3]) + "\n" + "   ".join(times[3:])
    words = [
        (0, away * 0.72 * umbra, "umbra", 9, {"color": "white"}),
        (0, away * (umbra + penumbra) / 2, "penumbra", 9, {"color": _OUTLINE}),
        (-_WIDE + 19, -_HIGH + 5, "30′", 8.5, {"va": "bottom"}),
        (0, -_HIGH - 4, times, 9, {"va": "top"}),
    ]
    for k in (1, 5, 2, 4, 3):  # the greatest eclipse last, in front
        name, at = sky.MOMENTS[k], offsets[k]
        if not np.isfinite(at).all():
            continue
        look = _BELOW if place and row["altitudes_deg"][name] <= 0 else _UP
        axes.add_patch(Circle(at, moon, zorder=3 + (k == 3), **look))
        if k == 3 or np.hypot(*(at - offsets[3])) > 1.35 * moon:
            words.append((*at, name, 8 if k == 3 else 9.5, {"zorder": 5}))
    for x, y, text, size, look in words:
        axes.text(x, y, text, **({"ha": "center", "va": "center", "fontsize": size} | look))
    when = plan_words.local(row["greatest_utc"], place)
    title = f"{when:%a %d %b %Y}, {row['kind']} {row['umbral_magnitude']:.2f}\n{row['advice']}"
    axes.set_title(title, fontsize=10.5)
    axes.set(xlim=(-_WIDE, _WIDE), ylim=(-_HIGH, _HIGH), aspect="equal")


def _from_the_south(place):
    return place is not None and place.latitude < 0 * u.deg
