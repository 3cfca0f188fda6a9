"""The words of the class sheet: every quantity, what it is, and what it may be.

The table lies in `quantities.csv`. `typical` there is the standard uncertainty of one careful
reading by a beginner, in per cent of the reading or in a unit (of a shadow's length: the angle at
which its blurred end is called); where a group gives no uncertainty it counts as much as `PRIOR`
degrees of freedom beside the group's own readings. All are common practice, no source, but for the
contact times: Sinnott (Sky & Telescope, "Measuring Earth's Shadow") gives 20 to 30 s for practised
observers, to which the soft edge adds. What is read from a map is known to 0.02 degrees.
"""

import csv
import difflib
import functools
import re
from dataclasses import dataclass
from pathlib import Path

from astropy import units as u

PRIOR = 5  # degrees of freedom: people differ, by about a third either way


@dataclass(frozen=True)
class Term:
    """One quantity of the sheet.

    `family` names readings taken in one way by the same people, whose scatter is pooled. What is
    not `measured` is a choice, a date or a place: it is stated, and has no uncertainty. A `typical`
    in per cent is that of the reading. `short` is the label of a narrow column,
    `unit` and `columns` are what an empty table proposes, and `why` is the reason of the limits.
    """

    label: str
    short: str
    unit: str
    columns: int
    why: str
    measured: bool
    kind: str
    meaning: str
    least: u.Quantity | None
    greatest: u.Quantity | None
    typical: u.Quantity | None
    family: str
    words: tuple[str, ...]


def _term(row):
    read = {
        "short": row["short"] or row["label"],
        "columns": int(row["columns"]),
        "measured": row.pop("read") == "measured",
        "words": tuple(row.pop("choices").split()),
    }
    sizes = ("least", "greatest", "typical")
    read |= {size: u.Quantity(row[size]) if row[size] else None for size in sizes}
    return Term(**row | read)


def _table():
    with Path(__file__).with_name("quantities.csv").open(encoding="utf-8", newline="") as file:
        return {row.pop("name"): _term(row) for row in csv.DictReader(file)}


QUANTITIES = _table()

# Readings that belong together.
CONTACTS = tuple(f"umbral_contact_{number}" for number in (1, 2, 3, 4))
ROD = ("disc_diameter", "vanish_distance", "rim_distance")


def label_of(name: str) -> str:
    """Return the printed name of a quantity, which a sheet understands as well.

    >>> label_of("umbral_contact_2"), label_of("disc_diameter")
    ('U2', 'disc diameter')
    """
    return QUANTITIES[name].label if name in QUANTITIES else name.replace("_", " ")


def quantity_of(text: str) -> str | None:
    """Return the quantity that a text names: by its name, its label or its short form.

    >>> quantity_of("Umbral contact 2"), quantity_of("U2"), quantity_of("shadow, north")
    ('umbral_contact_2', 'umbral_contact_2', 'north_shadow_length')
    """
    plain = _plain(text)
    return plain if plain in QUANTITIES else _BY_LABEL.get(plain)


@functools.cache
def quantity_meant(text: str) -> str | None:
    """Return the only quantity that has all the words of a text, two at least, in any order.

    Of several the one that has no others.

    >>> quantity_meant("length of the northern shadow"), quantity_meant("altitude of the Moon")
    ('north_shadow_length', 'moon_altitude')
    """
    words = _words(text)
    found = _with(words)
    found = [name for name in found if _BY_WORDS[name] == words] or found
    return found[0] if len(found) == 1 and len(words) > 1 else None


def nearest(text: str, cutoff: float = 0) -> list[str]:
    """Return the three quantities nearest to a text: that have its words, or are written alike.

    Parameters: the text, and from which likeness on, 0 to 1, others than the first are taken.
    """
    forms = {_sorted(form): name for form, name in _BY_LABEL.items()}
    forms |= {_sorted(name): name for name in QUANTITIES}
    alike = difflib.get_close_matches(_sorted(_plain(text)), forms, 9, cutoff)
    return list(dict.fromkeys([*_with(_words(text)), *(forms[form] for form in alike)]))[:3]


def _words(text):
    return {_SAME.get(word, word) for word in _plain(text).split("_")} - _FILLERS - {""}


def _with(words):
    return [name for name, known in _BY_WORDS.items() if words and words <= known]


def _sorted(plain):
    return "_".join(sorted(plain.split("_")))


def _plain(text):
    return re.sub(r"[\W_]+", "_", text.casefold()).strip("_")


_BY_LABEL = {
    _plain(form): name for name, term in QUANTITIES.items() for form in (term.label, term.short)
}
_BY_WORDS = {
    name: {*name.split("_"), *_plain(term.label).split("_")} for name, term in QUANTITIES.items()
}
_SAME = {"northern": "north", "southern": "south", "lunar": "moon"}
_FILLERS = {"the", "of", "a", "at", "in", "for", "your", "our", "measured"}
