"""One page of the kit, drawn in millimetres from its lower left corner, with its check bars."""

import textwrap

from matplotlib.backends.backend_pdf import FigureCanvasPdf
from matplotlib.figure import Figure
from matplotlib.patches import Circle, Polygon, Rectangle

from moonreach.figures import style

PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}  # mm; ISO 216, ANSI/ASME Y14.1
BAR = 100.0  # mm
MARGIN = 12.0  # mm: what no printer cuts off
_THICK = 1.4  # mm, of a check bar
_POINT = 25.4 / 72  # mm


class Page:
    """A page: title above, room for the parts between, check bars at the left and below."""

    def __init__(self, title, paper, foot, landscape=False):
        """Begin a page of a paper named in `PAPERS`, with the words at its foot."""
        size = PAPERS[paper][::-1] if landscape else PAPERS[paper]
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
        told = "100 mm: print at 100 %, then measure this bar"
        self.words(self.left, MARGIN + 3, told, 8)
        self.words(MARGIN + 3, self.bottom, told, 8, rotation=90)
        self.words(self.right, MARGIN, foot, 7, ha="right", color=style.FAINT)

    def line(self, xs, ys, lw=0.5, color=style.INK, **look):
        """Draw a line through points."""
        self.axes.plot(xs, ys, color=color, lw=lw, solid_capstyle="butt", **look)

    def strokes(self, pairs, lw=0.35):
        """Draw many separate strokes, each ((x, y), (x, y))."""
        gap = (float("nan"),) * 2
        points = [point for pair in pairs for point in (*pair, gap)]
        if points:
            self.line(*zip(*points, strict=True), lw=lw)

    def rectangle(self, x, y, width, height, lw=0.5, facecolor="none", **look):
        """Draw a rectangle from its lower left corner."""
        look = {"edgecolor": style.INK, "facecolor": facecolor, "lw": lw} | look
        self.axes.add_patch(Rectangle((x, y), width, height, **look))

    def circle(self, x, y, radius, lw=0.5, facecolor="none", **look):
        """Draw a circle."""
        look = {"edgecolor": style.INK, "facecolor": facecolor, "lw": lw} | look
        self.axes.add_patch(Circle((x, y), radius, **look))

    def area(self, points, facecolor="none", lw=0.5, **look):
        """Draw a closed shape through points."""
        look = {"edgecolor": style.INK, "facecolor": facecolor, "lw": lw} | look
        self.axes.add_patch(Polygon(points, **look))

    def words(self, x, y, text, size=9, **look):
        """Write one line of words."""
        return self.axes.text(x, y, text, **({"fontsize": size, "va": "bottom"} | look))

    def paragraph(self, x, y, width, text, size=9, **look):
        """Write words in lines of a width, from their top down; return where the next may begin."""
        wide = 0.63 if look.get("weight") == "bold" else 0.565  # of a letter, in its size
        letters = int(width / (wide * size * _POINT))
        lines = [
            line
            for part in text.splitlines()
            for line in textwrap.wrap(part, letters, subsequent_indent="   " * part.startswith("•"))
        ]
        look = {"va": "top", "linespacing": 1.35} | look
        self.words(x, y, "\n".join(lines), size, **look)
        return y - len(lines) * 1.58 * size * _POINT - 1.5

    def caution(self, y, text):
        """Write a caution in a frame across the page; return where the next may begin."""
        width = self.right - self.left
        end = self.paragraph(self.left + 4, y - 3, width - 8, text, weight="bold")
        self.rectangle(self.left, end, width, y - end, lw=1.2, edgecolor=style.OWN_WORDS)
        return end - 4

    def table(self, y, columns, rows, height=7.0, size=8):
        """Draw a table: columns of (heading, width in mm), rows of texts; return its lower end."""
        edges = [self.left]
        for _, width in columns:
            edges.append(edges[-1] + width)
        for number, cells in enumerate([[name for name, _ in columns], *rows]):
            for x, cell in zip(edges, cells, strict=False):
                weight = "bold" if number == 0 else "normal"
                middle = y - (number + 0.5) * height
                self.words(x + 1, middle, cell, size, va="center", weight=weight)
        end = y - (len(rows) + 1) * height
        levels = [y - number * height for number in range(len(rows) + 2)]
        self.strokes([((edges[0], level), (edges[-1], level)) for level in levels])
        self.strokes([((edge, y), (edge, end)) for edge in edges])
        return end
