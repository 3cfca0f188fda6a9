"""The student's overlay: two circles laid on an eclipse photograph by clicks or by sliders.

What is clicked lies in `Clicks`, which
knows no browser; here are the buttons, the mouse, and the way into the group's sheet.
"""

import html
import tomllib
from base64 import b64encode
from functools import partial, wraps
from pathlib import Path

import ipywidgets as widgets
import numpy as np
from IPython.display import Markdown, display

from moonreach.figures.clickable import Clickable, clickable
from moonreach.figures.overlay import HEIGHT, WIDTH, CircleDrawing, View
from moonreach.lessons.refuse import Impossible, require, sentence
from moonreach.notebook.kept_clicks import KeptClicks, write_tries
from moonreach.notebook.one_night import begin
from moonreach.photo import Circle
from moonreach.photo.clicks import CAREFUL, CIRCLES, TRIES, Clicks
from moonreach.sheet.origin import Origin

NEAR = 9  # px on the screen: a press so near to a point takes hold of it
WORDS = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
_SLIDER = {
    "readout_format": ".1f",
    "style": {"description_width": "140px"},
    "layout": {"width": "100%", "max_width": f"{WIDTH}px"},
}


def named(lines, origin):
    """Return lines on a picture, each with the word that says so where it is practice."""
    mark = WORDS["mark"] if origin is Origin.PRACTICE else ""
    return [mark + line for line in lines]


def into_the_sheet(write, *about):
    """Return what a function that writes into a sheet says; raise `Impossible` where it cannot."""
    try:
        return write(*about)
    except OSError as error:
        raise Impossible(WORDS["write"]["failed"].format(error.strerror)) from error


def _in_turn(act):
    """Let a handler wait until no other one is at work."""

    @wraps(act)
    def acting(self, *about, **more):
        with self.canvas.turn:
            return act(self, *about, **more)

    return acting


class Overlay(widgets.VBox):
    """A photograph with two circles, their ratio, three tries, and the button to the sheet."""

    def __init__(self, desk, path):
        """Show a picture for a `Desk`; raise ValueError if it cannot be read."""
        self.path, self._desk = Path(path), desk
        self.view = View(path)
        self.origin = Origin.PRACTICE if self.view.rendered else Origin.OWN
        self.clicks = Clicks(careful=CAREFUL * self.view.scale)
        self._held, self._from, self._told, self._base = None, None, "", None
        self.canvas = clickable(CircleDrawing(self.view, Clickable))
        self.drawing = self.canvas.drawing
        self.canvas.mpl_connect("button_press_event", self._press)
        self.canvas.mpl_connect("button_release_event", self._release)
        self.canvas.mpl_connect("motion_notify_event", self._drag)
        self._make_controls()
        fold = widgets.Accordion(
            [widgets.VBox([*self.by_sliders.values()])],
            titles=("Or move the chosen circle by sliders",),
            layout={"max_width": f"{WIDTH}px"},
        )
        row = {"flex_flow": "row wrap"}
        undo, clear, *rest = self.buttons.values()
        super().__init__(
            [
                widgets.HBox([self.which, undo, clear], layout=row),
                widgets.Box([self.canvas], layout={"overflow": "auto", "width": "100%"}),
                self.said,
                self.lift,
                fold,
                widgets.HBox(rest, layout=row),
                self.told,
            ]
        )
        self._kept, self._group = None, object()  # no group that there is
        desk.listeners.append(self.follow)
        self.follow()

    def _make_controls(self):
        options = [(words, name) for name, words in CIRCLES.items()]
        self.which = widgets.ToggleButtons(options=options, style={"button_width": "max-content"})
        self.which.observe(lambda _: self._show(), "value")
        lift = {"min": 1, "max": 4, "step": 0.25, "description": "Lift the dark parts"}
        self.lift = widgets.FloatSlider(1, **lift, **_SLIDER)
        self.lift.observe(lambda _: self._show(sliders=False), "value")
        step = 2.0 ** max(-2, round(np.log2(self.view.scale / 2)))
        reach = step * round(4 * self.view.half_height / step)
        limits = {"min": -reach, "max": reach, "step": step}
        self.by_sliders = {
            name: widgets.FloatSlider(0, description=words, **limits, **_SLIDER)
            for name, words in WORDS["sliders"].items()
        }
        for slider in self.by_sliders.values():
            slider.observe(self._move, "value")
        self.said = widgets.HTML(layout={"min_height": "5em"})  # three lines: the page never jumps
        self.told = widgets.HTML()
        acts = self.clicks.undo, self.clicks.clear, self._keep, self.clicks.drop, self._write
        self.buttons = {}
        for (name, (words, more)), act in zip(WORDS["buttons"].items(), acts, strict=True):
            button = widgets.Button(description=words, tooltip=more, layout={"width": "auto"})
            button.on_click(partial(self._pressed, act))
            self.buttons[name] = button

    @_in_turn
    def follow(self):
        """Take the marks of the group that is chosen now; those made before there was one stay.

        What another device of the group has marked meanwhile comes too, but not under a finger.
        """
        sheet = self._desk.sheet
        if self._group == (sheet and sheet.group):
            if self._held is None and self._kept.follow(self.clicks):
                self._show()
            return
        if self._kept and self._kept.path:
            self.clicks.clear()
            self.clicks.tries.clear()
        self._group, self._kept = sheet and sheet.group, KeptClicks(sheet, self.path.name)
        self._kept.restore(self.clicks)
        self._show()

    def as_text(self):
        """Return in words what is on the picture and what the tries say."""
        lines = [*self.clicks.lines(), self.clicks.tries_line()]
        title = f"Photograph {self.view.file}, with two circles to lay on it."
        remark = [WORDS["invented"]] if self.origin is Origin.PRACTICE else []
        return "\n".join([*named([title, *lines], self.origin), *remark])

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs) or {}
        still = CircleDrawing(self.view)
        still.set(self.clicks, self.lift.value)
        bundle["text/plain"] = self.as_text()
        bundle["image/png"] = b64encode(still.png()).decode("ascii")
        size = {"width": WIDTH, "height": HEIGHT, "alt": self.as_text()}
        return bundle, {"image/png": size}

    def _ipython_display_(self):
        bundle, about = self._repr_mimebundle_()
        display(bundle, metadata=about, raw=True)
        display(Markdown(WORDS["caption"]))

    @_in_turn
    def _press(self, event):
        if event.button != 1 or event.xdata is None:
            return
        name, reach = self.which.value, NEAR * self.view.scale
        self._held = self.clicks.take(name, event.xdata, event.ydata, reach)
        self._from = [*self._held]
        self._show()

    @_in_turn
    def _drag(self, event):
        if self._held is not None and event.xdata is not None:
            self._held[1:] = event.xdata, event.ydata
            self._show()

    @_in_turn
    def _release(self, event):
        self._drag(event)  # the browser may have left out the last movements
        if self._held is not None:
            self._change(partial(self.clicks.move, self._from, self._held))

    @_in_turn
    def _pressed(self, act, _):
        self._change(act)

    def _change(self, act):
        """Let an act change the marks as all devices of the group have left them, and keep that."""
        self._held, self._told, self._kept.notes = None, "", []
        try:
            with self._kept.changing(self.clicks):
                act()
        except Impossible as refusal:
            self._told = sentence(refusal)
        self._show()

    def _keep(self):
        self.clicks.keep()
        if len(self.clicks.tries) == TRIES:
            begin(self._desk, self.path)  # so that the machine's circles are ready when asked for

    def _write(self):
        words, sheet, tries = WORDS["write"], self._desk.sheet, self.clicks.tries
        require(self.origin is Origin.OWN, words["invented"])
        require(sheet, words["nobody"])
        require(len(tries) >= TRIES, words["few"], TRIES)
        self._told = sentence(into_the_sheet(write_tries, sheet, tries, self.view.file))
        self._desk.changed()

    @_in_turn
    def _move(self, _):
        by = {name: slider.value for name, slider in self.by_sliders.items()}
        name, base = self.which.value, self._base
        if name not in self.clicks.moved and max(map(abs, by.values())) < 0.1 * self.view.scale:
            return  # put back by a click, not moved
        radius = max(base.radius + by["radius"], self.view.scale)
        self.clicks.moved[name] = Circle(base.x + by["x"], base.y + by["y"], radius)
        self._show(sliders=False)

    def _rest(self):
        """Let the sliders rest in their middles: from here they move the chosen circle.

        They do not follow the circle at each click, as their answers would come in between.
        """
        (x, y), half = self.view.middle, self.view.half_height
        start = {"moon": Circle(x, y, 0.8 * half), "shadow": Circle(x, y - 1.6 * half, 1.6 * half)}
        try:
            self._base = self.clicks.laid(self.which.value)
        except Impossible:
            self._base = start[self.which.value]
        for slider in self.by_sliders.values():
            slider.unobserve(self._move, "value")
            slider.value = 0
            slider.observe(self._move, "value")

    @_in_turn
    def _show(self, sliders=True):
        self.drawing.set(self.clicks, self.lift.value)
        self.canvas.draw_idle()
        if sliders:
            self._rest()
        self.said.value = _lines(named(self.clicks.lines(), self.origin))
        remark = WORDS["invented"] if self.origin is Origin.PRACTICE else ""
        tries = named([self.clicks.tries_line()], self.origin)
        self.told.value = _lines([remark, *tries, self._told, *self._kept.notes])


def _lines(lines):
    text = "<br>".join(html.escape(line) for line in lines if line)
    return f'<div role="status" style="line-height: 1.5; max-width: 46em">{text}</div>'
