"""The kinds of input of a distance, and what to say of each; the words lie in `kinds.toml`."""

import tomllib
from dataclasses import dataclass
from pathlib import Path

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
