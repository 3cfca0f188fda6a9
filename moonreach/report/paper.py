"""The class report as a PDF: one page for the class, then two groups a page, then the rest."""

import io
import textwrap
import warnings
from functools import cache

import numpy as np
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.lines import Line2D
from matplotlib.textpath import text_to_path

from moonreach.figures import class_result, style
from moonreach.report.content import Report

_WIDE, _HIGH, _MARGIN = 8.27, 11.69, 0.55  # inches, A4; on letter paper print "to fit"
_TOP, _MIDDLE = _HIGH - _MARGIN, _HIGH / 2 - 0.25  # where the upper and the lower half begin
_LEFT, _RIGHT = 3.15, 3.8  # inches of width for what stands side by side
_GAP = 0.09  # inches between the columns of a table
_NOTES, _ROWS, _AXIS = 1.0, 5.2, 0.55  # inches above the figure's groups, for them, and below
# Size in points, weight and colour, by kind of part and by look of a cell.
_LOOKS = {
    "title": (14, "bold", style.INK),
    "heading": (9, "bold", style.INK),
    "faint": (7.5, "normal", style.FAINT),
    "label": (7.5, "normal", style.FAINT),
    "value": (7.5, "normal", style.OWN_WORDS),
    "share": (7.5, "normal", style.OWN_WORDS),
    "true": (7.5, "normal", style.TODAY_WORDS),
}
_TEXT, _CELL = (8.5, "normal", style.INK), (7.5, "normal", style.INK)


def pdf(report: Report) -> bytes:
    """Return the bytes of the PDF of a report."""
    data, facts = io.BytesIO(), {"Title": report.front.title, "CreationDate": None}
    with warnings.catch_warnings(), style.look():
        # Names may have letters that the one typeface lacks; the page in HTML shows them.
        warnings.filterwarnings("ignore", message="Glyph .* missing")
        paper = _Paper(report.summary)
        paper.section(report.front)
        paper.y = 0.0
        for group in report.groups:
            paper.section(group, in_the_middle=paper.y > _MIDDLE)
        for section in report.end:
            paper.section(section)
        with PdfPages(data, metadata=facts) as file:
            for page in paper.pages:
                file.savefig(page)
    return data.getvalue()


class _Paper:
    """Pages that are written from top to bottom; what finds no room goes on to the next one."""

    def __init__(self, summary):
        self.summary, self.pages, self.number, self.y = summary, [], -1, 0.0
        self.left, self.width = _MARGIN, 0.0

    def section(self, section, in_the_middle=False):
        """Write a section on a new page, or below the middle of the last one."""
        if in_the_middle:
            self.y, cut = _MIDDLE, [(_MIDDLE + 0.25) / _HIGH] * 2  # where to cut
            line = Line2D([0.05, 0.95], cut, color=style.PALE, ls=style.DASHED)
            self.pages[-1].add_artist(line)
        else:
            self.number = len(self.pages) - 1
            self.turn()
        self.left, self.width = _MARGIN, _WIDE - 2 * _MARGIN
        self.line((section.title, self.width, _LOOKS["title"]))
        self.write(section.top)
        begin, ends = (self.number, self.y), []
        right = _WIDE - _MARGIN - _RIGHT
        sides = (_MARGIN, _LEFT, section.left), (right, _RIGHT, section.right)
        for self.left, self.width, parts in sides:
            self.number, self.y = begin
            self.write(parts)
            ends.append((self.number, -self.y))
        self.number, self.y = max(ends)[0], -max(ends)[1]

    def turn(self):
        """Turn to the next page."""
        self.number, self.y = self.number + 1, _TOP
        if self.number == len(self.pages):
            self.pages.append(Figure(figsize=(_WIDE, _HIGH)))

    def write(self, parts):
        """Write parts of a section one below the other."""
        for part in parts:
            self.y -= 0.08 if part.kind == "heading" else 0.03
            if part.kind == "figure":
                self.draw()
            kind = "faint" if part.kind in ("figure", "table") else part.kind
            self.line((part.text, self.width, _LOOKS.get(kind, _TEXT)))
            if part.kind == "table":
                self.table(part)

    def line(self, *cells):
        """Write texts side by side, each wrapped to its width, in its look."""
        wrapped = [(_wrapped(text, width, *look[:2]), width, look) for text, width, look in cells]
        high = max(len(lines) * look[0] for lines, _, look in wrapped) * 1.25 / 72
        if self.y - high < _MARGIN:
            self.turn()
        x, page = self.left / _WIDE, self.pages[self.number]
        for lines, width, (size, weight, color) in wrapped:
            look = {"size": size, "weight": weight, "color": color, "parse_math": False}
            for number, line in enumerate(lines):
                y = self.y - (number + 0.8) * size * 1.25 / 72
                page.text(x, y / _HIGH, line, **look)
            x += (width + _GAP) / _WIDE
        self.y -= high + 0.025

    def table(self, part):
        """Write a table's headings and rows; the widest columns give way where it is too wide."""
        rows = [tuple(part.columns), *part.rows]
        widths = np.array([max(map(_wide, column)) + 0.01 for column in zip(*rows, strict=True)])
        while widths.sum() > self.width - _GAP * (len(widths) - 1):
            widths = np.minimum(widths, 0.98 * widths.max())
        looks = [_LOOKS.get(look, _CELL) for look in part.columns.values()]
        self.line(
            *((name, width, _LOOKS["label"]) for name, width in zip(rows[0], widths, strict=True))
        )
        for row in part.rows:
            self.line(*zip(row, widths, looks, strict=True))
        self.y -= 0.05

    def draw(self):
        """Draw the class's result."""
        count = len(self.summary.zeta)
        row = min(class_result.ROW, _ROWS / count)
        self.y -= _NOTES + count * row
        box = 1.9 / _WIDE, self.y / _HIGH, 5.7 / _WIDE, count * row / _HIGH
        class_result.draw(self.pages[self.number].add_axes(box), self.summary, row)
        self.y -= _AXIS


@cache
def _wide(text, size=7.5, weight="normal"):
    """Return the width of a line of text in inches."""
    font = FontProperties(family="DejaVu Sans", size=size, weight=weight)
    return text_to_path.get_text_width_height_descent(text, font, False)[0] / 72


def _wrapped(text, width, *look):
    """Return the lines of a text within a width; only a word wider than that is broken."""
    letters = max(1, len(text))
    while True:
        lines = textwrap.wrap(text, letters) or [""]
        widest = max(_wide(line, *look) for line in lines)
        if widest <= width or letters == 1:
            return lines
        letters = max(1, min(letters - 1, int(letters * width / widest)))
