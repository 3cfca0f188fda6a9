"""What the class report says, made once: the class's own section, the groups', and what is left."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from moonreach.exercises.mistakes import likely_mistakes
from moonreach.figures import class_result
from moonreach.lessons.refuse import sentence
from moonreach.reduction.results import BLOCKS
from moonreach.reduction.summary import ClassSummary, block_notes
from moonreach.reduction.words import rounded, spaced, to_hold_against
from moonreach.report import parts
from moonreach.report.group_section import group_section
from moonreach.report.parts import Part, Section
from moonreach.sheet.origin import Origin, least_own
from moonreach.sheet.tables import Sheet


@dataclass(frozen=True)
class Report:
    """A reduced class sheet in the words of its report: the class first, its groups, the rest."""

    summary: ClassSummary
    problems: list[str]
    front: Section
    groups: list[Section]
    end: list[Section]


def report_of(sheet: Sheet, files: Sequence[Path | str] = ()) -> Report:
    """Return the `Report` of a `tables.Sheet`.

    Parameters: the sheet, and the files it was read from, beside which the groups' attempts are.
    """
    summary = ClassSummary(sheet)
    problems, mistakes = list(map(str, summary.problems)), likely_mistakes(summary)
    groups = []
    for group in summary.groups:
        told = summary.zeta.get(group.group), mistakes.get(group.group)
        groups.append(group_section(group, *told, problems))
    end = []
    if further := _further_rows(summary.groups):
        words = parts.WORDS["further"]
        columns = {"group": "", "measured": "", "what": "", "value": "value", "95 % interval": ""}
        end = [Section(words["title"], [Part("table", words["caption"], columns, further)])]
    if problems:
        not_used = [Part("text", problem) for problem in problems]
        end.append(Section(parts.WORDS["not_used"], not_used))
    return Report(summary, problems, _class_section(summary, files, mistakes), groups, end)


def _class_section(summary, files, mistaken):
    words = parts.WORDS["class"]
    source = parts.WORDS["source"].format(", ".join(map(str, files)) or "a class sheet")
    top = [Part("faint", source)]
    if not summary.diameters:
        return Section(parts.WORDS["title"], [*top, Part("text", parts.WORDS["nobody"])])
    label, diameters, km = to_hold_against(summary)
    held = {"distance_earth_diameters": f"{diameters:.2f}", "distance_km": f"{spaced(km)} km"}
    rows = [
        (*parts.result_row(name, outcome, _origin(summary, name)), held[name])
        for name, outcome in zip(held, (summary.diameters, summary.kilometres), strict=True)
    ]
    mean = words["mean"].format(len(summary.zeta), len(summary.groups))
    top += [Part("figure", class_result.CAPTION), Part("heading", words["result"])]
    top.append(parts.results_table(mean, label, rows))
    scatter = words["scatter" if len(summary.zeta) > 1 else "one_group"]
    numbers = summary.diameters.standard, scatter, summary.diameters.shared
    top.append(Part("text", words["parts"].format(*numbers)))
    if text := _without(summary, mistaken):
        top.append(Part("text", text))
    left, right = [], []
    variances = class_variances(summary)
    if (total := sum(variances.values())) > 0:
        shares = [
            (parts.KINDS[kind]["label"], f"{100 * part / total:.0f}\u00a0%")
            for kind, part in variances.items()
            if part > 0.01 * total
        ]
        right.append(Part("heading", words["budget"]))
        right.append(Part("table", words["shares"], {"what": "", "share": "share"}, shares))
        left.append(Part("heading", words["improve"]))
        left.append(Part("advice", _advice(summary.kilometres, variances)))
    return Section(parts.WORDS["title"], top, left, right)


def _without(summary, mistaken):
    """Return a sentence on the class's result without the groups that have a likely mistake."""
    rest = summary.without(mistaken)
    if not rest.get("distance_km"):
        return ""
    names = "distance_earth_diameters", "distance_km"
    ends = [rounded(rest[name].value, rest[name].low, rest[name].high) for name in names]
    (near, *of_near), (km, *of_km) = ends
    texts = near, " to ".join(of_near), km, " to ".join(of_km)
    return parts.WORDS["class"]["without"].format(", ".join(mistaken), *texts)


def _origin(summary, name):
    """Return whose the class's result is; what it shares is its own."""
    outcomes = filter(None, (group.outcome(name) for group in summary.groups))
    return least_own({outcome.origin for outcome in outcomes} - {Origin.SHARED})


def class_variances(summary: ClassSummary) -> dict[str, float]:
    """Return the parts of the class's variance, in km², by kind of input, the largest first.

    What the groups share or assume counts whole; the variance that their scatter leaves in the
    robust mean is shared out as the groups' own budgets have the rest, on average.
    """
    shares, km, variances = Counter(), summary.kilometres, Counter()
    for group in summary.groups:
        shares.update({n: share for n, share in group.budget.items() if not km.common.get(n)})
    for name, variance in km.common.items():
        variances[parts.kind_of(name)] += variance
    for name, share in shares.items():
        variances[parts.kind_of(name)] += share / shares.total() * km.standard**2
    return dict(sorted(variances.items(), key=lambda item: -item[1]))


def _advice(km, variances):
    """Return what would improve the class's distance most, and by how much."""
    kind, largest = next(iter(variances.items()))
    # What no reading mends is told only where nothing that one mends comes near it.
    read = next((one for one in variances if one not in parts.ASSUMED), kind)
    kind = read if variances[read] > largest / 2 else kind
    advice = sentence(parts.KINDS[kind]["advice"])
    if kind in parts.ASSUMED:
        return advice
    now = (km.high - km.low) / 2 / km.value * 100
    then = now * (1 - 0.75 * variances[kind] / sum(variances.values())) ** 0.5
    return f"{advice} {parts.WORDS['class']['halved'].format(then, now)}"


def _further_rows(groups):
    """Return rows of texts: group, measurement, what, value, 95 % interval.

    A name that stands in the row above is not repeated.
    """
    rows = []
    for group in groups:
        for block, heading in BLOCKS.items():
            outcomes = group.of_block(block).items()
            results = [
                parts.result_row(name, outcome, outcome.origin) for name, outcome in outcomes
            ]
            results += [(note, "", "") for note in block_notes(group, block)]
            rows += [(group.group, heading, *result) for result in results]
    above = [("", ""), *(row[:2] for row in rows)]
    return [
        ("" if row[0] == name else row[0], "" if row[:2] == (name, heading) else row[1], *row[2:])
        for row, (name, heading) in zip(rows, above, strict=False)
    ]
