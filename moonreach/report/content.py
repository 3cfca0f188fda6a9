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
from moonreach.reduction.results import FURTHER_QUANTITIES
from moonreach.reduction.summary import ClassSummary
from moonreach.reduction.words import in_words, rounded, spaced, to_hold_against, zeta_words
from moonreach.report.further import rows_of
from moonreach.report.words import ASSUMED, KINDS, LACKING, kind_of
from moonreach.sheet.group_sheet import file_stem
from moonreach.sheet.quantities import QUANTITIES

MANY = 6  # readings of one quantity that are written out


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
    for what, outcome, unit in (("distance", diameters, "Earth diameters"), ("", km, "km")):
        value, low, high = rounded(outcome.value, outcome.low, outcome.high)
        report.results.append((what, _whole(f"{value} {unit}"), _whole(f"{low} to {high}")))
    report.results.append((label, _whole(f"{true_diameters:.2f} Earth diameters"), ""))
    report.results.append(("", _whole(f"{spaced(true_km)} km"), ""))
    scatter = "the scatter of the groups" if len(summary.zeta) > 1 else "the one group's readings"
    report.parts = (
        f"Standard uncertainty: {diameters.standard:.2f} Earth diameters from {scatter}, which "
        f"more groups make smaller, and {diameters.shared:.2f} from what all take for granted, "
        "which they do not."
    )
    variances = _class_variances(summary)
    total = sum(variances.values())
    if not total > 0:
        return
    ranked = sorted(variances.items(), key=lambda item: -item[1])
    report.budget = [(KINDS[kind][0], part / total) for kind, part in ranked if part > 0.01 * total]
    read = [item for item in ranked if item[0] not in ASSUMED]
    kind, part = read[0] if read and read[0][1] > ranked[0][1] / 2 else ranked[0]
    advice = KINDS[kind][1]
    report.improve = sentence(advice)
    if kind not in ASSUMED:
        now = (km.high - km.low) / 2 / km.value * 100
        then = now * np.sqrt(1 - 0.75 * part / total)
        report.improve += (
            " With half the uncertainty there, the class's distance in km would be known to "
            f"±{then:.1f} % in place of ±{now:.1f} %."
        )


def _class_variances(summary):
    """Return the parts of the class's variance, in km², by kind of input.

    What all take for granted counts whole; the variance that the groups' scatter leaves in the
    robust mean is shared out as the groups' own budgets have it, on average.
    """
    shares = {True: {}, False: {}}  # of what is assumed, and of what was read
    for group in summary.groups:
        for name, share in group.budget.items():
            kind = kind_of(name)
            of_kind = shares[kind in ASSUMED]
            of_kind[kind] = of_kind.get(kind, 0.0) + share
    whole = {True: summary.kilometres.shared**2, False: summary.kilometres.standard**2}
    return {
        kind: share / (sum(of_kind.values()) or 1) * whole[assumed]
        for assumed, of_kind in shares.items()
        for kind, share in of_kind.items()
    }


def _group_page(group, rows, finder, report):
    zeta = report.summary.zeta.get(group.group)
    standing = ""
    if zeta is not None:
        standing = f"Zeta score {zeta:+.1f}: {zeta_words(zeta)}."
    if group.error_percent is not None:
        standing += f" The distance is {group.error_percent:+.1f} % from the true one that night."
    likely = finder.likely(group.group)
    return GroupPage(
        group.group,
        _readings(rows),
        _chain(group),
        "true that night" if group.truth else "today",
        standing.strip().replace("-", "−"),
        _together(group, rows, likely, zeta),
        _exercises(group, report),
        _question(group, likely),
    )


def _together(group, rows, likely, zeta):
    """Return sentences on what to talk over: the likely slip, or what else looks doubtful."""
    sentences = []
    if likely:
        sentences.append(f"It looks as if {likely.told}.")
        found = likely.undone.outcome("distance_earth_diameters")
        if found:
            value, low, high = rounded(found.value, found.low, found.high)
            text = f"With that undone your distance would be {value} Earth diameters ({low} to "
            text += f"{high})"
            if (km := likely.undone.outcome("distance_km")) and km.origin != "today":
                text += f", or {rounded(km.value, km.low, km.high)[0]} km"
            sentences.append(f"{text}. Nothing was changed: look at your notes together.")
    else:
        found = doubts(rows)[:2]
        sentences += [sentence(_words(f"{d.reading.quantity}: {d.sentence}")) for d in found]
        if not found and zeta is not None and abs(zeta) > 2:
            sentences.append(
                "No common mistake explains it, so your readings stand; take the one that "
                "weighs most once more, and see."
            )
        sentences += [sentence(_words(problem)) for problem in group.problems[:2]]
    return sentences + [sentence(_words(note)) for note in group.notes[:2]]


def _question(group, likely):
    if likely:
        return capital(likely.question)
    first = next(iter(group.budget), None)
    return KINDS[kind_of(first)][2] if first else LACKING


def _exercises(group, report):
    """Return a group's attempts in words, from its folder beside the sheet, or nothing."""
    try:
        stem = file_stem(group.group)
    except Impossible:
        return ""  # a name that no folder can have
    beside = Path(group.file).parent
    for path in (beside / "work" / stem / "answers.json", beside / stem / "answers.json"):
        if path.is_file():
            try:
                return marks.in_words(marks.marks_of(path)[0])
            except (OSError, ValueError):
                report.attempt_problems.append(f"{path}: is no file of attempts and was skipped")
    return ""


def _chain(group):
    """Return the rows of a group's results: what, value, interval, and what is true."""
    true, method = group.truth, group.method
    earth_in_moons = (modern.EARTH_RADIUS / modern.MOON_RADIUS).to_value(u.one)
    today = spaced(modern.EARTH_DIAMETER.to_value(u.km))
    night = {}
    if true:
        night = {
            "ratio": f"{true.shadow_ratio:.2f}" if true.shadow_ratio else "",
            "angle": f"{true.moon_angle.to_value(u.arcmin):.2f}′",
            "diameters": f"{true.distance_earth_diameters:.2f}",
            "km": f"{spaced(true.distance.to_value(u.km))} km",
        }
    rows = [("Earth's diameter", group.outcome("earth_diameter"), " km", f"{today} km")]
    measured = group.outcome("earth_diameter") is not None
    ratios = {name: group.outcome(f"ratio_{name}") for name in METHODS}
    others = [name for name in ratios if ratios[name] and name != method]
    for name in [*([method] if method else []), *others]:
        remark = "" if name == method else " (not used)"
        label = f"shadow ratio, {METHODS[name]}{remark}"
        rows.append((label, ratios[name], "", night.get("ratio", "")))
    rows += [
        ("Earth in Moons", group.outcome("earth_in_moons"), "", f"{earth_in_moons:.3f}"),
        ("angular diameter", group.outcome("angle"), "′", night.get("angle", "")),
        ("distance in Earth diameters", group.outcome("distance_earth_diameters"), "",
         night.get("diameters", "")),
        (f"distance{'' if measured else ', with today’s Earth'}", group.outcome("distance_km"),
         " km", night.get("km", "")),
    ]  # fmt: skip
    told = [(what, *in_words(o, unit), truth) for what, o, unit, truth in rows if o]
    return [(what, *map(_whole, numbers)) for what, *numbers in told]


def _readings(rows):
    """Return a group's readings in the order of the five lessons: quantity, and its readings."""
    by_name = {}
    for row in rows:
        by_name.setdefault(row.quantity, []).append(row)
    return [
        (_words(name), _listed(by_name[name]))
        for name in QUANTITIES
        if name in by_name and name not in FURTHER_QUANTITIES
    ]


def _listed(rows):
    texts = [_number(row) for row in rows]
    units = {row.value.unit for row in rows if isinstance(row.value, u.Quantity)}
    unit = ""
    if len(units) == 1:
        unit = _sign(units.pop())
    elif units:
        texts = [f"{t}{_sign(r.value.unit)}" for t, r in zip(texts, rows, strict=True)]
    if len(texts) > MANY:
        ends = min(rows, key=_size), max(rows, key=_size)
        return f"{len(texts)} readings, {_number(ends[0])} to {_number(ends[1])}{unit}"
    stated = [row.uncertainty for row in rows if row.uncertainty is not None]
    given = {f"{part.value:.2g}{_sign(part.unit)}" for part in stated}
    stated = f" (± {given.pop()})" if len(given) == 1 else ""
    return f"{', '.join(texts)}{unit}{stated}"


def _number(row):
    value = row.value
    if isinstance(value, u.Quantity):
        half_step = row.resolution.to_value(value.unit)
        return f"{value.value:.{max(0, round(-np.log10(2 * half_step)))}f}".replace("-", "−")
    if hasattr(value, "seconds"):
        moment = round(value.seconds) % 86_400
        text = f"{moment // 3600:02}:{moment // 60 % 60:02}"
        text += f":{moment % 60:02}" if row.resolution < 30 * u.s else ""
        if value.offset is not None:
            sign, minutes = "−" if value.offset < 0 else "+", round(abs(value.offset) / 60)
            text += f" UTC{sign}{minutes // 60}:{minutes % 60:02}" if minutes else " UTC"
        return f"{value.day} {text}" if value.day else text
    return str(value).replace("_", " ")


def _size(row):
    return row.value.si.value if isinstance(row.value, u.Quantity) else 0


def _sign(unit):
    return {u.pix: " px", u.deg: "°", u.arcmin: "′", u.arcsec: "″"}.get(unit, f" {unit}")


def _whole(text):
    """Return a text in which a line may break only after "to"."""
    return text.replace(" ", "\u00a0").replace("\u00a0to\u00a0", "\u00a0to ")


def _words(name):
    return name.replace("north_south", "north-south").replace("_", " ")
