"""`moonreach photo`: the shadow ratio from photographs of one eclipse night."""

import json
import sys

from moonreach.lessons.refuse import require

MADE_BY = "measured by moonreach photo"
PRACTICE = (
    "{} is a practice picture, rendered with invented plains: its radii never enter a group's "
    "sheet. Nothing was written"
)
BY_HAND = (
    "{} has photograph radii of {} already, in px of another picture perhaps; take them out first. "
    "Nothing was written"
)
CIRCLE, ENDS = ("x", "y", "radius"), ("value", "low", "high")


def add_arguments(parser):
    """Declare the command's arguments."""
    parser.add_argument("pictures", nargs="+", metavar="PICTURE", help="JPEG or PNG, one night")
    parser.add_argument("--json", action="store_true", help="print the results as JSON")
    parser.add_argument("--figure", metavar="FILE", help="draw both circles on each picture")
    parser.add_argument("--group", metavar="NAME", help="write the two radii for this group")
    parser.add_argument("--sheet", metavar="SHEET", help="into this class sheet")
    parser.add_argument("--contacts", action="store_true", help="write U1 to U4 into it as well")
    parser.add_argument("--times", metavar="FILE", help="lines of picture,time with an offset")
    parser.add_argument("--utc-offset", type=float, metavar="HOURS", help="of clocks without one")
    parser.add_argument("--time-in-name", action="store_true", help="read times in files' names")
    angle = {"type": float, "metavar": "ARCMIN"}
    parser.add_argument("--moon", **angle, help="angular diameter as from Earth's centre (any)")
    parser.add_argument("--moon-uncertainty", **angle, default=0.4, help="standard (0.4)")


def run(arguments):
    """Measure, print, draw; return 0 if all were measured, 1 if some were not, 2 if none was."""
    from moonreach.commands import timed_photographs as timed
    from moonreach.photo import measure_photographs

    together = bool(arguments.group) == bool(arguments.sheet)
    require(together, "--group and --sheet go together: whose radii, and into which sheet")
    require(arguments.group or not arguments.contacts, "--contacts needs --group and --sheet")
    timing, moon = timed.timing_of(arguments), timed.moon_of(arguments)
    called = timed.contacts_of(arguments.sheet, MADE_BY) if arguments.sheet else ()
    with timed.progress() as told:
        measured = measure_photographs(arguments.pictures, timing, moon, called, told)
    timed.doubt_by_the_sky(measured)
    print(_as_json(measured) if arguments.json else _as_text(measured))
    if arguments.figure:
        from moonreach.figures.photograph import draw_photographs

        draw_photographs(arguments.pictures, measured).savefig(arguments.figure, dpi=150)
    for photograph in measured.photographs if arguments.group else ():
        require(not photograph.rendered, PRACTICE, photograph.file)
    if arguments.group and measured.joint:
        print(_to_sheet(measured, arguments), file=sys.stderr)
    if arguments.contacts:
        print(timed.write_contacts(measured.night, arguments, MADE_BY), file=sys.stderr)
    good = sum(p.ratio is not None for p in measured.photographs)
    every = good == len(measured.photographs)
    return 0 if every else 1 if good or measured.joint else 2


def _to_sheet(measured, arguments):
    """Write the radii into the group's sheet, in place of earlier ones; return what to say."""
    from moonreach.sheet.group_sheet import GroupSheet, Row

    sheet = GroupSheet(None, arguments.group, arguments.sheet)
    names = ("photo_shadow_radius", "photo_moon_radius")
    rows = sheet.rows(names)
    ours = all(row.cells["note"].startswith(MADE_BY) for row in rows)
    require(ours, BY_HAND, str(sheet.path), sheet.group)
    for row in rows:
        row.cells = dict.fromkeys(row.cells, "")
        sheet.store(row)
    count = len(measured.photographs)
    note = f"{MADE_BY}: {f'{count} photographs, on a Moon of 100 px' if count > 1 else '1 picture'}"
    for name, (radius, sd) in zip(names, measured.radii(), strict=True):
        cells = {"value": f"{radius:.2f}", "unit": "px", "uncertainty": f"{sd:.2g}", "note": note}
        sheet.store(Row(name, cells))
    return f"{sheet.path}: both radii written for {sheet.group}"


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
        (p.file, f"shadow/Moon {p.ratio} {p.message}" if p.ratio else f"no ratio: {p.message}")
        for p in measured.photographs
    ]
    if measured.joint and len(said) > 1:
        said.append(("all together", f"shadow/Moon {measured.joint}"))
    if night := measured.night:
        said.append(
            ("with their times", f"shadow/Moon {night.ratio}, path offset {night.path_offset}")
        )
        for name, (moment, sd) in night.contacts.items():
            said.append((name, f"{moment.astype('M8[s]').item():%H:%M:%S} UTC ± {sd:.0f} s"))
    lines = [f"{whose:<{wide}}  {what}".rstrip() for whose, what in said]
    return "\n".join(filter(None, [*lines, measured.note, night and night.message]))
