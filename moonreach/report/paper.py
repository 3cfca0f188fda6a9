"""The class report as a PDF: the parts of its page, as rows of text one below the other."""

import io
import textwrap
import warnings
from collections.abc import Iterator
from functools import cache
from itertools import repeat

import numpy as np
from matplotlib.artist import Artist
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.lines import Line2D
from matplotlib.textpath import text_to_path

from moonreach.figures import class_result, style
from moonreach.report.content import Report
from moonreach.report.parts import Part

PAPERS = {"a4": (8.27, 11.69), "letter": (8.5, 11.0)}  # inches; ISO 216, ANSI/ASME Y14.1
_MARGIN = 0.52
_LEFT, _RIGHT = 3.1, 3.9  # inches of width for what stands side by side
_GAP = 0.09  # inches between the columns of a table
_POINTS = 72  # to an inch
_LEADING = 1.2 / _POINTS  # inches from line to line, for a point of their size
_GROUPS = 5.2  # inches at most for the groups in the figure of a class
# Size in points, weight and colour, by kind of part and by look of a cell.
_LOOKS = {
    "title": (14, "bold", style.INK),
    "heading": (8.5, "bold", style.INK),
    "line": (9, "normal", style.INK),
    "value": (7, "bold", style.OWN_WORDS),
    "share": (7, "normal", style.OWN_WORDS),
    "true": (7, "normal", style.TODAY_WORDS),
} | dict.fromkeys(("faint", "label", "figure", "table"), (7, "normal", style.FAINT))
_TEXT, _CELL = (8, "normal", style.INK), (7, "normal", style.INK)


def pdf(report: Report, paper: str = "a4") -> bytes:
    """Return the bytes of the PDF of a report; paper is a key of `PAPERS`."""
    data, facts = io.BytesIO(), {"Title": report.front.title, "CreationDate": None}
    with warnings.catch_warnings(), style.look():
        # Names may have letters that the one typeface lacks; the page in HTML shows them.
        warnings.filterwarnings("ignore", message="Glyph .* missing")
        pages = _Pages(report.summary, *PAPERS[paper])
        pages.section(report.front)
        pages.y = 0.0
        for group in report.groups:
            pages.section(group, in_the_middle=pages.y > pages.middle)  # the last one left room
        with PdfPages(data, metadata=facts) as file:
            for page in pages.all:
                file.savefig(page)
    return data.getvalue()


class _Pages:
    """Pages that are written from top to bottom; what finds no room goes on to the next one."""

    def __init__(self, summary, wide, high):
        self.summary, self.wide, self.high = summary, wide, high
        self.middle = high / 2 - 0.05  # where to cut between two half pages
        self.all, self.number, self.y = [], -1, 0.0

    def section(self, section, in_the_middle=False):
        """Write a section on a new page, or below the middle of the last one."""
        if in_the_middle:
            self.rule(0.4, self.wide - 0.4, self.middle, ls=style.DASHED)
            self.y = self.middle - 0.12
        else:
            self.number, self.y = len(self.all) - 1, 0.0
        self.write([Part("title", section.title), *section.top], _MARGIN, self.wide - 2 * _MARGIN)
        begin, ends = (self.number, self.y), []
        right = self.wide - _MARGIN - _RIGHT
        for parts, left, width in (section.left, _MARGIN, _LEFT), (section.right, right, _RIGHT):
            self.number, self.y = begin
            self.write(parts, left, width)
            ends.append((self.number, -self.y))
        self.number, self.y = max(ends)[0], -max(ends)[1]

    def write(self, parts, left, width):
        """Write parts of a section one below the other."""
        for part in parts:
            self.y -= 0.08 if part.kind == "heading" else 0.03
            if part.kind == "figure":
                self.draw(part.only, left, width)
            for row in _rows(part, width):
                self.row(row, left)
                if part.kind == "line" or row[0][1] < width:
                    self.rule(left, left + width, self.y + 0.01, lw=0.6)
            self.y -= 0.05 * bool(part.rows)

    def room(self, high):
        """Go down so far, on a new page where this one has no room for it; return the page."""
        if self.y - high < _MARGIN:
            self.number, self.y = self.number + 1, self.high - _MARGIN
            if self.number == len(self.all):
                self.all.append(Figure(figsize=(self.wide, self.high)))
                self.all[-1].add_artist(_Lines())
        self.y -= high
        return self.all[self.number]

    def row(self, cells, left):
        """Write texts side by side, each wrapped to its width, in its look."""
        wrapped = [(_wrapped(text, width, *look[:2]), width, look) for text, width, look in cells]
        high = max(len(lines) * look[0] for lines, _, look in wrapped) * _LEADING
        page = self.room(high + 0.03)
        for lines, width, look in wrapped:
            for number, line in enumerate(lines):
                y = self.y + 0.03 + high - (number + 0.8) * look[0] * _LEADING
                page.artists[0].lines.append((left, y, line, look))
            left += width + _GAP

    def rule(self, left, right, y, **look):
        """Draw a line across a part of the page."""
        x, y = [left / self.wide, right / self.wide], [y / self.high] * 2
        self.all[self.number].add_artist(Line2D(x, y, color=style.PALE, **look))

    def draw(self, only, left, width):
        """Draw the class's result, or that of only one group beside it."""
        box, high = class_result.frame(self.summary, only, width, _GROUPS)
        page = self.room(high)
        box = np.add(box, (left, self.y, 0, 0)) / ([self.wide, self.high] * 2)
        class_result.draw(page.add_axes(box), self.summary, only=only)


class _Lines(Artist):
    """The lines of text of a page, each with its place in inches and its look.

    They are laid out already: matplotlib's own texts would be measured and placed once more.
    """

    def __init__(self):
        super().__init__()
        self.lines = []

    def draw(self, renderer):
        """Draw the lines; a renderer of PDF counts in points."""
        for left, y, line, (size, weight, color) in self.lines:
            pen = renderer.new_gc()
            pen.set_foreground(color)
            renderer.draw_text(pen, left * _POINTS, y * _POINTS, line, _font(size, weight), 0)
            pen.restore()


def _rows(part: Part, width: float) -> Iterator[list[tuple]]:
    """Yield the rows of a part's text and table: texts, with width in inches and look of each.

    The widest columns of a table give way where it is too wide.
    """
    yield [(part.text, width, _LOOKS.get(part.kind, _TEXT))]
    if not part.rows:
        return
    looks = [_LOOKS.get(look, _CELL) for look in part.columns.values()]
    rows = [list(zip(part.columns, repeat(_LOOKS["label"]), strict=False))]
    rows += [list(zip(row, looks, strict=True)) for row in part.rows]
    columns = zip(*rows, strict=True)
    widths = np.array([max(_wide(text, *look[:2]) for text, look in cells) for cells in columns])
    widths += 0.01  # for what rounding adds
    while widths.sum() > width - _GAP * (len(widths) - 1):
        widths = np.minimum(widths, 0.98 * widths.max())
    for row in rows:
        yield [(text, wide, look) for (text, look), wide in zip(row, widths, strict=True)]


def _wide(text, size, weight):
    """Return the width of a line of text in inches, its letters side by side."""
    return sum(_width_of(letter, size, weight) for letter in text)


@cache
def _width_of(letter, size, weight):
    font = _font(size, weight)
    return text_to_path.get_text_width_height_descent(letter, font, False)[0] / _POINTS


@cache
def _font(size, weight):
    return FontProperties(family="DejaVu Sans", size=size, weight=weight)


def _wrapped(text, width, *look):
    """Return the lines of a text within a width; only a word wider than that is broken."""
    letters = max(1, len(text))
    while True:
        lines = textwrap.wrap(text, letters) or [""]
        widest = max(_wide(line, *look) for line in lines)
        if widest <= width or letters == 1:
            return lines
        letters = max(1, min(letters - 1, int(letters * width / widest)))
