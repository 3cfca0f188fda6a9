"""The desk: what a notebook's cells talk to, in one line each.

    desk = Desk("earth_size")
    desk.form()                    # the measuring form
    desk.box("arc")                # an exercise, with a box for the answer
    desk.result()                  # how sure are we? result_card() has it as a picture too

It works without a browser, in any folder, and before there is any group.
"""

import difflib
from pathlib import Path

from moonreach import exercises
from moonreach.exercises.attempts import Answers
from moonreach.lessons.refuse import Impossible, sentence
from moonreach.notebook import together
from moonreach.notebook.asked import in_sentences
from moonreach.notebook.page_cells import PageCells
from moonreach.notebook.page_notes import PageNotes
from moonreach.notebook.practice_night import USUAL, PracticeNight, reduced
from moonreach.notebook.progress import group_of, remember
from moonreach.notebook.syllabus import SYLLABUS
from moonreach.notebook.told import Said, result_lines
from moonreach.sheet import tables
from moonreach.sheet.group_sheet import GroupSheet, file_stem


class Desk(PageCells):
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
        self.page_notes, self.listeners = PageNotes(), []
        self.half_moon_calls = []
        self.overlays = {}  # of photographs, by path: what was marked stays when a cell runs again
        self.sit_down(group, practice)

    def sit_down(self, group=None, practice=()):
        """Read the folder as it is now, for a group or that of the last time; the page follows."""
        seat = together.seated()  # there each group has its own practice night
        self.night = PracticeNight(self.work / file_stem(seat) if seat else self.work, practice)
        if group := seat or group or group_of(self.work):
            self._notes.append(self.choose(group))
        if not self.sheet:  # nobody sits here, or the folder cannot be used
            self.changed()
        elif seat:
            together.watch(self)

    @property
    def practice(self):
        """The practice group's readings."""
        return self.night.readings

    @property
    def group(self):
        """The group's name, or nothing."""
        return self.sheet.group if self.sheet else None

    def __repr__(self):
        whose = self.readings_and_whose()[1] or self._who()
        return "\n".join(filter(None, [*self._notes, whose]))

    def _repr_html_(self):
        return Said(self)._repr_html_()

    def choose(self, group):
        """Take the sheet of a group, or begin one, and remember the group for the next time."""
        seat = together.seated()
        if seat and group != seat:
            return Said(f"This page is that of {seat}. Change the group on the page of contents.")
        try:
            sheet = GroupSheet(self.work, group)
            if not seat:
                remember(self.work, sheet.group)
        except Impossible as error:
            return Said(f"{sentence(error)} The group was not changed.")
        except OSError as error:
            return Said(
                f"{self.work} cannot be used ({error.strerror}): nothing can be kept there."
            )
        self.sheet = sheet
        folder, before = sheet.path.with_suffix(""), self.page_notes
        self.answers = Answers(folder / "answers.json")
        self.page_notes = PageNotes(folder / "page.json")
        if before.held and not before.path:  # a guess made before there was a group is that group's
            self.page_notes.take_over(before)
        self.changed()
        notes = [*sheet.notes, *self.answers.told(), *self.page_notes.told()]
        return Said("\n".join(notes))

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
        self.changed()
        return Said(f"{self.readings_and_whose()[1]}{remark}".strip())

    def readings(self, *needs):
        """Return the group's `Readings`, or the practice group's where the group lacks something.

        Parameters: what is needed, as `Readings.lacks` takes it; this lesson's own readings if
        nothing is named. All come from one group, as a shadow belongs to its gnomon.
        """
        return self.readings_and_whose(needs)[0]

    def readings_and_whose(self, needs=()):
        """Return `Readings` as `readings` does, and a sentence on whose if not the group's own."""
        own, lack = self.own()
        if not self.sheet:
            return self.practice, self._who()
        if own:
            lacks = own.lacks(*(needs or SYLLABUS[self.lesson].needs))
            if not lacks:
                return own, ""
            why = "".join(f" ({problem})" for problem in own.unusable)
            lack = f"The sheet of {self.group} still lacks {', '.join(lacks)}{why}:"
        return self.practice, f"{lack} until then the readings are those of {self.night}."

    def settled(self, key):
        """Return whether the right answer to an exercise may be told, of the readings of now.

        What was answered for the practice group settles nothing of the group's own readings.
        """
        own = not self.readings(*exercises.find(key).needs).invented
        return self.answers.settled(key, own)

    def still_open(self):
        """Return the lesson's results whose exercise is still to be answered, with its key."""
        results = SYLLABUS[self.lesson].results.items()
        return {name: key for name, (_, key) in results if key and not self.settled(key)}

    @property
    def guessed(self):
        """The group's guess in this lesson; nothing said for one left out, None for none yet."""
        return self.page_notes.get(self.lesson, "guess")

    def keep(self, name, text):
        """Keep the guess or a note of this lesson; return in sentences what was in the way."""
        self.page_notes.keep(self.lesson, name, text)
        problems = " ".join(self.page_notes.told())
        self.changed()
        return problems

    def changed(self):
        """Let all parts of the page follow; they read the sheet and the marks anew."""
        self._followed = self.sheet and together.measured(self)
        for follow in self.listeners:
            follow()

    def read_again(self):
        """Read what another device of the group has written; the page follows if that is new."""
        before = self.answers.held, self.page_notes.held
        self.answers.read()
        self.page_notes.read()
        now = self.answers.held, self.page_notes.held
        if now != before or together.measured(self) != self._followed:
            self.changed()

    def result(self):
        """Return this lesson's results with their 95 % intervals, and what they hang on.

        A value that is still to be worked out in an exercise is not told before that.
        """
        readings, whose = self.readings_and_whose()
        lines = [whose, *result_lines(SYLLABUS[self.lesson], readings, self.still_open())]
        return in_sentences(self, lambda: lines)

    def _who(self):
        if self.sheet:
            return f"The readings are those of {self.group}."
        return f"No group is chosen yet, so the readings are those of {self.night}."

    def own(self):
        """Return the group's own `Readings`, or None, and the beginning of a sentence on why."""
        if not self.sheet:
            return None, ""
        try:
            return reduced(self.group, tuple(self.sheet.readings())), ""
        except tables.SheetError as error:
            return None, f"{error}:"
