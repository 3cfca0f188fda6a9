"""What a reduced class says, as text to read: first what a newcomer understands, then the rest."""

from collections.abc import Mapping

from moonreach.lessons.refuse import written
from moonreach.reduction import words
from moonreach.reduction.chain import METHODS
from moonreach.reduction.results import BLOCKS, RESULTS
from moonreach.reduction.summary import ClassSummary, block_notes, other_ratios, path_offset

# The results that stand first: what each is called there, and its unit.
_FIRST = {
    "earth_diameter": ("Earth's diameter", " km"),
    "ratio": ("shadow ratio", " Moon diameters"),
    "angle": ("angular diameter", " arcmin"),
    "distance_km": ("Moon's distance", " km"),
}
# What stands above their columns in the class's table.
_HEADS = ("Earth, km", "shadow ratio", "angular diameter, arcmin", "distance, km")
_MORE = "--details adds the other ways, the biggest uncertainties, and what the groups share."
_NAME = 24  # letters of a name that a table has room for


def as_text(
    summary: ClassSummary, mistakes: Mapping[str, str] | None = None, details: bool = False
) -> str:
    """Return the summary as text: one group's results, or what to check and the class's table.

    Parameters: the summary; by group what its likely mistake is, in words; whether each group's
    other results, its budget and notes, and what the class shares, follow.
    """
    mistakes, groups = mistakes or {}, summary.groups
    many = len(groups) > 1
    checks = [f"  {group}: {why}" for group, why in words.to_check(summary, mistakes).items()]
    check = checks and ["Check this together", *checks]
    table = _laid(class_table(summary, mistakes)) if many else []
    told = [_group_lines(summary, group, details) for group in groups if details or not many]
    blocks = [check, table, *told] if many else [*told, check]
    if not groups:
        blocks.append(["There are no readings in the table."])
    if details and summary.diameters and many:
        blocks.append(_shared_lines(summary))
    if summary.problems:
        blocks.append(["Problems", *(f"  {problem}" for problem in summary.problems)])
    if groups and not details:
        blocks.append([_MORE])
    return "\n\n".join("\n".join(block) for block in blocks if block)


def class_table(summary: ClassSummary, mistakes: Mapping[str, str]) -> list[list[str]]:
    """Return the class as rows of texts: header, groups, the class with and without mistakes.

    The last row is what all are held against.
    """
    rows = [["group", *_HEADS, "95 % interval", "whose"]]
    for group in summary.groups:
        values = [_value(group, key)[0] for key in _FIRST]
        _, interval, of_whom = _value(group, "distance_km")
        rows.append([group.group, *values, interval, of_whom.strip("()")])
    if km := summary.kilometres:
        results = {f"class, {len(summary.zeta)} of {len(summary.groups)} groups": km}
        results[f"without {', '.join(mistakes)}"] = summary.without(mistakes).get("distance_km")
        for name, result in results.items():
            if result:
                rows.append([name, "", "", "", *words.in_words(result), ""])
        label, true = words.held_against(summary.groups)
        rows.append([label, *(words.true_text(key, true) for key in _FIRST), "", ""])
    return rows


def _group_lines(summary, group, details):
    """Return one group's results: four that everybody understands, what is further, the rest."""
    label, true = words.held_against([group])
    rows = [[f"Group {group.group}", "", "95 % interval", "whose", label]]
    for key, (name, unit) in _FIRST.items():
        value, interval, of_whom = _value(group, key, unit)
        of_whom = of_whom.strip("()") or ("own" if group.outcome(key) else "")
        rows.append([f"  {name}", value, interval, of_whom, words.true_text(key, true, unit)])
    lines = _laid(rows)
    if group.error_percent is not None:
        off = written(group.error_percent, "+.1f")
        lines.append(f"  The distance is {off} % off that night's true one.")
    for block, heading in BLOCKS.items():
        if results := group.of_block(block):
            lines.append(f"  {heading}")
            lines += _laid([_row(key, outcome) for key, outcome in results.items()])
            lines += [f"    {note}" for note in block_notes(group, block)]
    return lines + (_rest(summary, group) if details else [])


def _rest(summary, group):
    """Return what else a group found, what its distance depends on most, and the notes on it."""
    ratio, far = group.outcome("ratio"), group.outcome("distance_earth_diameters")
    found = [("ratio", ratio, METHODS.get(group.method))]
    for method, outcome in other_ratios(group):
        change = outcome.value / ratio.value - 1
        found.append(("ratio", outcome, f"{METHODS[method]}: {written(change, '+.0%')}"))
    found += [("path_offset", path_offset(group), ""), ("distance_earth_diameters", far, "")]
    rows = [_row(*one) for one in found if one[1]]
    first = [f"{words.input_label(n)} ({share:.0%})" for n, share in group.budget.items()][:3]
    sentences = [f"biggest uncertainty: {', '.join(first)}"] if first else []
    if (zeta := summary.zeta.get(group.group)) is not None:
        sentences.append(f"zeta score {written(zeta, '+.1f')}: {words.zeta_words(zeta)}")
    sentences += [f"note: {note}" for note in group.notes]
    return ["  Details", *_laid(rows), *(f"    {sentence}" for sentence in sentences)]


def _shared_lines(summary):
    """Return the class's result in Earth diameters, its uncertainty's parts, and what is shared."""
    result = summary.diameters
    value, interval = words.in_words(result, " Earth diameters")
    return [
        f"The class: {value} ({interval}), robust mean (ISO 13528, Algorithm A)",
        f"  standard uncertainty {result.standard:.2f} from the scatter, {result.shared:.2f} from "
        "what groups share and assume",
        *(f"  note: {note}" for note in summary.notes),
    ]


def _value(group, key, unit=""):
    """Return one of the first results as texts: value, interval, whose; dashes where it lacks."""
    if not (outcome := group.outcome(key)):
        return "–", "–", "not found"
    value, interval = words.in_words(outcome, unit)
    return value, interval + unit, words.whose(key, outcome.origin)


def _row(key, outcome, remark=""):
    """Return a result as a row below the first ones."""
    value, interval = words.in_words(outcome, RESULTS[key].unit)
    of_whom = words.whose(key, outcome.origin)
    return [f"    {RESULTS[key].label}", value, interval, f"{remark} {of_whom}".strip()]


def _laid(rows):
    """Return rows of texts as lines, each column as wide as its widest text."""
    rows = [[_short(row[0]), *row[1:]] for row in rows]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        "  ".join(text.ljust(width) for text, width in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]


def _short(name):
    return name if len(name) <= _NAME else f"{name[: _NAME - 1].rstrip()}…"
