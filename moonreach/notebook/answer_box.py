"""An exercise as a student meets it: the question stays, a box for the answer, the reply below."""

import html

import ipywidgets as widgets
from astropy import units as u

from moonreach import exercises
from moonreach.exercises import Verdict
from moonreach.figures import style
from moonreach.lessons.refuse import Impossible, sentence
from moonreach.notebook.asked import Asked, in_sentences
from moonreach.notebook.form_line import unit_in_menu
from moonreach.notebook.page_parts import PagePart
from moonreach.notebook.told import kept_together

# What a menu offers beside the unit that is asked for, by the kind of that unit.
_ALSO = {
    "angle": (u.deg, u.arcmin, u.rad),
    "time": (u.s, u.min, u.h),
    "length": (u.mm, u.cm, u.m, u.km),
}
# Colour is never alone: each state has a mark of its own.
_MARKS = {
    "right": ("✓", style.TODAY_WORDS),
    "slip": ("✗", style.OWN_WORDS),
    "wrong": ("✗", style.OWN_WORDS),
    "unreadable": ("?", style.INK),
}


class AnswerBox(PagePart):
    """One exercise of a `Desk`: its question and readings, a box, a unit, and what is replied."""

    def __init__(self, desk, key):
        """Ask the exercise of a key; raises `Impossible` for one that there is not."""
        self._key, self._judged, unit = key, [], exercises.find(key).unit
        self.question, self.reply, self.way = (widgets.HTML() for _ in range(3))
        self.box = widgets.Text(
            placeholder="your answer", continuous_update=False, layout={"width": "13em"}
        )
        units = [unit, *(one for one in _ALSO.get(str(unit.physical_type), ()) if one != unit)]
        self.unit = widgets.Dropdown(
            options=[(unit_in_menu(str(one)), one) for one in units], layout={"width": "7em"}
        )
        self.unit.layout.display = None if unit != u.one else "none"
        check = widgets.Button(description="Check", layout={"width": "6em"})
        self.show = widgets.Button(description="Show the way", layout={"width": "9em"})
        row = widgets.HBox([self.box, self.unit, check, self.show])
        row.layout.flex_flow = "row wrap"
        self._moving, self._answers, self._last = False, desk.answers, ""
        super().__init__(desk, [self.question, row, self.reply, self.way])
        self.box.observe(lambda _: self.answer(), "value")
        self.unit.observe(lambda _: self.answer(), "value")
        check.on_click(lambda _: self.answer())
        self.show.on_click(lambda _: self._show_the_way())

    def answer(self):
        """Judge what stands in the box, and keep it as an attempt."""
        if not self._moving:
            self._judge(keep=True)
            self._last = self._typed()
            self._desk.changed()

    def follow(self):
        """Ask again of the readings of now, and judge again what stands in the box."""
        self.asked = Asked(self._desk, self._key)
        typed, same = self._typed(), self._desk.answers is self._answers
        answered = typed != self._last  # by the group, or another device of it
        if answered and (same or not self.box.value):
            self._moving = True
            self.box.value, self.unit.value = typed, self.asked.exercise.unit
            self._moving = False
        self._answers, self._last = self._desk.answers, typed
        first, *others = self.as_text().splitlines()
        self.question.value = _paragraphs([f"{exercises.number_of(self._key)}. {first}", *others])
        stands_on = [self.asked.readings, self._desk.practice, self._desk.answers]
        if answered or [*map(id, stands_on)] != [*map(id, self._judged)]:
            self._judged = stands_on
            self._judge(keep=False)

    def as_text(self):
        """Return the question and its readings, with whose they are."""
        lines = in_sentences(self._desk, self.asked.question).splitlines()
        if self._desk.readings().invented:  # says the strip, and "From the practice group" here
            lines = [line for line in lines if line != self.asked.whose]
        return "\n".join(lines)

    def _typed(self):
        return (self._desk.answers.typed(self._key) or [""])[-1]

    def _judge(self, keep):
        self.way.value = ""
        try:
            verdict = self.asked.verdict(self.box.value, self.unit.value, keep)
        except Impossible as error:
            verdict = Verdict("unreadable", sentence(error))
        reply = ""
        if verdict.state in _MARKS:
            mark, colour = _MARKS[verdict.state]
            text = " ".join([verdict.text, *self._desk.answers.told()])
            look = f'role="status" style="color:{colour};line-height:1.5"'
            reply = f"<div {look}>{mark} {html.escape(kept_together(text))}</div>"
            if tried := self._desk.answers.typed(self._key)[:-1]:
                reply += f"<small>Earlier: {html.escape(' · '.join(tried[-6:]))}</small>"
        self.reply.value = reply
        self.show.layout.display = None if self._desk.settled(self._key) else "none"

    def _show_the_way(self):
        self.way.value = _paragraphs(self.asked.right_answer()[2:])


def _paragraphs(lines):
    first, *others = (html.escape(kept_together(line)) for line in lines if line)
    rest = "<br>".join(others)
    return f'<div style="line-height:1.5"><b>{first}</b><br>{rest}</div>'
