"""What a reduced class says: as text to read, as an object to store, as rows of a table."""

import math

from astropy import units as u

from moonreach.reduction.chain import METHODS
from moonreach.reduction.comparison import compare
from moonreach.reduction.group import GroupResult, reduce_group
from moonreach.reduction.results import BLOCKS, RESULTS
from moonreach.reduction.words import (
    in_words,
    input_label,
    spaced,
    to_hold_against,
    whose,
    zeta_words,
)
from moonreach.sheet.tables import Problem, Sheet

# The results of the five lessons: the name in an object or table, and in `RESULTS`.
CHAIN = {
    "earth_diameter_km": "earth_diameter",
    "shadow_ratio": "ratio",
    "moon_angle_arcmin": "angle",
    "distance_earth_diameters": "distance_earth_diameters",
    "distance_km": "distance_km",
}


class ClassSummary:
    """A class sheet reduced: its groups, the class's own result, and all problems."""

    def __init__(self, sheet: Sheet) -> None:
        """Reduce every group of a sheet."""
        self.groups = [reduce_group(name, rows) for name, rows in sheet.groups().items()]
        placed = [group for group in self.groups if group.outcome("distance_km")]
        diameters = [group.outcome("distance_earth_diameters") for group in placed]
        self.diameters, scores = compare(diameters)
        self.kilometres, _ = compare([group.outcome("distance_km") for group in placed])
        self.zeta = {group.group: score for group, score in zip(placed, scores, strict=True)}
        self.problems = sheet.problems + [
            Problem(group.file, None, None, f"group {group.group}: {problem}")
            for group in self.groups
            for problem in group.problems
        ]


def as_object(summary: ClassSummary) -> dict:
    """Return the summary as plain dicts and lists, as `reduce --json` prints it."""
    return {
        "groups": [_group_object(group, summary.zeta.get(group.group)) for group in summary.groups],
        "class": {
            "distance_earth_diameters": _class_object(summary.diameters),
            "distance_km": _class_object(summary.kilometres),
        },
        "problems": [
            {"file": p.file, "row": p.row, "column": p.column, "message": p.message}
            for p in summary.problems
        ],
    }


def as_rows(summary: ClassSummary) -> list[tuple]:
    """Return the results as rows of a table, the header first."""
    rows = [("group", "result", "value", "low", "high", "method")]
    for group in summary.groups:
        for name, key in CHAIN.items():
            if outcome := group.outcome(key):
                method = METHODS[group.method] if key == "ratio" else ""
                rows.append((group.group, name, *_ends(outcome), method))
        for block in BLOCKS:
            for name, outcome in group.of_block(block).items():
                rows.append((group.group, name, *_ends(outcome), ""))
    return rows


def as_text(summary: ClassSummary) -> str:
    """Return the summary as text: each group, then the class, then the problems."""
    blocks = [_group_text(group, summary.zeta.get(group.group)) for group in summary.groups]
    if summary.diameters:
        blocks.append(_class_text(summary))
    if summary.problems:
        blocks.append("\n".join(["Problems", *(f"  {problem}" for problem in summary.problems)]))
    return "\n\n".join(blocks) or "There are no readings in the table."


def block_notes(group: GroupResult, block: str) -> list[str]:
    """Return what else there is to say of a further measurement."""
    if block != "pair" or group.pair_truth is None:
        return []
    far = group.pair_truth.distance_earth_diameters
    return [f"true at that moment: {far:.2f} Earth diameters"]


def _group_object(group, zeta):
    found = {"group": group.group}
    found |= {name: _outcome_object(group.outcome(key)) for name, key in CHAIN.items()}
    if ratio := found["shadow_ratio"]:
        others = [key for key in METHODS if key != group.method and group.outcome(f"ratio_{key}")]
        ratio["method"] = METHODS[group.method]
        ratio["other_methods"] = {
            METHODS[key]: _outcome_object(group.outcome(f"ratio_{key}")) for key in others
        }
    measured = group.outcome("earth_diameter") is not None
    found |= {
        "kilometres_from": "measured Earth" if measured else "today's Earth",
        "path_offset": _outcome_object(_path_offset(group)),
        "budget": [{"input": name, "share": share} for name, share in group.budget.items()],
        "zeta": zeta,
        "notes": group.notes,
    }
    further = {block: group.of_block(block) for block in BLOCKS if group.of_block(block)}
    if further:
        found["further"] = {
            block: {
                "results": {name: _outcome_object(outcome) for name, outcome in results.items()},
                "notes": block_notes(group, block),
            }
            for block, results in further.items()
        }
    if group.truth is not None:
        found["truth"] = {
            "distance_km": float(group.truth.distance.to_value(u.km)),
            "distance_earth_diameters": float(group.truth.distance_earth_diameters),
            "shadow_ratio": group.truth.shadow_ratio,
            "moon_angle_arcmin": float(group.truth.moon_angle.to_value(u.arcmin)),
        }
        found["error_percent"] = group.error_percent
    return found


def _path_offset(group):
    return group.outcome("path_offset") if group.method == "chord" else None


def _outcome_object(outcome):
    if outcome is None:
        return None
    ends = zip(("value", "low", "high"), _ends(outcome), strict=True)
    numbers = {end: number if math.isfinite(number) else None for end, number in ends}
    return numbers | {"origin": str(outcome.origin)}


def _class_object(result):
    if result is None:
        return None
    ends = dict(zip(("value", "low", "high"), _ends(result), strict=True))
    parts = {"standard_uncertainty": result.standard, "shared_uncertainty": result.shared}
    return ends | parts


def _ends(found):
    return found.value, found.low, found.high


def _line(label, outcome, unit, remark=""):
    value, interval = in_words(outcome, unit)
    return f"  {label:<20} {value:<22} ({interval})  {remark}".rstrip()


def _group_text(group, zeta):
    lines = [f"Group {group.group}"]
    for key in CHAIN.values():
        if outcome := group.outcome(key):
            remark = whose(key, outcome.origin)
            if key == "ratio":
                remark = f"{METHODS[group.method]} {remark}".strip()
            label = "" if key == "distance_km" else RESULTS[key].label
            lines.append(_line(label, outcome, RESULTS[key].unit, remark))
        if key == "ratio":
            lines += _other_ratios(group)
    if group.truth is not None:
        lines.append(_truth_line(group))
    if group.budget:
        first = list(group.budget.items())[:3]
        named = ", ".join(f"{input_label(name)} ({share:.0%})" for name, share in first)
        lines.append(f"  {'biggest uncertainty':<20} {named}")
    if zeta is not None:
        lines.append(f"  {'zeta score':<20} {zeta:+.1f}, {zeta_words(zeta)}")
    for block, heading in BLOCKS.items():
        lines += _block_lines(group, block, heading)
    lines += [f"  note: {note}" for note in group.notes]
    if not group.outcome("distance_km"):
        lines.append("  no distance yet: see the problems below")
    return "\n".join(lines)


def _block_lines(group, block, heading):
    found = group.of_block(block)
    lines = [
        _line(f"  {RESULTS[name].label}", outcome, RESULTS[name].unit, whose(name, outcome.origin))
        for name, outcome in found.items()
    ]
    notes = [f"    {note}" for note in block_notes(group, block)]
    return [f"  {heading}", *lines, *notes] if found else []


def _other_ratios(group):
    lines = []
    for method, words in METHODS.items():
        outcome = group.outcome(f"ratio_{method}")
        if outcome and method != group.method:
            change = outcome.value / group.outcome("ratio").value - 1
            lines.append(_line("", outcome, "", f"{words}: {change:+.0%}"))
    if offset := _path_offset(group):
        lines.append(_line("  path offset", offset, RESULTS["path_offset"].unit))
    return lines


def _truth_line(group):
    true = group.truth
    text = f"  {'true that night':<20} {true.distance_earth_diameters:.2f} Earth diameters, "
    text += f"{spaced(true.distance.to_value(u.km))} km"
    if true.shadow_ratio:
        text += f", shadow ratio {true.shadow_ratio:.2f}"
    text += f", angular diameter {true.moon_angle.to_value(u.arcmin):.2f}′"
    if group.error_percent is not None:
        text += f": the group is {group.error_percent:+.1f} % off"
    return text


def _class_text(summary):
    count = len(summary.zeta)
    label, diameters, km = to_hold_against(summary)
    lines = [
        f"The class, {count} group{'s' * (count != 1)} (robust mean, ISO 13528 Algorithm A)",
        _line("distance", summary.diameters, " Earth diameters"),
        _line("", summary.kilometres, " km"),
        f"  {'standard uncertainty':<20} {summary.diameters.standard:.2f} from the scatter, "
        f"{summary.diameters.shared:.2f} from the assumptions",
        f"  {label:<20} {diameters:.2f} Earth diameters, {spaced(km)} km",
    ]
    return "\n".join(lines)
