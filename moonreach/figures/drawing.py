"""A drawing that is built once and then moved: no notebook, no window, no second formula.

A subclass holds values that stand still and works out those that move; its sliders, words and
parts stand in the TOML file beside it, see `moonreach.figures.parts`. Each step puts back the
picture of all that stands still and draws only what moves upon it.
"""

import re
from collections import defaultdict
from dataclasses import dataclass

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text

from moonreach.figures import pictures, style
from moonreach.figures.parts import Pane
from moonreach.lessons.refuse import Impossible


@dataclass(frozen=True)
class Slider:
    """One quantity that moves a drawing: its range in the unit written beside it.

    ``format`` is for the value read beside the slider. With ``log`` the steps are of equal ratio
    and ``step`` is in powers of ten.
    """

    name: str
    label: str
    least: float
    greatest: float
    start: float
    step: float
    unit: str = ""
    format: str = ".1f"
    log: bool = False


class Drawing:
    """Artists that are built once and moved by values; see the module's head."""

    title = ""
    caption = ""  # what to see
    alternative = ""  # what the picture shows, for those who do not see it
    sliders = ()
    runs = None  # the slider that time moves, by its name: beside it stands ▶
    flips = None  # the one with two views, 0 and 1, by its name: it is a button
    panes = ()

    def __init_subclass__(cls):
        """Give a drawing what stands under its name in the file of its module's stem."""
        page = dict(style.described(cls.__module__.rpartition(".")[2]).get(cls.__name__, {}))
        if "sliders" in page:
            cls.sliders = tuple(Slider(name, *row) for name, row in page.pop("sliders").items())
        for name, value in page.items():
            setattr(cls, name, value)

    def __init__(self):
        self._moving = []
        self.feeds = defaultdict(list)  # what takes each new value, by its name
        with style.look():
            self.figure = Figure(figsize=style.SIZE, dpi=style.DPI)
            self.canvas = FigureCanvasAgg(self.figure)
            self.figure.text(0.02, 0.955, self.title, fontsize=12, weight="bold", va="center")
            for pane in self.panes:
                Pane(self, **pane)
            # As a full redraw would have it: pane by pane, and the refusal last.
            axes = self.figure.axes
            self._moving.sort(key=lambda artist: (axes.index(artist.axes), artist.get_zorder()))
            look = {"ha": "center", "va": "center", "fontsize": 12, "wrap": True}
            self._refusal = self.moves(self.figure.text(0.5, 0.5, "", visible=False, **look))
            self._refusal.set_bbox({"facecolor": "white", "edgecolor": style.OWN, "pad": 10})
        self._still = None  # the picture of what stands still, once it has been drawn

    def work_out(self, **values):
        """Return the values that feed the moving parts, by name, from those of all sliders."""
        raise NotImplementedError

    def numbers(self, **values):
        """Return the named values at these sliders; those not named stand at their start."""
        start = self.start()
        if unknown := values.keys() - start.keys():
            raise TypeError(
                f"{type(self).__name__} has no slider {', '.join(sorted(unknown))}; it has "
                f"{', '.join(start)}"
            )
        return self.work_out(**start | values)

    def start(self):
        """Return the sliders' start values by name."""
        return {slider.name: slider.start for slider in self.sliders}

    def moves(self, artist):
        """Mark an artist as moving, and return it: it is drawn above all that stands still."""
        if artist not in self._moving:
            artist.set_animated(True)
            artist.set_zorder(artist.get_zorder() + 100)
            self._moving.append(artist)
        return artist

    def set(self, **values):
        """Move the artists; sliders not named stand at their start."""
        try:
            worked_out = self.numbers(**values)
        except Impossible as refusal:  # said in the picture, over the last possible state
            self._refusal.set(text=str(refusal), visible=True)
            return
        self._refusal.set_visible(False)
        for name, value in worked_out.items():
            for take in self.feeds.get(name, ()):
                take(value)

    def pixels(self, **values):
        """Return the picture at these values, drawing only what moves."""
        self.set(**values)
        if self._still is None:
            with style.look():
                self.canvas.draw()  # leaves out the moving artists
            self._still = self.canvas.copy_from_bbox(self.figure.bbox)
        self.canvas.restore_region(self._still)
        renderer = self.canvas.get_renderer()
        with style.letters():
            for artist in self._moving:
                artist.draw(renderer)
        return pictures.pixels(self.canvas)

    def png(self, **values):
        """Return the picture at these values as PNG bytes."""
        return pictures.encoded(self.pixels(**values), "PNG", compress_level=1)

    def without_numbers(self, box=(0, 0, 800, 450), **values):
        """Return the picture as PNG bytes without any number: it asks, and tells no answer.

        Parameters: the part to show, in pixels from the upper left; the sliders' values. Names
        such as U1 stay.
        """
        self.pixels(**values)  # only now the axes have their numbers
        words = self.figure.findobj(Text)
        numbers = [text for text in words if re.search(r"(?<![A-Za-z])[0-9]", text.get_text())]
        for text in numbers:
            text.set_alpha(0)
        self._still = None  # what stands still has numbers too
        picture = pictures.encoded(self.pixels(**values).crop(box), "PNG")
        for text in numbers:
            text.set_alpha(None)
        self._still = None
        return picture

    def jpeg(self, **values):
        """Return the picture as JPEG bytes: a quarter of PNG's time, and words stay crisp so."""
        return pictures.encoded(self.pixels(**values), "JPEG", quality=95, subsampling=0)

    def save(self, path, **values):
        """Write the picture at these values to a file; its ending (png, svg, pdf) names the kind.

        Everything is drawn anew, at any resolution: ``save("cones.pdf", sun=19)``.
        """
        self.set(**values)
        with style.look():
            self.figure.savefig(path)
