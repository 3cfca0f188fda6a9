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


def run(arguments):
    """Measure, print, draw; return 0 if all were measured, 1 if some were not, 2 if none was."""
    from moonreach.photo import measure_photographs

    together = bool(arguments.group) == bool(arguments.sheet)
    require(together, "--group and --sheet go together: whose radii, and into which sheet")
    measured = measure_photographs(arguments.pictures)
    print(_as_json(measured) if arguments.json else _as_text(measured))
    if arguments.figure:
        from moonreach.figures.photograph import draw_photographs

        draw_photographs(arguments.pictures, measured).savefig(arguments.figure, dpi=150)
    if arguments.group and measured.joint:
        print(_to_sheet(measured, arguments), file=sys.stderr)
    good = sum(p.ratio is not None for p in measured.photographs)
    every = good == len(measured.photographs)
    return 0 if every else 1 if good or measured.joint else 2


def _to_sheet(measured, arguments):
    """Write the radii into the group's sheet, in place of earlier ones; return what to say."""
    from moonreach.sheet.group_sheet import GroupSheet, Row

    for photograph in measured.photographs:
        require(not photograph.rendered, PRACTICE, photograph.file)
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
    whole = {"photographs": photographs, "joint": part(measured.joint, ENDS, 4)}
    return json.dumps(whole, indent=2)


def _as_text(measured):
    """Return the results as lines for a person."""
    wide = max(len(p.file) for p in measured.photographs)
    said = [
        (p.file, f"shadow/Moon {p.ratio}" if p.ratio else f"no ratio: {p.message}")
        for p in measured.photographs
    ]
    if measured.joint and len(said) > 1:
        said.append(("all together", f"shadow/Moon {measured.joint}"))
    lines = [f"{whose:<{wide}}  {what}" for whose, what in said]
    return "\n".join(filter(None, [*lines, measured.note]))
