"""How far a group has come in a lesson: its guess, its readings, its answers, and what is next."""

from dataclasses import dataclass

from moonreach import exercises
from moonreach.notebook.syllabus import SYLLABUS
from moonreach.sheet.quantities import label_of


@dataclass(frozen=True)
class Progress:
    """Counts of one lesson; `next` is the first thing still to do, in words."""

    guessed: bool
    readings: int
    readings_of: int
    answers: int
    answers_of: int
    next: str

    @property
    def done(self) -> bool:
        """Whether nothing is left to do."""
        return not self.next

    def __str__(self):
        guess = "guess kept" if self.guessed else "no guess yet"
        text = f"{guess} · {self.readings} of {self.readings_of} readings · "
        text += f"{self.answers} of {self.answers_of} answers"
        return f"{text} · next: {self.next}" if self.next else f"{text} · done"


def progress(desk) -> Progress:
    """Return the `Progress` of a `Desk`'s group in its lesson."""
    measured = SYLLABUS[desk.lesson].measured
    read = {row.quantity for row in desk.sheet.rows(measured)} if desk.sheet else set()
    asked = exercises.LESSONS[desk.lesson]
    right = [desk.answers.answered(exercise.key) for exercise in asked]
    missing = [name for name in measured if name not in read]
    guessed = desk.guessed is not None
    left = [f"answer {number}" for number, done in enumerate(right, 1) if not done]
    steps = [] if guessed else ["your guess (section 2)"]
    steps += [f"reading: {label_of(name)} (section 4)" for name in missing[:1]]
    steps += [f"{one} (section 5)" for one in left[:1]]
    counts = len(measured) - len(missing), len(measured), sum(right), len(right)
    return Progress(guessed, *counts, steps[0] if steps else "")
