"""What the class report says, as plain texts that page and paper lay out."""

from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from astropy import units as u

from moonreach.exercises import marks
from moonreach.exercises.doubts import doubts
from moonreach.exercises.mistakes import Finder
from moonreach.lessons import today as modern
from moonreach.lessons.refuse import Impossible, capital, sentence
from moonreach.reduction.chain import METHODS
from moonreach.reduction.results import RESULTS
from moonreach.reduction.summary import ClassSummary
from moonreach.reduction.words import (
    in_words,
    rounded,
    spaced,
    to_hold_against,
    whose,
    zeta_words,
)
from moonreach.report.further import rows_of
from moonreach.report.readings import in_rows
from moonreach.report.words import KINDS, LACKING, class_variances, kind_of
from moonreach.sheet.group_sheet import file_stem
from moonreach.sheet.origin import Origin, least_own
from moonreach.sheet.quantities import label_of

# What a narrow column calls a result, and its unit there.
_SHORT = {"distance_earth_diameters": ("distance in Earth diameters", "")}
_LAST = ("earth_in_moons", "angle", "distance_earth_diameters", "distance_km")


@dataclass(frozen=True)
class GroupPage:
    """Half a page for a group: rows of texts, and sentences.

    `readings` are pairs of quantity and readings; `chain` are what, value, interval and truth.
    """

    name: str
    readings: list
    chain: list
    true_label: str
    standing: str
    together: list
    exercises: str
    question: str


@dataclass
class Report:
    """A reduced class sheet in the words of its report."""

    files: list
    summary: ClassSummary
    groups: list = field(default_factory=list)
    results: list = field(default_factory=list)  # the class's: what, value, interval
    parts: str = ""
    budget: list = field(default_factory=list)  # what, share of the class's variance
    improve: str = ""
    further: list = field(default_factory=list)  # rows of the further lessons
    attempt_problems: list = field(default_factory=list)

    @property
    def problems(self):
        """The summary's problems, and those of files of attempts."""
        return [str(problem) for problem in self.summary.problems] + self.attempt_problems


def report_of(sheet, files=()):
    """Return the `Report` of a `tables.Sheet`.

    Parameters: the sheet, and the files it was read from, beside which the groups' attempts are.
    """
    rows, summary = sheet.groups(), ClassSummary(sheet)
    report, finder = Report([str(file) for file in files], summary), Finder(summary, rows)
    report.further = rows_of(summary.groups)
    for group in summary.groups:
        report.groups.append(_group_page(group, rows[group.group], finder, report))
    if summary.diameters:
        _class_page(report)
    return report


def _class_page(report):
    summary = report.summary
    diameters, km = summary.diameters, summary.kilometres
    label, true_diameters, true_km = to_hold_against(summary)
    for name, outcome in (("distance_earth_diameters", diameters), ("distance_km", km)):
        what = f"distance {_whose_of_class(summary, name)}".strip()
        numbers = in_words(outcome, RESULTS[name].unit)
        report.results.append((what, *map(_whole, numbers)))
    report.results.append((label, _whole(f"{true_diameters:.2f} Earth diameters"), ""))
    report.results.append(("", _whole(f"{spaced(true_km)} km"), ""))
    scatter = "the scatter of the groups" if len(summary.zeta) > 1 else "the one group's readings"
    report.parts = (
        f"Standard uncertainty: {diameters.standard:.2f} Earth diameters from {scatter}, which "
        f"more groups make smaller, and {diameters.shared:.2f} from what all take for granted, "
        "which they do not."
    )
    variances = class_variances(summary)
    total = sum(variances.values())
    if not total > 0:
        return
    ranked = sorted(variances.items(), key=lambda item: -item[1])
    report.budget = [
        (KINDS[kind].label, part / total) for kind, part in ranked if part > 0.01 * total
    ]
    read = [item for item in ranked if not KINDS[item[0]].assumed]
    kind, part = read[0] if read and read[0][1] > ranked[0][1] / 2 else ranked[0]
    advice = KINDS[kind].advice
    report.improve = sentence(advice)
    if not KINDS[kind].assumed:
        now = (km.high - km.low) / 2 / km.value * 100
        then = now * np.sqrt(1 - 0.75 * part / total)
        report.improve += (
            " With half the uncertainty there, the class's distance in km would be known to "
            f"±{then:.1f} % in place of ±{now:.1f} %."
        )


def _whose_of_class(summary, name):
    """Return in brackets whose the class's result is; what it shares is its own."""
    outcomes = filter(None, (group.outcome(name) for group in summary.groups))
    origins = {outcome.origin for outcome in outcomes} - {Origin.SHARED}
    return whose(name, least_own(origins))


def _group_page(group, rows, finder, report):
    zeta = report.summary.zeta.get(group.group)
    standing = ""
    if zeta is not None:
        standing = f"Zeta score {zeta:+.1f}: {zeta_words(zeta)}."
    if group.error_percent is not None:
        distance = f"distance {whose('distance_km', group.outcome('distance_km').origin)}".strip()
        standing += f" The {distance} is {group.error_percent:+.1f} % from the true one that night."
    likely = finder.likely(group.group)
    return GroupPage(
        group.group,
        in_rows(rows),
        _chain(group),
        "true that night" if group.truth else "today",
        standing.strip().replace("-", "−"),
        _together(group, rows, likely, zeta),
        _exercises(group, report),
        _question(group, likely),
    )


def _together(group, rows, likely, zeta):
    """Return sentences on what to check together: the likely mistake, or what is unlikely."""
    sentences = []
    if likely:
        sentences.append(f"It looks as if {likely.told}.")
        found = likely.undone.outcome("distance_earth_diameters")
        if found:
            value, low, high = rounded(found.value, found.low, found.high)
            distance = f"distance {whose('distance_earth_diameters', found.origin)}".strip()
            text = f"With that undone your {distance} would be {value} Earth diameters ({low} to "
            text += f"{high})"
            if (km := likely.undone.outcome("distance_km")) and km.origin != Origin.TODAY:
                text += f", or {rounded(km.value, km.low, km.high)[0]} km"
            sentences.append(f"{text}. Nothing was changed: look at your notes together.")
    else:
        found = doubts(rows)[:2]
        sentences += [sentence(f"{label_of(d.reading.quantity)}: {d.sentence}") for d in found]
        if not found and zeta is not None and abs(zeta) > 2:
            sentences.append(
                "No common mistake explains it, so your readings stand; take the one that "
                "weighs most once more, and see."
            )
        sentences += [sentence(problem) for problem in group.problems[:2]]
    return sentences + [sentence(note) for note in group.notes[:2]]


def _question(group, likely):
    if likely:
        return capital(likely.question)
    first = next(iter(group.budget), None)
    return KINDS[kind_of(first)].question if first else LACKING


def _exercises(group, report):
    """Return a group's attempts in words, from its folder beside the sheet, or nothing."""
    try:
        stem = file_stem(group.group)
    except Impossible:
        return ""  # a name that no folder can have
    beside = Path(group.file).parent
    paths = (folder / stem / "answers.json" for folder in (beside / "work", beside))
    path = next(filter(Path.is_file, paths), None)
    try:
        return marks.in_words(marks.marks_of(path)[0]) if path else ""
    except (OSError, ValueError):
        report.attempt_problems.append(f"{path}: is no file of attempts and was skipped")
        return ""


def _chain(group):
    """Return the rows of a group's results: what and whose, value, interval, and what is true."""
    true, method = group.truth, group.method
    earth_in_moons = (modern.EARTH_RADIUS / modern.MOON_RADIUS).to_value(u.one)
    held = {
        "earth_diameter": f"{spaced(modern.EARTH_DIAMETER.to_value(u.km))} km",
        "earth_in_moons": f"{earth_in_moons:.3f}",
    }
    if true:
        ratio = f"{true.shadow_ratio:.2f}" if true.shadow_ratio else ""
        held |= {f"ratio_{name}": ratio for name in METHODS} | {
            "angle": f"{true.moon_angle.to_value(u.arcmin):.2f}′",
            "distance_earth_diameters": f"{true.distance_earth_diameters:.2f}",
            "distance_km": f"{spaced(true.distance.to_value(u.km))} km",
        }
    ratios = sorted((f"ratio_{name}" for name in METHODS), key=lambda r: r != f"ratio_{method}")
    told = []
    for name in ("earth_diameter", *ratios, *_LAST):
        if outcome := group.outcome(name):
            unused = "(not used)" if name in ratios and name != f"ratio_{method}" else ""
            label, unit = _SHORT.get(name, (RESULTS[name].label, RESULTS[name].unit))
            words = label, unused, whose(name, outcome.origin)
            numbers = *in_words(outcome, unit), held.get(name, "")
            told.append((" ".join(filter(None, words)), *map(_whole, numbers)))
    return told


def _whole(text):
    """Return a text in which a line may break only after "to"."""
    return text.replace(" ", "\u00a0").replace("\u00a0to\u00a0", "\u00a0to ")
