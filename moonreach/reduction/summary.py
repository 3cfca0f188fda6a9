"""What a reduced class says: as text to read, as an object to store, as rows of a table."""

import math

from moonreach.lessons import today
from moonreach.reduction.chain import OFF_CENTRE
from moonreach.reduction.comparison import compare
from moonreach.reduction.group import reduce_group
from moonreach.sheet.tables import Problem

RESULTS = (
    ("earth_diameter_km", "Earth's diameter", "km"),
    ("shadow_ratio", "shadow / Moon", ""),
    ("moon_angle_arcmin", "Moon's angle", "′"),
    ("distance_earth_diameters", "distance", "Earth diameters"),
    ("distance_km", "", "km"),
)


_FINEST = 4  # decimals: what is finer than this is nothing, but for the computer's own rounding


class ClassSummary:
    """A class sheet reduced: its groups, the class's own result, and all problems."""

    def __init__(self, sheet):
        """Reduce every group of a `tables.Sheet`."""
        self.groups = [reduce_group(name, rows) for name, rows in sheet.groups().items()]
        placed = [group for group in self.groups if group.distance_km]
        self.diameters, scores = compare([group.distance_earth_diameters for group in placed])
        self.kilometres, _ = compare([group.distance_km for group in placed])
        self.zeta = {group.group: score for group, score in zip(placed, scores, strict=True)}
        self.problems = sheet.problems + [
            Problem(group.file, None, None, f"group {group.group}: {problem}")
            for group in self.groups
            for problem in group.problems
        ]


def as_object(summary):
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


def as_rows(summary):
    """Return the results as rows of a table, the header first."""
    rows = [("group", "result", "value", "low", "high", "method")]
    for group in as_object(summary)["groups"]:
        for name, _, _ in RESULTS:
            if found := group[name]:
                method = found.get("method", "")
                rows.append((group["group"], name, *_ends(found), method))
        for block in group.get("further", {}).values():
            for name, found in block["results"].items():
                rows.append((group["group"], name, *_ends(found), ""))
    return rows


def as_text(summary):
    """Return the summary as text: each group, then the class, then the problems."""
    blocks = [_group_text(group, summary.zeta.get(group.group)) for group in summary.groups]
    if summary.diameters:
        blocks.append(_class_text(summary))
    if summary.problems:
        blocks.append("\n".join(["Problems", *(f"  {problem}" for problem in summary.problems)]))
    return "\n\n".join(blocks) or "There are no readings in the table."


def rounded(value, low, high):
    """Return a value and its interval as text, to two digits of the interval's half-width.

    >>> rounded(30.1449, 28.6012, 31.7)
    ('30.1', '28.6', '31.7')
    >>> rounded(1e-8, 0.0, 1.5e-8)
    ('0.0000', '0.0000', '0.0000')
    """
    half = (high - low) / 2
    digits = min(1 - math.floor(math.log10(half)), _FINEST) if 0 < half < math.inf else 2
    texts = []
    for number in (value, low, high):
        text = f"{round(number, digits):,.{max(digits, 0)}f}" if math.isfinite(number) else "no end"
        texts.append(text.replace(",", " "))
    return tuple(texts)


def _truth_object(group):
    if group.truth is None:
        return {}
    found = {
        "distance_km": float(group.truth.distance.to_value("km")),
        "distance_earth_diameters": float(group.truth.distance_earth_diameters),
        "shadow_ratio": group.truth.shadow_ratio,
        "moon_angle_arcmin": float(group.truth.moon_angle.to_value("arcmin")),
    }
    return {"truth": found, "error_percent": group.error_percent}


def _group_object(group, zeta):
    ratio = _outcome_object(group.ratio)
    if ratio:
        ratio["method"] = group.method
        ratio["other_methods"] = {
            method: _outcome_object(outcome)
            for method, outcome in group.ratios.items()
            if method != group.method
        }
    found = {
        "group": group.group,
        "earth_diameter_km": _outcome_object(group.earth_diameter),
        "shadow_ratio": ratio,
        "moon_angle_arcmin": _outcome_object(group.angle),
        "distance_earth_diameters": _outcome_object(group.distance_earth_diameters),
        "distance_km": _outcome_object(group.distance_km),
        "kilometres_from": "measured Earth" if group.earth_diameter else "today's Earth",
        "path_offset": _outcome_object(group.path_offset),
        "budget": [{"input": name, "share": share} for name, share in group.budget.items()],
        "zeta": zeta,
        "notes": group.notes,
    }
    if group.further:
        found["further"] = {
            key: {
                "results": {one.key: _outcome_object(one.outcome) for one in block.found},
                "notes": block.notes,
            }
            for key, block in group.further.items()
        }
    return found | _truth_object(group)


def _outcome_object(outcome):
    if outcome is None:
        return None
    return {
        end: number if math.isfinite(number) else None
        for end, number in zip(("value", "low", "high"), _ends(outcome), strict=True)
    }


def _class_object(result):
    if result is None:
        return None
    parts = {"standard_uncertainty": result.standard, "shared_uncertainty": result.shared}
    return _outcome_object(result) | parts


def _ends(found):
    if isinstance(found, dict):
        return found["value"], found["low"], found["high"]
    return found.value, found.low, found.high


def _line(label, outcome, unit, remark=""):
    value, low, high = rounded(*_ends(outcome))
    measure = f"{value}{unit if unit in ('′', '°') else f' {unit}'}".strip()
    return f"  {label:<20} {measure:<22} ({low} to {high})  {remark}".rstrip()


def _group_text(group, zeta):
    outcomes = (
        group.earth_diameter,
        group.ratio,
        group.angle,
        group.distance_earth_diameters,
        group.distance_km,
    )
    lines = [f"Group {group.group}"]
    for (name, label, unit), outcome in zip(RESULTS, outcomes, strict=True):
        if outcome:
            remark = group.method if name == "shadow_ratio" else ""
            if name == "distance_km" and not group.earth_diameter:
                remark = "with today's Earth"
            lines.append(_line(label, outcome, unit, remark))
        if name == "shadow_ratio":
            lines += _other_ratios(group)
    if group.truth:
        lines.append(_truth_line(group))
    if group.budget:
        first = list(group.budget.items())[:3]
        named = ", ".join(f"{name} ({share:.0%})" for name, share in first)
        lines.append(f"  {'hangs most on':<20} {named}")
    if zeta is not None:
        lines.append(f"  {'zeta score':<20} {zeta:+.1f}, {zeta_words(zeta)}")
    lines += [line for block in group.further.values() for line in _further_lines(block)]
    lines += [f"  note: {note}" for note in group.notes]
    if not group.distance_km:
        lines.append("  no distance yet: see the problems below")
    return "\n".join(lines)


def _further_lines(block):
    lines = [f"  {block.heading}"]
    for one in block.found:
        if math.isfinite(one.outcome.high):
            lines.append(_line(f"  {one.what}", one.outcome, one.unit.strip()))
        else:
            lines.append(f"    {one.what:<18} {at_least(one)}")
    return lines + [f"    {note}" for note in block.notes]


def at_least(found):
    """Return in words a `further.Found` whose interval has no upper end."""
    low = rounded(found.outcome.low, found.outcome.low, 3 * found.outcome.low)[0]
    return f"at least {low}{found.unit}"


def _other_ratios(group):
    lines = []
    for method, outcome in group.ratios.items():
        if method != group.method:
            change = outcome.value / group.ratio.value - 1
            lines.append(_line("", outcome, "", f"{method}: {change:+.0%}"))
    if group.method == OFF_CENTRE and group.path_offset:
        lines.append(_line("  path offset", group.path_offset, "of the shadow's radius"))
    return lines


def _truth_line(group):
    true = group.truth
    text = f"  {'true that night':<20} {true.distance_earth_diameters:.2f} Earth diameters, "
    text += f"{spaced(true.distance.to_value('km'))} km"
    if true.shadow_ratio:
        text += f", shadow / Moon {true.shadow_ratio:.2f}"
    text += f", Moon's angle {true.moon_angle.to_value('arcmin'):.2f}′"
    if group.error_percent is not None:
        text += f": the group is {group.error_percent:+.1f} % off"
    return text


def spaced(number):
    """Return a whole number with spaces between its thousands.

    >>> spaced(384399.2)
    '384 399'
    """
    return f"{number:,.0f}".replace(",", " ")


def zeta_words(zeta):
    """Return in words how a group's zeta score stands to the class: flagged is not thrown out.

    >>> zeta_words(-0.4)
    'in keeping with the class'
    """
    if abs(zeta) <= 2:
        return "in keeping with the class"
    if abs(zeta) <= 3:
        return "farther from the class than its interval explains: talk it over"
    return "far from the class: look for a slip together"


def to_hold_against(summary):
    """Return what the class's distance is held against: in words, in Earth diameters, in km.

    That is the truth of the night where all groups that name one name the same.
    """
    nights = {round(g.truth.distance.to_value("km")): g.truth for g in summary.groups if g.truth}
    if len(nights) == 1:
        ((km, truth),) = nights.items()
        return "true that night", float(truth.distance_earth_diameters), km
    mean = today.MOON_DISTANCE
    return "today, mean", float(mean / today.EARTH_DIAMETER), mean.value


def _class_text(summary):
    count = len(summary.zeta)
    label, diameters, km = to_hold_against(summary)
    lines = [
        f"The class, {count} group{'s' * (count != 1)} (robust mean, ISO 13528 Algorithm A)",
        _line("distance", summary.diameters, "Earth diameters"),
        _line("", summary.kilometres, "km"),
        f"  {'standard uncertainty':<20} {summary.diameters.standard:.2f} from the scatter, "
        f"{summary.diameters.shared:.2f} from what all take for granted",
        f"  {label:<20} {diameters:.2f} Earth diameters, {spaced(km)} km",
    ]
    return "\n".join(lines)
