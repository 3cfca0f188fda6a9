"""The class report as a PDF: one page for the class, then two groups a page."""

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

PAPERS = {"a4": (8.27, 11.69), "letter": (8.5, 11.0)}  # inches; ISO 216, ANSI/ASME Y14.1
_MARGIN = 0.52
_LEFT, _RIGHT = 3.1, 3.9  # inches of width for what stands side by side
_GAP = 0.09  # inches between the columns of a table
_NAMES, _ROWS = 1.3, 5.2  # inches beside the figure for the groups' names, and for the groups
_LINES, _LINE = 3, 0.21  # lines for an answer, and inches between them
# Size in points, weight and colour, by kind of part and by look of a cell.
_LOOKS = {
    "title": (14, "bold", style.INK),
    "heading": (8.5, "bold", style.INK),
    "faint": (7, "normal", style.FAINT),
    "label": (7, "normal", style.FAINT),
    "value": (7, "normal", style.OWN_WORDS),
    "share": (7, "normal", style.OWN_WORDS),
    "true": (7, "normal", style.TODAY_WORDS),
}
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
            pages.section(group, in_the_middle=pages.y > pages.middle)
        with PdfPages(data, metadata=facts) as file:
            for page in pages.all:
                file.savefig(page)
    return data.getvalue()


class _Pages:
    """Pages that are written from top to bottom; what finds no room goes on to the next one."""

    def __init__(self, summary, wide, high):
        self.summary, self.wide, self.high = summary, wide, high
        self.top, self.middle = high - _MARGIN, high / 2 - 0.2  # where a half page begins
        self.all, self.number, self.y = [], -1, 0.0
        self.left, self.width = _MARGIN, 0.0

    def section(self, section, in_the_middle=False):
        """Write a section on a new page, or below the middle of the last one."""
        if in_the_middle:
            self.y = self.middle
            self.rule(0.4, self.wide - 0.4, self.middle + 0.2, ls=style.DASHED)  # where to cut
        else:
            self.number = len(self.all) - 1
            self.turn()
        self.left, self.width = _MARGIN, self.wide - 2 * _MARGIN
        self.line((section.title, self.width, _LOOKS["title"]))
        self.write(section.top)
        begin, ends = (self.number, self.y), []
        right = self.wide - _MARGIN - _RIGHT
        sides = (_MARGIN, _LEFT, section.left), (right, _RIGHT, section.right)
        for self.left, self.width, parts in sides:
            self.number, self.y = begin
            self.write(parts)
            ends.append((self.number, -self.y))
        self.number, self.y = max(ends)[0], -max(ends)[1]

    def turn(self):
        """Turn to the next page."""
        self.number, self.y = self.number + 1, self.top
        if self.number == len(self.all):
            self.all.append(Figure(figsize=(self.wide, self.high)))

    def rule(self, left, right, y, **look):
        """Draw a line across a part of the page."""
        x, y = [left / self.wide, right / self.wide], [y / self.high] * 2
        self.all[self.number].add_artist(Line2D(x, y, color=style.PALE, **look))

    def write(self, parts):
        """Write parts of a section one below the other."""
        for part in parts:
            self.y -= 0.08 if part.kind == "heading" else 0.03
            if part.kind == "figure":
                self.draw(part.only)
            elif part.kind == "lines":
                self.lines()
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
        x, page = self.left / self.wide, self.all[self.number]
        for lines, width, (size, weight, color) in wrapped:
            look = {"size": size, "weight": weight, "color": color, "parse_math": False}
            for number, line in enumerate(lines):
                y = self.y - (number + 0.8) * size * 1.25 / 72
                page.text(x, y / self.high, line, **look)
            x += (width + _GAP) / self.wide
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

    def lines(self):
        """Draw lines for an answer."""
        if self.y - _LINES * _LINE < _MARGIN:
            self.turn()
        for _ in range(_LINES):
            self.y -= _LINE
            self.rule(self.left, self.left + self.width, self.y)

    def draw(self, only):
        """Draw the class's result, or that of only one group beside it."""
        count = 1 if only else len(self.summary.zeta)
        row = min(class_result.ROW, _ROWS / count)
        self.y -= (class_result.HEAD_OF_ONE if only else class_result.HEAD) + count * row
        wide = (self.width - _NAMES - 0.15) / self.wide
        box = (self.left + _NAMES) / self.wide, self.y / self.high, wide, count * row / self.high
        axes = self.all[self.number].add_axes(box)
        class_result.draw(axes, self.summary, row, only=only)
        self.y -= class_result.FOOT_OF_ONE if only else class_result.FOOT


@cache
def _wide(text, size=7, weight="normal"):
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
