"""Time that runs: a button ▶ that moves a slider by itself."""

import math

import ipywidgets

from moonreach.figures import style

LOOK = style.described("live")
_FRAME = 33  # ms between two steps, as a browser keeps them
_LONGEST = 360  # steps from end to end: a run takes 12 s at most


class Motion(ipywidgets.HBox):
    """A button ▶ that lets a slider run from where it stands to its end, once.

    The browser counts the steps, and none is sent before the kernel has done with the one before.
    On a lesson's page it stops when its picture leaves the screen or the tab is hidden
    (`page/motion.js`); in Lab it stops at the slider's end. In a figure it comes with ``runs``, the
    slider's name, in the drawing's table.
    """

    def __init__(self, handle):
        """Take a slider widget with whole numbers at its ends."""
        stride = math.ceil((handle.max - handle.min) / _LONGEST)
        ends = {"min": int(handle.min), "max": int(handle.max), "step": stride}
        steps = ipywidgets.Play(value=int(handle.value), interval=_FRAME, **ends, **LOOK["steps"])
        self.button = ipywidgets.ToggleButton(**LOOK["run"])
        self.button.add_class("motion")
        self.button.observe(self._name, "value")
        super().__init__([self.button, steps])
        # Linked in the browser, so that a step does not go through the kernel first.
        self.links = [
            ipywidgets.jslink((self.button, "value"), (steps, "playing")),
            ipywidgets.jslink((steps, "value"), (handle, "value")),
        ]

    def _name(self, change):
        self.button.description = LOOK["run" if not change.new else "stop"]["description"]
