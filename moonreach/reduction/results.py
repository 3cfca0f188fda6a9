"""What a group can find: its results in words and units, and what each measurement asks for.

The tables lie in `results.toml`.
"""

import tomllib
from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path

from moonreach.reduction import chain, further, sighting
from moonreach.reduction.chain import METHODS
from moonreach.sheet.quantities import QUANTITIES, label_of

STEPS = (
    *chain.EARTH,
    *sighting.SIGHTING,
    *chain.TIMING,
    *chain.DISTANCE,
    *further.HALF_MOON,
    *further.ECLIPSE,
    *further.PAIR,
)


@dataclass(frozen=True)
class Result:
    """One result that reaches a reader; `results.toml` says what each part is."""

    label: str
    unit: str = ""
    of: str = ""
    top: float = 0.0
    none: str = ""
    block: str = ""


@dataclass(frozen=True)
class Measurement:
    """What one measurement asks of a sheet; `results.toml` says what its ways are."""

    what: str
    ways: list
    optional: bool = False

    def lacks(self, given: Collection[str]) -> list[str]:
        """Return in words what is missing; where some of a way is there, of such ways only."""
        missing = [[item for item in way if not _is_there(item, given)] for way in self.ways]
        if not all(missing):
            return []
        begun = [m for m, way in zip(missing, self.ways, strict=True) if len(m) < len(way)]
        texts = [", ".join(map(_in_words, items)) for items in begun or missing]
        return ["; or else ".join(texts)]

    def quantities(self) -> set[str]:
        """Return all quantities that count for it."""
        return {name for way in self.ways for item in way for name in _quantities(item)}


def _is_there(item, given):
    if isinstance(item, str):
        return item in given
    return any(all(name in given for name in alternative) for alternative in item)


def _in_words(item):
    if isinstance(item, str):
        return label_of(item)
    return " or ".join(" with ".join(map(label_of, alternative)) for alternative in item)


def _quantities(item):
    return [item] if isinstance(item, str) else [name for some in item for name in some]


def _result(row):
    return Result(**row | {"label": row["label"].format(**METHODS)})


_TABLES = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
BLOCKS = _TABLES["blocks"]
RESULTS = {name: _result(row) for name, row in _TABLES["results"].items()}
RESULT_OF = {result.of or name: name for name, result in RESULTS.items()}
MEASUREMENTS = {name: Measurement(**row) for name, row in _TABLES["measurements"].items()}
# Those that a group's sheet is asked for, in the order of the lessons.
ASKED = ("earth", "angle", "ratio", "half_moon", "solar_eclipse", "pair")

# What only the further lessons read.
FURTHER_QUANTITIES = {
    name
    for name in QUANTITIES
    if name.startswith(("half_moon", "solar_eclipse", "sun_angle", "pair"))
}
