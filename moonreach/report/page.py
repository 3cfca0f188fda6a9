"""The class report as one HTML file: no script, nothing to fetch, readable on a phone."""

import base64
from functools import cache
from pathlib import Path

from jinja2 import Environment

from moonreach.figures import class_result
from moonreach.report.content import Report


def html(report: Report) -> str:
    """Return the text of the page of a report; every text from the sheet is escaped."""
    picture, alternative = "", ""
    if report.summary.diameters:
        picture = base64.b64encode(class_result.svg(report.summary).encode()).decode()
        alternative = class_result.alternative(report.summary)
    return _template().render(report=report, picture=picture, alternative=alternative)


@cache
def _template():
    source = Path(__file__).with_name("page.html").read_text(encoding="utf-8")
    return Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True).from_string(source)
