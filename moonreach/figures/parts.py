"""The parts of a drawing: each builds itself, and takes a new value when a slider moves.

A drawing is a class (see `moonreach.figures.drawing`, and `DiscShadow` for a short one) and a
table with its name in the TOML file beside it:

- ``title``, ``caption`` (what to see), ``alternative`` (for those who do not see it);
- ``sliders``: what moves it, see `Slider`;
- ``panes``: each has a ``place`` in the picture's pixels (left, bottom, width, height), which are
  its coordinates too; with ``graph`` it is a chart with axes of its own;
- ``parts`` of a pane, in the order in which they are laid.

A part's first key is its kind, a method of `Pane`, the others are its arguments; those that it
does not name are matplotlib's. Colours stand by their names in `moonreach.figures.style`.

A part is fed by the name of a value: plain numbers in the units shown, and shapes as rows of x
and y. What ``work_out`` returns moves. An attribute of the drawing, or a value in the table itself,
stands still, below all that moves but for parts that are ``over``.
"""

import re

import numpy as np
from matplotlib.image import AxesImage

from moonreach.figures import style
from moonreach.figures.letters import Words
from moonreach.figures.shapes import disc, rows, strokes

PERCENT = "{:+.1f} %"


class _Number(float):
    """A number that is worded by its format."""

    def __format__(self, form):
        text = super().__format__(form).replace(",", "\u2009").replace("-", "−")
        return text if re.search("[1-9]", text) else text.lstrip("+−")


def worded(form, value):
    """Return a number in words: thin spaces between thousands, a true minus, zero without sign.

    Parameters: a format with one place (str), and a number, or a text that is returned as it is.

    >>> worded("{:,.0f} km", 384399.2), worded("{:+.1f} %", -0.04), worded("is, {:+.2f}", -2.55)
    ('384\u2009399 km', '0.0 %', 'is, −2.55')
    """
    return value if isinstance(value, str) else form.format(_Number(value))


class Grid(AxesImage):
    """A picture that is drawn as it is, without resampling, where it has as many pixels as room."""

    def make_image(self, renderer, magnification=1.0, unsampled=False):
        """Return the picture's bytes, its left and lower edge, and how it is turned."""
        room, (height, width, _) = self.get_window_extent(renderer), self._A.shape
        if (round(room.width), round(room.height)) != (width, height):
            return super().make_image(renderer, magnification, unsampled)
        solid = np.full((height, width, 4), 255, np.uint8)
        solid[..., :3] = self._A
        return solid, room.x0, room.y0, None


class Pane:
    """A place of a drawing with its own coordinates, on which the parts stand."""

    def __init__(self, drawing, place=(0, 0, 800, 450), graph=None, parts=()):
        """Take the place in pixels, the look of a chart's axes if it is one, and the parts."""
        left, bottom, width, height = place
        self.drawing = drawing
        self.axes = drawing.figure.add_axes((left / 800, bottom / 450, width / 800, height / 450))
        if graph is None:
            self.axes.set(xlim=(left, left + width), ylim=(bottom, bottom + height))
            self.axes.set_axis_off()
        else:
            self._chart(**graph)
        for part in parts:
            self._lay(**part)

    def _chart(self, head="", size=10, grid=True, xticks=None, yticks=None, **look):
        """Lay the axes: ``head`` is written above them, all words in this size."""
        self.axes.set(**look)
        self.axes.set_title(head, size=size, loc="left")
        self.axes.grid(grid)
        for axis, ticks in ((self.axes.xaxis, xticks), (self.axes.yaxis, yticks)):
            axis.label.set_size(size)
            if ticks is not None:
                axis.set_ticks(ticks, list(map(str, ticks)))
                axis.minorticks_off()
        self.axes.spines["left"].set_visible(yticks != [])

    def _lay(self, over=False, **part):
        """Lay a part of a kind, with ``over`` above all that moves."""
        (kind, what), *look = part.items()
        artist = getattr(self, kind)(what, **{key: _named(key, value) for key, value in look})
        if over:
            self.drawing.moves(artist)

    def _fed(self, artist, feed, take):
        """Give the artist its value for good, or let it move with each new value of that name."""
        if not isinstance(feed, str):
            take(feed)
        elif hasattr(self.drawing, feed):
            take(getattr(self.drawing, feed))
        else:
            self.drawing.moves(artist)
            self.drawing.feeds[feed].append(take)
        return artist

    def line(self, feed, color=style.INK, **look):
        """Lay a line through rows of x and y; `strokes` makes one of several."""
        line = self.axes.plot([], [], color=color, **look)[0]
        return self._fed(line, feed, lambda points: line.set_data(*np.reshape(points, (-1, 2)).T))

    def dots(self, feed, color=style.OWN, size=7, **look):
        """Set a round mark at each of the rows of x and y, or at a single place."""
        self.line(feed, color, **{"marker": "o", "ms": size, "ls": "", "clip_on": False} | look)

    def stroke(self, feed, color=style.INK, width=4, **look):
        """Lay a thick line that ends just at its points."""
        self.line(feed, color, lw=width, solid_capstyle="butt", **look)

    def area(self, feed, color, **look):
        """Fill the area within rows of x and y, the corners."""
        look = {"facecolor": color, "edgecolor": "none", **look}
        area = self.axes.fill([0] * 3, [0] * 3, **look)[0]
        return self._fed(area, feed, area.set_xy)

    def disc(self, feed, color, **look):
        """Fill a disc, given as (x, y, radius)."""
        area = self.area([(0, 0)] * 3, color, **look)
        self._fed(area, feed, lambda place: area.set_xy(disc(*place)))

    def words(self, text, at, feed=None, **look):
        """Write words at a place, or with the number that is fed, as `worded` does."""
        look = {"transform": self.axes.transData, **look}
        words = self.axes.add_artist(Words(0, 0, "" if feed else text, **look))
        self._fed(words, at, words.set_position)
        if feed:
            self._fed(words, feed, lambda value: words.set_text(worded(text, value)))
        return words

    def note(self, text, at=(20, 398), **look):
        """Write small faint words, by default at the upper left."""
        self.words(text, at, **{"color": style.FAINT, "size": 9, **look})

    def picture(self, feed, **look):
        """Fill the pane with bytes of shape (height, width, 3), the lowest row first."""
        extent = (*self.axes.get_xlim(), *self.axes.get_ylim())
        picture = self.axes.add_image(Grid(self.axes, extent=extent, origin="lower", **look))
        self._fed(picture, feed, picture.set_data)

    def table(self, rows, x, end, ha="right"):
        """Write rows (y, label, name, format, colour): labels from ``x``, bold numbers at ``end``.

        A row without a name is a heading alone; label and number then share the colour.
        """
        for y, label, feed, form, color in rows:
            look = {"color": style.named(color)}
            self.words(label, (x, y), **look)
            if feed:
                self.words(form, (end, y), feed, ha=ha, weight="bold", **look)

    def heads(self, cells, drop=26, size=12, **look):
        """Write cells (x, y, label, name, format, colour): small labels above bold numbers."""
        for x, y, label, feed, form, color in cells:
            self.note(label, (x, y + drop), **look)
            bold = {"color": style.named(color), "size": size, "weight": "bold"}
            self.words(form, (x, y), feed, **bold, **look)

    def ruler(self, feed, form, text, end):
        """Lay a scale that stands still, given as (x, y, pixels for one unit, marks).

        ``form`` is for the marks' numbers; the unit's ``text`` ends at ``end``.
        """
        x, y, px, marks = getattr(self.drawing, feed)
        at = x + px * np.array(marks)
        self.line(strokes(rows(at, y), rows(at, y - 6)), style.FAINT, lw=1)
        for mark, a in zip(marks, at, strict=True):
            self.words(form.format(mark), (a, y - 10), ha="center", va="top", size=9)
        self.line([(x, y), (at[-1], y)], lw=1)
        self.words(text, (end, y - 10), ha="right", va="top", size=9)

    def bars(self, feed, rows, zero, top, apart, scale, reach, names_at, form=PERCENT):
        """Lay named bars from a common zero, each with its number after it.

        Parameters: rows of name and colour from the top down, the place of the zero line and of
        the first bar, how far the rows are apart, and how many pixels make one unit. ``reach`` are
        the most negative and the most positive number that a bar can show in full; a longer one
        ends in a point. The number after it is always the true one.
        """
        half, moved = 0.3 * apart, []
        low, high = top - (len(rows) - 0.4) * apart, top + 0.6 * apart
        self.line([(zero, low), (zero, high)], style.FAINT, lw=1)
        for i, (name, color) in enumerate(rows):
            y = top - i * apart
            self.words(name, (names_at, y), va="center")
            bar = self.drawing.moves(self.area([(0, 0)] * 3, style.named(color)))
            moved.append((bar, y, self.drawing.moves(self.words("", (0, y), va="center"))))

        def take(values):
            for (bar, y, number), value in zip(moved, values, strict=True):
                end = zero + scale * np.clip(value, *reach)
                tip = end + np.sign(value) * half * (np.clip(value, *reach) != value)
                low, high = y - half, y + half
                bar.set_xy(((zero, low), (end, low), (tip, y), (end, high), (zero, high)))
                number.set_text(worded(form, value))
                number.set_x(max(tip, zero) + 6)

        self.drawing.feeds[feed].append(take)


def _named(key, value):
    """Return what matplotlib takes for a look whose value stands by its name in the style."""
    return style.named(value) if key in ("color", "edgecolor", "mec", "ls") else value
