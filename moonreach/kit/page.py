"""One page of the kit, drawn in millimetres from its lower left corner, with its check bars."""

import textwrap
import tomllib
from pathlib import Path

import numpy as np
from matplotlib.backends.backend_pdf import FigureCanvasPdf
from matplotlib.figure import Figure
from matplotlib.patches import Circle, Polygon, Rectangle

from moonreach.figures import style

PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}  # mm; ISO 216, ANSI/ASME Y14.1
WORDS = tomllib.loads(Path(__file__).with_name("kit.toml").read_text(encoding="utf-8"))
PAGES = WORDS["pages"]
MIDDLE = {"ha": "center", "va": "center"}  # of words
BAR = 100.0  # mm
MARGIN = 12.0  # mm: what no printer cuts off
_THICK = 1.4  # mm, of a check bar
_POINT = 25.4 / 72  # mm
_POINTER = {"arrowstyle": "-", "lw": 0.5, "color": style.FAINT, "shrinkA": 1, "shrinkB": 0}


class Page:
    """A page: title above, room for the parts between, check bars at the left and below."""

    def __init__(self, title, paper, foot, landscape=False):
        """Begin a page of a paper named in `PAPERS`, with the words at its foot."""
        size = PAPERS[paper][::-1] if landscape else PAPERS[paper]
        self.title, self.copies = title, "group"
        self.width, self.height = size
        self.figure = Figure(figsize=(size[0] / 25.4, size[1] / 25.4))
        FigureCanvasPdf(self.figure)
        self.axes = self.figure.add_axes((0, 0, 1, 1), xlim=(0, size[0]), ylim=(0, size[1]))
        self.axes.set_axis_off()
        self.left, self.right = MARGIN + 12, self.width - MARGIN
        self.bottom, self.top = MARGIN + 14, self.height - MARGIN - 12
        self.words(self.left, self.height - MARGIN, title, 14, va="top", weight="bold")
        self.rectangle(self.left, MARGIN, BAR, _THICK, facecolor=style.INK, lw=0)
        self.rectangle(MARGIN, self.bottom, _THICK, BAR, facecolor=style.INK, lw=0)
        self.words(self.left, MARGIN + 3, WORDS["bar"], 8)
        self.words(MARGIN + 3, self.bottom, WORDS["bar"], 8, rotation=90)
        self.words(self.right, MARGIN, foot, 7, ha="right", color=style.FAINT)

    def number(self, number, count):
        """Write which of how many pages this is."""
        self.words(self.right, MARGIN + 4, f"page {number} of {count}", 8, ha="right")

    def line(self, xs, ys, lw=0.5, color=style.INK, **look):
        """Draw a line through points."""
        self.axes.plot(xs, ys, color=color, lw=lw, solid_capstyle="butt", **look)

    def strokes(self, pairs, lw=0.35):
        """Draw many separate strokes, each ((x, y), (x, y))."""
        ends = np.array(pairs, float).reshape(-1, 2, 2)
        points = np.concatenate([ends, np.full((len(ends), 1, 2), np.nan)], axis=1)
        if len(ends):
            self.line(*points.reshape(-1, 2).T, lw=lw)

    def scale(self, counts, points, ways, ticks):
        """Draw the ticks of a scale.

        Parameters: whole numbers of the scale's least step (n); the point where each tick begins
        (n, 2); its direction, one for all or (n, 2); its length in mm by what its count can be
        divided by, the longest first.
        """
        length = np.select([counts % step == 0 for step in ticks], list(ticks.values()))
        self.strokes(np.stack([points, points + length[:, None] * ways], axis=1))

    def cross(self, x, y, reach, free=0.0, lw=0.35):
        """Draw an upright cross about a point, the middle left free so far."""
        ways = np.array([(1, 0), (-1, 0), (0, 1), (0, -1)])
        self.strokes([((x, y) + free * way, (x, y) + reach * way) for way in ways], lw)

    def rectangle(self, x, y, width, height, **look):
        """Draw a rectangle from its lower left corner."""
        self._patch(Rectangle, (x, y), width, height, **look)

    def circle(self, x, y, radius, **look):
        """Draw a circle."""
        self._patch(Circle, (x, y), radius, **look)

    def area(self, points, **look):
        """Draw a closed shape through points."""
        self._patch(Polygon, points, **look)

    def _patch(self, shape, *where, **look):
        look = {"edgecolor": style.INK, "facecolor": "none", "lw": 0.5} | look
        self.axes.add_patch(shape(*where, **look))

    def draw(self, marks, places, low):
        """Draw marks as `kit.toml` has them: boxes, lines, circles, areas, words and labels.

        Parameters: the marks; the x of each place that their points are reckoned from; and the
        height from which they go up. A colour in capitals is one of `style`.
        """
        for mark in marks:
            (shape, points), *look = mark.items()
            look = {key: getattr(style, str(value), value) for key, value in look}
            points = [(places[place] + right, low + up) for place, right, up in points]
            (x, y), (x_end, y_end) = points[0], points[-1]
            if shape == "box":
                self.rectangle(x, y, x_end - x, y_end - y, **look)
            elif shape == "circle":
                self.circle(x, y, **look)
            elif shape == "area":
                self.area(points, **look)
            elif shape == "line":
                self.line(*zip(*points, strict=True), **look)
            elif shape == "words":
                self.words(x, y, **MIDDLE | {"size": 7} | look)
            else:
                self.axes.annotate(look["text"], *points, fontsize=8, arrowprops=_POINTER, **MIDDLE)

    def words(self, x, y, text, size=9, **look):
        """Write one line of words."""
        return self.axes.text(x, y, text, **({"fontsize": size, "va": "bottom"} | look))

    def paragraph(self, y, text, size=9, inset=0, **look):
        """Write words in lines across the page, from a height down; return where the next begin."""
        wide = 0.63 if look.get("weight") == "bold" else 0.565  # of a letter, in its size
        letters = int((self.right - self.left - 2 * inset) / (wide * size * _POINT))
        lines = [
            line
            for part in text.splitlines()
            for line in textwrap.wrap(part, letters, subsequent_indent="   " * part.startswith("•"))
        ]
        look = {"va": "top", "linespacing": 2.2 if "___" in text else 1.35} | look  # room to write
        self.words(self.left + inset, y, "\n".join(lines), size, **look)
        return y - len(lines) * (0.24 + 0.78 * look["linespacing"]) * size * _POINT - 2

    def caution(self, y, text):
        """Write a caution in a frame across the page; return where the next may begin."""
        end = self.paragraph(y - 3, text, inset=4, weight="bold")
        frame = (self.left, end, self.right - self.left, y - end)
        self.rectangle(*frame, lw=1.2, edgecolor=style.OWN_WORDS)
        return end - 4

    def rows_below(self, y, height=7.4):
        """Return how many rows, with a heading above them, fit between a height and the bottom."""
        return int((y - self.bottom) // height) - 1

    def table(self, y, columns, rows, height=7.4, size=8):
        """Draw a table across the page; return its lower end.

        Parameters: height of its upper end; columns as {heading: width}, widths in their
        proportion; rows of texts; height of a row in mm, size of the words.
        """
        shares = np.cumsum([0, *columns.values()])
        edges = self.left + (self.right - self.left) * shares / shares[-1]
        levels = y - height * np.arange(len(rows) + 2)
        for number, cells in enumerate([list(columns), *rows]):
            weight = "normal" if number else "bold"
            for x, cell in zip(edges, cells, strict=False):
                self.words(
                    x + 1, levels[number] - height / 2, cell, size, va="center", weight=weight
                )
        self.strokes([((edges[0], level), (edges[-1], level)) for level in levels])
        self.strokes([((edge, levels[0]), (edge, levels[-1])) for edge in edges])
        return levels[-1]
