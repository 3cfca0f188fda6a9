"""What a group can find: its results in words and units, and what each measurement asks for.

The tables lie in `results.toml`.
"""

import tomllib
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from pathlib import Path

from moonreach.reduction import chain
from moonreach.reduction.chain import METHODS
from moonreach.reduction.further import FURTHER
from moonreach.reduction.sighting import SIGHTING
from moonreach.sheet.quantities import QUANTITIES, label_of

STEPS = (*chain.EARTH, *SIGHTING, *chain.TIMING, *chain.DISTANCE, *FURTHER)


@dataclass(frozen=True)
class Result:
    """One result that reaches a reader; `results.toml` says what each part is."""

    label: str
    of: str
    unit: str = ""
    top: float = 0.0
    none: str = ""
    block: str = ""
    stored: str = ""


@dataclass(frozen=True)
class Measurement:
    """What one measurement asks of a sheet; `results.toml` says what its ways are."""

    what: str
    ways: list
    optional: bool = False

    def lacks(self, given: Collection[str]) -> list[str]:
        """Return in words what is missing; where some of a way is there, of such ways only."""
        given = set(given)
        missing = [
            [item for item in way if not any(given.issuperset(names) for names in item)]
            for way in self.ways
        ]
        if not all(missing):
            return []
        begun = [m for m, way in zip(missing, self.ways, strict=True) if len(m) < len(way)]
        texts = [", ".join(map(_in_words, items)) for items in begun or missing]
        return ["; or else ".join(texts)]

    def quantities(self) -> set[str]:
        """Return all quantities that count for it."""
        return {name for way in self.ways for item in way for names in item for name in names}


def lacking(names: Iterable[str], given: Collection[str]) -> list[str]:
    """Return in words what is missing for keys of `MEASUREMENTS`, or for quantities.

    Parameters: the keys, and the quantities that there are readings of.
    """
    missing = []
    for name in names:
        if name in MEASUREMENTS:
            missing += MEASUREMENTS[name].lacks(given)
        elif name not in given:
            missing.append(label_of(name))
    return list(dict.fromkeys(missing))


def _in_words(item):
    return " or ".join(" with ".join(map(label_of, names)) for names in item)


def _result(name, row):
    return Result(**{"of": name} | row | {"label": row["label"].format(**METHODS)})


def _measurement(row):
    """Return a row's `Measurement`, in which every item is a list of alternatives."""
    ways = [[[[item]] if isinstance(item, str) else item for item in way] for way in row["ways"]]
    return Measurement(**row | {"ways": ways})


_TABLES = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
BLOCKS = _TABLES["blocks"]
RESULTS = {name: _result(name, row) for name, row in _TABLES["results"].items()}
# The results of the five lessons by what they are called in an object or table.
CHAIN = {result.stored: name for name, result in RESULTS.items() if result.stored}
RESULT_OF = {result.of: name for name, result in RESULTS.items()}
MEASUREMENTS = {name: _measurement(row) for name, row in _TABLES["measurements"].items()}
# Those that a group's sheet is asked for, in the order of the lessons.
ASKED = ("earth", "angle", "ratio", "half_moon", "solar_eclipse", "pair")

# What only the further lessons read.
_FURTHER = ("half_moon", "solar_eclipse", "sun_angle", "pair")
FURTHER_QUANTITIES = {name for name in QUANTITIES if name.startswith(_FURTHER)}
