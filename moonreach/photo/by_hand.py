"""Circles laid on a photograph by hand: marked points, live fits, and what three tries say."""

from dataclasses import dataclass, field
from statistics import harmonic_mean, stdev

import numpy as np
from scipy.stats import t as student_t

from moonreach.lessons.refuse import Impossible, require
from moonreach.photo.circle_fit import fit_circle

TRIES = 3
CAREFUL = 2.0  # px on the screen: how far careful clicks scatter, where they cannot tell themselves
NORMAL = 1.96  # standard uncertainties in half a 95 % interval
CIRCLES = {"moon": "Moon's limb", "shadow": "Shadow's edge"}


@dataclass(frozen=True)
class Laid:
    """A circle as it lies: centre and radius in px; 95 % interval of the radius, if points gave it.

    half: half the interval of the curvature, as a share of it (`fit_circle`); 0 by sliders.
    """

    x: float
    y: float
    radius: float
    half: float = 0.0

    @property
    def ends(self):
        """The ends of the radius' interval in px."""
        return self.radius / (1 + self.half), self.radius / (1 - self.half)


def lay(points, careful=CAREFUL):
    """Return the circle `Laid` through marked points.

    Parameters: positions in px, three at least; how far careful clicks scatter, in px. Points that
    scatter more about their circle count as they scatter. Errors: `Impossible` as `fit_circle`,
    or where the points bend so little that the radius is anywhere.

    >>> lay([(1, 0), (0, 1), (-1, 0)], careful=0.01).radius.__round__(6)
    1.0
    """
    require(len(points) >= 3, f"{_points(len(points))} so far; three at least, far apart")
    scatter = careful
    if len(points) > 3:
        residuals = fit_circle(points, scatter=careful, robust=False)
        apart = np.hypot(*(np.array(points) - [residuals.x, residuals.y]).T) - residuals.radius
        scatter = max(careful, float(np.sqrt((apart**2).sum() / (len(points) - 3))))
    fit = fit_circle(points, scatter=scatter)
    half = (fit.radius / fit.radius_low - fit.radius / fit.radius_high) / 2
    return Laid(fit.x, fit.y, fit.radius, float(half))


@dataclass(frozen=True)
class Ratio:
    """The shadow's radius over the Moon's, with its 95 % interval (equal to it: no interval)."""

    value: float
    low: float
    high: float

    def __str__(self):
        if self.low == self.high:
            return f"{self.value:.2f}"
        return f"{self.value:.2f} (95 %: {self.low:.2f} to {self.high:.2f})"


def ratio_of(moon, shadow):
    """Return the `Ratio` of two `Laid` circles, symmetrical in 1/x as in the curvature."""
    value = shadow.radius / moon.radius
    known = moon.half and shadow.half  # a circle by sliders gives no interval
    half = float(np.hypot(moon.half, shadow.half)) if known else 0.0
    return Ratio(value, value / (1 + half), value / (1 - half) if half < 1 else np.inf)


@dataclass(frozen=True)
class Tries:
    """What several tries say together: each radius in px as (mean, standard uncertainty), and x.

    The mean is that of the curvatures, in which tries on a short arc scatter alike to both sides.
    The uncertainty is the spread of the tries about their mean, times Student's t over 1.96, as so
    few tell it badly (t is 4.3 for three; JCGM 100:2008, G.3): then twice it is a 95 % interval.
    It is never less than the mean fit's own: the plains bend the edge alike for every try, so that
    tries may agree on a circle that is wrong.
    """

    moon: tuple
    shadow: tuple
    ratio: Ratio


def together(tries):
    """Return what two or more tries say together, as `Tries`; a try is a (moon, shadow) of `Laid`.

    >>> moon = Laid(0, 0, 100)
    >>> radius, spread = together([(moon, Laid(0, 0, 260)), (moon, Laid(0, 0, 280))]).shadow
    >>> round(radius, 1), round(spread, 1)
    (269.6, 64.8)
    """
    require(len(tries) >= 2, f"{len(tries)} try kept; a spread takes two at least")
    count, radii = len(tries), []
    factor = student_t.ppf(0.975, count - 1) / NORMAL / count**0.5
    for circles in zip(*tries, strict=True):
        values = [circle.radius for circle in circles]
        own = np.sqrt(np.mean([(c.half * c.radius / NORMAL) ** 2 for c in circles]))
        radii.append((harmonic_mean(values), float(max(factor * stdev(values), own))))
    (moon, moon_sd), (shadow, shadow_sd) = radii
    x, half = shadow / moon, NORMAL * np.hypot(moon_sd / moon, shadow_sd / shadow)
    high = x / (1 - half) if half < 1 else np.inf
    return Tries(*radii, Ratio(x, float(x / (1 + half)), float(high)))


@dataclass
class Marks:
    """What a person has marked: points in order, circles moved by sliders, tries kept."""

    careful: float = CAREFUL
    points: list = field(default_factory=list)  # of [circle, x, y]
    moved: dict = field(default_factory=dict)  # by sliders: circle to `Laid`
    tries: list = field(default_factory=list)  # of (moon, shadow), both `Laid`

    def of(self, circle):
        """Return a circle's points as a list of (x, y)."""
        return [(x, y) for name, x, y in self.points if name == circle]

    def add(self, circle, x, y):
        """Mark a point; its circle follows its points again. Returns the point."""
        self.moved.pop(circle, None)
        self.points.append([circle, x, y])
        return self.points[-1]

    def undo(self):
        """Take back the point marked last."""
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

    def lines(self):
        """Return in words what lies on the picture: a line for each circle, one for the ratio."""
        said, circles = [], {}
        for name, words in CIRCLES.items():
            try:
                circle = circles[name] = self.laid(name)
            except Impossible as error:
                said.append(f"{words}: {error}.")
                continue
            low, high = circle.ends
            known = f" (95 %: {low:.0f} to {high:.0f} px)" if circle.half else ""
            how = "by sliders" if name in self.moved else _points(len(self.of(name)))
            said.append(f"{words}: {how}, radius {circle.radius:.1f} px{known}.")
        if len(circles) == 2:
            said.append(f"Shadow / Moon: {ratio_of(**circles)}")
        return said

    def tries_line(self):
        """Return in words what the tries say."""
        if not self.tries:
            return f"No try is kept yet; {TRIES} tell how sure you are."
        ratios = ", ".join(f"{ratio_of(*circles).value:.2f}" for circles in self.tries)
        if len(self.tries) < TRIES:
            return f"Tries kept, {len(self.tries)} of {TRIES}: {ratios}."
        found = together(self.tries)
        return (
            f"Your {TRIES} tries: {ratios}. Together {found.ratio}; shadow {found.shadow[0]:.1f} ± "
            f"{found.shadow[1]:.1f} px, Moon {found.moon[0]:.1f} ± {found.moon[1]:.1f} px."
        )


def _points(count):
    return f"{count or 'no'} point{'' if count == 1 else 's'}"
