"""What a group has marked on a photograph, kept beside its sheet, as a kernel may stop any time."""

import json
from dataclasses import asdict

from moonreach.photo.by_hand import Laid
from moonreach.sheet import writing
from moonreach.sheet.group_sheet import set_aside


class KeptMarks:
    """The marks on one picture, in the file of all marks of a group; without a group, nowhere."""

    def __init__(self, file):
        """Keep the marks on a picture of this file name."""
        self.file, self._last = file, None

    def restore(self, sheet, marks):
        """Put what a `GroupSheet`'s group had marked into `Marks`; return a remark, or nothing.

        A file that cannot be understood is set aside.
        """
        try:
            kept = _read(sheet)
            self._last = found = kept.get(self.file)
            if found:
                marks.points[:] = [
                    [str(name), float(x), float(y)] for name, x, y in found["points"]
                ]
                marks.tries[:] = [tuple(Laid(**circle) for circle in one) for one in found["tries"]]
        except OSError as error:
            return f"What was marked before cannot be read ({error.strerror})."
        except (ValueError, TypeError, KeyError, AttributeError):
            aside = set_aside(_path(sheet))
            return f"What was marked before cannot be understood; it was kept as {aside.name}."
        return ""

    def store(self, sheet, marks):
        """Write the marks of a `GroupSheet`'s group; return a remark where that cannot be.

        What somebody else has marked on the same picture meanwhile stays under another name.
        """
        found = {
            "points": marks.points,
            "tries": [[asdict(circle) for circle in one] for one in marks.tries],
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


def _path(sheet):
    return sheet.path.with_suffix("") / "photographs.json"


def _read(sheet):
    path = _path(sheet)
    return json.loads(path.read_text(encoding="utf-8")) if path.exists() else {}
