"""The two circles laid on the photograph: the Moon's limb and the edge of the umbra."""

from textwrap import fill

import numpy as np
from matplotlib.dates import DateFormatter
from matplotlib.figure import Figure
from matplotlib.patches import Circle as Outline
from PIL import Image, ImageOps

from moonreach.figures import style
from moonreach.photo import read_picture
from moonreach.photo.picture import to_tone

COLOURS = {"moon": style.MOON, "shadow": style.OWN}
DRAWN = 700  # px at most of a picture's side


def cut(path, part=None, most=DRAWN):
    """Return the pixels of a photograph and the limits of what they show, in px of the picture.

    Parameters: the part (left, top, right, bottom) of the upright picture, or all of it; how many
    px a side has at most.
    """
    with Image.open(path) as opened:
        upright = ImageOps.exif_transpose(opened)
        if opened.mode.startswith(("I", "F")):  # of 16 bit
            tones = 255 * to_tone(read_picture(path).light)
            upright = Image.fromarray(tones.astype(np.uint8))
        left, top, right, bottom = part or (0, 0, *upright.size)
        image = upright.convert("RGB").crop((left, top, right, bottom))
    image.thumbnail((most, most))
    return np.asarray(image), np.array([left, right, bottom, top])


def draw_circles(axes, path, photograph):
    """Draw one photograph with its circles.

    Parameters: ``axes`` of matplotlib; ``path`` of the picture; ``photograph``, a `Photograph`.
    The dark parts are lifted so that the soft edge can be seen.
    """
    axes.set_axis_off()
    ratio, moon, part = photograph.ratio, photograph.moon, None
    text = f"shadow ratio {ratio}" if ratio else fill(photograph.message, 44)
    axes.set_title(f"{photograph.file}\n{text}", fontsize=9)
    if moon:
        low, high = (np.array([moon.x, moon.y]) + side * 1.6 * moon.radius for side in (-1, 1))
        part = [int(end) for end in (*low, *high)]
    try:
        pixels, limits = cut(path, part)
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        return
    axes.imshow((pixels / 255) ** 0.6, extent=limits - 0.5)
    for name, colour in COLOURS.items():
        if circle := getattr(photograph, name):
            middle = circle.x, circle.y
            axes.add_patch(Outline(middle, circle.radius, fill=False, color=colour, lw=1.4))
            axes.plot(*middle, marker="+", color=colour, markersize=8)
    axes.axis(limits)


def draw_photographs(paths, measured):
    """Draw all photographs of a `Measurement`, three in a row, and its night; return the figure."""
    columns, night = min(len(paths), 3), measured.night
    rows = -(-len(paths) // columns)
    heights = [4.1] * rows + [3.6] * bool(night)
    size = max(3.6 * columns, 7.2 * bool(night)), sum(heights) + 0.5
    figure = Figure(figsize=size, layout="constrained")
    grid = figure.add_gridspec(len(heights), columns, height_ratios=heights)
    for k, (path, photograph) in enumerate(zip(paths, measured.photographs, strict=True)):
        draw_circles(figure.add_subplot(grid[k // columns, k % columns]), path, photograph)
    if night:
        draw_night(figure.add_subplot(grid[-1, :]), night)
    title = "Where one light curve of the penumbra, laid over the Moon, puts the umbra's edge"
    if measured.joint and len(paths) > 1:
        title = f"All together: shadow ratio = {(night.ratio if night else measured.joint)}"
    figure.suptitle(fill(title, 34 * columns), fontsize=11)
    labels = "the Moon's limb", "the umbra's edge, as fitted"
    lines = [Outline((0, 0), fill=False, color=colour) for colour in COLOURS.values()]
    figure.legend(lines, labels, loc="outside lower center", ncols=2, frameon=False, fontsize=9)
    return figure


def draw_night(axes, night):
    """Draw where the edge lay on the disc against time, with the fitted curve and the contacts."""
    zero, hours, places = night.curve
    on_the_moon = np.abs(places) < 1.3
    axes.axhspan(-1, 1, color=style.PALE, alpha=0.5)
    moments = zero + np.round(3.6e6 * hours).astype("m8[ms]")
    axes.plot(moments, np.where(on_the_moon, places, np.nan), color=style.SHADOW_EDGE, lw=1.2)
    sds = 1.96 * np.sqrt(np.diag(night.used.covariance)[1:])
    axes.errorbar(night.used.times, night.used.places, sds, fmt="o", ms=5, color=style.OWN)
    for name, (moment, _) in night.contacts.items():
        place = 1 if name in ("U1", "U4") else -1
        axes.plot(moment, place, marker="|", ms=14, color=style.INK)
        words = f"{name} {moment.astype('M8[s]').item():%H:%M}"
        axes.annotate(words, (moment, place), (7, -3), textcoords="offset points", fontsize=9)
    axes.margins(x=0.1)
    axes.annotate("the Moon's disc", (0.5, 0.5), xycoords="axes fraction", ha="center", fontsize=9)
    axes.set(ylim=(-1.35, 1.35), ylabel="umbra's edge from the Moon's centre,\nin Moon radii")
    axes.xaxis.set_major_formatter(DateFormatter("%H:%M"))
    axes.set_xlabel(f"UTC, {str(zero)[:10]}")
    axes.set_title("How the edge of the umbra crossed the Moon, and the fitted path", fontsize=9)
