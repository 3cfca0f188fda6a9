"""What a report is made of: sections of headings, paragraphs, tables and a figure; their words."""

import re
import tomllib
from dataclasses import dataclass, field, replace
from pathlib import Path

from moonreach.reduction.group import GroupResult
from moonreach.reduction.propagation import Outcome
from moonreach.reduction.results import RESULTS
from moonreach.reduction.words import in_words, whose
from moonreach.sheet.origin import Origin

WORDS = tomllib.loads(Path(__file__).with_name("words.toml").read_text(encoding="utf-8"))
KINDS = WORDS["kinds"]  # of the inputs of a distance
ASSUMED = {kind for kind, words in KINDS.items() if words.get("assumed")}
_KIND_OF = {name: kind for kind, words in KINDS.items() for name in words["inputs"]}
# What a narrow column calls a result, and its unit there.
_SHORT = {"distance_earth_diameters": ("distance in Earth diameters", "")}


@dataclass(frozen=True)
class Part:
    """A heading, a paragraph, a table, a figure, or a line to write an answer on.

    `kind` is heading, text, faint, advice, question, line, figure or table. The `text` of a table
    or figure is its caption; `only` is the group that a figure shows, in place of the whole class,
    and `alternative` says what is to be seen in it.
    `columns` are a table's headings, with the look of the cells below: label, value, interval,
    true, share or none.
    """

    kind: str
    text: str
    columns: dict[str, str] = field(default_factory=dict)
    rows: list[tuple[str, ...]] = field(default_factory=list)
    only: GroupResult | None = None
    alternative: str = ""


@dataclass(frozen=True)
class Section:
    """A title and the parts below it: over the whole width, then side by side."""

    title: str
    top: list[Part] = field(default_factory=list)
    left: list[Part] = field(default_factory=list)
    right: list[Part] = field(default_factory=list)


def kind_of(name: str) -> str:
    """Return the kind of an input, a key of `KINDS`.

    >>> kind_of("north_shadow_length"), kind_of("umbral_contact_3")
    ('shadows', 'contacts')
    """
    return _KIND_OF[name]


def result_row(name: str, outcome: Outcome, origin: Origin, remark: str = "") -> tuple[str, ...]:
    """Return what and whose a result is, its value and its 95 % interval, as texts.

    >>> result_row("distance_km", Outcome(384_399, 380_000, 390_000, {}), Origin.SHARED)[0]
    'distance (shared)'
    """
    label, unit = _SHORT.get(name, (RESULTS[name].label, RESULTS[name].unit))
    what = " ".join(filter(None, (label, remark, whose(name, origin))))
    return what, *in_words(outcome, unit)


def results_table(caption: str, true_label: str, rows: list[tuple[str, ...]]) -> Part:
    """Return the table of results, each beside what is true; its lines break only after "to"."""
    columns = {"what": "", "value": "value", "95 % interval": "interval", true_label: "true"}
    whole = [(what, *map(_unbroken, numbers)) for what, *numbers in rows]
    return Part("table", caption, columns, whole)


def whose_once(part: Part) -> Part:
    """Return a table; what all its rows say of whose they are stands once, in its caption."""
    labels = [re.fullmatch(r"(.*) (\((?:practice|shared)\))", what) for what, *_ in part.rows]
    of_whom = {label and label[2] for label in labels}
    if None in of_whom or len(of_whom) != 1:
        return part
    rows = [(label[1], *row[1:]) for label, row in zip(labels, part.rows, strict=True)]
    return replace(part, text=f"{part.text} {of_whom.pop()}", rows=rows)


def _unbroken(text):
    return text.replace(" ", "\u00a0").replace("\u00a0to\u00a0", "\u00a0to ")
