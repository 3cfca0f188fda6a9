"""Circles: the limb, the shadow's edge; and the circle through points on an arc of one."""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares
from scipy.stats import t as student_t

from moonreach.lessons.interval import COVERAGE, TO_95, Interval
from moonreach.lessons.refuse import require


@dataclass(frozen=True)
class Circle:
    """A circle in the unit of its points: px of the upright picture, x right, y down.

    radius_sd: standard uncertainty of the radius, 0 where nothing tells it; one that few points or
    tries told is widened, so that 1.96 of it are half a 95 % interval. scatter: of one point about
    the circle. arc: the angle in degrees that its points span as seen from the centre.
    """

    x: float
    y: float
    radius: float
    radius_sd: float = 0.0
    scatter: float = 0.0
    arc: float = 360.0

    @property
    def interval(self):
        """The radius as an `Interval`, longer on the far side for a short arc."""
        return Interval.of_inverse(1 / self.radius, TO_95 * self.radius_sd / self.radius**2)

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


def widened(freedom):
    """Return by how much a standard deviation is widened that few values told.

    Student's t over 1.96, so that 1.96 of it are half a 95 % interval (JCGM 100:2008, G.3).
    Parameters: degrees of freedom.

    >>> round(widened(2) * 1.96, 2)
    4.3
    """
    return float(student_t.ppf(0.5 + COVERAGE / 2, freedom)) / TO_95


def _distances(p, x, y):
    """Return each point's distance from the circle A(x^2 + y^2) + Bx + Cy + D = 0.

    Positive outside, and exact even if nearly flat: with p = (A, D, angle of (B, C)),
    B^2 + C^2 - 4AD = 1 and P the circle's left side it is 2P / (1 + sqrt(1 + 4AP)).
    """
    a, d, angle = p
    e = np.sqrt(np.maximum(1 + 4 * a * d, 1e-12))
    inside = a * (x**2 + y**2) + e * (np.cos(angle) * x + np.sin(angle) * y) + d
    return 2 * inside / (1 + np.sqrt(np.maximum(1 + 4 * a * inside, 0)))


def _algebraic(points):
    """Return (A, D, angle) of the algebraic fit with Taubin's normalisation.

    The points' mean square distance from their middle must be 1.
    """
    middle = points.mean(axis=0)
    about = points - middle
    square = (about**2).sum(axis=1)
    a, *bc = np.linalg.svd(np.column_stack([(square - 1) / 2, about]), full_matrices=False)[2][2]
    # About the middle D is -A: from there to the origin.
    a, bc = a / 2, np.array(bc)
    b, c = bc - 2 * a * middle
    return np.array([a, a * (middle @ middle - 1) - bc @ middle, np.arctan2(c, b)])


def _least_squares(points, unit, robust):
    """Return (A, D, angle) of the geometric fit, a point's scatter, and A's uncertainty."""
    start, (x, y) = _algebraic(points), points.T
    width = unit or max(1.5 * np.median(np.abs(_distances(start, x, y))), 1e-9)
    loss = {"loss": "soft_l1", "f_scale": 2.0 * width} if robust else {}
    fit = least_squares(_distances, start, args=(x, y), x_scale=0.1, xtol=1e-12, gtol=None, **loss)
    squares = (_distances(fit.x, x, y) ** 2).sum()
    unit = unit or max(np.sqrt(squares / (len(x) - 3)), 1e-12)
    plain = least_squares(_distances, fit.x, args=(x, y), max_nfev=1).jac
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
    short arc's uncertainty is so.

    Errors: `Impossible` for fewer than three points, points that coincide or lie on a line, and
    an arc so short that its curvature does not differ from zero.

    Formula: Chernov and Lesort 2005, J. Math. Imaging Vision 23, 239 (from memory); algebraic
    start after Taubin 1991.

    >>> round(fit_circle([(1, 0), (0, 1), (-1, 0), (0, -1)], scatter=0.01).radius, 6)
    1.0
    """
    points = np.asarray(points, dtype=float)
    usable = points.ndim == 2 and points.shape[-1] == 2 and np.isfinite(points).all()
    few = f"a circle takes at least three points (x, y), found {points.tolist()!r:.60}"
    require(usable and len(points) >= 3, few)
    exact = "three points fit any circle exactly: take four or more, or say how far points scatter"
    require(scatter is not None or len(points) >= 4, exact)
    apart = ((points - points.mean(axis=0)) ** 2).sum(axis=1)
    size = np.sqrt(apart.mean())
    require(size > 0, "all points coincide")
    # One of the points is the origin: there E is near 1, and the angle well defined.
    origin = points[np.argmin(apart)]
    unit, more = (None, widened(len(points) - 3)) if scatter is None else (scatter / size, 1)
    points = (points - origin) / size
    (a, d, angle), unit, spread = _least_squares(points, unit, robust)
    least, curvature = TO_95 * more * spread, abs(a)
    require(
        curvature > least,
        "the arc is too short for its scatter: the points fit a straight line as well as a "
        f"circle (at least {size / (2 * (curvature + least)):.3g} in radius); mark points further "
        "apart along the edge",
    )
    radius, e = 1 / (2 * curvature), np.sqrt(max(1 + 4 * a * d, 1e-12))
    middle = -e / (2 * a) * np.array([np.cos(angle), np.sin(angle)])
    x, y = (points - middle).T
    around = np.sort(np.arctan2(y, x))
    gap = np.diff(around, append=around[0] + 2 * np.pi).max()
    return Circle(
        *(origin + middle * size).tolist(),
        radius=float(radius * size),
        radius_sd=float(more * spread / curvature * radius * size),
        scatter=float(unit * size),
        arc=float(360 - np.degrees(gap)),
    )
