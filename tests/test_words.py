"""One word for each thing, in sentences that are short: every text that a user reads."""

import re

import pytest
from reading import paragraphs, sentences, texts

from moonreach.sheet.quantities import QUANTITIES

# The term, and words that would be used in its place where they can only mean that thing.
TERMS = {
    "shadow ratio": r"shadows? in Moons|shadow / Moon",
    "entry time": r"(?<!any )(?<!of the )partial phases?\b|\bt_?1\b",
    "totality": r"total phase|\bt_?2\b",
    "central formula": r"(?:simple|middle) formula|formula through the middle",
    "chord formula": r"(?:off-cent\w+|any-path|path) formula",
    "path offset": r"off the (?:shadow's )?middle",
    "Earth in Moons": r"Moons in an Earth|\bR ?/ ?r\b|Earth / Moon",
    "angular diameter": r"Moon's angle\b",
    "uncertainty budget": r"shares? in the doubt",
    "95 % interval": r"coverage interval",
    "uncertainty, or check this reading": r"\bdoubts?\b",
    "umbra, penumbra": r"half.shadow",
    "half Moon": r"half-moons?\b|dichotomy",
    "common mistake": r"\bslips?\b",
    "check this together": r"talk over with",
    "at an angle": r"\baslant\b",
    "biggest source of uncertainty": r"hangs? (?:most )?on",
    "how much it changes the result": r"\bprice\b|what (?:it|each of these|they) costs?",
    "given, said": r"\btold\b",
    "no upper limit": r"without an (?:upper )?end",
    "needs": r"\bwants\b",
    "shows, gives": r"\btells\b",
    "is in front of": r"(?:stands?|stood) before|before the stars",
    "completely": r"\bwholly\b",
    "again": r"\banew\b",
    "circumference": r"\bway (?:all )?round (?:the|a)\b",
    "a small difference": r"\ba rest of\b",
    "is, are": r"\b(?:Sun|Moon|[Uu]nits?|limits) st(?:ands?|ood)\b",
    "assumptions": r"take[sn]? for granted",
    "Never look at the Sun": r"[Nn]obody (?:looks|sights)\b.{,12} the Sun",
}
MOST = {"page": 22, "docs": 30}  # words in a sentence
RAW = re.compile(rf"\b(?:{'|'.join(name for name in QUANTITIES if '_' in name)})\b")
TEXTS = texts()


def found(name):
    """Yield what is wrong with the words of one text: (the fault, where it stands)."""
    whole = TEXTS[name]
    for one in paragraphs(whole):
        for term, words in TERMS.items():
            if said := re.search(words, one):
                yield f"{said[0]!r}: say {term!r}", one
        if " " in one and (raw := RAW.search(one)):  # a name by itself is for the program
            yield f"{raw[0]!r} is a raw name", one
    most = MOST["page" if name.endswith(".ipynb") else "docs"]
    for sentence, length in sentences(whole):
        if length > most:
            yield f"{length} words, at most {most}", sentence


@pytest.mark.parametrize("name", TEXTS)
def test_says_one_word_for_each_thing_in_short_sentences(name):
    faults = [f"{fault}: {where}" for fault, where in found(name)]
    assert not faults, "\n".join(faults)


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("The uncertainty budget.", None),
        ("Use the simple formula.", "say 'central formula'"),
        ("The group made a slip.", "say 'common mistake'"),
        ("Give the north_south_distance.", "is a raw name"),
        ("Give `north_south_distance`.", None),  # what is typed is typed so
        (f"It is {'so ' * 30}long.", "33 words, at most 30"),
        (f"It is {'so ' * 15}long. It is {'so ' * 15}long.", None),
    ],
)
def test_a_fault_would_be_found(monkeypatch, text, fault):
    monkeypatch.setitem(TEXTS, "docs/unit.md", text)
    faults = [one for one, _ in found("docs/unit.md")]
    assert (len(faults) == 1 and fault in faults[0]) if fault else not faults
