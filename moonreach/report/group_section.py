"""A group's half page: what it read and whose, what follows, and what to talk over with it."""

import re
from datetime import date
from pathlib import Path

from astropy import units as u

from moonreach.exercises import marks
from moonreach.exercises.doubts import doubts
from moonreach.exercises.mistakes import Likely
from moonreach.lessons.refuse import Impossible, capital, filled, sentence
from moonreach.reduction.chain import METHODS
from moonreach.reduction.group import GroupResult
from moonreach.reduction.results import BLOCKS, FURTHER_QUANTITIES, RESULTS
from moonreach.reduction.summary import ClassSummary, block_notes
from moonreach.reduction.words import held_against, in_words, rounded, true_text, whose, zeta_words
from moonreach.report import parts
from moonreach.report.parts import Part, Section
from moonreach.sheet.group_sheet import file_stem
from moonreach.sheet.origin import Origin
from moonreach.sheet.quantities import CONTACTS, QUANTITIES, label_of
from moonreach.sheet.reading import Reading, row_of

MANY = 6  # readings of one quantity that are written out
_LINES = 3  # to write an answer on
_LAST = ("earth_in_moons", "angle", "distance_earth_diameters", "distance_km")
_SIGNS = {"": "", "deg": "°", "arcmin": "′", "arcsec": "″"}


def group_section(
    summary: ClassSummary, group: GroupResult, likely: Likely | None, problems: list[str]
) -> Section:
    """Return a group's half page.

    Parameters: the class, the group, its likely mistake (None where it has none), and a list that
    takes a problem with the file of its attempts.
    """
    words, zeta = parts.WORDS["group"], summary.zeta.get(group.group)
    left, right, columns = [], [], {"quantity": "label", "read": ""}
    if readings := in_rows(group.rows):
        read = Part("table", parts.WORDS["readings"], columns, readings)
        left.append(parts.whose_once(read))
    if further := _further(group):
        columns = {"what": "", "value": "value", "95 % interval": "interval"}
        left.append(Part("table", words["further"], columns, further))
    if group.group in summary.zeta:
        outcome = group.outcome("distance_earth_diameters")
        label = _distance("distance_earth_diameters", outcome)
        seen = words["seen"].format(group.group, label, *in_words(outcome))
        right.append(Part("figure", words["figure"], only=group, alternative=seen))
    label, true = held_against([group])
    if chain := _chain(group, true):
        results = parts.results_table(parts.WORDS["chain"], label, chain)
        right.append(parts.whose_once(results))
    if standing := _standing(group, zeta):
        right.append(Part("text", standing))
    first = parts.kind_of(next(iter(group.budget))) if group.budget else None
    question = parts.KINDS[first]["question"] if first else words["lacking"]
    for title, kind, sentences in (
        ("together", "text", _together(group, zeta, likely)),
        ("exercises", "text", _exercises(group, problems)),
        ("question", "question", [capital(likely.question) if likely else question]),
    ):
        if sentences:
            right += [Part("heading", words[title]), *(Part(kind, text) for text in sentences)]
    right += [Part("line", "")] * _LINES
    return Section(group.group, [Part("faint", _night(group))], left, right)


def _night(group):
    """Return the date of a group's night in words, or a line to write it on."""
    words, stated = parts.WORDS["group"], {row.quantity: row.value for row in group.rows}
    days = (getattr(stated.get(name), "day", None) for name in ("observed_at", *CONTACTS))
    night = stated.get("eclipse_date") or next((day for day in days if isinstance(day, date)), None)
    return words["night"].format(night) if night else words["undated"]


def in_rows(rows: list[Reading]) -> list[tuple[str, str]]:
    """Return a group's readings in the order of the five lessons: quantity and whose, readings."""
    alike = {}
    for row in rows:
        alike.setdefault((row.quantity, row.origin), []).append(row)
    return [
        (f"{label_of(name)} {whose(name, origin)}".strip(), _listed(alike[name, origin]))
        for name in QUANTITIES
        for origin in Origin
        if (name, origin) in alike and name not in FURTHER_QUANTITIES
    ]


def _listed(rows):
    """Return readings of one quantity as they were written, the unit once where it is one."""
    texts, units, stated = zip(*map(_cells, rows), strict=True)
    unit = units[0] if len(set(units)) == 1 else ""
    if not unit:
        texts = [text + unit for text, unit in zip(texts, units, strict=True)]
    if len(texts) > MANY:
        sizes = [row.value.si.value if isinstance(row.value, u.Quantity) else 0 for row in rows]
        least, greatest = (texts[sizes.index(end(sizes))] for end in (min, max))
        return f"{len(texts)} readings, {least} to {greatest}{unit}"
    given = set(stated) - {""}
    return f"{', '.join(texts)}{unit}{given.pop() if len(given) == 1 else ''}"


def _cells(row):
    """Return a reading's value, unit and uncertainty as a reader writes them."""
    _, _, text, unit, given, _ = row_of(row)
    unit = _SIGNS.get(unit, f"\u00a0{unit}")
    stated = f" (±\u00a0{float(given):.2g}{unit})" if given else ""
    if isinstance(row.value, u.Quantity):
        return text.replace("-", "−"), unit, stated
    text = re.sub(r"^(\d{4}-\d\d-\d\d)T", r"\1 ", text.replace("_", " ").replace("Z", " UTC"))
    return re.sub(r"(?<=\d)([+-]\d\d:\d\d)$", r" UTC\1", text), "", stated


def _chain(group, true):
    """Return the rows of a group's results: what and whose, value, interval, and what is true."""
    used = f"ratio_{group.method}"
    ratios = sorted((f"ratio_{name}" for name in METHODS), key=lambda ratio: ratio != used)
    rows = []
    for name in ("earth_diameter", *ratios, *_LAST):
        if outcome := group.outcome(name):
            remark = "(not used)" if name in ratios and name != used else ""
            row = parts.result_row(name, outcome, outcome.origin, remark)
            unit = "" if name == "distance_earth_diameters" else RESULTS[name].unit
            rows.append((*row, true_text(name, true, unit)))
    return rows


def _further(group):
    """Return the rows of a group's further lessons: what and whose, value, interval."""
    rows = []
    for block, heading in BLOCKS.items():
        if results := group.of_block(block):
            rows.append((f"{heading}:", "", ""))
            rows += [parts.result_row(name, one, one.origin) for name, one in results.items()]
            rows += [(note, "", "") for note in block_notes(group, block)]
    return rows


def _standing(group, zeta):
    """Return how a group stands to its class, and to the truth of its night."""
    words, sentences = parts.WORDS["group"], []
    if zeta is not None:
        sentences.append(filled(words["zeta"], zeta, zeta_words(zeta)))
    if group.error_percent is not None:
        distance = _distance("distance_km", group.outcome("distance_km"))
        sentences.append(filled(words["error"], distance, group.error_percent))
    return " ".join(sentences)


def _distance(name, outcome):
    return f"distance {whose(name, outcome.origin)}".strip()


def _together(group, zeta, likely):
    """Return sentences on what to check together: the likely mistake, or what is unlikely."""
    words, notes = parts.WORDS["group"], [sentence(note) for note in group.notes[:2]]
    if likely:
        return [words["likely"].format(likely.told), *_undone(likely.undone), *notes]
    unlikely = doubts(group.rows)[:2]
    sentences = [sentence(f"{label_of(d.reading.quantity)}: {d.sentence}") for d in unlikely]
    if not unlikely and zeta is not None and abs(zeta) > 2:
        sentences.append(words["unexplained"])
    return sentences + [sentence(problem) for problem in group.problems[:2]] + notes


def _undone(group):
    """Return a sentence on the distance of a group with its likely mistake undone, if any."""
    outcome, km = group.outcome("distance_earth_diameters"), group.outcome("distance_km")
    if not outcome:
        return []
    in_km = km and km.origin != Origin.TODAY
    more = f", or {rounded(km.value, km.low, km.high)[0]} km" if in_km else ""
    numbers = rounded(outcome.value, outcome.low, outcome.high)
    distance = _distance("distance_earth_diameters", outcome)
    return [parts.WORDS["group"]["undone"].format(distance, *numbers, more)]


def _exercises(group, problems):
    """Return a group's attempts in words, from its folder beside the sheet, if any."""
    try:
        stem = file_stem(group.group)
    except Impossible:
        return []  # a name that no folder can have
    beside = Path(group.rows[0].file).parent
    paths = (folder / stem / "answers.json" for folder in (beside / "work", beside))
    path = next(filter(Path.is_file, paths), None)
    try:
        return [marks.in_words(marks.marks_of(path)[0])] if path else []
    except (OSError, ValueError):
        problems.append(
            parts.WORDS["group"]["no_attempts"].format(f"{path.parent.name}/{path.name}")
        )
        return []
