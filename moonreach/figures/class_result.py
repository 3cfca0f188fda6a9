"""The class's result: every group's distance with its interval, beside antiquity and the truth."""

import io

import numpy as np
from matplotlib import rc_context
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from moonreach.figures import style
from moonreach.reduction.words import rounded, to_hold_against

# Earth diameters, half of the Earth radii that were given. Hipparchus' mean distance of 67 1/3:
# Pappus on Almagest V.11 (Toomer 1974); Ptolemy's of 59: Almagest V.13 (Berry 1898, sec. 49).
ANTIQUITY = (("Hipparchus", (67 + 1 / 3) / 2), ("Ptolemy", 59 / 2))
ROW = 0.2  # inches for a group
NAMED = 100  # groups, beyond which there is no room for their names
_HEAD, _FOOT, _WIDE = 1.1, 0.55, 4.9  # inches
_LETTERS = 18
_BEHIND = {"facecolor": "white", "edgecolor": "none", "pad": 1}  # words that lines run through
CAPTION = (
    "Each group's distance of the Moon with its 95 % interval. Grey: the class's robust mean and "
    "its interval. An open circle lies farther from the class than its interval explains: talk it "
    "over. An arrow stands for a value beyond the picture, which is written beside it."
)


def draw(axes, summary, row=ROW):
    """Draw a `ClassSummary` into axes; ``row`` is the height of a group in inches."""
    placed = [group for group in summary.groups if group.outcome("distance_earth_diameters")]
    outcomes = [group.outcome("distance_earth_diameters") for group in placed]
    mean = summary.diameters
    label, truth, _ = to_hold_against(summary)
    lines = [
        (mean.value, f"class {rounded(mean.value, mean.low, mean.high)[0]}", style.INK, "-"),
        (truth, f"{label} {truth:.2f}", style.TODAY_WORDS, style.DASHED),
        *((value, f"{who} {value:.1f}", style.FAINT, ":") for who, value in ANTIQUITY),
    ]
    ends = np.array([(outcome.low, outcome.high) for outcome in outcomes]).ravel()
    ends = ends[np.abs(ends - mean.value) < 0.25 * mean.value]
    ends = np.append(ends, [value for value, *_ in lines])
    left, right = ends.min() - 0.6, ends.max() + 0.6
    axes.axvspan(mean.low, mean.high, color=style.PALE, lw=0)
    for level, (value, text, color, dashes) in enumerate(sorted(lines)):
        top = -0.9 - level * 0.2 / row
        seen = {"lw": 1.2, "zorder": 1, "clip_on": False}
        line = style.TODAY if color == style.TODAY_WORDS else color
        axes.plot([value, value], [top - 0.3, len(placed) - 0.4], color=line, ls=dashes, **seen)
        over = value > (left + right) / 2
        axes.annotate(
            text, (value, top), (-4 if over else 4, 0), textcoords="offset points", va="center",
            ha="right" if over else "left", size=9, color=color, annotation_clip=False,
            bbox=_BEHIND,
        )  # fmt: skip
    for y, (group, outcome) in enumerate(zip(placed, outcomes, strict=True)):
        _one(axes, y, outcome, (left, right), summary.zeta[group.group], min(1, row / ROW))
        if group.truth and label != "true that night":
            at = [group.truth.distance_earth_diameters] * 2
            axes.plot(at, [y - 0.4, y + 0.4], color=style.TODAY, lw=1.6)
    axes.set(xlim=(left, right), ylim=(len(placed) - 0.4, -0.6))
    axes.set_xlabel("Moon's distance from Earth's centre, Earth diameters", loc="right")
    axes.spines["left"].set_visible(False)
    axes.tick_params(axis="y", length=0)
    named = placed if len(placed) <= NAMED else []
    axes.set_yticks(range(len(named)), [_short(group.group) for group in named], parse_math=False)


def figure(summary):
    """Return the figure of a class, as high as its groups need."""
    count = len(summary.zeta)
    row = ROW if count <= NAMED else ROW / 4
    height = _HEAD + _FOOT + count * row
    with style.look():
        picture = Figure(figsize=(_WIDE, height))
        FigureCanvasAgg(picture)
        left = 1.3 / _WIDE if count <= NAMED else 0.04
        box = (left, _FOOT / height, 0.97 - left, count * row / height)
        draw(picture.add_axes(box), summary, row)
    return picture


def svg(summary):
    """Return the figure as the text of an SVG picture, the same for the same class."""
    text = io.StringIO()
    picture = figure(summary)
    fixed = {"svg.fonttype": "path", "svg.hashsalt": "moonreach"}
    with style.look(), rc_context(fixed):
        picture.savefig(text, format="svg", metadata={"Date": None})
    return text.getvalue()


def alternative(summary):
    """Return what the figure shows, for those who do not see it."""
    mean, (label, truth, _) = summary.diameters, to_hold_against(summary)
    value, low, high = rounded(mean.value, mean.low, mean.high)
    return (
        f"Distances of {len(summary.zeta)} groups on one axis. The class's robust mean is {value} "
        f"Earth diameters ({low} to {high}); {label} {truth:.2f}; Hipparchus 33.7, Ptolemy 29.5."
    )


def _one(axes, y, outcome, ends, zeta, scale):
    """Draw one group: dot and interval, or an arrow at the end of the axis."""
    left, right = ends
    if not left < outcome.value < right:
        beyond = outcome.value >= right
        x, side = (right, -1) if beyond else (left, 1)
        axes.annotate(
            f"{outcome.value:.1f}", (x, y), (side * 30, 0), textcoords="offset points", va="center",
            ha="right" if beyond else "left", size=9, color=style.OWN_WORDS, bbox=_BEHIND,
            arrowprops={"arrowstyle": "->", "color": style.OWN, "shrinkA": 2, "shrinkB": 0},
        )  # fmt: skip
        return
    low, high = max(outcome.low, left), min(outcome.high, right)
    look = {"color": style.OWN, "solid_capstyle": "butt"}
    axes.plot([low, high], [y, y], lw=2.4 * scale, alpha=0.6, **look)
    open_circle = zeta is not None and abs(zeta) > 2
    face = "white" if open_circle else style.OWN
    axes.plot(outcome.value, y, "o", ms=6 * scale, mfc=face, mec=style.OWN, zorder=4)


def _short(name):
    return name if len(name) <= _LETTERS else f"{name[: _LETTERS - 1]}…"
