"""The student's overlay: two circles laid on an eclipse photograph by clicks or by sliders.

`photograph(desk)` is what `desk.photograph()` returns. What is marked lies in `Marks`, which
knows no browser; here are the buttons, the clicks, and the way into the group's sheet.
"""

import html
from base64 import b64encode
from functools import wraps
from pathlib import Path

import ipywidgets as widgets
import numpy as np
from IPython.display import Markdown, display

from moonreach.figures.clickable import Clickable, clickable
from moonreach.figures.overlay import HEIGHT, WIDTH, CircleDrawing, View
from moonreach.lessons.refuse import Impossible, sentence
from moonreach.notebook.kept_marks import KeptMarks
from moonreach.notebook.photo_radii import write_radii
from moonreach.notebook.said import Said
from moonreach.photo.by_hand import CAREFUL, CIRCLES, TRIES, Laid, Marks

PICTURE = "eclipse_photographs/partial_2.jpg"  # half of the Moon in shadow
NEAR = 9  # px on the screen: a press so near to a point takes hold of it
CAPTION = (
    "*The photograph, its dark parts lifted by the slider if need be. Grey: the Moon's limb. "
    "Orange: the shadow's edge. Click at least three points on each, as far apart as they go; a "
    "point can be dragged.*"
)
_HOME = Path(__file__).parents[1]


def shipped(name):
    """Return the path of a file of the project's data.

    Looked for in the installed package first, then in the clone that the package stands in.
    Raises `Impossible` where there is none.

    >>> shipped("eclipse_photographs/partial_2.jpg").name
    'partial_2.jpg'
    """
    for folder in (_HOME / "shipped" / "data", _HOME.parent / "data"):
        if (folder / name).is_file():
            return folder / name
    raise Impossible(
        f"this installation lacks {name}: install moonreach anew, or name a picture of your own, "
        'as in desk.photograph("our_eclipse.jpg")'
    )


def photograph(desk, path=None):
    """Return the `Overlay` of a photograph for a `Desk`: the rendered one unless a path is given.

    The same picture comes back with what was marked on it. A file that is no readable picture is
    met with a sentence.
    """
    try:
        path = Path(path) if path else shipped(PICTURE)
        key = str(path.resolve())
        overlay = desk.overlays.pop(key, None) or Overlay(desk, path)
    except ValueError as error:
        return Said(sentence(error))
    desk.overlays[key] = overlay  # the last is the one shown last
    return overlay


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
        self.marks = Marks(careful=CAREFUL * self.view.scale)
        self._kept = KeptMarks(self.path.name)
        self._held, self._told, self._base = None, "", None
        if desk.sheet:
            self._told = self._kept.restore(desk.sheet, self.marks)
        self.canvas = clickable(CircleDrawing(self.view, Clickable))
        self.drawing = self.canvas.drawing
        for event, act in (
            ("button_press_event", self._press),
            ("motion_notify_event", self._drag),
            ("button_release_event", self._release),
        ):
            self.canvas.mpl_connect(event, act)
        options = [(words, name) for name, words in CIRCLES.items()]
        self.which = widgets.ToggleButtons(options=options, style={"button_width": "126px"})
        self.lift = widgets.FloatSlider(
            1, min=1, max=4, step=0.25, description="Lift the dark parts", **_SLIDER
        )
        step = 2.0 ** max(-2, round(np.log2(self.view.scale / 2)))
        reach = step * round(4 * self.view.half_height / step)
        self.by_sliders = {
            name: widgets.FloatSlider(
                0, min=-reach, max=reach, step=step, description=words, **_SLIDER
            )
            for name, words in (
                ("x", "To the right (px)"),
                ("y", "Down (px)"),
                ("radius", "Larger (px)"),
            )
        }
        self.said = widgets.HTML(layout={"min_height": "5em"})  # three lines: the page never jumps
        self.told = widgets.HTML()
        self.buttons = {
            "undo": self._button(
                "Undo last point", "Take back the point marked last", self.marks.undo
            ),
            "clear": self._button(
                "Start again", "Take all points away; tries stay", self.marks.clear
            ),
            "keep": self._button(
                "Keep this try", "Keep both circles, then mark anew", self.marks.keep
            ),
            "drop": self._button("Drop last try", "Forget the try kept last", self._drop),
            "write": self._button("Write to the sheet", "Both radii, for your group", self._write),
        }
        self.which.observe(lambda _: self._show(), "value")
        self.lift.observe(lambda _: self._show(sliders=False), "value")
        for slider in self.by_sliders.values():
            slider.observe(self._move, "value")
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
                widgets.Box([self.canvas], layout={"overflow": "auto", "max_width": "100%"}),
                self.said,
                self.lift,
                fold,
                widgets.HBox(rest, layout=row),
                self.told,
            ]
        )
        self._show()

    def as_text(self):
        """Return in words what is on the picture and what the tries say."""
        lines = [f"Photograph {self.view.file}, with two circles to lay on it."]
        return "\n".join([*lines, *self.marks.lines(), self.marks.tries_line()])

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs) or {}
        still = CircleDrawing(self.view)
        still.set(self.marks, self.lift.value)
        bundle["text/plain"] = self.as_text()
        bundle["image/png"] = b64encode(still.png()).decode("ascii")
        size = {"width": WIDTH, "height": HEIGHT, "alt": self.as_text()}
        return bundle, {"image/png": size}

    def _ipython_display_(self):
        bundle, about = self._repr_mimebundle_()
        display(bundle, metadata=about, raw=True)
        display(Markdown(CAPTION))

    @_in_turn
    def _press(self, event):
        if event.button != 1 or event.xdata is None:
            return
        name, reach = self.which.value, NEAR * self.view.scale
        near = [
            (np.hypot(point[1] - event.xdata, point[2] - event.ydata), place)
            for place, point in enumerate(self.marks.points)
            if point[0] == name
        ]
        distance, place = min(near, default=(np.inf, None))
        if distance <= reach:
            self._held = self.marks.points[place]
            self.marks.moved.pop(name, None)
        else:
            self._held = self.marks.add(name, event.xdata, event.ydata)
        self._show()

    @_in_turn
    def _drag(self, event):
        if self._held is not None and event.xdata is not None:
            self._held[1:] = event.xdata, event.ydata
            self._show()

    @_in_turn
    def _release(self, _):
        if self._held is not None:
            self._held = None
            self._keep_marks()

    def _keep_marks(self):
        if self._desk.sheet and (remark := self._kept.store(self._desk.sheet, self.marks)):
            self._told = remark
            self._show()

    def _button(self, words, tooltip, act):
        def pressed(_):
            with self.canvas.turn:
                self._held, self._told = None, ""
                try:
                    act()
                except Impossible as refusal:
                    self._told = Said(sentence(refusal))
                self._show()
                self._keep_marks()

        button = widgets.Button(description=words, tooltip=tooltip, layout={"width": "138px"})
        button.on_click(pressed)
        return button

    def _drop(self):
        if self.marks.tries:
            self.marks.tries.pop()

    def _write(self):
        if not self._desk.sheet:
            self._told = (
                "No group is chosen, so nothing was written; the tries stay here. Write your "
                'group\'s name in desk.form(), or desk.choose("our group"), then press again.'
            )
        elif len(self.marks.tries) < TRIES:
            self._told = f"Nothing was written yet: {TRIES} tries tell how sure you are."
        else:
            try:
                self._told = write_radii(self._desk.sheet, self.marks.tries, self.view.file)
            except OSError as error:
                self._told = f"Not written ({error.strerror}): press again when it can be."

    @_in_turn
    def _move(self, _):
        by = {name: slider.value for name, slider in self.by_sliders.items()}
        name, base = self.which.value, self._base
        if name not in self.marks.moved and max(map(abs, by.values())) < 0.1 * self.view.scale:
            return  # put back by a click, not moved
        radius = max(base.radius + by["radius"], self.view.scale)
        self.marks.moved[name] = Laid(base.x + by["x"], base.y + by["y"], radius)
        self._show(sliders=False)

    def _rest(self):
        """Let the sliders rest in their middles: from here they move the chosen circle.

        They do not follow the circle at each click, as their answers would come in between.
        """
        (x, y), half = self.view.middle, self.view.half_height
        start = {"moon": Laid(x, y, 0.8 * half), "shadow": Laid(x, y - 1.6 * half, 1.6 * half)}
        try:
            self._base = self.marks.laid(self.which.value)
        except Impossible:
            self._base = start[self.which.value]
        for slider in self.by_sliders.values():
            slider.unobserve(self._move, "value")
            slider.value = 0
            slider.observe(self._move, "value")

    @_in_turn
    def _show(self, sliders=True):
        self.drawing.set(self.marks, self.lift.value)
        self.canvas.draw_idle()
        if sliders:
            self._rest()
        self.said.value = _lines(self.marks.lines())
        self.told.value = _lines([self.marks.tries_line(), self._told])


_SLIDER = {
    "readout_format": ".1f",
    "style": {"description_width": "140px"},
    "layout": {"width": "100%", "max_width": f"{WIDTH}px"},
}


def _lines(lines):
    text = "<br>".join(html.escape(line) for line in lines if line)
    return f'<div role="status" style="line-height: 1.5; max-width: 46em">{text}</div>'
