"""`moonreach photo`: the shadow ratio from photographs of one eclipse night."""

import json
import sys
from contextlib import contextmanager
from pathlib import Path

from moonreach.lessons.refuse import require

PRACTICE = (
    "{} is a practice picture, rendered with invented plains: its radii never enter a group's "
    "sheet. Nothing was written"
)
CIRCLE, ENDS = ("x", "y", "radius"), ("value", "low", "high")
BAR = 20  # letters
FIGURES = (".png", ".pdf", ".svg")
FIGURE = "--figure {}: the name of the figure ends in .png, .pdf or .svg"


def run(arguments):
    """Measure, print, draw; return 0 if all is well, 1 with doubts, 2 where nothing is of use.

    A doubt is a picture that gave no ratio, or one that may be false; nothing is of use where none
    gave a ratio, or where pictures that do not belong together were to be measured as one night.
    """
    from astropy import units as u

    from moonreach.photo import measure_photographs
    from moonreach.photo.times import Timing, read_times
    from moonreach.reduction import photographs as told
    from moonreach.reduction.group import reduce_group
    from moonreach.sheet import tables
    from moonreach.sheet.group_sheet import GroupSheet

    both = bool(arguments.group) == bool(arguments.sheet)
    require(both, "--group and --sheet go together: whose radii, and into which sheet")
    _look_at_figure(arguments.figure, arguments.pictures)
    table = read_times(arguments.times) if arguments.times else None
    timing = Timing(table, arguments.utc_offset, arguments.time_in_name)
    whole = tables.read(arguments.sheet) if arguments.sheet else tables.Sheet()
    called = told.contacts_called(whole.readings)  # the whole class's, each once
    if arguments.moon is None:
        groups = {name.casefold(): rows for name, rows in whole.groups().items()}
        rows = groups.get((arguments.group or "").casefold())
        moon = told.moon_of(rows and reduce_group(arguments.group, rows))
    else:
        moon = tuple(size / 2 * u.arcmin for size in (arguments.moon, arguments.moon_uncertainty))
    with _progress() as step:
        measured = measure_photographs(arguments.pictures, timing, moon, called, step)
    told.doubt_by_the_sky(measured)
    print(_as_json(measured) if arguments.json else _as_text(measured))
    if arguments.figure:
        from moonreach.figures.photograph import draw_photographs

        draw_photographs(arguments.pictures, measured).savefig(arguments.figure, dpi=150)
    if arguments.group:
        for photograph in measured.photographs:
            require(not photograph.rendered, PRACTICE, photograph.file)
        sheet = GroupSheet(None, arguments.group, arguments.sheet)
        if measured.joint:
            print(told.write_measured(measured, sheet), file=sys.stderr)
        if arguments.contacts:
            print(told.write_contacts(measured.night, sheet), file=sys.stderr)
    alone = not measured.note and any(p.ratio for p in measured.photographs)
    if not (measured.joint or alone):
        return 2
    return int(bool(measured.note) or any(p.message for p in measured.photographs))


def _look_at_figure(path, pictures):
    """Refuse a name for the figure that is none, or one of the photographs': they are not lost."""
    if path:
        require(Path(path).suffix.lower() in FIGURES, FIGURE, path)
        own = Path(path).resolve() in {Path(one).resolve() for one in pictures}
        require(not own, "--figure {}: that is one of the photographs", path)


@contextmanager
def _progress():
    """Draw a bar on the screen while pictures are measured, if somebody looks at it."""
    shown = sys.stderr.isatty()

    def step(done, of):
        bar = ("#" * (BAR * done // of)).ljust(BAR, ".")
        print(f"\rmeasuring [{bar}]", end="", file=sys.stderr, flush=True)

    if shown:
        step(0, 1)
    yield step if shown else lambda *done: None
    if shown:
        print("\r" + " " * (BAR + 12) + "\r", end="", file=sys.stderr)


def _as_json(measured):
    """Return the results as JSON text; circles in px of the upright picture."""

    def part(thing, names, digits):
        return thing and {name: round(getattr(thing, name), digits) for name in names}

    photographs = [
        {"file": p.file, "shadow_ratio": part(p.ratio, ENDS, 4)}
        | {name: part(getattr(p, name), CIRCLE, 2) for name in ("moon", "shadow")}
        | {"message": p.message}
        for p in measured.photographs
    ]
    night = measured.night and {
        "shadow_ratio": part(measured.night.ratio, ENDS, 4),
        "path_offset": part(measured.night.path_offset, ENDS, 4),
        "contacts_utc": {
            name: {"time": f"{moment.astype('M8[s]')}Z", "uncertainty_s": round(sd, 1)}
            for name, (moment, sd) in measured.night.contacts.items()
        },
        "message": measured.night.message,
    }
    whole = {"photographs": photographs, "joint": part(measured.joint, ENDS, 4), "night": night}
    whole["message"] = measured.note
    return json.dumps(whole, indent=2)


def _as_text(measured):
    """Return the results as lines for a person."""
    wide = max(len(p.file) for p in measured.photographs)
    said = [
        (p.file, f"shadow ratio {p.ratio} {p.message}" if p.ratio else f"no ratio: {p.message}")
        for p in measured.photographs
    ]
    if measured.joint and len(said) > 1:
        said.append(("all together", f"shadow ratio {measured.joint}"))
    said += measured.night.told().items() if measured.night else ()
    lines = [f"{whose:<{wide}}  {what}".rstrip() for whose, what in said]
    doubt = measured.night and measured.night.message
    return "\n".join(filter(None, [*lines, doubt, measured.note]))
