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

    def add(self, key, verdict, answer):
        """Keep an attempt: the exercise's key, its `Verdict`, and the answer as it was given."""
        attempt = {
            "answer": str(answer)[:80],
            "value": verdict.value,
            "state": verdict.state,
            "slip": verdict.slip,
        }
        with self.alone():
            attempts = self.held.setdefault(key, [])
            if not attempts or attempt.items() - attempts[-1].items():  # not merely run again
                now = datetime.now(UTC).isoformat(timespec="seconds")
                attempts.append({"at": now, **attempt})

    def typed(self, key):
        """Return an exercise's attempts as they were typed, each once, the last one last."""
        texts = [attempt["answer"] for attempt in self.held.get(key, ())]
        return list(dict.fromkeys(reversed(texts)))[::-1]

    def attempts(self, key):
        """Return the values of an exercise's attempts that differ from each other."""
        found = []
        for attempt in self.held.get(key, ()):
            value = attempt["value"]
            if not any(abs(value - other) <= _APART * abs(other) for other in found):
                found.append(value)
        return found

    def answered(self, key):
        """Return whether an exercise has had its right answer."""
        return any(attempt["state"] == "right" for attempt in self.held.get(key, ()))

    def settled(self, key):
        """Return whether the right answer may be told: found, or tried honestly."""
        return self.answered(key) or len(self.attempts(key)) >= HONEST


def attempts_in(path):
    """Return the attempts that a file holds, by exercise, and leave the file as it is.

    Raises OSError for a file that cannot be read, ValueError for one that holds no attempts.
    """
    return kept.read(path, Answers.what, Answers.look)
