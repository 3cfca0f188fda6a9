"""A small JSON file beside a group's sheet, written anew at every change and never lost."""

import contextlib
import json
from collections.abc import Callable
from pathlib import Path

from moonreach.sheet import writing


def read(path: Path, what: str, look: Callable) -> dict:
    """Return what a file holds, and leave the file as it is.

    Parameters: the path; what such a file is of, in words; a function that goes through what was
    read and fails where it is not as it should be. Raises OSError for a file that cannot be read,
    ValueError for one of another kind.
    """
    try:
        held = json.loads(Path(path).read_text(encoding="utf-8"))
        look(held)
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        raise ValueError(f"{path} is no file of {what}") from None
    return held


class KeptFile:
    """What such a file holds, in `held`; in memory only where there is no path.

    `notes` are sentences on what went wrong with the file, for the reader to be told once.
    """

    what = ""

    def __init__(self, path=None):
        """Read the file, if there is one; a broken one is set aside, and `notes` says so."""
        self.path, self.notes, self.held = path and Path(path), [], {}
        self._unread = None  # why the file could not be read when it was last tried
        self.read()

    @staticmethod
    def look(held):
        """Go through what was read, and fail where it is not as it should be."""

    def read(self):
        """Read the file anew, as another notebook may have written meanwhile."""
        if not self._is_sound():
            with writing.alone(self.path):
                self._set_aside()

    def _is_sound(self):
        """Read the file, if there is one that can be; return whether it is not of another kind."""
        self._unread = None
        try:
            if self.path and self.path.exists():
                self.held = read(self.path, self.what, self.look)
        except OSError as error:
            self._unread = error
            self.notes.append(f"{self.path} cannot be read ({error.strerror}).")
        except ValueError:
            return False
        return True

    def _set_aside(self):
        """Set a broken file aside, unless another process has begun a new one meanwhile."""
        if not self._is_sound():
            aside = writing.set_aside(self.path)
            self.notes.append(
                f"{self.path} is no file of {self.what} any more; it was kept as {aside.name}, and "
                "a new one was begun."
            )

    def told(self) -> list[str]:
        """Return the notes, each of them once."""
        notes, self.notes = self.notes, []
        return notes

    @contextlib.contextmanager
    def alone(self):
        """Read the file, let it be changed, and write it, while no other process does that.

        What could not be written is not held either.
        """
        with writing.alone(self.path) if self.path else contextlib.nullcontext():
            self._set_aside()
            before = json.dumps(self.held)
            yield
            if self.path and json.dumps(self.held) != before:
                try:
                    if self._unread:  # what stands there would be lost
                        raise self._unread
                    text = json.dumps(self.held, indent=1, ensure_ascii=False, allow_nan=False)
                    writing.replace(self.path, text + "\n")
                except OSError as error:
                    self.held = json.loads(before)
                    self.notes.append(
                        f"Not kept: {self.path} could not be written ({error.strerror}). "
                        "Enter it once more when that is mended."
                    )

    def take_over(self, earlier: "KeptFile"):
        """Keep what was held before a group was chosen, where the group has nothing itself."""
        with self.alone():
            for name, parts in earlier.held.items():
                self.held[name] = parts | self.held.get(name, {})
