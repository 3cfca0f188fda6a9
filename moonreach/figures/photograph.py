"""The two circles laid on the photograph: the Moon's limb and the edge of the umbra."""

from textwrap import fill

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Circle as Outline
from PIL import Image, ImageOps

MOON, SHADOW = "#999999", "#D55E00"  # the house's Moon, and a result of one's own
DRAWN = 700  # px at most of a picture's side


def draw_circles(axes, path, photograph):
    """Draw one photograph with its circles.

    Parameters: ``axes`` of matplotlib; ``path`` of the picture; ``photograph``, a `Photograph`.
    The dark parts are lifted so that the soft edge can be seen.
    """
    axes.set_axis_off()
    ratio, moon, shadow = photograph.ratio, photograph.moon, photograph.shadow
    text = f"shadow / Moon {ratio}" if ratio else fill(photograph.message, 44)
    axes.set_title(f"{photograph.file}\n{text}", fontsize=9)
    try:
        with Image.open(path) as opened:
            image = ImageOps.exif_transpose(opened).convert("RGB")
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        return
    left, top, right, bottom = 0, 0, image.width, image.height
    if moon:
        reach = 1.6 * moon.radius
        left, right = (int(moon.x + side * reach) for side in (-1, 1))
        top, bottom = (int(moon.y + side * reach) for side in (-1, 1))
    image = image.crop((left, top, right, bottom))
    image.thumbnail((DRAWN, DRAWN))
    lifted = (np.asarray(image) / 255) ** 0.6
    axes.imshow(lifted, extent=(left - 0.5, right - 0.5, bottom - 0.5, top - 0.5))
    if moon:
        _circle(axes, moon, MOON, "Moon")
    if shadow:
        _circle(axes, shadow, SHADOW, "umbra")
    axes.set(xlim=(left, right), ylim=(bottom, top))


def _circle(axes, circle, colour, label):
    """Draw a circle, and its name beside it inside the picture."""
    middle = circle.x, circle.y
    outline = Outline(middle, circle.radius, fill=False, color=colour, lw=1.4, label=label)
    axes.add_patch(outline)
    axes.plot(*middle, marker="+", color=colour, markersize=8, clip_on=True)


def draw_photographs(paths, measured):
    """Draw all photographs of a `Measurement`, three in a row, and return the figure."""
    columns = min(len(paths), 3)
    rows = -(-len(paths) // columns)
    figure = Figure(figsize=(3.6 * columns, 4.1 * rows + 0.5), layout="constrained")
    for k, (path, photograph) in enumerate(zip(paths, measured.photographs, strict=True)):
        draw_circles(figure.add_subplot(rows, columns, k + 1), path, photograph)
    handles = [
        Outline((0, 0), fill=False, color=colour, label=label)
        for colour, label in ((MOON, "the Moon's limb"), (SHADOW, "the umbra's edge, as fitted"))
    ]
    title = "Where one light curve of the penumbra, laid over the Moon, puts the umbra's edge"
    if measured.joint and len(paths) > 1:
        title = f"All together: shadow / Moon = {measured.joint}"
    figure.suptitle(fill(title, 34 * columns), fontsize=11)
    figure.legend(handles=handles, loc="outside lower center", ncols=2, frameon=False, fontsize=9)
    return figure
