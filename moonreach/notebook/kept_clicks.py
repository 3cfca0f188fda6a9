"""A group's clicks on a photograph, kept at every one, and their radii into the group's sheet."""

import json
from dataclasses import asdict

from moonreach.photo.circle import Circle
from moonreach.photo.clicks import Circles, together
from moonreach.reduction.photographs import RADII, put_radii
from moonreach.sheet.kept import KeptFile

MADE_BY = "circles laid by hand"


class KeptClicks(KeptFile):
    """The clicks on one picture, in the file of all clicks of a group; without a group, nowhere."""

    what = "marks on photographs"

    def __init__(self, sheet, picture):
        """Take the clicks of a `GroupSheet`'s group, or nobody's, on a picture of a file name."""
        super().__init__(sheet and sheet.path.with_suffix("") / "photographs.json")
        self.picture, self._last = picture, self.held.get(picture)

    @staticmethod
    def look(held):
        """Go through the points and tries on each picture."""
        for marks in held.values():
            _points(marks), _tries(marks)

    def restore(self, clicks):
        """Put what the group had clicked into `Clicks`, if there is anything."""
        if marks := self.held.get(self.picture):
            clicks.points[:], clicks.tries[:] = _points(marks), _tries(marks)

    def store(self, clicks):
        """Write the group's clicks.

        What somebody else has clicked on the same picture meanwhile stays under another name.
        """
        tries = [[asdict(circle) for circle in one] for one in clicks.tries]
        marks = json.loads(json.dumps({"points": clicks.points, "tries": tries}))
        self.read()
        found = self.held.get(self.picture)
        if found not in (None, self._last, marks):
            self.held[f"{self.picture}, earlier"] = found
        self.held[self.picture] = self._last = marks
        self.write()


def _points(marks):
    return [[str(name), float(x), float(y)] for name, x, y in marks["points"]]


def _tries(marks):
    return [Circles(*(Circle(**circle) for circle in one)) for one in marks["tries"]]


def write_radii(sheet, tries, file):
    """Write both radii of the tries into a `GroupSheet`, in place of those written here before.

    Every other row stays; returns what there is to say. Errors as `GroupSheet.store`.
    """
    found = together(tries)
    radii = [(circle.radius, circle.radius_sd) for circle in (found.shadow, found.moon)]
    put_radii(sheet, radii, MADE_BY, f" on {file}: {len(tries)} tries")
    text = f"Kept in {sheet.path}: both radii, with the spread of your tries."
    if sheet.made_otherwise(RADII, MADE_BY):
        text += (
            " The sheet has other photograph radii too, and they count as well: take them out if "
            "they are of another picture."
        )
    return text
