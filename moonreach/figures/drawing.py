"""A drawing that is built once and then moved: no notebook, no window, no second formula.

A subclass names its sliders, lays its parts in `build` and works out their values in `work_out`.
Each step puts back the picture of all that stands still and draws only what moves upon it.
"""

import io
import tomllib
from collections import defaultdict
from dataclasses import dataclass
from importlib.resources import files

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from PIL import Image

from moonreach.figures import style
from moonreach.figures.parts import Pane, worded
from moonreach.lessons.refuse import Impossible

WORDS = tomllib.loads(files(__package__).joinpath("words.toml").read_text(encoding="utf-8"))


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

    def __init_subclass__(cls):
        """Give a drawing its words by its class name."""
        for name, text in WORDS.get(cls.__name__, {}).items():
            setattr(cls, name, text)

    def __init__(self):
        self._moving = []
        self._feeds = defaultdict(list)
        with style.look():
            self.figure = Figure(figsize=style.SIZE, dpi=style.DPI)
            self.canvas = FigureCanvasAgg(self.figure)
            if self.title:
                self.figure.text(0.02, 0.955, self.title, fontsize=12, weight="bold", va="center")
            self.build()
            self._refusal = self.figure.text(
                0.5, 0.5, "", ha="center", va="center", wrap=True, fontsize=12, visible=False
            )
            self._refusal.set_bbox({"facecolor": "white", "edgecolor": style.OWN, "pad": 10})
            self.moves(self._refusal)
        self._moving.sort(key=_layer)
        self._still = None  # the picture of what stands still, once it has been drawn

    def build(self):
        """Lay all parts upon panes of this drawing; see `moonreach.figures.parts`."""
        raise NotImplementedError

    def work_out(self, **values):
        """Return the values that feed the parts, by name, from those of all sliders."""
        raise NotImplementedError

    def numbers(self, **values):
        """Return the named values at these sliders; those not named stand at their start."""
        return self.work_out(**self._complete(values))

    def update(self, **values):
        """Move the parts to the sliders' values, all of them given by name."""
        for name, value in self.work_out(**values).items():
            for take in self._feeds.get(name, ()):
                take(value)

    def feeds(self, name, take):
        """Let ``take`` have each new value of this name."""
        self._feeds[name].append(take)

    def pane(self, left=0, bottom=0, width=800, height=450):
        """Return a pane without a frame whose coordinates are the picture's own pixels."""
        place = (left / 800, bottom / 450, width / 800, height / 450)
        limits = {"xlim": (left, left + width), "ylim": (bottom, bottom + height)}
        axes = self.figure.add_axes(place, **limits)
        axes.set_axis_off()
        return Pane(self, axes)

    def graph(self, left, bottom, width, height, **look):
        """Return a pane with axes and a grid at a place in pixels; ``look`` as for matplotlib."""
        place = (left / 800, bottom / 450, width / 800, height / 450)
        axes = self.figure.add_axes(place, **look)
        axes.grid(True)
        return Pane(self, axes)

    def moves(self, artist):
        """Mark an artist as moving, and return it: it is drawn above all that stands still."""
        artist.set_animated(True)
        artist.set_zorder(artist.get_zorder() + 100)
        self._moving.append(artist)
        return artist

    def start(self):
        """Return the sliders' start values by name."""
        return {slider.name: slider.start for slider in self.sliders}

    def _complete(self, values):
        unknown = values.keys() - self.start().keys()
        if unknown:
            raise TypeError(
                f"{type(self).__name__} has no slider {', '.join(sorted(unknown))}; it has "
                f"{', '.join(self.start())}"
            )
        return self.start() | values

    def set(self, **values):
        """Move the artists; sliders not named stand at their start."""
        values = self._complete(values)
        self._refusal.set_visible(False)
        try:
            self.update(**values)
        except Impossible as refusal:  # said in the picture, over the last possible state
            self._refusal.set_text(str(refusal))
            self._refusal.set_visible(True)

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
        size = self.canvas.get_width_height()
        return Image.frombuffer("RGBA", size, self.canvas.buffer_rgba()).convert("RGB")

    def png(self, **values):
        """Return the picture at these values as PNG bytes."""
        return _encoded(self.pixels(**values), "PNG", compress_level=1)

    def jpeg(self, **values):
        """Return the picture as JPEG bytes: a quarter of PNG's time, and words stay crisp so."""
        return _encoded(self.pixels(**values), "JPEG", quality=95, subsampling=0)

    def save(self, path, **values):
        """Write the picture at these values to a file; its ending (png, svg, pdf) names the kind.

        Everything is drawn anew, at any resolution: ``save("cones.pdf", sun=19)``.
        """
        self.set(**values)
        with style.look():
            self.figure.savefig(path)


def _layer(artist):
    """Return the place in the order of drawing that a full redraw would give the artist."""
    axes = artist.axes
    if axes is None:
        return (artist.get_zorder(), 0, 0)
    return (axes.get_zorder(), artist.figure.axes.index(axes), artist.get_zorder())


def _encoded(pixels, kind, **how):
    picture = io.BytesIO()
    pixels.save(picture, kind, **how)
    return picture.getvalue()


def signed(number, digits=1):
    """Return a number with its sign, and zero without one.

    >>> signed(-0.04), signed(2.5), signed(-2.55, 2)
    ('0.0', '+2.5', '−2.55')
    """
    return worded(f"{{:+.{digits}f}}", number)
