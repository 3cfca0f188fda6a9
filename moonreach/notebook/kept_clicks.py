"""A group's clicks on a photograph, kept at every one, and their radii into the group's sheet."""

import contextlib
from dataclasses import asdict

from moonreach.photo.circle import Circle
from moonreach.photo.clicks import Circles, together
from moonreach.reduction.photographs import write_radii
from moonreach.sheet.kept import KeptFile

MADE_BY = "circles laid by hand"


class KeptClicks(KeptFile):
    """The clicks on one picture, in the file of all clicks of a group; without a group, nowhere."""

    what = "marks on photographs"

    def __init__(self, sheet, picture):
        """Take the clicks of a `GroupSheet`'s group, or nobody's, on a picture of a file name."""
        super().__init__(sheet and sheet.path.with_suffix("") / "photographs.json")
        self.picture = picture

    @staticmethod
    def look(held):
        """Go through the points and tries on each picture."""
        for marks in held.values():
            _points(marks), _tries(marks)

    def follow(self, clicks) -> bool:
        """Put what the group has clicked into `Clicks`; return whether the file has changed."""
        before = self.held.get(self.picture)
        self.read()
        return self.restore(clicks) and self.held[self.picture] != before

    def restore(self, clicks) -> bool:
        """Put what is held into `Clicks`; return whether there is anything."""
        if marks := self.held.get(self.picture):
            clicks.points[:], clicks.tries[:] = _points(marks), _tries(marks)
        return bool(marks)

    @contextlib.contextmanager
    def changing(self, clicks):
        """Let `Clicks` be changed as all devices of the group have left them, and keep that."""
        with self.alone():
            self.restore(clicks)
            yield
            points = [[*point] for point in clicks.points]
            tries = [[asdict(circle) for circle in one] for one in clicks.tries]
            self.held[self.picture] = {"points": points, "tries": tries}


def _points(marks):
    return [[str(name), float(x), float(y)] for name, x, y in marks["points"]]


def _tries(marks):
    return [Circles(*(Circle(**circle) for circle in one)) for one in marks["tries"]]


def write_tries(sheet, tries, file):
    """Write both radii of the tries on a file into a `GroupSheet`, as `write_radii` does."""
    found = together(tries)
    radii = [(circle.radius, circle.radius_sd) for circle in (found.shadow, found.moon)]
    return write_radii(sheet, radii, MADE_BY, f" on {file}: {len(tries)} tries")
