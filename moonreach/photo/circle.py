"""Circles: the limb, the shadow's edge; and the circle through points on an arc of one."""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares
from scipy.stats import t as student_t

from moonreach.lessons.interval import COVERAGE, TO_95, Interval
from moonreach.lessons.refuse import Impossible, require


@dataclass(frozen=True)
class Circle:
    """A circle in the unit of its points: px of the upright picture, x right, y down.

    half: half the 95 % interval of the curvature 1 / radius, as a share of it; 0 where nothing
    tells it. x_sd, y_sd, radius_sd: standard uncertainties. scatter: of one point about the
    circle. arc: the angle in degrees that its points span as seen from the centre.
    """

    x: float
    y: float
    radius: float
    half: float = 0.0
    x_sd: float = 0.0
    y_sd: float = 0.0
    radius_sd: float = 0.0
    scatter: float = 0.0
    arc: float = 360.0

    @property
    def interval(self):
        """The radius as an `Interval`, longer on the far side for a short arc."""
        return Interval.of_inverse(1 / self.radius, self.half / self.radius)

    def at(self, angles, shares=1.0):
        """Return points at angles in radians, at shares of the radius; x and y come last.

        >>> Circle(1, 2, 10).at(0.0).tolist()
        [11.0, 2.0]
        """
        turn = np.stack([np.cos(angles), np.sin(angles)], axis=-1)
        return np.array([self.x, self.y]) + self.radius * np.asarray(shares)[..., None] * turn

    def distances(self, points):
        """Return how far each of n x 2 points lies outside the circle."""
        return np.hypot(*(np.asarray(points) - [self.x, self.y]).T) - self.radius

    def towards(self, other):
        """Return distance and direction (radians) of another circle's centre from this one's."""
        across, down = other.x - self.x, other.y - self.y
        return float(np.hypot(across, down)), float(np.arctan2(down, across))


def _distances(p, x, y):
    """Return each point's distance from the circle A(x^2 + y^2) + Bx + Cy + D = 0.

    Positive outside, and exact even if nearly flat: with p = (A, D, angle of (B, C)),
    B^2 + C^2 - 4AD = 1 and P the circle's left side it is 2P / (1 + sqrt(1 + 4AP)).
    """
    a, d, angle = p
    e = np.sqrt(np.maximum(1 + 4 * a * d, 1e-12))
    inside = a * (x**2 + y**2) + e * (np.cos(angle) * x + np.sin(angle) * y) + d
    return 2 * inside / (1 + np.sqrt(np.maximum(1 + 4 * a * inside, 0)))


def _algebraic(x, y):
    """Return (A, D, angle) of the algebraic fit with Taubin's normalisation."""
    points = np.stack([x, y], axis=1)
    middle = points.mean(axis=0)
    about = points - middle
    square = (about**2).sum(axis=1)
    mean = square.mean()
    weight = 2 * np.sqrt(mean)
    a, *bc = np.linalg.svd(np.column_stack([(square - mean) / weight, about]), full_matrices=False)[
        2
    ][2]
    a, bc = a / weight * np.sign(a or 1), np.array(bc) * np.sign(a or 1)
    a = max(a, 1e-9 * np.hypot(*bc), 1e-12)
    size = np.sqrt(bc @ bc + 4 * a**2 * mean)
    # From the points' middle, where D is -A mean, to the origin.
    d = a * (middle @ middle - mean) - bc @ middle
    b, c = bc - 2 * a * middle
    return np.array([a / size, d / size, np.arctan2(c, b)])


def _least_squares(x, y, unit, robust):
    """Return (A, D, angle) of the geometric fit, a point's scatter, and A's uncertainty."""
    start = _algebraic(x, y)
    width = unit or max(1.5 * np.median(np.abs(_distances(start, x, y))), 1e-9)
    loss = {"loss": "soft_l1", "f_scale": 2.0} if robust else {}
    fit = least_squares(
        lambda p: _distances(p, x, y) / width, start, x_scale=[0.1, 0.1, 0.1], xtol=1e-12, **loss
    )
    squares = (_distances(fit.x, x, y) ** 2).sum()
    unit = unit or max(np.sqrt(squares / max(len(x) - 3, 1)), 1e-12)
    plain = least_squares(lambda p: _distances(p, x, y), fit.x, max_nfev=1).jac
    return fit.x, unit, unit * np.sqrt(np.linalg.pinv(plain.T @ plain)[0, 0])


def fit_circle(points, scatter=None, robust=True):
    """Fit a circle to points by least squares of their distances from it.

    Parameters
    ----------
    points : n x 2 positions, three at least
    scatter : standard deviation of one point, in the points' unit, where it is known; otherwise
        it is estimated from the fit, which takes four points or more
    robust : whether a stray point pulls less than its square

    Returns a `Circle`. The interval is symmetrical in the curvature, 1 / radius, in which a
    short arc's uncertainty is so; Student's t where the scatter is estimated.

    Errors: `Impossible` for fewer than three points, points that coincide or lie on a line, and
    an arc so short that its curvature does not differ from zero.

    Formula: Chernov and Lesort 2005, J. Math. Imaging Vision 23, 239 (from memory); algebraic
    start after Taubin 1991.

    >>> round(fit_circle([(1, 0), (0, 1), (-1, 0), (0, -1)], scatter=0.01).radius, 6)
    1.0
    """
    points = np.asarray(points, dtype=float)
    require(
        points.ndim == 2
        and points.shape[-1] == 2
        and len(points) >= 3
        and np.isfinite(points).all(),
        f"a circle takes at least three points (x, y), found {points.tolist()!r:.60}",
    )
    require(
        scatter is not None or len(points) >= 4,
        "three points fit any circle exactly: take four or more, or say how far points scatter",
    )
    middle = points.mean(axis=0)
    size = np.sqrt(((points - middle) ** 2).sum(axis=1).mean())
    require(size > 0, "all points coincide")
    # One of the points is the origin: there E is near 1, and the angle well defined.
    middle = points[np.argmin(((points - middle) ** 2).sum(axis=1))]
    x, y = ((points - middle) / size).T
    unit = None if scatter is None else scatter / size
    p, unit, spread = _least_squares(x, y, unit, robust)
    freedom = len(x) - 3
    factor = TO_95 if scatter is not None else student_t.ppf(0.5 + COVERAGE / 2, freedom)
    curvature = abs(p[0])
    if curvature <= factor * spread:
        raise Impossible(
            "the arc is too short for its scatter: the points fit a straight line as well as a "
            f"circle (at least {size / (2 * (curvature + factor * spread)):.3g} in radius); mark "
            "points further apart along the edge"
        )
    e, radius = np.sqrt(max(1 + 4 * p[0] * p[1], 1e-12)), 1 / (2 * curvature)
    cx, cy = -e * np.array([np.cos(p[2]), np.sin(p[2])]) / (2 * p[0])
    turn = np.arctan2(y - cy, x - cx)
    pulls = np.stack([np.cos(turn), np.sin(turn), np.ones_like(turn)], axis=1)
    sds = unit * np.sqrt(np.diag(np.linalg.pinv(pulls.T @ pulls))) * size
    around = np.sort(turn)
    gap = np.max(np.diff(np.append(around, around[0] + 2 * np.pi)))
    return Circle(
        x=float(middle[0] + cx * size),
        y=float(middle[1] + cy * size),
        radius=float(radius * size),
        half=float(factor * spread / curvature),
        x_sd=float(sds[0]),
        y_sd=float(sds[1]),
        radius_sd=float(sds[2]),
        scatter=float(unit * size),
        arc=float(360 - np.degrees(gap)),
    )
