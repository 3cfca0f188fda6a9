"""The two circles laid on the photograph: the Moon's limb and the edge of the umbra."""

from textwrap import fill

import numpy as np
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
    text = f"shadow / Moon {ratio}" if ratio else fill(photograph.message, 44)
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
    """Draw all photographs of a `Measurement`, three in a row, and return the figure."""
    columns = min(len(paths), 3)
    rows = -(-len(paths) // columns)
    figure = Figure(figsize=(3.6 * columns, 4.1 * rows + 0.5), layout="constrained")
    for k, (path, photograph) in enumerate(zip(paths, measured.photographs, strict=True), start=1):
        draw_circles(figure.add_subplot(rows, columns, k), path, photograph)
    title = "Where one light curve of the penumbra, laid over the Moon, puts the umbra's edge"
    if measured.joint and len(paths) > 1:
        title = f"All together: shadow / Moon = {measured.joint}"
    figure.suptitle(fill(title, 34 * columns), fontsize=11)
    labels = "the Moon's limb", "the umbra's edge, as fitted"
    lines = [Outline((0, 0), fill=False, color=colour) for colour in COLOURS.values()]
    figure.legend(lines, labels, loc="outside lower center", ncols=2, frameon=False, fontsize=9)
    return figure
