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

from moonreach.exercises.attempts import Answers
from moonreach.lessons.refuse import Impossible, sentence
from moonreach.notebook.asked import Asked, in_sentences
from moonreach.notebook.practice_night import USUAL, PracticeNight, reduced
from moonreach.notebook.syllabus import SYLLABUS
from moonreach.notebook.told import Said, result_lines, true_distance
from moonreach.sheet import tables, writing
from moonreach.sheet.group_sheet import GroupSheet


class Desk:
    """One lesson's desk for one group, or for the practice group while there is none."""

    def __init__(self, lesson, group=None, work="work", practice=()):
        """Sit down at a lesson.

        Parameters: the lesson's stem; the group's name, or nothing for the one that sat here
        last; the folder for the groups' sheets; the rows of another practice group than the
        usual one, as `tables.write` takes them. Raises `Impossible` for a lesson that there is not.
        """
        if lesson not in SYLLABUS:
            near = difflib.get_close_matches(lesson, SYLLABUS, 3) or SYLLABUS
            raise Impossible(f"there is no lesson {lesson!r}; there are {', '.join(near)}")
        self.lesson, self.work = lesson, Path(work)
        self.sheet, self.answers, self._notes = None, Answers(), []
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
        self.answers = Answers(sheet.path.with_suffix("") / "answers.json")
        return Said("\n".join([*sheet.notes, *self.answers.notes]))

    def form(self):
        """Return the measuring form of this lesson."""
        # Here, so that a desk without a form needs no widgets.
        from moonreach.notebook.form import Form

        return Form(self, SYLLABUS[self.lesson].measured, SYLLABUS[self.lesson].optional)

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
            self.answers = Answers()  # those were to other readings
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
        """Return the Moon's distances by all ways, as a figure.

        They are antiquity's, the group's, and for a way that it lacks the practice group's.
        """
        from moonreach.figures.all_ways import AllWays

        own, _ = self._own()
        return AllWays(*filter(None, (own, self.practice)))

    def readings(self, *needs):
        """Return the group's `Readings`, or the practice group's where the group lacks something.

        Parameters: what is needed, as `Readings.lacks` takes it; this lesson's own readings if
        nothing is named. All come from one group, as a shadow belongs to its gnomon.
        """
        return self.readings_and_whose(needs)[0]

    def readings_and_whose(self, needs=()):
        """Return `Readings` as `readings` does, and a sentence on whose if not the group's own."""
        own, lack = self._own()
        if not self.sheet:
            return self.practice, self._who()
        if own:
            lacks = own.lacks(*(needs or SYLLABUS[self.lesson].needs))
            if not lacks:
                return own, ""
            why = "".join(f" ({problem})" for problem in own.unusable)
            lack = f"The sheet of {self.group} still lacks {', '.join(lacks)}{why}:"
        return self.practice, f"{lack} until then the readings are those of {self.night}."

    def value(self, quantity):
        """Return one quantity of this lesson's readings; print whose it is when it is invented."""
        for needs in ((), (quantity,)):
            readings, whose = self.readings_and_whose(needs)
            if quantity in readings.given:
                if readings.invented:
                    print(whose)
                return readings[quantity]
        raise Impossible(f"there is no reading of {quantity!r}")

    @in_sentences
    def ask(self, key):
        """Return an exercise's question, with the readings it stands on."""
        return Asked(self, key).question()

    @in_sentences
    def check(self, key, answer=None):
        """Return what there is to say of an answer; while there is none, the question.

        Parameters: the exercise's key, and a number, a quantity or text such as "7.2 deg".
        """
        return Asked(self, key).verdict(answer)

    @in_sentences
    def show(self, key):
        """Return the right answer, once it was found or honestly tried twice."""
        return Asked(self, key).right_answer()

    @in_sentences
    def result(self):
        """Return this lesson's results with their 95 % intervals, and what they hang on.

        A value that is still to be worked out in an exercise is not told before that.
        """
        readings, whose = self.readings_and_whose()
        return [whose, *result_lines(SYLLABUS[self.lesson], readings, self.answers.settled)]

    def true_distance(self):
        """Return how far the Moon truly was on the group's own night, as far as it names one."""
        own, _ = self._own()
        return Said(true_distance(own, self.practice, self.sheet))

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

    def _own(self):
        """Return the group's own `Readings`, or None, and the beginning of a sentence on why."""
        if not self.sheet:
            return None, ""
        try:
            return reduced(self.group, tuple(self.sheet.readings())), ""
        except tables.SheetError as error:
            return None, f"{error}:"
