"""Circles laid on a photograph by hand: clicked points, live fits, and what three tries say."""

from dataclasses import dataclass, field
from math import dist, inf
from statistics import harmonic_mean, stdev
from typing import NamedTuple

import numpy as np

from moonreach.lessons.interval import TO_95, Interval
from moonreach.lessons.refuse import Impossible, require
from moonreach.photo.circle import Circle, fit_circle, widened

TRIES = 3
CAREFUL = 2.0  # px on the screen: how far careful clicks scatter, where they cannot tell themselves
CIRCLES = {"moon": "Moon's limb", "shadow": "Shadow's edge"}


class Circles(NamedTuple):
    """The circles of one try, or those that several tries say together."""

    moon: Circle
    shadow: Circle

    @property
    def ratio(self):
        """The shadow's radius over the Moon's as an `Interval`, symmetrical in 1 / x.

        A `Circle` moved by sliders has no interval, and gives none.
        """
        shares = [circle.radius_sd / circle.radius for circle in self]
        inverse = self.moon.radius / self.shadow.radius
        return Interval.of_inverse(inverse, TO_95 * np.hypot(*shares) * inverse * all(shares))


def lay(points, careful=CAREFUL):
    """Return the `Circle` through clicked points.

    Parameters: positions in px, three at least; how far careful clicks scatter, in px. Points that
    scatter more about their circle count as they scatter. Errors: `Impossible` as `fit_circle`,
    or where the points bend so little that the radius is anywhere.

    >>> lay([(1, 0), (0, 1), (-1, 0)], careful=0.01).radius.__round__(6)
    1.0
    """
    require(len(points) >= 3, f"{_points(len(points))} so far; three at least, far apart")
    apart = fit_circle(points, careful, robust=False).distances(points)
    scatter = float(np.sqrt((apart**2).sum() / max(len(points) - 3, 1)))
    return fit_circle(points, max(careful, scatter))


def together(tries):
    """Return what two or more tries, each `Circles`, say together: the mean `Circles`.

    The mean is that of the curvatures, in which tries on a short arc scatter alike to both sides.
    The uncertainty is the spread of the tries about their mean, widened as so few tell it badly. It
    is never less than the mean fit's own: the plains bend the edge alike for every try, so that
    tries may agree on a circle that is wrong.

    >>> moon = Circle(0, 0, 100)
    >>> found = together([(moon, Circle(0, 0, 260)), (moon, Circle(0, 0, 280))]).shadow
    >>> round(found.radius, 1), round(found.radius_sd, 1)
    (269.6, 64.8)
    """
    require(len(tries) >= 2, f"{len(tries)} try kept; a spread takes two at least")
    return Circles(*map(_mean, zip(*tries, strict=True)))


def _mean(circles):
    radii = [circle.radius for circle in circles]
    spread = widened(len(radii) - 1) * stdev(radii) / len(radii) ** 0.5
    own = np.sqrt(np.mean([circle.radius_sd**2 for circle in circles]))
    x, y = np.mean([(circle.x, circle.y) for circle in circles], axis=0)
    return Circle(float(x), float(y), harmonic_mean(radii), float(max(spread, own)))


@dataclass
class Clicks:
    """What a person has clicked: points in order, circles moved by sliders, tries kept."""

    careful: float = CAREFUL
    points: list = field(default_factory=list)  # of [circle, x, y]
    moved: dict = field(default_factory=dict)  # by sliders: circle to `Circle`
    tries: list = field(default_factory=list)  # of `Circles`

    def of(self, circle):
        """Return a circle's points as a list of (x, y)."""
        return [(x, y) for name, x, y in self.points if name == circle]

    def take(self, circle, x, y, reach=0.0):
        """Return the circle's point nearest to a place, or a new one if none is within reach.

        The circle follows its points again, if sliders had moved it.
        """
        self.moved.pop(circle, None)

        def away(point):
            return dist(point[1:], (x, y)) if point[0] == circle else inf

        nearest = min(self.points, key=away, default=None)
        if nearest is None or away(nearest) > reach:
            nearest = [circle, x, y]
            self.points.append(nearest)
        return nearest

    def move(self, before, point):
        """Let a point lie elsewhere; one that is not there, or no more, is a new one."""
        if before in self.points:
            self.points[self.points.index(before)] = point
        else:
            self.points.append(point)

    def undo(self):
        """Take back the point clicked last."""
        del self.points[-1:]

    def clear(self):
        """Take all points and moved circles away; the tries stay."""
        self.points.clear()
        self.moved.clear()

    def laid(self, circle):
        """Return a circle as it lies; raise `Impossible` with what is lacking."""
        return self.moved.get(circle) or lay(self.of(circle), self.careful)

    def keep(self):
        """Keep both circles as one try, and clear the picture for the next."""
        require(len(self.tries) < TRIES, f"{TRIES} tries are kept; drop the last to make another")
        self.tries.append(Circles(*map(self.laid, CIRCLES)))
        self.clear()

    def drop(self):
        """Forget the try kept last."""
        del self.tries[-1:]

    def lines(self):
        """Return in words what lies on the picture: a line for each circle, one for the ratio."""
        lines, circles = [], []
        for name, words in CIRCLES.items():
            try:
                circle = self.laid(name)
            except Impossible as error:
                lines.append(f"{words}: {error}.")
                continue
            circles.append(circle)
            ends = circle.interval
            known = f" (95 %: {ends.low:.0f} to {ends.high:.0f} px)" if circle.radius_sd else ""
            how = "by sliders" if name in self.moved else _points(len(self.of(name)))
            lines.append(f"{words}: {how}, radius {circle.radius:.1f} px{known}.")
        if len(circles) == 2:
            lines.append(f"Shadow ratio: {Circles(*circles).ratio}")
        return lines

    def tries_line(self):
        """Return in words what the tries say."""
        if not self.tries:
            return f"No try is kept yet; {TRIES} show how sure you are."
        ratios = ", ".join(f"{circles.ratio.value:.2f}" for circles in self.tries)
        if len(self.tries) < TRIES:
            return f"Tries kept, {len(self.tries)} of {TRIES}: {ratios}."
        found = together(self.tries)
        moon, shadow = (f"{circle.radius:.1f} ± {circle.radius_sd:.1f} px" for circle in found)
        both = f"shadow {shadow}, Moon {moon} (standard)"
        return f"All {TRIES} tries: {ratios}. Together {found.ratio}; {both}."


def _points(count):
    return f"{count or 'no'} point{'' if count == 1 else 's'}"
