"""A group's clicks on a photograph, kept at every one, and their radii into the group's sheet."""

import json
from dataclasses import asdict, fields

from moonreach.photo.circle import Circle
from moonreach.photo.clicks import Circles, together
from moonreach.sheet import writing
from moonreach.sheet.group_sheet import Row, set_aside

MADE_BY = "circles laid by hand"
RADII = {"shadow": "photo_shadow_radius", "moon": "photo_moon_radius"}


class KeptClicks:
    """The clicks on one picture, in the file of all clicks of a group; without a group, nowhere."""

    def __init__(self, file):
        """Keep the clicks on a picture of this file name."""
        self.file, self._last = file, None

    def restore(self, sheet, clicks):
        """Put what a `GroupSheet`'s group had clicked into `Clicks`; return a remark, or nothing.

        A file that cannot be understood is set aside.
        """
        try:
            kept = _read(sheet)
            self._last = found = kept.get(self.file)
            if found:
                clicks.points[:] = [
                    [str(name), float(x), float(y)] for name, x, y in found["points"]
                ]
                clicks.tries[:] = [Circles(*map(_circle, one)) for one in found["tries"]]
        except OSError as error:
            return f"What was marked before cannot be read ({error.strerror})."
        except (ValueError, TypeError, KeyError, AttributeError):
            aside = set_aside(_path(sheet))
            return f"What was marked before cannot be understood; it was kept as {aside.name}."
        return ""

    def store(self, sheet, clicks):
        """Write the clicks of a `GroupSheet`'s group; return a remark where that cannot be.

        What somebody else has clicked on the same picture meanwhile stays under another name.
        """
        found = {
            "points": clicks.points,
            "tries": [[asdict(circle) for circle in one] for one in clicks.tries],
        }
        try:
            kept = _read(sheet)
            if kept.get(self.file) not in (None, self._last, found):
                kept[f"{self.file}, earlier"] = kept[self.file]
            kept[self.file] = self._last = json.loads(json.dumps(found))
            _path(sheet).parent.mkdir(parents=True, exist_ok=True)
            writing.replace(_path(sheet), json.dumps(kept) + "\n")
        except OSError as error:
            return f"These marks are not kept ({error.strerror}), and go when the notebook closes."
        except (ValueError, AttributeError):
            return f"These marks are not kept: {_path(sheet)} cannot be understood."
        return ""


def _circle(kept):
    return Circle(**{part.name: kept[part.name] for part in fields(Circle)})


def _path(sheet):
    return sheet.path.with_suffix("") / "photographs.json"


def _read(sheet):
    path = _path(sheet)
    return json.loads(path.read_text(encoding="utf-8")) if path.exists() else {}


def write_radii(sheet, tries, file):
    """Write both radii of the tries into a `GroupSheet`, in place of those written here before.

    Every other row stays; returns what there is to say. Errors as `GroupSheet.store`.
    """
    found = together(tries)
    own = [row for row in sheet.rows(RADII.values()) if row.cells["note"].startswith(MADE_BY)]
    others = len(sheet.rows(RADII.values())) - len(own)
    for circle, name in RADII.items():
        laid = getattr(found, circle)
        cells = {
            "value": f"{laid.radius:.1f}",
            "unit": "px",
            "uncertainty": f"{laid.radius_sd:.2g}",
        }
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
