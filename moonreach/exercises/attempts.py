"""A group's attempts at the exercises, kept in one small file that is never lost."""

import json
from datetime import UTC, datetime
from pathlib import Path

from moonreach.sheet import writing
from moonreach.sheet.group_sheet import set_aside

HONEST = 2  # different attempts, after which the right answer may be shown
_APART = 0.01  # relative: attempts that differ by less are one


def attempts_in(path):
    """Return the attempts that a file holds, by exercise, and leave the file as it is.

    Raises OSError for a file that cannot be read, ValueError for one that holds no attempts.
    """
    try:
        kept = json.loads(Path(path).read_text(encoding="utf-8"))
        for attempts in kept.values():
            for attempt in attempts:
                float(attempt["value"])
                attempt["state"] + attempt["slip"]
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        raise ValueError(f"{path} is no file of attempts") from None
    return kept


class Answers:
    """What was tried, when, and how it was met; in memory only where there is no path."""

    def __init__(self, path=None):
        """Read the file, if there is one; a broken one is set aside, and `notes` says so."""
        self.path, self.notes = path and Path(path), []
        self._kept = {}
        self._read()

    def add(self, key, verdict, answer):
        """Keep an attempt: the exercise's key, its `Verdict`, and the answer as it was given."""
        self._read()  # another notebook may have written meanwhile
        attempts = self._kept.setdefault(key, [])
        attempt = {
            "answer": str(answer)[:80],
            "value": verdict.value,
            "state": verdict.state,
            "slip": verdict.slip,
        }
        if not attempts or attempt.items() - attempts[-1].items():  # not merely run again
            now = datetime.now(UTC).isoformat(timespec="seconds")
            attempts.append({"at": now, **attempt})
            self._write()

    def attempts(self, key):
        """Return the values of an exercise's attempts that differ from each other."""
        found = []
        for attempt in self._kept.get(key, ()):
            value = attempt["value"]
            if not any(abs(value - other) <= _APART * abs(other) for other in found):
                found.append(value)
        return found

    def answered(self, key):
        """Return whether an exercise has had its right answer."""
        return any(attempt["state"] == "right" for attempt in self._kept.get(key, ()))

    def settled(self, key):
        """Return whether the right answer may be told: found, or tried honestly."""
        return self.answered(key) or len(self.attempts(key)) >= HONEST

    def _read(self):
        if not self.path or not self.path.exists():
            return
        try:
            kept = attempts_in(self.path)
        except OSError as error:
            self.notes.append(f"{self.path} cannot be read ({error.strerror}).")
        except ValueError:
            aside = set_aside(self.path)
            self.notes.append(
                f"{self.path} is no file of attempts any more; it was kept as {aside.name}, and a "
                "new one was begun."
            )
        else:
            self._kept = kept

    def _write(self):
        if not self.path:
            return
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            text = json.dumps(self._kept, indent=1, ensure_ascii=False, allow_nan=False)
            writing.replace(self.path, text + "\n")
        except OSError as error:
            self.notes.append(f"The attempt could not be kept in {self.path} ({error.strerror}).")
