"""What a notebook's cells put on a lesson page, each with one call of a method of the desk.

The widgets are imported where they are made, so that a desk alone needs none.
"""

from moonreach.notebook.syllabus import SYLLABUS


class PageCells:
    """The parts of a lesson page that a `Desk` can make."""

    def strip(self):
        """Return the line that says where one is in the lesson, and what is next."""
        from moonreach.notebook.page_parts import Strip

        return Strip(self)

    def guess(self, *choices, unit=""):
        """Return the place for a guess: one of some words, or a number in a unit."""
        from moonreach.notebook.page_parts import Guess

        return Guess(self, choices, unit)

    def after_guess(self, drawing):
        """Return a drawing that comes alive once there is a guess."""
        from moonreach.notebook.page_parts import AfterGuess

        return AfterGuess(self, drawing)

    def notes(self, part, *numbers):
        """Return places for notes on a part's numbered questions, kept in the group's folder."""
        from moonreach.notebook.page_parts import Notes

        return Notes(self, part, numbers)

    def form(self):
        """Return the measuring form of this lesson."""
        from moonreach.notebook.form import Form

        return Form(self, SYLLABUS[self.lesson].measured, SYLLABUS[self.lesson].optional)

    def sky_menu(self):
        """Return the menu of real nights for the practice group."""
        from moonreach.notebook.sky_menu import SkyMenu

        return SkyMenu(self)

    def box(self, key):
        """Return an exercise with a box for its answer."""
        from moonreach.notebook.answer_box import AnswerBox

        return AnswerBox(self, key)

    def result_card(self):
        """Return this lesson's results as lines and as a picture."""
        from moonreach.notebook.page_parts import ResultCard

        return ResultCard(self)

    def class_chart(self):
        """Return the class's distances of the Moon, with the group's among them."""
        from moonreach.notebook.class_chart import ClassChart

        return ClassChart(self)

    def photograph(self, path=None):
        """Return a photograph to lay two circles on.

        It is that of a path, or else the group's own, which it gives on the page; until then it is
        the rendered one.
        """
        from moonreach.notebook.own_photograph import Photographs, photograph

        return photograph(self, path) if path else Photographs(self)

    def photograph_by_machine(self, *night):
        """Return the machine's circles beside those by hand; paths are that night's pictures."""
        from moonreach.notebook.by_machine import compare

        return compare(self, night)

    def half_moon(self):
        """Return the rendered Moon on which to call half."""
        from moonreach.notebook.half_moon import MoonToCall

        return MoonToCall(self)

    def true_distance(self):
        """Return how far the Moon truly was on the group's own night, as far as it names one."""
        from moonreach.notebook.page_parts import TrueDistance

        return TrueDistance(self)

    def all_ways(self):
        """Return the Moon's distances by all ways, as a figure.

        They are antiquity's, the group's, and for a way that it lacks the practice group's.
        """
        from moonreach.notebook.all_ways import Ways

        return Ways(self)
