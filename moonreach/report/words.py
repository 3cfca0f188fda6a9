"""The kinds of input of a distance, what to say of each (`kinds.toml`), and what each weighs."""

import tomllib
from dataclasses import dataclass
from pathlib import Path

from moonreach.reduction.summary import ClassSummary

LACKING = "What is still missing before this chain reaches the Moon, and can another night give it?"


@dataclass(frozen=True)
class Kind:
    """Inputs of one kind: in words, advice to the teacher, a question to the group.

    What is `assumed`, no reading mends.
    """

    inputs: tuple[str, ...]
    label: str
    advice: str
    question: str
    assumed: bool = False


KINDS = {
    name: Kind(**row)
    for name, row in tomllib.loads(
        Path(__file__).with_name("kinds.toml").read_text(encoding="utf-8")
    ).items()
}
_KIND_OF = {name: kind for kind in KINDS for name in KINDS[kind].inputs}


def kind_of(name: str) -> str:
    """Return the kind of an input, a key of `KINDS`.

    >>> kind_of("north_shadow_length"), kind_of("umbral_contact_3")
    ('shadows', 'contacts')
    """
    return _KIND_OF[name]


def class_variances(summary: ClassSummary) -> dict[str, float]:
    """Return the parts of the class's variance, in km², by kind of input.

    What all take for granted counts whole; the variance that the groups' scatter leaves in the
    robust mean is shared out as the groups' own budgets have it, on average.
    """
    shares = {True: {}, False: {}}  # of what is assumed, and of what was read
    for group in summary.groups:
        for name, share in group.budget.items():
            kind = kind_of(name)
            of_kind = shares[KINDS[kind].assumed]
            of_kind[kind] = of_kind.get(kind, 0.0) + share
    whole = {True: summary.kilometres.shared**2, False: summary.kilometres.standard**2}
    return {
        kind: share / (sum(of_kind.values()) or 1) * whole[assumed]
        for assumed, of_kind in shares.items()
        for kind, share in of_kind.items()
    }
