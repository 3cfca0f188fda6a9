"""A photograph to lay circles on: the picture around its Moon, clicked points, both circles."""

import numpy as np
from matplotlib import patheffects
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from moonreach.figures import pictures, style
from moonreach.figures.photograph import COLOURS, cut
from moonreach.lessons.refuse import Impossible
from moonreach.photo import find_moon, read_picture

WIDTH, HEIGHT = 576, 432  # px: a clickable canvas does not shrink, so it must fit a narrow page
ROOM = 1.13  # half the height shown, in radii of the Moon
DRAWN = 1280  # px at most of a picture's side
MARKS = {"moon": {"marker": "o", "fillstyle": "none"}, "shadow": {"marker": "x"}}
_HALO = [patheffects.withStroke(linewidth=3, foreground="black", alpha=0.6)]


class View:
    """The part of a photograph around its Moon, or the whole where no Moon is found."""

    def __init__(self, path):
        """Read a JPEG or PNG; raise ValueError with one sentence if it cannot be read."""
        picture = read_picture(path)
        self.file, self.light, self.rendered = picture.file, picture.light, picture.rendered
        height, width = self.light.shape
        try:
            moon = find_moon(picture)
            x, y, half = moon.x, moon.y, ROOM * moon.radius
        except ValueError:
            x, y, half = (width - 1) / 2, (height - 1) / 2, max(height, width * HEIGHT / WIDTH) / 2
        self.middle, self.half_height = (x, y), half
        self.scale = 2 * half / HEIGHT  # px of the picture in one of the screen
        reach = half * WIDTH / HEIGHT
        left, right = max(0, int(x - reach)), min(width, int(x + reach) + 2)
        top, bottom = max(0, int(y - half)), min(height, int(y + half) + 2)
        self.pixels, limits = cut(path, (left, top, right, bottom), DRAWN)
        self.extent = limits - 0.5
        self.limits = {"xlim": (x - reach, x + reach), "ylim": (y + half, y - half)}

    def lifted(self, lift):
        """Return the pixels with their dark parts lifted: tones to the power 1 / ``lift``."""
        table = np.round(255 * (np.arange(256) / 255) ** (1 / lift)).astype(np.uint8)
        return table[self.pixels]


class CircleDrawing:
    """The view, and on it what is clicked; on any canvas, redrawing only what moves."""

    def __init__(self, view, canvas=FigureCanvasAgg):
        """Draw a `View` on a canvas of matplotlib's, given by its class."""
        self.view = view
        with style.look():
            size = WIDTH / style.DPI, HEIGHT / style.DPI
            self.figure = Figure(figsize=size, dpi=style.DPI, facecolor="black")
            self.canvas = canvas(self.figure)
            self.axes = self.figure.add_axes((0, 0, 1, 1))
            self.axes.set_axis_off()
            self.image = self.axes.imshow(view.pixels, extent=view.extent, aspect="auto")
            self.axes.set(**view.limits)
            look = {"ls": "", "markersize": 8, "markeredgewidth": 1.8}
            self.circles = {name: self._line(name, lw=1.6) for name in COLOURS}
            self.points = {name: self._line(name, **look, **MARKS[name]) for name in COLOURS}
        self._still, self._lift = None, 1.0  # the picture as it was drawn last, and how
        self.canvas.mpl_connect("draw_event", self._drawn)

    def set(self, clicks, lift=1.0):
        """Move points and circles to the `Clicks`, and lift the dark parts."""
        for name in COLOURS:
            self.points[name].set_data(*np.array(clicks.of(name)).reshape(-1, 2).T)
            try:
                outline = self._outline(clicks.laid(name))
            except Impossible:
                outline = [], []
            self.circles[name].set_data(*outline)
        if lift != self._lift:
            self.image.set_data(self.view.lifted(lift))
            self._still, self._lift = None, lift

    def draw_clicks(self):
        """Draw points and circles over the picture; return whether it was drawn before."""
        if self._still is None or self._size != tuple(self.figure.bbox.size):
            return False
        self.canvas.restore_region(self._still)
        self._draw_moving()
        return True

    def png(self):
        """Return the drawing as the bytes of a PNG."""
        return pictures.drawn(self.canvas)

    def _line(self, name, **look):
        look |= {"color": COLOURS[name], "animated": True, "path_effects": _HALO}
        return self.axes.plot([], [], **look)[0]

    def _outline(self, circle):
        """Return x and y of the circle's part in view: a large circle needs its steps here."""
        towards = np.arctan2(self.view.middle[1] - circle.y, self.view.middle[0] - circle.x)
        turn = towards + np.pi * np.linspace(-1, 1, 361) ** 3
        return circle.at(turn).T

    def _draw_moving(self):
        for artist in (*self.circles.values(), *self.points.values()):
            self.axes.draw_artist(artist)

    def _drawn(self, _):
        self._still = self.canvas.copy_from_bbox(self.figure.bbox)
        self._size = tuple(self.figure.bbox.size)
        self._draw_moving()
