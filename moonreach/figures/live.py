"""A drawing with sliders in a notebook: ``live(Drawing())``.

One picture is sent for each step. Steps that come in while one is being drawn are merged, so
that the last picture always belongs to the last values.
"""

import asyncio
import math
from base64 import b64encode

import ipywidgets
from IPython.display import Markdown, display
from traitlets import CFloat, Unicode

from moonreach.figures import style
from moonreach.figures.motion import Motion

LOOK = style.described("live")
_WIDTH, _HEIGHT = (round(inches * style.DPI) for inches in style.SIZE)


def live(drawing):
    """Return the drawing with its sliders, to be the last thing in a notebook's cell.

    Parameters: a `Drawing`. A notebook without a kernel, and paper, show its starting state.
    """
    return LiveFigure(drawing)


class Picture(ipywidgets.Image):
    """An image with an accessible name, which is its tooltip."""

    # The view looks for a description before it shows a tooltip, and fails without one.
    description = Unicode("").tag(sync=True)


class LiveFigure(ipywidgets.VBox):
    """A drawing, its sliders and a button that puts them back to the start.

    ``handles`` are the slider widgets by name, ``picture`` is the image widget.
    """

    def __init__(self, drawing):
        self.drawing = drawing
        self.handles = {slider.name: _handle(slider) for slider in drawing.sliders}
        self._waiting = None  # the call that will draw the values of now
        self._first = drawing.png()
        size = {"width": str(_WIDTH), "height": str(_HEIGHT)}
        name = drawing.alternative  # the image's accessible name
        self.picture = Picture(value=drawing.jpeg(), tooltip=name, **size, **LOOK["picture"])
        rows = []
        for slider, handle in zip(drawing.sliders, self.handles.values(), strict=True):
            handle.observe(self._moved, "value")
            unit = ipywidgets.Label(slider.unit, **LOOK["unit"])
            if slider.name != drawing.flips:
                rows.append(ipywidgets.HBox([handle, unit], **LOOK["row"]))
        back = ipywidgets.Button(**LOOK["back"])
        back.on_click(lambda _: self.reset())
        runs = [Motion(self.handles[drawing.runs])] if drawing.runs else []
        if drawing.flips:
            runs.append(ipywidgets.Button(**LOOK["flip"]))
            runs[-1].on_click(lambda _: self.flip())
        board = ipywidgets.VBox(
            [*rows, ipywidgets.HBox([*runs, back])], layout={"max_width": f"{_WIDTH}px"}
        )
        super().__init__([self.picture, board], **LOOK["all"])

    @property
    def values(self):
        """The sliders' values by name."""
        return {name: handle.value for name, handle in self.handles.items()}

    def reset(self):
        """Put every slider back to its start."""
        for slider in self.drawing.sliders:
            self.handles[slider.name].value = slider.start

    def flip(self):
        """Show the other of two views."""
        view = self.handles[self.drawing.flips]
        view.value = 1 - view.value

    def settle(self):
        """Draw the values of now, if a step is still waiting to be drawn."""
        if self._waiting is not None:
            self._waiting.cancel()
            self._draw()

    def _moved(self, _):
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:  # outside a kernel nothing could come in between
            self._draw()
        else:
            if self._waiting is None:
                self._waiting = loop.call_soon(self._draw)

    def _draw(self):
        self._waiting = None
        self.picture.value = self.drawing.jpeg(**self.values)

    def _repr_mimebundle_(self, **kwargs):
        """Return the live view, and the starting state as a picture where nothing is live."""
        bundle = super()._repr_mimebundle_(**kwargs) or {}
        bundle["text/plain"] = self.drawing.alternative
        bundle["image/png"] = b64encode(self._first).decode("ascii")
        size = {"width": _WIDTH, "height": _HEIGHT, "alt": self.drawing.alternative}
        return bundle, {"image/png": size}

    def _ipython_display_(self):
        """Show the figure, and below it the caption as words of the page."""
        bundle, about = self._repr_mimebundle_()
        display(bundle, metadata=about, raw=True)
        display(Markdown(f"*{self.drawing.caption}*"))


class Handle(ipywidgets.FloatSlider):
    """A slider that is not told back each value that it has told: its picture follows anyway."""

    value = CFloat(0.0).tag(sync=True, echo_update=False)


class LogHandle(ipywidgets.FloatLogSlider):
    """A slider with steps of equal ratio; as `Handle`."""

    value = CFloat(1.0).tag(sync=True, echo_update=False)


def _handle(slider):
    """Return the slider widget: its label before it, its value, which can be typed, after it."""
    kind, end = (LogHandle, math.log10) if slider.log else (Handle, float)
    return kind(
        value=slider.start,
        min=end(slider.least),
        max=end(slider.greatest),
        step=slider.step,
        description=slider.label,
        readout_format=slider.format,
        **LOOK["handle"],
    )
