"""The parts of a lesson page that a student writes into or that follow what is written.

Each follows the desk: whatever changes in the group's folder shows at once.
"""

import html
from functools import partial

import ipywidgets as widgets

from moonreach.exercises import calculator
from moonreach.figures import own_result
from moonreach.figures.live import LiveFigure
from moonreach.lessons.refuse import Impossible, sentence
from moonreach.notebook.form_line import complaint
from moonreach.notebook.page_notes import SKIPPED
from moonreach.notebook.progress import standing
from moonreach.notebook.syllabus import SYLLABUS
from moonreach.notebook.told import Said, image, true_distance

_NARROW = {"max_width": "46em"}


class PagePart(widgets.VBox):
    """A part of a page that follows a `Desk`; on paper, lines of text."""

    widest = "46em"  # that of lines to be read

    def __init__(self, desk, children=()):
        super().__init__(children, layout={"max_width": self.widest})
        self._desk = desk
        desk.listeners.append(self.follow)
        self.follow()

    def follow(self):
        """Show what the group's folder says now."""

    def as_text(self) -> str:
        """Return the part as lines of text."""
        return ""

    def _repr_mimebundle_(self, **kwargs):
        said = Said(self.as_text())
        texts = {"text/plain": str(said), "text/html": said._repr_html_()}
        return super()._repr_mimebundle_(**kwargs) | texts


class Guess(PagePart):
    """A guess, by a button for each of some words or as a number; kept, or left out."""

    def __init__(self, desk, choices=(), unit=""):
        """Ask for one of some choices, or for a number in a unit (in words, may be nothing)."""
        self._unit = unit
        if choices:
            self.box = widgets.ToggleButtons(options=choices, value=None)
            self.box.style.button_width = "auto"
        else:
            self.box = widgets.Text(placeholder="your number", layout={"width": "9em"})
        keep = widgets.Button(description="Keep my guess", button_style="primary")
        self.skip = widgets.Button(description="Skip")
        keep.on_click(lambda _: self.keep())
        self.skip.on_click(lambda _: self._store(SKIPPED))
        self._ask = widgets.HBox([self.box, widgets.Label(unit), keep, self.skip])
        self._ask.layout.flex_flow = "row wrap"
        self.said = widgets.HTML()
        super().__init__(desk, [self._ask, self.said])

    def keep(self):
        """Keep what is chosen or typed, if there is anything."""
        typed = str(self.box.value or "").strip()
        if not typed:
            self.said.value = "First choose or write something; no guess is marked."
            return
        if isinstance(self.box, widgets.Text):
            typed = typed.removesuffix(self._unit.strip()).strip()
            try:
                calculator.worked_out(typed)
            except Impossible as error:
                self.said.value = complaint(sentence(error))
                return
        self._store(f"{typed} {self._unit}".strip().replace(" °", "°"))

    def follow(self):
        """Show the kept guess in place of the question's box."""
        kept = self._desk.guessed
        self._ask.layout.display = "none" if kept is not None else None
        if kept is None:
            self.said.value = ""
        elif kept == SKIPPED:
            self.said.value = "No guess. Go on below."
        else:
            self.said.value = f"Your guess is kept: <b>{html.escape(kept)}</b>. Go on below."

    def as_text(self):
        """Return how to guess, in words."""
        return "Keep a guess here when the page is running; it opens the figure below."

    def _store(self, text):
        if problems := self._desk.keep("guess", text):
            self.said.value = complaint(problems)


class AfterGuess(PagePart):
    """A live figure that would give a guess away: it comes when the guess is kept or left out."""

    widest = "100%"

    def __init__(self, desk, drawing):
        """Take a `Drawing`, to be made live then."""
        self._drawing, self.figure = drawing, None
        super().__init__(desk)

    def follow(self):
        """Show the figure once there is a guess."""
        if self._desk.guessed is None:
            self.children = [widgets.HTML(f"<i>{self.as_text()}</i>")]
        else:
            if self.figure is None:
                self.figure = LiveFigure(self._drawing)
            words = widgets.HTML(f"<i>{html.escape(self._drawing.caption)}</i>", layout=_NARROW)
            self.children = [self.figure, words]

    def as_text(self):
        """Return where the figure is."""
        return "The figure comes here when your guess is kept or skipped."


class Notes(PagePart):
    """Places to write down what was found, one for each of some questions."""

    def __init__(self, desk, part, numbers=()):
        """Take the part of the page, and the questions' numbers there; without any it is one."""
        words = [f"{number}. What did you find?" for number in numbers] or ["Your answer"]
        names = [f"{part}_{number}" for number in numbers] or [part]
        look = {"rows": 2, "continuous_update": False, "layout": {"width": "auto"}}
        self.boxes = {
            name: widgets.Textarea(placeholder=text, **look)
            for name, text in zip(names, words, strict=True)
        }
        self._shown, self.said = dict.fromkeys(self.boxes, ""), widgets.HTML()
        super().__init__(desk, [*self.boxes.values(), self.said])
        for name, box in self.boxes.items():
            box.observe(partial(self._typed, name), "value")

    def follow(self):
        """Show what is kept, where that is new: what could not be kept stays as it is."""
        for name, box in self.boxes.items():
            if self._shown[name] != self._kept(name):
                self._shown[name] = box.value = self._kept(name)

    def as_text(self):
        """Return the empty boxes' words."""
        return "\n".join(f"{box.placeholder} ……" for box in self.boxes.values())

    def _kept(self, name):
        return self._desk.page_notes.get(self._desk.lesson, name) or ""

    def _typed(self, name, change):
        if change.new != self._kept(name):
            self.said.value = complaint(self._desk.keep(name, change.new))


class Lines(PagePart):
    """Lines of text that are told anew whenever the desk changes."""

    def __init__(self, desk):
        self.said = widgets.HTML()
        super().__init__(desk, [self.said])

    def follow(self):
        """Tell what is so now."""
        self.said.value = Said(self.as_text())._repr_html_()


class Strip(Lines):
    """Where one is in the lesson, and what comes next."""

    def as_text(self):
        """Return the strip in words."""
        return f"{self._desk!r}\n{standing(self._desk)}"


class TrueDistance(Lines):
    """How far the Moon truly was on the night of the group's readings, in words."""

    def as_text(self):
        """Return the distance in words, or why it is not known."""
        return true_distance(self._desk.own()[0], self._desk.practice, self._desk.sheet)


class ResultCard(PagePart):
    """The group's results with their intervals, as lines and as a picture, and its guess.

    A result that an exercise is still to find is in neither.
    """

    widest = "100%"

    def __init__(self, desk):
        self.said, self.picture, self.save = (widgets.HTML() for _ in range(3))
        # Of which readings and results: a note that is typed draws nothing anew.
        self._drawn = None, None
        super().__init__(desk, [self.said, self.picture, self.save])

    def follow(self):
        """Work the results out anew."""
        self.said.value = Said(self.as_text())._repr_html_()
        desk, results = self._desk, SYLLABUS[self._desk.lesson].results.items()
        still_open = desk.still_open()
        told = {name: words for name, (words, _) in results if name not in still_open}
        readings = desk.readings()
        if self._drawn[0] is readings and self._drawn[1:] == (told, desk.guessed):
            return
        self._drawn = readings, told, desk.guessed
        rows = own_result.rows_of(readings, told, desk.guessed)
        self.picture.value = self.save.value = ""
        if rows:
            words = "; ".join(f"{row.label}, {row.whose}" for row in rows)
            self.picture.value, data = image(own_result.png(rows), words)
            link = f'href="{data}" download="{desk.lesson}_result.png"'
            self.save.value = f"<a {link}>Save as picture</a>"

    def as_text(self):
        """Return the results in words, and the guess."""
        guess = f"\nYour guess was: {self._desk.guessed}." if self._desk.guessed else ""
        return f"{self._desk.result()}{guess}"
