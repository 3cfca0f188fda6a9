"""Circles laid on a photograph by hand: clicked points, live fits, and what three tries say."""

from dataclasses import dataclass, field
from statistics import harmonic_mean, stdev

import numpy as np
from scipy.stats import t as student_t

from moonreach.lessons.interval import COVERAGE, TO_95, Interval
from moonreach.lessons.refuse import Impossible, require
from moonreach.photo.circle import Circle, fit_circle

TRIES = 3
CAREFUL = 2.0  # px on the screen: how far careful clicks scatter, where they cannot tell themselves
CIRCLES = {"moon": "Moon's limb", "shadow": "Shadow's edge"}


def lay(points, careful=CAREFUL):
    """Return the `Circle` through clicked points.

    Parameters: positions in px, three at least; how far careful clicks scatter, in px. Points that
    scatter more about their circle count as they scatter. Errors: `Impossible` as `fit_circle`,
    or where the points bend so little that the radius is anywhere.

    >>> lay([(1, 0), (0, 1), (-1, 0)], careful=0.01).radius.__round__(6)
    1.0
    """
    require(len(points) >= 3, f"{_points(len(points))} so far; three at least, far apart")
    scatter = careful
    if len(points) > 3:
        apart = fit_circle(points, scatter=careful, robust=False).distances(points)
        scatter = max(careful, float(np.sqrt((apart**2).sum() / (len(points) - 3))))
    return fit_circle(points, scatter=scatter)


def ratio_of(moon, shadow):
    """Return the shadow's radius over the Moon's as an `Interval`, symmetrical in 1 / x.

    A `Circle` moved by sliders has no interval, and gives none.
    """
    half = float(np.hypot(moon.half, shadow.half)) if moon.half and shadow.half else 0.0
    inverse = moon.radius / shadow.radius
    return Interval.of_inverse(inverse, half * inverse)


@dataclass(frozen=True)
class Tries:
    """What several tries say together: mean circles, their radii's `radius_sd`, and the ratio.

    The mean is that of the curvatures, in which tries on a short arc scatter alike to both sides.
    The uncertainty is the spread of the tries about their mean, times Student's t over 1.96, as so
    few tell it badly (t is 4.3 for three; JCGM 100:2008, G.3): then twice it is a 95 % interval.
    It is never less than the mean fit's own: the plains bend the edge alike for every try, so that
    tries may agree on a circle that is wrong.
    """

    moon: Circle
    shadow: Circle

    @property
    def ratio(self):
        """The shadow's radius over the Moon's, as an `Interval`."""
        return ratio_of(self.moon, self.shadow)


def together(tries):
    """Return what two or more tries say together, as `Tries`; a try is (moon, shadow) `Circle`.

    >>> moon = Circle(0, 0, 100)
    >>> found = together([(moon, Circle(0, 0, 260)), (moon, Circle(0, 0, 280))]).shadow
    >>> round(found.radius, 1), round(found.radius_sd, 1)
    (269.6, 64.8)
    """
    require(len(tries) >= 2, f"{len(tries)} try kept; a spread takes two at least")
    return Tries(*(_mean(circles) for circles in zip(*tries, strict=True)))


def _mean(circles):
    """Return the mean circle of several, its uncertainty from their spread."""
    count, radii = len(circles), [circle.radius for circle in circles]
    own = np.sqrt(np.mean([(c.half * c.radius / TO_95) ** 2 for c in circles]))
    factor = student_t.ppf(0.5 + COVERAGE / 2, count - 1) / TO_95 / count**0.5
    radius, sd = harmonic_mean(radii), float(max(factor * stdev(radii), own))
    x, y = np.mean([(c.x, c.y) for c in circles], axis=0)
    return Circle(float(x), float(y), radius, half=TO_95 * sd / radius, radius_sd=sd)


@dataclass
class Clicks:
    """What a person has clicked: points in order, circles moved by sliders, tries kept."""

    careful: float = CAREFUL
    points: list = field(default_factory=list)  # of [circle, x, y]
    moved: dict = field(default_factory=dict)  # by sliders: circle to `Circle`
    tries: list = field(default_factory=list)  # of (moon, shadow), both `Circle`

    def of(self, circle):
        """Return a circle's points as a list of (x, y)."""
        return [(x, y) for name, x, y in self.points if name == circle]

    def add(self, circle, x, y):
        """Add a point; its circle follows its points again. Returns the point."""
        self.moved.pop(circle, None)
        self.points.append([circle, x, y])
        return self.points[-1]

    def take(self, circle, x, y, reach):
        """Return the circle's point nearest to a place, or a new one if none is within reach."""
        near = [
            (np.hypot(point[1] - x, point[2] - y), place)
            for place, point in enumerate(self.points)
            if point[0] == circle
        ]
        distance, place = min(near, default=(np.inf, None))
        if distance > reach:
            return self.add(circle, x, y)
        self.moved.pop(circle, None)
        return self.points[place]

    def undo(self):
        """Take back the point clicked last."""
        if self.points:
            self.points.pop()

    def clear(self):
        """Take all points and moved circles away; the tries stay."""
        self.points.clear()
        self.moved.clear()

    def laid(self, circle):
        """Return a circle as it lies; raise `Impossible` with what is lacking."""
        if circle in self.moved:
            return self.moved[circle]
        return lay(self.of(circle), self.careful)

    def keep(self):
        """Keep both circles as one try, and clear the picture for the next."""
        require(len(self.tries) < TRIES, f"{TRIES} tries are kept; drop the last to make another")
        self.tries.append((self.laid("moon"), self.laid("shadow")))
        self.clear()

    def drop(self):
        """Forget the try kept last."""
        del self.tries[-1:]

    def lines(self):
        """Return in words what lies on the picture: a line for each circle, one for the ratio."""
        lines, circles = [], {}
        for name, words in CIRCLES.items():
            try:
                circle = circles[name] = self.laid(name)
            except Impossible as error:
                lines.append(f"{words}: {error}.")
                continue
            ends = circle.interval
            known = f" (95 %: {ends.low:.0f} to {ends.high:.0f} px)" if circle.half else ""
            how = "by sliders" if name in self.moved else _points(len(self.of(name)))
            lines.append(f"{words}: {how}, radius {circle.radius:.1f} px{known}.")
        if len(circles) == 2:
            lines.append(f"Shadow / Moon: {ratio_of(**circles)}")
        return lines

    def tries_line(self):
        """Return in words what the tries say."""
        if not self.tries:
            return f"No try is kept yet; {TRIES} tell how sure you are."
        ratios = ", ".join(f"{ratio_of(*circles).value:.2f}" for circles in self.tries)
        if len(self.tries) < TRIES:
            return f"Tries kept, {len(self.tries)} of {TRIES}: {ratios}."
        found = together(self.tries)
        return (
            f"All {TRIES} tries: {ratios}. Together {found.ratio}; shadow "
            f"{found.shadow.radius:.1f} ± {found.shadow.radius_sd:.1f} px, "
            f"Moon {found.moon.radius:.1f} ± {found.moon.radius_sd:.1f} px."
        )


def _points(count):
    return f"{count or 'no'} point{'' if count == 1 else 's'}"
