"""A group's attempts at the exercises, kept in one small file that is never lost."""

from datetime import UTC, datetime

from moonreach.sheet import kept

HONEST = 2  # different attempts, after which the right answer may be shown
_APART = 0.01  # relative: attempts that differ by less are one


class Answers(kept.KeptFile):
    """What was tried, when, and how it was met; in memory only where there is no path."""

    what = "attempts"

    @staticmethod
    def look(held):
        """Go through the attempts of each exercise."""
        for attempts in held.values():
            for attempt in attempts:
                float(attempt["value"])
                attempt["state"] + attempt["slip"] + attempt["answer"]

    def add(self, key, verdict, answer, own=True):
        """Keep an attempt.

        Parameters: the exercise's key, its `Verdict`, the answer as it was given, and whether it
        was asked of the group's own readings or of the practice group's.
        """
        attempt = {
            "answer": str(answer)[:80],
            "value": verdict.value,
            "state": verdict.state,
            "slip": verdict.slip,
        }
        if not own:
            attempt["practice"] = True
        with self.alone():
            attempts = self.held.setdefault(key, [])
            if not attempts or attempt.items() - attempts[-1].items():  # not merely run again
                now = datetime.now(UTC).isoformat(timespec="seconds")
                attempts.append({"at": now, **attempt})

    def typed(self, key):
        """Return an exercise's attempts as they were typed, each once, the last one last."""
        texts = [attempt["answer"] for attempt in self.held.get(key, ())]
        return list(dict.fromkeys(reversed(texts)))[::-1]

    def attempts(self, key, own=False):
        """Return the values of an exercise's attempts that differ from each other.

        Parameters: the exercise's key, and whether only those count that were asked of the group's
        own readings, once it has some.
        """
        found = []
        for attempt in self._counted(key, own):
            value = attempt["value"]
            if not any(abs(value - other) <= _APART * abs(other) for other in found):
                found.append(value)
        return found

    def answered(self, key, own=False):
        """Return whether an exercise has had its right answer; parameters as of `attempts`."""
        return any(attempt["state"] == "right" for attempt in self._counted(key, own))

    def settled(self, key, own=False):
        """Return whether the right answer may be told: found, or tried honestly.

        Parameters as of `attempts`.
        """
        return self.answered(key, own) or len(self.attempts(key, own)) >= HONEST

    def _counted(self, key, own):
        return [one for one in self.held.get(key, ()) if not (own and "practice" in one)]


def attempts_in(path):
    """Return the attempts that a file holds, by exercise, and leave the file as it is.

    Raises OSError for a file that cannot be read, ValueError for one that holds no attempts.
    """
    return kept.read(path, Answers.what, Answers.look)
