"""The radii of circles laid by hand, into the group's sheet."""

from moonreach.photo.by_hand import together
from moonreach.sheet.group_sheet import Row

MADE_BY = "circles laid by hand"
RADII = {"shadow": "photo_shadow_radius", "moon": "photo_moon_radius"}


def write_radii(sheet, tries, file):
    """Write both radii of the tries into a `GroupSheet`, in place of those written here before.

    Every other row stays; returns what there is to say. Errors as `GroupSheet.store`.
    """
    found = together(tries)
    own = [row for row in sheet.rows(RADII.values()) if row.cells["note"].startswith(MADE_BY)]
    others = len(sheet.rows(RADII.values())) - len(own)
    for circle, name in RADII.items():
        radius, spread = getattr(found, circle)
        cells = {"value": f"{radius:.1f}", "unit": "px", "uncertainty": f"{spread:.2g}"}
        first, *more = [row for row in own if row.quantity == name] or [Row(name, {})]
        first.cells = cells | {"note": f"{MADE_BY} on {file}: {len(tries)} tries"}
        sheet.store(first)
        for row in more:
            row.cells = dict.fromkeys(row.cells, "")
            sheet.store(row)
    text = f"Kept in {sheet.path}: both radii, with the spread of your tries."
    if others:
        text += (
            " The sheet has other photograph radii too, and they count as well: take them out if "
            "they are of another picture."
        )
    return text
