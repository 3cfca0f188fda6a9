"""The lessons: what each measures, what it needs, and what it finds, from a table in a file."""

import tomllib
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Lesson:
    """One lesson.

    `measured` are the quantities it cannot do without, `optional` those that only some need.
    `needs` names what a group's own readings must hold before they are used instead of the
    practice group's. `results` has for each result, a key of `reduction.results.RESULTS`, its
    words and the exercise that leads to it, if any.
    """

    measured: list[str]
    optional: list[str]
    needs: list[str]
    results: dict[str, list[str]]


_TABLE = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
SYLLABUS = {stem: Lesson(**row) for stem, row in _TABLE.items()}
