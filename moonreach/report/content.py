"""What the class report says, made once: the class's own section, then the groups'."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from moonreach.exercises.mistakes import likely_mistakes
from moonreach.figures import class_result
from moonreach.lessons.refuse import sentence
from moonreach.reduction.printed import class_table
from moonreach.reduction.summary import ClassSummary
from moonreach.reduction.words import held_against, to_check, true_text
from moonreach.report import parts
from moonreach.report.group_section import group_section
from moonreach.report.parts import Part, Section
from moonreach.sheet.origin import Origin, least_own
from moonreach.sheet.tables import Sheet

_PROBLEMS = 6  # that the first page has room for; `reduce` lists them all
_WORTH = 0.9  # of the uncertainty now: what makes it no smaller than that is not worth telling


@dataclass(frozen=True)
class Report:
    """A reduced class sheet in the words of its report: the class first, then its groups.

    `checks` says by group why it should be checked together, `notes` what was understood.
    """

    summary: ClassSummary
    problems: list[str]
    notes: list[str]
    checks: dict[str, str]
    front: Section
    groups: list[Section]


def report_of(sheet: Sheet, files: Sequence[Path | str] = ()) -> Report:
    """Return the `Report` of a `tables.Sheet`.

    Parameters: the sheet, and the files it was read from, beside which the groups' attempts are.
    """
    summary = ClassSummary(sheet)
    short = [replace(problem, file=Path(problem.file).name) for problem in summary.problems]
    problems, mistakes = list(map(str, short)), likely_mistakes(summary)
    groups = [group_section(summary, g, mistakes.get(g.group), problems) for g in summary.groups]
    told = {name: likely.told for name, likely in mistakes.items()}
    front = _class_section(summary, [Path(file).name for file in files], told, problems)
    checks = to_check(summary, told)
    return Report(summary, problems, sheet.notes, checks, front, groups)


def _class_section(summary, files, mistakes, problems):
    words = parts.WORDS["class"]
    top = [Part("faint", parts.WORDS["source"].format(", ".join(files) or "a class sheet"))]
    if summary.diameters:
        seen = class_result.alternative(summary)
        top.append(Part("figure", class_result.CAPTION, alternative=seen))
        top += [Part("heading", words["result"]), _result(summary)]
        top.append(Part("text", _uncertainty(summary)))
    else:
        top.append(Part("text", parts.WORDS["nobody"]))
    header, *rows = class_table(summary, mistakes)
    looks = dict.fromkeys(header, "") | {"distance, km": "value"}
    top.append(Part("table", words["groups"], looks, [tuple(row) for row in rows]))
    variances = class_variances(summary) if summary.diameters else {}
    advice, shares = _advice(summary.kilometres, variances), _shares(variances)
    left = [Part("text", f"{name}: {why}.") for name, why in to_check(summary, mistakes).items()]
    left = [Part("heading", words["check"]), *left] if left else []
    left += [Part("heading", words["improve"]), Part("advice", advice)] if advice else []
    if problems:
        left.append(Part("heading", parts.WORDS["not_used"]))
        left += [Part("text", problem) for problem in problems[:_PROBLEMS]]
        if more := len(problems) - _PROBLEMS:
            left += [Part("text", words["more"].format(more))] if more > 0 else []
    right = [Part("heading", words["budget"]), shares] if shares.rows else []
    return Section(parts.WORDS["title"], top, left, right)


def _result(summary):
    """Return the table of the class's distance beside what is true."""
    label, true = held_against(summary.groups)
    rows = []
    for name, unit in (("distance_earth_diameters", ""), ("distance_km", " km")):
        outcomes = filter(None, (group.outcome(name) for group in summary.groups))
        # What a class shares is its own.
        origin = least_own({outcome.origin for outcome in outcomes} - {Origin.SHARED})
        row = parts.result_row(name, summary.results[name], origin)
        rows.append((*row, true_text(name, true, unit)))
    caption = parts.WORDS["class"]["mean"].format(len(summary.zeta), len(summary.groups))
    return parts.results_table(caption, label, rows)


def _uncertainty(summary):
    """Return a sentence on the two parts of the class's standard uncertainty."""
    words, result = parts.WORDS["class"], summary.diameters
    scatter = words["scatter" if len(summary.zeta) > 1 else "one_group"]
    return words["parts"].format(result.standard, scatter, result.shared)


def _shares(variances):
    """Return the table of what the class's uncertainty is made of, without what is next to none."""
    total = sum(variances.values())
    shares = [
        (parts.KINDS[kind]["label"], f"{100 * part / total:.0f}\u00a0%")
        for kind, part in variances.items()
        if part > 0.01 * total
    ]
    return Part("table", parts.WORDS["class"]["shares"], {"what": "", "share": "share"}, shares)


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
    """Return what would improve the class's distance most, and by how much; "" for next to none."""
    if not any(variances.values()):
        return ""
    kind, largest = next(iter(variances.items()))
    # What no reading mends is told only where nothing that one mends comes near it.
    read = next((one for one in variances if one not in parts.ASSUMED), kind)
    kind = read if variances[read] > largest / 2 else kind
    left = (1 - 0.75 * variances[kind] / sum(variances.values())) ** 0.5
    if left > _WORTH:
        return ""
    advice = sentence(parts.KINDS[kind]["advice"])
    now = (km.high - km.low) / 2 / km.value * 100
    if kind in parts.ASSUMED or now > 100:  # there per cent say nothing
        return advice
    return f"{advice} {parts.WORDS['class']['halved'].format(now * left, now)}"
