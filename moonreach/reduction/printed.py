"""What a reduced class says, as text to read."""

from collections.abc import Mapping

from moonreach.reduction import words
from moonreach.reduction.chain import METHODS
from moonreach.reduction.results import BLOCKS, CHAIN, RESULTS
from moonreach.reduction.summary import ClassSummary, block_notes, other_ratios, path_offset


def as_text(summary: ClassSummary, mistakes: Mapping[str, str] | None = None) -> str:
    """Return the summary as text: each group, then the class, then the problems.

    Parameters: the summary, and by group what its likely mistake is, in words.
    """
    blocks = [_group_text(summary, group) for group in summary.groups]
    if mistakes:
        lines = [f"  {group}: it looks as if {told}" for group, told in mistakes.items()]
        blocks.append("\n".join(["Check this together", *lines]))
    if summary.diameters:
        blocks.append(_class_text(summary, mistakes or {}))
    if summary.problems:
        blocks.append("\n".join(["Problems", *(f"  {problem}" for problem in summary.problems)]))
    return "\n\n".join(blocks) or "There are no readings in the table."


def _line(label, outcome, unit, remark=""):
    value, interval = words.in_words(outcome, unit)
    return f"  {label:<20} {value:<22} ({interval})  {remark}".rstrip()


def _group_text(summary, group):
    zeta = summary.zeta.get(group.group)
    lines = [f"Group {group.group}"]
    for key in CHAIN.values():
        if outcome := group.outcome(key):
            remark = words.whose(key, outcome.origin)
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
        named = ", ".join(f"{words.input_label(name)} ({share:.0%})" for name, share in first)
        lines.append(f"  {'biggest uncertainty':<20} {named}")
    if zeta is not None:
        lines.append(f"  {'zeta score':<20} {zeta:+.1f}, {words.zeta_words(zeta)}")
    for block, heading in BLOCKS.items():
        lines += _block_lines(group, block, heading)
    lines += [f"  note: {note}" for note in group.notes]
    if not group.outcome("distance_km"):
        lines.append("  no distance yet: see the problems below")
    return "\n".join(lines)


def _block_lines(group, block, heading):
    found = group.of_block(block)
    lines = [
        _line(
            f"  {RESULTS[name].label}",
            outcome,
            RESULTS[name].unit,
            words.whose(name, outcome.origin),
        )
        for name, outcome in found.items()
    ]
    notes = [f"    {note}" for note in block_notes(group, block)]
    return [f"  {heading}", *lines, *notes] if found else []


def _other_ratios(group):
    lines = []
    for method, outcome in other_ratios(group):
        change = outcome.value / group.outcome("ratio").value - 1
        lines.append(_line("", outcome, "", f"{METHODS[method]}: {change:+.0%}"))
    if offset := path_offset(group):
        lines.append(_line("  path offset", offset, RESULTS["path_offset"].unit))
    return lines


def _truth_line(group):
    true = group.true_values
    text = f"  {'true that night':<20} {true['distance_earth_diameters']:.2f} Earth diameters, "
    text += f"{words.spaced(true['distance_km'])} km"
    if true["ratio"]:
        text += f", shadow ratio {true['ratio']:.2f}"
    text += f", angular diameter {true['angle']:.2f}′"
    if group.error_percent is not None:
        text += f": the group is {group.error_percent:+.1f} % off"
    return text


def _class_text(summary, mistakes):
    count = len(summary.zetas["distance_km"])
    label, diameters, km = words.to_hold_against(summary)
    lines = [
        f"The class, {count} group{'s' * (count != 1)} (robust mean, ISO 13528 Algorithm A)",
        _line("distance", summary.diameters, " Earth diameters"),
        _line("", summary.kilometres, " km"),
        f"  {'standard uncertainty':<20} {summary.diameters.standard:.2f} from the scatter, "
        f"{summary.diameters.shared:.2f} from what groups share and assume",
        f"  {label:<20} {diameters:.2f} Earth diameters, {words.spaced(km)} km",
    ]
    rest = summary.without(mistakes)
    if rest.get("distance_km"):
        lines.append(f"  without {', '.join(mistakes)}")
        lines.append(_line("distance", rest["distance_earth_diameters"], " Earth diameters"))
        lines.append(_line("", rest["distance_km"], " km"))
    return "\n".join([*lines, *(f"  note: {note}" for note in summary.notes)])
