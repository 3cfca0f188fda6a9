"""The parts of a drawing: each builds itself, and takes a new value when a slider moves.

A drawing is a class with three things (see `moonreach.figures.drawing`, and `DiscShadow` for a
short one):

- ``sliders``: what moves it;
- ``build``: the list of its parts, laid upon panes: ``self.pane(left, bottom, width, height)`` has
  the picture's pixels as coordinates, ``self.graph(…)`` is a chart with axes of its own;
- ``work_out(**sliders)``: one function from the sliders' values to named values, that is plain
  numbers in the units shown, and shapes as rows of x and y.

A part is fed by the name of one of those values and then moves; given a value itself, it stands
still: ``pane.line("path")`` moves, ``pane.line([(5, 40), (555, 40)])`` does not. Several parts may
be fed by one name, and a value without a part is there for those who ask ``drawing.numbers(…)``.

======== ==================================================================================
line     rows of x and y; `joined` makes one line of several strokes or outlines
dots     rows of x and y, a round mark at each
area     rows of x and y, the corners
disc     (x, y, radius)
words    standing words; with ``feed`` moved by (x, y) or by (x, y, text)
number   a number, worded by a format such as ``"{:,.0f} km"``; a text is taken as it is
table    rows of labelled numbers; ``heads`` has the labels above the numbers, side by side
bars     numbers, one for each name
picture  bytes of shape (height, width, 3), over the whole pane
ruler    a scale with marks, standing still
note     small faint words, standing still
======== ==================================================================================

Title, caption and alternative stand in ``words.toml`` under the drawing's class name.
"""

import re

import numpy as np

from moonreach.figures import style
from moonreach.figures.circles import disc

PERCENT = "{:+.1f} %"


def worded(form, value):
    """Return a number in words: thin spaces between thousands, a true minus, zero without sign.

    Parameters: a format with one place (str), and a number, or a text that is returned as it is.

    >>> worded("{:,.0f} km", 384399.2), worded("{:+.1f} %", -0.04), worded("{:+.2f}", -2.55)
    ('384\u2009399 km', '0.0 %', '−2.55')
    """
    if isinstance(value, str):
        return value
    text = form.format(float(value)).replace(",", "\u2009")
    return re.sub(r"[+-](?=0(\.0*)?(?![\d.]))", "", text).replace("-", "−")


class Pane:
    """A place of a drawing with its own coordinates, on which the parts stand."""

    def __init__(self, drawing, axes):
        self.drawing, self.axes = drawing, axes

    def _fed(self, artist, feed, take):
        """Let a name move the artist by ``take``, or give it a value for good."""
        if isinstance(feed, str):
            self.drawing.moves(artist)
            self.drawing.feeds(feed, take)
        else:
            take(feed)
        return artist

    def line(self, feed, color=style.INK, **look):
        """Lay a line through rows of x and y; ``look`` as for matplotlib's lines."""
        line = self.axes.plot([], [], color=color, **look)[0]
        return self._fed(line, feed, lambda points: line.set_data(*np.asarray(points, float).T))

    def dots(self, feed, color=style.OWN, size=7, **look):
        """Set a round mark at each of the rows of x and y."""
        return self.line(feed, color, marker="o", ms=size, ls="", clip_on=False, **look)

    def bar_line(self, feed, color=style.INK, width=4):
        """Lay a thick line that ends just at its points."""
        return self.line(feed, color, lw=width, solid_capstyle="butt")

    def area(self, feed, color, **look):
        """Fill the area within rows of x and y; ``look`` as for matplotlib's patches."""
        area = self._area(color, look)
        return self._fed(area, feed, area.set_xy)

    def disc(self, feed, color, **look):
        """Fill a disc, given as (x, y, radius)."""
        area = self._area(color, look)
        return self._fed(area, feed, lambda place: area.set_xy(disc(*place)))

    def _area(self, color, look):
        return self.axes.fill(
            [0] * 3, [0] * 3, **{"facecolor": color, "edgecolor": "none", **look}
        )[0]

    def words(self, x=0, y=0, text="", feed=None, **look):
        """Write words; with ``feed`` they are moved by (x, y) or by (x, y, text)."""
        words = self.axes.text(x, y, text, **look)

        def take(place):
            words.set_position(place[:2])
            for text in place[2:]:
                words.set_text(text)

        return self._fed(words, feed, take) if feed else words

    def note(self, text, x=20, y=398, **look):
        """Write small faint words, by default at the upper left."""
        return self.words(x, y, text, **{"color": style.FAINT, "size": 9, **look})

    def picture(self, feed, **look):
        """Fill the pane with the pixels of a picture; ``look`` as for matplotlib's images."""
        extent = (*self.axes.get_xlim(), *self.axes.get_ylim())
        picture = self.axes.imshow(np.zeros((1, 1, 3), np.uint8), extent=extent, **look)
        return self._fed(picture, feed, picture.set_data)

    def number(self, feed, form, x, y, **look):
        """Write a number that is fed by its name, as `worded` does."""
        words = self.axes.text(x, y, "", **look)
        return self._fed(words, feed, lambda value: words.set_text(worded(form, value)))

    def table(self, x, end, rows, ha="right"):
        """Write rows (y, label, name, format, colour): labels from ``x``, bold numbers at ``end``.

        A row without a format is a heading alone; label and number then share the colour.
        """
        for y, label, feed, form, color in rows:
            self.words(x, y, label, color=color)
            if form:
                self.number(feed, form, end, y, ha=ha, color=color, weight="bold")

    def heads(self, cells, y=18, drop=26):
        """Write cells (x, label, name, format, colour) side by side, labels above numbers."""
        for x, label, feed, form, color in cells:
            self.note(label, x, y + drop)
            self.number(feed, form, x, y, weight="bold", size=12, color=color)

    def ruler(self, x, y, px, marks, form, text, end):
        """Lay a scale: marks at ``x + px * mark``, the unit's ``text`` ending at ``end``."""
        at = [x + px * mark for mark in marks]
        self.line(joined(*([(a, y), (a, y - 6)] for a in at)), style.FAINT, lw=1)
        for mark, a in zip(marks, at, strict=True):
            self.words(a, y - 10, form.format(mark), ha="center", va="top", size=9)
        self.line([(x, y), (at[-1], y)], lw=1)
        self.words(end, y - 10, text, ha="right", va="top", size=9)

    def bars(self, feed, names, zero, top, row, scale, reach, colors, names_at, form=PERCENT):
        """Lay named bars from a common zero, each with its number after it.

        Parameters: the names from the top down, the place of the zero line and of the first bar,
        the distance of the rows, and how many pixels make one unit. ``reach`` are the most
        negative and the most positive number that a bar can show in full; a longer one ends in a
        point. The number after it is always the true one.
        """
        places = [top - i * row for i in range(len(names))]
        self.line([(zero, places[-1] - 0.6 * row), (zero, top + 0.6 * row)], style.FAINT, lw=1)
        moved = []
        for name, color, y in zip(names, colors, places, strict=True):
            self.words(names_at, y, name, va="center")
            bar = self.drawing.moves(self._area(color, {}))
            moved.append((bar, y, self.drawing.moves(self.words(0, y, va="center"))))
        half = 0.3 * row

        def take(values):
            for (bar, y, number), value in zip(moved, values, strict=True):
                end = zero + scale * np.clip(value, *reach)
                tip = end + np.sign(value) * half * (np.clip(value, *reach) != value)
                low, high = y - half, y + half
                bar.set_xy(((zero, low), (end, low), (tip, y), (end, high), (zero, high)))
                number.set_text(worded(form, value))
                number.set_x(max(tip, zero) + 6)

        self.drawing.feeds(feed, take)


def joined(*shapes):
    """Return several strokes or outlines (rows of x and y) as one line with gaps between.

    >>> joined([(0, 0), (1, 0)], [(0, 1), (1, 1)]).shape
    (5, 2)
    """
    gap = [(np.nan, np.nan)]
    rows = [part for shape in shapes for part in (np.reshape(shape, (-1, 2)), gap)]
    return np.vstack(rows[:-1])
