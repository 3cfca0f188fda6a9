"""An exercise at a desk: its question, what there is to say of an answer, the right answer."""

from collections.abc import Callable
from dataclasses import replace

from moonreach import exercises
from moonreach.exercises import Verdict, judge
from moonreach.exercises.asked import givens
from moonreach.exercises.attempts import HONEST
from moonreach.exercises.checking import in_unit, shown
from moonreach.lessons.refuse import Impossible, sentence
from moonreach.notebook.told import Said


def in_sentences(desk, lines_of: Callable[[], list[str]]) -> Said:
    """Return what a function of a `Desk` returns as lines, or why that cannot be, as text.

    Below it comes what there is to say of the files of attempts, guesses and notes.
    """
    try:
        lines = lines_of()
    except Impossible as error:
        lines = [sentence(error)]
    for file in (desk.answers, desk.page_notes):
        lines += file.told()
    return Said("\n".join(filter(None, lines)))


class Asked:
    """One exercise, asked of the readings that a `Desk` has for it.

    Every method returns lines, and raises `Impossible` where the readings give no answer.
    """

    def __init__(self, desk, key):
        """Take the exercise of a key, or raise `Impossible`."""
        self._desk, self.exercise = desk, exercises.find(key)
        self.readings, self.whose = desk.readings_and_whose(self.exercise.needs)

    def question(self) -> list[str]:
        """Return the question, whose the readings are, and the readings themselves."""
        stands_on = "; ".join(givens(self.exercise, self.readings, self._told))
        given = f"From: {stands_on}."
        if self._invented:
            given = f"From the practice group: {stands_on.replace('your answer', 'answer')}."
        caution = self.readings.caution if "ratio" in self.exercise.shows else ""
        return [self.exercise.question, self.whose, given, caution]

    def verdict(self, answer, taken_in=None, keep=True) -> Verdict:
        """Return the `Verdict` on an answer, and keep it as an attempt.

        Parameters: the answer; the unit in which a bare number is taken, if it is another one than
        asked for; whether to keep it.
        """
        verdict = judge(self.exercise, self.readings, answer, taken_in)
        if verdict.value is None:
            return verdict
        if keep:
            other_unit = f" {taken_in}" if taken_in and taken_in != self.exercise.unit else ""
            text = answer + other_unit
            self._desk.answers.add(self.exercise.key, verdict, text, not self._invented)
        if verdict.state == "right":
            return replace(verdict, reply=self._right(verdict.reply))
        if not self._invented and self._right_for_practice(answer, taken_in):
            reply = "That is right for the practice group; use your own readings."
            other = f" Or: {verdict.reply}" if verdict.state == "slip" else ""
            return replace(verdict, reply=reply + other)
        return verdict

    def _right(self, text):
        """Return what is said of a right answer: whose it is, and today's value beside it."""
        whose = ", for the practice group" if self._invented else ""
        today = f" (Today: {self.exercise.today}.)" if self.exercise.today else ""
        return f"{text.removesuffix('.')}{whose}.{today}"

    def _right_for_practice(self, answer, taken_in):
        try:
            verdict = judge(self.exercise, self._desk.practice, answer, taken_in)
        except Impossible:
            return False
        return verdict.state == "right"

    def right_answer(self) -> list[str]:
        """Return the right answer and the way to it, or how many attempts are still to be made."""
        key, answers = self.exercise.key, self._desk.answers
        if not self._desk.settled(key):
            tried = len(answers.attempts(key, not self._invented))
            return [
                f"The right answer is shown after {HONEST} different attempts; so far there "
                f"{'is' if tried == 1 else 'are'} {tried}."
            ]
        exercise = self.exercise
        right = shown(in_unit(exercise.answer(self.readings), exercise.unit), exercise.unit)
        lines = [f"{right}: {exercise.rule}."]
        if self._invented:  # a rule may say "yours": no invented number stands in that line
            lines = [f"The practice group's: {right}.", f"The rule: {exercise.rule}."]
        return [exercise.question, self.whose, *lines]

    @property
    def _invented(self):
        return self.readings.invented

    def _told(self, key):
        """Whether an earlier answer is told: it need not be found, or is of other readings."""
        asked = self._desk.readings(*exercises.find(key).needs)
        other = asked.invented != self._invented
        return other or self._desk.settled(key)
