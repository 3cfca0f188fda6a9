"""Bars that lie beside each other: what each assumption costs, what each reading weighs."""

from moonreach.figures import style
from moonreach.figures.drawing import signed


class Bars:
    """Named bars from a common zero, each with its number after it.

    Parameters: the drawing and its axes in pixels, the names from the top down, the place of the
    zero line and of the first bar, the distance of the rows, and how many pixels make one unit.
    ``reach`` are the most negative and the most positive number that a bar can show in full; a
    longer one ends in a point. The number after it is always the true one.
    """

    def __init__(self, drawing, axes, names, zero, top, row, scale, reach, colors, names_at):
        self.scale, self.reach, self.zero, self.row = scale, reach, zero, row
        self.bars = []
        low = top - row * (len(names) - 0.4)
        axes.plot([zero, zero], [low, top + 0.6 * row], color=style.FAINT, lw=1)
        for i, (name, color) in enumerate(zip(names, colors, strict=True)):
            y = top - i * row
            axes.text(names_at, y, name, va="center")
            bar = drawing.area(axes, color)
            self.bars.append((bar, y, drawing.words(axes, 0, y, va="center", color=style.INK)))

    def set(self, values, form=lambda value: f"{signed(value)} %"):
        """Move the bars to these values, in the order of their names, worded by ``form``."""
        for (bar, y, number), value in zip(self.bars, values, strict=True):
            end = self.zero + self.scale * min(max(value, self.reach[0]), self.reach[1])
            half = 0.3 * self.row
            beyond = value < self.reach[0] or value > self.reach[1]
            tip = end + (half if value > 0 else -half) * beyond
            low, high = y - half, y + half
            zero = self.zero
            bar.set_xy(((zero, low), (end, low), (tip, y), (end, high), (zero, high)))
            number.set_text(form(value))
            number.set_x(max(tip, self.zero) + 6)
