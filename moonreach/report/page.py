"""The class report as one HTML file with nothing to fetch: to read and print, or for the wall."""

import base64
from functools import cache
from pathlib import Path

from jinja2 import Environment

from moonreach.figures import class_result
from moonreach.figures.class_result import DISTANCE
from moonreach.figures.style import INK, color_of
from moonreach.reduction.words import held_against, in_words, whose
from moonreach.report.content import Report
from moonreach.sheet.origin import Origin, least_own


def html(report: Report, paper: str = "a4") -> str:
    """Return the text of the page of a report; every text from the sheet is escaped.

    Parameters: the report, and the paper it is printed on, a key of `paper.PAPERS`.
    """

    def picture(only):
        return base64.b64encode(class_result.svg(report.summary, only=only).encode()).decode()

    return _template("page.html").render(report=report, paper=paper, picture=picture)


def wall(report: Report) -> str:
    """Return a page for the wall, on which the groups' distances appear one by one by a key."""
    summary = report.summary
    placed = [(group.group, group.outcome(DISTANCE)) for group in summary.groups]
    placed = [(name, outcome) for name, outcome in placed if outcome]
    mean, (label, true) = summary.diameters, held_against(summary.groups)
    low, high = sorted((mean.value, true[DISTANCE]))
    low, high = min(0.8 * low, mean.low), max(1.2 * high, mean.high)

    def across(number):
        """Return where a distance lies on the axis, in per cent of its length."""
        return round(100 * (min(max(number, low), high) - low) / (high - low), 2)

    steps = [(name, whose(DISTANCE, one.origin), one, color_of(one.origin)) for name, one in placed]
    origin = least_own({one.origin for _, one in placed} - {Origin.SHARED})
    steps.append(("the class", whose(DISTANCE, origin), mean, INK))
    rows = [
        {
            "name": f"{name} {of_whom}",
            "kind": "" if low <= one.value <= high else "beyond",
            "color": color,
            "text": in_words(one)[0],
            "at": across(one.value),
            "from": across(one.low),
            "wide": across(one.high) - across(one.low),
        }
        for name, of_whom, one, color in steps
    ]
    truth = {"name": label, "text": f"{true[DISTANCE]:.2f}", "at": across(true[DISTANCE])}
    ticks = [(number, across(number)) for number in range(1, 100) if low <= number <= high]
    return _template("wall.html").render(rows=rows, truth=truth, ticks=ticks)


@cache
def _template(name):
    source = Path(__file__).with_name(name).read_text(encoding="utf-8")
    return Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True).from_string(source)
