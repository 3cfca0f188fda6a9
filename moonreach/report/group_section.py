"""A group's half page: what it read and whose, what follows, and what to talk over with it."""

import re
from pathlib import Path

from astropy import units as u

from moonreach.exercises import marks
from moonreach.exercises.doubts import doubts
from moonreach.exercises.mistakes import Likely
from moonreach.lessons import today
from moonreach.lessons.refuse import Impossible, capital, sentence
from moonreach.reduction.chain import METHODS
from moonreach.reduction.group import GroupResult
from moonreach.reduction.results import FURTHER_QUANTITIES
from moonreach.reduction.words import rounded, spaced, whose, zeta_words
from moonreach.report import parts
from moonreach.report.parts import Part, Section
from moonreach.sheet.group_sheet import file_stem
from moonreach.sheet.origin import Origin
from moonreach.sheet.quantities import QUANTITIES, label_of
from moonreach.sheet.reading import Reading, row_of

MANY = 6  # readings of one quantity that are written out
_LAST = ("earth_in_moons", "angle", "distance_earth_diameters", "distance_km")
_SIGNS = {"": "", "deg": "°", "arcmin": "′", "arcsec": "″"}


def group_section(
    group: GroupResult, zeta: float | None, likely: Likely | None, problems: list[str]
) -> Section:
    """Return a group's half page.

    Parameters: the group, its zeta score and its likely mistake, each None where it has none, and
    a list that takes a problem with the file of its attempts.
    """
    words = parts.WORDS["group"]
    left, right, columns = [], [], {"quantity": "label", "read": ""}
    if readings := in_rows(group.rows):
        left.append(Part("table", parts.WORDS["readings"], columns, readings))
    if chain := _chain(group):
        label = "true that night" if group.truth else "today"
        right.append(parts.results_table(parts.WORDS["chain"], label, chain))
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
    return Section(group.group, [], left, right)


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


def _chain(group):
    """Return the rows of a group's results: what and whose, value, interval, and what is true."""
    true = group.true_values
    held = {
        "earth_diameter": f"{spaced(today.EARTH_DIAMETER.to_value(u.km))} km",
        "earth_in_moons": f"{(today.EARTH_RADIUS / today.MOON_RADIUS).to_value(u.one):.3f}",
    }
    if true:
        ratio = f"{true['ratio']:.2f}" if true["ratio"] else ""
        held |= {f"ratio_{name}": ratio for name in METHODS} | {
            "angle": f"{true['angle']:.2f}′",
            "distance_earth_diameters": f"{true['distance_earth_diameters']:.2f}",
            "distance_km": f"{spaced(true['distance_km'])} km",
        }
    used = f"ratio_{group.method}"
    ratios = sorted((f"ratio_{name}" for name in METHODS), key=lambda ratio: ratio != used)
    rows = []
    for name in ("earth_diameter", *ratios, *_LAST):
        if outcome := group.outcome(name):
            remark = "(not used)" if name in ratios and name != used else ""
            row = parts.result_row(name, outcome, outcome.origin, remark)
            rows.append((*row, held.get(name, "")))
    return rows


def _standing(group, zeta):
    """Return how a group stands to its class, and to the truth of its night."""
    words, sentences = parts.WORDS["group"], []
    if zeta is not None:
        sentences.append(words["zeta"].format(zeta, zeta_words(zeta)))
    if group.error_percent is not None:
        distance = _distance("distance_km", group.outcome("distance_km"))
        sentences.append(words["error"].format(distance, group.error_percent))
    return " ".join(sentences).replace("-", "−")


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
        problems.append(parts.WORDS["group"]["no_attempts"].format(path))
        return []
