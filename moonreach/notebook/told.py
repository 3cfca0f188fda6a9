"""What a cell tells: text shown as it is, and a lesson's results, each with whose it is."""

import html
import re
from base64 import b64encode

import numpy as np

from moonreach.exercises import Readings, number_of
from moonreach.lessons.refuse import sentence
from moonreach.notebook.syllabus import Lesson
from moonreach.reduction.results import RESULTS
from moonreach.reduction.words import input_label, rounded, spaced, whose
from moonreach.sheet.group_sheet import GroupSheet
from moonreach.sheet.quantities import label_of

EVEN = 1.5  # more between the two halves of an interval is told
_INSIDE = re.compile(r"(?<=[0-9]) (?=[0-9]{3}\b|(?:km|cm|mm|m|px|h|min|s)\b|%)")


def kept_together(text: str) -> str:
    """Return a text in which no line ends inside a number, or between it and its unit.

    >>> kept_together("406 700 km, 16 % of it")
    '406\\xa0700\\xa0km, 16\\xa0% of it'
    """
    return _INSIDE.sub("\N{NO-BREAK SPACE}", text)


class Said(str):
    """Text that a cell shows as it is: lines on paper, paragraphs in a browser."""

    def __repr__(self):
        return str(self)

    def _repr_html_(self):
        lines = "<br>".join(html.escape(line) for line in kept_together(self).splitlines())
        return f'<div style="max-width: 46em; line-height: 1.5">{lines}</div>'


def image(picture: bytes, words: str, kind: str = "png", look: str = "max-width:100%"):
    """Return a picture as it stands in a page, and its address.

    Parameters: the file's bytes, the words in its place, the kind of file, how it is laid out.
    """
    data = f"data:image/{kind};base64,{b64encode(picture).decode('ascii')}"
    return f'<img src="{data}" alt="{html.escape(words)}" style="{look}">', data


def result_lines(lesson: Lesson, readings: Readings, still_open: dict[str, str]) -> list[str]:
    """Return a lesson's results with their 95 % intervals, and what they hang on.

    Parameters: the lesson, the readings, and the results that an exercise is still to find, with
    its key: of these only the uncertainty is told.
    """
    lines = [readings.caution] if "ratio" in lesson.needs else []
    shares = {}
    for name, (words, _) in lesson.results.items():
        if outcome := readings.outcome(name):
            label = f"{words} {whose(name, outcome.origin)}".strip()
            lines.append(_line(label, outcome, RESULTS[name].unit, still_open.get(name)))
            shares = outcome.shares
    if not shares:
        return lines + [sentence(problem) for problem in readings.problems]
    first = [item for item in shares.items() if item[1] >= 0.005][:3]
    named = ", ".join(f"{input_label(name)} ({share * 100:.0f} %)" for name, share in first)
    within = ", in the practice readings" if readings.invented else ""
    return [*lines, f"The biggest uncertainty comes from {named}{within}."]


def true_distance(own: Readings | None, practice: Readings, sheet: GroupSheet | None) -> str:
    """Return in words how far the Moon was, on the night that the readings name.

    Parameters: the group's own readings, or None where its sheet cannot be read; the practice
    group's; the group's sheet, or None while no group is chosen. Only then the practice group's
    night is meant: no group is held against a night that it did not see.
    """
    readings, night = (own, "Your night") if sheet else (practice, "The practice group's night")
    if readings and (truth := readings.truth):
        km = spaced(truth.distance.to_value("km"))
        return f"{night}: {km} km, {truth.distance_earth_diameters:.2f} Earth diameters."
    if not sheet:
        return f"{night} is invented, so there is only the mean distance to compare with."
    if not readings:
        return f"The sheet of {sheet.group} cannot be read, so the distance that night is unknown."
    missing = f"{label_of('eclipse_date')} (lesson 2) or {label_of('observed_at')} (lesson 4)"
    return (
        f"The sheet of {sheet.group} names no night that the sky is known for, so the true "
        f"distance is not known: it needs the {missing}. Until then compare with the mean distance."
    )


def _line(label, outcome, unit, key):
    """Return one result in words; only how well it is known while a key is still to be answered."""
    value, low, high = rounded(outcome.value, outcome.low, outcome.high)
    if not key:
        if not np.isfinite(outcome.high):
            return f"{label}: at least {low}{unit} (95 %), no upper limit"
        return f"{label}: {value}{unit}, 95 % from {low} to {high}{unit}"
    down, up = (abs(end / outcome.value - 1) * 100 for end in (outcome.low, outcome.high))
    if not np.isfinite(up):
        known = "known at one end only"
    elif max(down, up) > EVEN * min(down, up):
        known = f"known from −{down:.0f} % to +{up:.0f} %"
    else:
        known = f"known to ±{(down + up) / 2:.1f} %"
    place = f", in{unit}" if unit.startswith(" ") else ""
    return f"{label}{place}: {known} (95 %). Its value follows after answer {number_of(key)}."
