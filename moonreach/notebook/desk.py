"""The desk: what a notebook's cells talk to, in one line each.

    desk = Desk("earth_size")
    desk.form()                    # the measuring form
    desk.value("north_shadow_length")
    desk.check("arc", ...)         # the question; with a number for the dots, what to think of it
    desk.result()                  # how sure are we?

It works without a browser, in any folder, and before there is any group.
"""

import difflib
from pathlib import Path

import numpy as np

from moonreach import exercises
from moonreach.exercises import Readings, judge
from moonreach.exercises.asked import givens
from moonreach.exercises.attempts import HONEST, Answers
from moonreach.exercises.checking import in_unit, shown
from moonreach.lessons.refuse import Impossible, sentence
from moonreach.notebook.practice_night import USUAL, PracticeNight
from moonreach.notebook.said import Said
from moonreach.notebook.syllabus import MEASURED, NEEDS, RESULTS
from moonreach.reduction.chain import METHODS
from moonreach.reduction.words import input_label, rounded
from moonreach.sheet import tables, writing
from moonreach.sheet.group_sheet import GroupSheet

_TIMINGS = {"chord": "ratio_off_centre", "central": "ratio_middle"}


class Desk:
    """One lesson's desk for one group, or for the practice group while there is none."""

    def __init__(self, lesson, group=None, work="work", practice=()):
        """Sit down at a lesson.

        Parameters: the lesson's stem; the group's name, or nothing for the one that sat here
        last; the folder for the groups' sheets; the rows of another practice group than the
        usual one, as `tables.write` takes them. Raises `Impossible` for a lesson that there is not.
        """
        if lesson not in MEASURED:
            near = difflib.get_close_matches(lesson, MEASURED, 3) or MEASURED
            raise Impossible(f"there is no lesson {lesson!r}; there are {', '.join(near)}")
        self.lesson, self.work = lesson, Path(work)
        self.sheet, self._answers, self._notes = None, Answers(), []
        self.night = PracticeNight(self.work, practice)
        self.half_moon_calls = []
        self.overlays = {}  # of photographs, by path: what was marked stays when a cell runs again
        if group := group or self._remembered():
            self._notes.append(self.choose(group))

    @property
    def practice(self):
        """The practice group's readings."""
        return self.night.readings

    @property
    def group(self):
        """The group's name, or nothing."""
        return self.sheet.group if self.sheet else None

    def __repr__(self):
        return "\n".join(filter(None, [*self._notes, self._who()]))

    def _repr_html_(self):
        return Said(self)._repr_html_()

    def choose(self, group):
        """Take the sheet of a group, or begin one, and remember the group for the next time."""
        try:
            sheet = GroupSheet(self.work, group)
            writing.replace(self._memory, sheet.group + "\n")
        except Impossible as error:
            return Said(f"{sentence(error)} The group was not changed.")
        except OSError as error:
            return Said(
                f"{self.work} cannot be used ({error.strerror}): nothing can be kept there."
            )
        self.sheet = sheet
        self._answers = Answers(sheet.path.with_suffix("") / "answers.json")
        return Said("\n".join([*sheet.notes, *self._answers.notes]))

    def form(self):
        """Return the measuring form of this lesson."""
        from moonreach.notebook.form import (
            Form,  # here, so that a desk without a form needs no widgets
        )

        return Form(self, *MEASURED[self.lesson])

    def sky_menu(self):
        """Return the menu of real nights for the practice group."""
        from moonreach.notebook.sky_menu import SkyMenu

        return SkyMenu(self)

    def practise(self, night=USUAL):
        """Take the practice group's readings of another night, and remember it.

        Parameters: the date of a total eclipse, or nothing for the usual invented night.
        """
        try:
            remark = self.night.change(night)
        except ValueError as error:
            return Said(f"{sentence(error)} The night was not changed.")
        if not self.sheet:
            self._answers = Answers()  # those were to other readings
        return Said(f"{self._who()} Now run the cells below this one again.{remark}")

    def photograph(self, path=None):
        """Return a photograph to lay two circles on: the rendered one, or that of a path."""
        from moonreach.notebook.overlay import photograph  # here, as a desk alone needs no canvas

        return photograph(self, path)

    def photograph_by_machine(self, *night):
        """Return the machine's circles beside those by hand; paths are that night's pictures."""
        from moonreach.notebook.by_machine import compare

        return compare(self, night)

    def half_moon(self):
        """Return the rendered Moon on which to call half."""
        from moonreach.notebook.half_moon import MoonToCall

        return MoonToCall(self)

    def all_ways(self):
        """Return the Moon's distances by all ways: antiquity's, the group's, and for a way that it
        lacks the practice group's.
        """
        from moonreach.figures.all_ways import AllWays

        return AllWays(self._readings(())[0].result, self.practice.result)

    def readings(self, *needs):
        """Return the group's `Readings`, or the practice group's where the group lacks something.

        Parameters: what is needed, as `Readings.lacks` takes it; this lesson's own readings if
        nothing is named. All come from one group, as a shadow belongs to its gnomon.
        """
        return self._readings(needs or NEEDS[self.lesson])[0]

    def value(self, quantity):
        """Return one quantity of this lesson's readings; print whose it is when it is invented."""
        for needs in (NEEDS[self.lesson], (quantity,)):
            readings, whose = self._readings(needs)
            if quantity in readings:
                if readings.invented:
                    print(whose)
                return readings[quantity]
        raise Impossible(f"there is no reading of {quantity!r}")

    def ask(self, key):
        """Return an exercise's question, with the readings it stands on."""
        return self._met(key, self._question)

    def check(self, key, answer=None):
        """Return what there is to say of an answer; while there is none, the question.

        Parameters: the exercise's key, and a number, a quantity or text such as "7.2 deg".
        """
        return self._met(key, self._reply, answer)

    def show(self, key):
        """Return the right answer, once it was found or honestly tried twice."""
        return self._met(key, self._told)

    def result(self):
        """Return this lesson's results with their 95 % intervals, and what they hang on.

        A value that is still to be worked out in an exercise is not told before that.
        """
        readings, whose = self._readings(NEEDS[self.lesson])
        found = readings.result
        caution = readings.caution if "ratio" in NEEDS[self.lesson] else ""
        lines, budget = [whose, caution], {}
        wanted = [(found.outcome(name), *rest) for name, *rest in RESULTS[self.lesson]]
        if self.lesson == "eclipse_timing":
            wanted = [
                (ratio, f"Shadow ratio, {METHODS[method]}", "", _TIMINGS[method])
                for method in _TIMINGS
                if (ratio := found.outcome(f"ratio_{method}"))
            ]
        for outcome, words, unit, key in wanted:
            if outcome is not None:
                lines.append(self._result_line(outcome, words, unit, key))
                budget = outcome.shares
        if budget:
            first = [item for item in budget.items() if item[1] >= 0.005][:3]
            named = ", ".join(f"{input_label(name)} ({share * 100:.0f} %)" for name, share in first)
            lines.append(f"The biggest uncertainty comes from {named}.")
        else:
            lines += [sentence(problem) for problem in found.problems]
        return Said("\n".join(line for line in lines if line))

    @property
    def _memory(self):
        return self.work / "group.txt"

    def _remembered(self):
        try:
            return self._memory.read_text(encoding="utf-8").strip()
        except (OSError, UnicodeDecodeError):
            return None

    def _who(self):
        if self.sheet:
            return f"The readings are those of {self.group}."
        return f"No group is chosen yet, so the readings are those of {self.night}."

    def _readings(self, needs):
        """Return `Readings` that hold what is needed, and a sentence on whose they are."""
        if not self.sheet:
            return self.practice, self._who()
        try:
            rows = self.sheet.readings()
        except tables.SheetError as error:
            lack = f"{error}:"
        else:
            own = Readings(self.group, rows)
            lacks = own.lacks(*needs)
            if not lacks:
                return own, ""
            why = "".join(f" ({problem})" for problem in own.problems)
            lack = f"The sheet of {self.group} still lacks {', '.join(lacks)}{why}:"
        return self.practice, f"{lack} until then the readings are those of {self.night}."

    def _met(self, key, speak, *answer):
        try:
            exercise = exercises.find(key)
            readings, whose = self._readings(exercise.needs)
            lines = speak(exercise, readings, whose, *answer)
        except Impossible as error:
            lines = [sentence(error)]
        notes, self._answers.notes = self._answers.notes, []
        return Said("\n".join(line for line in [*lines, *notes] if line))

    def _question(self, exercise, readings, whose):
        # Told is what there is no need to find any more, or was asked of other readings than these.
        def told(key):
            asked, _ = self._readings(exercises.find(key).needs)
            return self._answers.settled(key) or asked.invented != readings.invented

        stands_on = givens(exercise, readings, exercises.LESSONS, told)
        caution = readings.caution if "ratio" in exercise.shows else ""
        return [exercise.question, whose, f"From: {'; '.join(stands_on)}.", caution]

    def _reply(self, exercise, readings, whose, answer):
        verdict = judge(exercise, readings, answer)
        if verdict.state == "unanswered":
            return [*self._question(exercise, readings, whose), verdict.text]
        whose = whose if self.sheet else ""  # else the question has said it
        if verdict.value is None:
            return [whose, verdict.text]
        self._answers.add(exercise.key, verdict, answer)
        more = verdict.state != "right" and self._answers.settled(exercise.key)
        told = f"If you want to see the right answer now: desk.show({exercise.key!r})."
        return [whose, verdict.text, told if more else ""]

    def _told(self, exercise, readings, whose):
        tried = len(self._answers.attempts(exercise.key))
        if not self._answers.settled(exercise.key):
            return [
                f"The right answer is shown after {HONEST} different attempts; so far there "
                f"{'is' if tried == 1 else 'are'} {tried}."
            ]
        right = in_unit(exercise.answer(readings), exercise.unit)
        return [exercise.question, whose, f"{shown(right, exercise.unit)}: {exercise.rule}."]

    def _result_line(self, outcome, words, unit, key):
        value, low, high = rounded(outcome.value, outcome.low, outcome.high)
        if not key or self._answers.settled(key):
            if not np.isfinite(outcome.high):
                return f"{words}: at least {low}{unit} (95 %), without an upper end"
            return f"{words}: {value}{unit}, 95 % from {low} to {high}{unit}"
        part = (outcome.high - outcome.low) / 2 / abs(outcome.value) * 100
        known = f"known to ±{part:.1f} %" if np.isfinite(part) else "known at one end only"
        place = f" in{unit}" if unit.startswith(" ") else ""
        return f"{words}{place}: {known} (95 %); its value follows after {key!r}"
