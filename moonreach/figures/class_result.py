"""The class's result: every group's distance with its interval, beside antiquity and the truth."""

import numpy as np
from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from moonreach.figures import all_ways, pictures, style
from moonreach.reduction.group import GroupResult
from moonreach.reduction.summary import ClassSummary
from moonreach.reduction.words import held_against, rounded, whose
from moonreach.sheet.origin import Origin

DISTANCE = "distance_earth_diameters"
# Earth diameters, half of the Earth radii that were given.
ANTIQUITY = {way.who.partition(",")[0]: way.value / 2 for way in all_ways.ANTIQUITY[-2:]}
ROW = 0.2  # inches for a group
NAMED = 100  # groups, beyond which there is no room for their names
_AROUND, _AROUND_ONE = (1.1, 0.55), (0.1, 0.25)  # inches above the groups, and below
_WIDE, _NARROW = 7.2, 4.9  # inches
_NAMES, _MARGIN = 1.45, 0.2  # inches beside the axes
_LETTERS = 18  # of a group's name together with whose its distance is
WORDS = style.described("class_result")
CAPTION = WORDS["caption"]


def draw(
    axes: Axes, summary: ClassSummary, ours: str = "", only: GroupResult | None = None
) -> None:
    """Draw the result of a class into axes, or that of only one of its groups beside the class's.

    ``ours`` is the group whose row stands out.
    """
    placed = [only] if only else [g for g in summary.groups if g.outcome(DISTANCE)]
    row = axes.bbox.height / axes.figure.dpi / len(placed)  # inches
    outcomes = [group.outcome(DISTANCE) for group in placed]
    mean = summary.diameters
    label, true = held_against([only] if only else summary.groups)
    truth = true[DISTANCE]
    lines = [
        (mean.value, f"class {_mean(summary)[0]}", style.INK, style.INK, "-"),
        (truth, f"{label} {truth:.2f}", style.TODAY_WORDS, style.TODAY, style.DASHED),
    ]
    if not only:
        antiquity = style.FAINT, style.FAINT, ":"
        lines += [(at, f"{who} {at:.1f}", *antiquity) for who, at in ANTIQUITY.items()]
    ends = np.array([(outcome.low, outcome.high) for outcome in outcomes]).ravel()
    ends = ends[np.abs(ends - mean.value) < 0.25 * mean.value]
    ends = np.append(ends, [value for value, *_ in lines])
    axes.set_xlim(ends.min() - 0.6, ends.max() + 0.6)
    axes.axvspan(mean.low, mean.high, color=style.PALE, lw=0)
    for level, (value, text, words, color, dashes) in enumerate(sorted(lines)):
        top, look = -0.9 - level * 0.2 / row, {"color": color, "ls": dashes, "clip_on": False}
        top = top if not only else -0.3  # there its caption says what each line is
        axes.plot([value] * 2, [top - 0.3, len(placed) - 0.4], lw=1.2, zorder=1, **look)
        if not only:
            _note(axes, text, (value, top), 4, color=words, annotation_clip=False)
    for y, (group, outcome) in enumerate(zip(placed, outcomes, strict=True)):
        if group.group == ours:
            axes.axhspan(y - 0.45, y + 0.45, color=style.SUN, alpha=0.25, lw=0)
        _draw_group(axes, y, outcome, summary.zeta[group.group], min(1, row / ROW))
        if group.truth and label != "true that night":
            axes.vlines(group.truth.distance_earth_diameters, y - 0.4, y + 0.4, style.TODAY)
    names = ["→ " * (group.group == ours) + _name(group) for group in placed]
    style.named_rows(axes, names, len(placed) <= NAMED)
    if not only:  # whose caption says it
        axes.set_xlabel("Moon's distance from Earth's centre, Earth diameters", loc="right")
    axes.set_ylim(len(placed) - 0.4, -0.6)


def frame(
    summary: ClassSummary, only: GroupResult | None, wide: float, room: float | None = None
) -> tuple[list[float], float]:
    """Return where the axes of the result stand in its picture, and how high that is, in inches.

    Parameters: the class, the one group that is shown or None, how wide the picture is, and how
    much of its height the groups have at most. Returns left, bottom, width and height of the
    axes, and the height of all.
    """
    (above, below), count = (_AROUND_ONE, 1) if only else (_AROUND, len(summary.zeta))
    names = _NAMES if count <= NAMED else _MARGIN
    groups = min(ROW * count, room or ROW * NAMED)
    return [names, below, wide - names - _MARGIN, groups], above + groups + below


def figure(summary: ClassSummary, ours: str = "", only: GroupResult | None = None) -> Figure:
    """Return the figure of a class, as high as its groups need, or of only one of its groups.

    ``ours`` is the group whose row stands out.
    """
    wide = _NARROW if only else _WIDE
    box, high = frame(summary, only, wide)
    with style.look():
        picture = Figure(figsize=(wide, high))
        draw(picture.add_axes(np.divide(box, [wide, high] * 2)), summary, ours, only)
    return picture


def svg(summary: ClassSummary, ours: str = "", only: GroupResult | None = None) -> str:
    """Return the figure as the text of an SVG picture, the same for the same class."""
    fixed = {"svg.fonttype": "path", "svg.hashsalt": "moonreach"}
    with style.look(), rc_context(fixed):
        return pictures.saved(figure(summary, ours, only), "svg", metadata={"Date": None}).decode()


def alternative(summary: ClassSummary) -> str:
    """Return what the figure shows, for those who do not see it."""
    (value, low, high), (label, true) = _mean(summary), held_against(summary.groups)
    count = len(summary.zeta)
    return WORDS["alternative"].format(count, value, low, high, label, true[DISTANCE], **ANTIQUITY)


def _mean(summary):
    """Return the class's mean and its ends as text, the mean with the word where it is invented."""
    mean = summary.diameters
    value, low, high = rounded(mean.value, mean.low, mean.high)
    outcomes = [group.outcome(DISTANCE) for group in summary.groups]
    invented = [outcome.origin == Origin.PRACTICE for outcome in outcomes if outcome]
    word = "" if not any(invented) else " (practice)" if all(invented) else " (partly practice)"
    return value + word, low, high


def _name(group):
    """Return a group's name with whose its distance is, kept short."""
    of_whom = whose(DISTANCE, group.outcome(DISTANCE).origin)
    room, name = _LETTERS - len(of_whom), group.group
    name = name if len(name) <= room else f"{name[: room - 1].rstrip()}…"
    return f"{name} {of_whom}".strip()


def _note(axes, text, place, aside, **look):
    """Write words beside a place, towards the middle and over lines that run through them."""
    over = place[0] > np.mean(axes.get_xlim())
    look |= {"ha": "right" if over else "left", "va": "center", "size": 9}
    look["bbox"] = {"facecolor": "white", "edgecolor": "none", "pad": 1}
    axes.annotate(text, place, (-aside if over else aside, 0), textcoords="offset points", **look)


def _draw_group(axes, y, outcome, zeta, scale):
    """Draw one group: dot and interval, or an arrow at the end of the axis."""
    color = style.color_of(outcome.origin)
    left, right = axes.get_xlim()
    end = np.clip(outcome.value, left, right)
    if end != outcome.value:
        arrow = {"arrowstyle": "->", "color": color, "shrinkA": 2, "shrinkB": 0}
        _note(axes, f"{outcome.value:.1f}", (end, y), 30, color=style.INK, arrowprops=arrow)
        return
    low, high = np.clip((outcome.low, outcome.high), left, right)
    axes.hlines(y, low, high, color, lw=2.4 * scale, alpha=0.6)
    face = "white" if zeta is not None and abs(zeta) > 2 else color
    axes.plot(outcome.value, y, "o", ms=6 * scale, mfc=face, mec=color, zorder=4)
