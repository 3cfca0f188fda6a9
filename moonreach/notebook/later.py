"""What takes long, on a page: it begins when somebody asks for it, and the page does not wait."""

import html
from base64 import b64decode
from collections.abc import Callable
from concurrent.futures import Future, wait
from threading import Thread, local

import ipywidgets as widgets

_RUNNING = (
    "<progress style='width: 20em' value='{}' max='{}'></progress> This takes a few seconds for "
    "each picture, longer while others are at it too."
)
_OFTEN = 0.3  # seconds between two looks at how far it has come
_NOW = local()  # what the thread at work shows of itself


def waited_for(work: Future) -> object:
    """Return the result of a `Future`; meanwhile the page shows its ``steps``, done and of."""
    while wait([work], _OFTEN).not_done:
        if bar := getattr(_NOW, "bar", None):
            bar.value = _RUNNING.format(*work.steps[-1])
    return work.result()


class Later(widgets.VBox):
    """A button; below it, once it was pressed, what a function returned: a picture and words."""

    def __init__(self, function: Callable, words: str = "Ask the machine"):
        """Show the button.

        Parameters: the function, which then runs in a thread, and the button's words.
        """
        self._function = function
        self.button = widgets.Button(description=words, layout={"width": "max-content"})
        self.button.on_click(self._begin)
        super().__init__([self.button])

    def _begin(self, _):
        self.button.disabled = True
        self.bar = widgets.HTML(_RUNNING.format(0, 1))
        self.children = [self.button, self.bar]
        self.thread = Thread(target=self._run, daemon=True)
        self.thread.start()

    def _run(self):
        _NOW.bar = self.bar
        try:
            shown = _as_widgets(self._function())
        except Exception as error:  # in this thread nobody else would hear of it
            shown = [widgets.HTML(html.escape(f"That did not work: {error}"))]
        self.children = [self.button, *shown]
        self.button.disabled = False


def _as_widgets(result):
    """Return a result's picture, if it has one, its words, and the widgets that it has below."""
    shown = [widgets.HTML("<br>".join(map(html.escape, repr(result).splitlines())))]
    if bundle := getattr(result, "_repr_mimebundle_", None):
        picture = b64decode(bundle()[0]["image/png"])
        layout = {"max_width": "100%", "object_fit": "contain"}
        shown.insert(0, widgets.Image(value=picture, layout=layout))
    return [*shown, *getattr(result, "below", ())]
