"""The class report as a PDF: one page for the class, then two groups a page."""

import io
import textwrap
import warnings

from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from moonreach.figures import class_result, style

_WIDE, _HIGH = 8.27, 11.69  # inches, A4; on letter paper print "to fit"
_MARGIN = 0.55
_POINT = 1 / 72
_PROBLEMS = 15  # on a page, where each takes up to four lines
_FURTHER = 40  # rows on a page, of two lines at most
_ROWS_HIGH = 5.2  # inches for the groups in the figure


class _Column:
    """Lines of text one below the other, within a width that is counted in letters."""

    def __init__(self, page, left, width, top, bottom):
        self.page, self.left, self.width, self.y, self.bottom = page, left, width, top, bottom

    def text(self, text, size=8.5, x=0.0, width=None, down=True, **look):
        """Write text, wrapped to the width in inches; return how many inches it takes."""
        width = self.width - x if width is None else width
        lines = textwrap.wrap(text, max(8, int(width / (0.56 * size * _POINT)))) or [""]
        high = len(lines) * size * 1.25 * _POINT
        if self.y - high < self.bottom:
            return 0.0
        at = (self.left + x) / _WIDE, self.y / _HIGH
        self.page.text(*at, "\n".join(lines), size=size, va="top", parse_math=False,
                       linespacing=1.2, **look)  # fmt: skip
        if down:
            self.y -= high
        return high

    def gap(self, inches):
        """Leave room."""
        self.y -= inches

    def row(self, cells, size=7.5):
        """Write cells side by side: pairs of text and width in inches, with a colour each."""
        x, highest = 0.0, 0.0
        for text, width, color in cells:
            high = self.text(text, size, x, width - 0.06, down=False, color=color)
            x, highest = x + width, max(highest, high)
        self.y -= highest + 0.025


def pdf(report):
    """Return the bytes of the PDF of a `content.Report`."""
    data = io.BytesIO()
    facts = {"Title": "Class report: the distance of the Moon", "CreationDate": None}
    with warnings.catch_warnings(), style.look(), PdfPages(data, metadata=facts) as pages:
        # Names may have letters that the one typeface lacks; the page in HTML shows them.
        warnings.filterwarnings("ignore", message="Glyph .* missing")
        if report.summary.diameters:
            pages.savefig(_class_page(report))
        for start in range(0, len(report.groups), 2):
            page = Figure(figsize=(_WIDE, _HIGH))
            for place, group in enumerate(report.groups[start : start + 2]):
                _half_page(page, group, _HIGH - _MARGIN - place * (_HIGH - _MARGIN) / 2)
            pages.savefig(page)
        for start in range(0, len(report.further), _FURTHER):
            pages.savefig(_further_page(report.further[start : start + _FURTHER]))
        for start in range(0, len(report.problems), _PROBLEMS):
            page = Figure(figsize=(_WIDE, _HIGH))
            column = _Column(page, _MARGIN, _WIDE - 2 * _MARGIN, _HIGH - _MARGIN, 0)
            column.text("Not used from the sheet", 12, weight="bold")
            for problem in report.problems[start : start + _PROBLEMS]:
                column.gap(0.05)
                column.text(problem[:400])
            pages.savefig(page)
    return data.getvalue()


def _class_page(report):
    page, summary = Figure(figsize=(_WIDE, _HIGH)), report.summary
    head = _Column(page, _MARGIN, _WIDE - 2 * _MARGIN, _HIGH - _MARGIN, 0)
    head.text("Class report: the distance of the Moon", 14, weight="bold")
    head.text(f"From {', '.join(report.files)}. Intervals are 95 % intervals.", color=style.FAINT)
    count = len(summary.zeta)
    row = min(class_result.ROW, _ROWS_HIGH / count)
    top = head.y - 1.2
    box = (1.9 / _WIDE, (top - count * row) / _HIGH, 5.7 / _WIDE, count * row / _HIGH)
    class_result.draw(page.add_axes(box), summary, row)
    y = top - count * row - 0.55
    below = _Column(page, _MARGIN, _WIDE - 2 * _MARGIN, y, 0)
    below.text(class_result.CAPTION, 7.5, color=style.FAINT)
    left = _Column(page, _MARGIN, 3.45, below.y - 0.12, _MARGIN)
    left.text(f"The class's result ({count} of {len(report.groups)} groups)", 10, weight="bold")
    left.gap(0.05)
    for what, value, interval in report.results:
        color = style.OWN_WORDS if interval else style.TODAY_WORDS
        left.row([(what, 0.95, style.INK), (value, 1.45, color), (interval, 1.2, style.INK)], 7.5)
    left.gap(0.05)
    left.text(f"Robust mean, ISO 13528 Algorithm A. {report.parts}")
    right = _Column(page, 4.3, 3.4, below.y - 0.12, _MARGIN)
    right.text("What its uncertainty is made of", 10, weight="bold")
    right.gap(0.05)
    for what, share in report.budget[:8]:
        right.row([(what, 2.7, style.INK), (f"{100 * share:.0f} %", 0.6, style.OWN_WORDS)], 7.5)
    if report.improve:
        right.gap(0.05)
        right.text("What would improve it most", 9, weight="bold")
        right.text(report.improve)
    return page


def _further_page(rows):
    page = Figure(figsize=(_WIDE, _HIGH))
    column = _Column(page, _MARGIN, _WIDE - 2 * _MARGIN, _HIGH - _MARGIN, 0)
    column.text("The further lessons", 12, weight="bold")
    column.gap(0.05)
    widths = 1.1, 2.0, 1.2, 1.5, 1.35
    titles = "group", "measured", "what", "value", "95 % interval"
    colors = (style.INK,) * 3 + (style.OWN_WORDS, style.INK)
    column.row([(title, wide, style.FAINT) for title, wide in zip(titles, widths, strict=True)])
    for cells in rows:
        column.row(list(zip(cells, widths, colors, strict=True)))
    return page


def _half_page(page, group, top):
    bottom = top - (_HIGH - _MARGIN) / 2 + 0.3
    if top < _HIGH / 2 + _MARGIN:  # the lower half: where to cut
        cut = [(top + 0.25) / _HIGH] * 2
        page.add_artist(Line2D([0.05, 0.95], cut, color=style.PALE, ls=style.DASHED))
    head = _Column(page, _MARGIN, _WIDE - 2 * _MARGIN, top, 0)
    head.text(group.name[:60], 12, weight="bold")
    y = head.y - 0.08
    left = _Column(page, _MARGIN, 3.15, y, bottom)
    for quantity, texts in group.readings:
        left.row([(quantity, 1.35, style.FAINT), (texts, 1.8, style.INK)])
    right = _Column(page, 3.85, 3.95, y, bottom)
    widths = 1.3, 0.78, 1.15, 0.72
    colors = style.INK, style.OWN_WORDS, style.INK, style.TODAY_WORDS
    titles = ("what", "value", "95 % interval", group.true_label)
    if group.chain:
        right.row(list(zip(titles, widths, [style.FAINT] * 4, strict=True)), 7)
    for cells in group.chain:
        right.row(list(zip(cells, widths, colors, strict=True)))
    right.gap(0.08)
    if group.standing:
        right.text(group.standing)
    for title, sentences in (
        ("Check this together", group.together),
        ("Exercises", [group.exercises] if group.exercises else []),
        ("A question to think about", [group.question]),
    ):
        if sentences:
            right.gap(0.06)
            right.text(title, weight="bold")
        for sentence in sentences:
            right.text(sentence)
