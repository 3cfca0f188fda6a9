"""Circles: the limb, the shadow's edge; and the circle through points on an arc of one."""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares
from scipy.special import stdtrit

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
    return float(stdtrit(freedom, 0.5 + COVERAGE / 2)) / TO_95


def _distances(p, z):
    """Return how far places z = x + iy lie outside a circle, exact even if it is nearly flat.

    p: curvature k, how far the origin lies outside, and in which direction (radians). The circle
    is where P = k/2 |z|^2 + Bx + Cy + D is nothing, with B^2 + C^2 - 2kD = 1; then the distance is
    2P / (1 + sqrt(1 + 2kP)).
    """
    k, out, angle = p
    along = (z * np.exp(-1j * angle)).real
    inside = k / 2 * np.abs(z) ** 2 + (1 + k * out) * along + out + k / 2 * out**2
    return 2 * inside / (1 + np.sqrt(np.maximum(1 + 2 * k * inside, 0)))


def _algebraic(z):
    """Return what `_distances` takes, of the algebraic fit with Taubin's normalisation.

    The places' mean square distance from their middle must be 1.
    """
    middle = z.mean()
    about = z - middle
    columns = np.stack([(np.abs(about) ** 2 - 1) / 2, about.real, about.imag], axis=1)
    k, b, c = np.linalg.svd(columns, full_matrices=False)[2][2]
    # About the middle D is -k/2: from there to the origin.
    d = k / 2 * (np.abs(middle) ** 2 - 1) - b * middle.real - c * middle.imag
    there = b + 1j * c - k * middle
    return np.array([k, 2 * d / (1 + np.abs(there)), np.angle(there)])


def _least_squares(z, unit, robust):
    """Return what `_distances` takes, of the geometric fit; a point's scatter; k's uncertainty."""
    start = _algebraic(z)
    width = unit or max(1.5 * np.median(np.abs(_distances(start, z))), 1e-9)
    loss = {"loss": "soft_l1", "f_scale": 2.0 * width} if robust else {}
    fit = least_squares(_distances, start, args=(z,), x_scale=0.1, xtol=1e-12, gtol=None, **loss)
    squares = (_distances(fit.x, z) ** 2).sum()
    unit = unit or max(np.sqrt(squares / (len(z) - 3)), 1e-12)
    plain = least_squares(_distances, fit.x, args=(z,), max_nfev=1).jac
    return fit.x, unit, unit * np.sqrt(np.linalg.pinv(plain.T @ plain)[0, 0])


def fit_circle(points, scatter=None, robust=True):
    """Fit a circle to points by least squares of their distances from it.

    Parameters: n x 2 positions, three at least; the standard deviation of one point, in the points'
    unit, where it is known (otherwise the fit tells it, which takes four points); whether a stray
    point pulls less than its square. Returns a `Circle`. The interval is symmetrical in the
    curvature, 1 / radius, in which a short arc's uncertainty is so.

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
    require(scatter or len(points) >= 4, exact)
    z = points @ [1, 1j]
    apart = np.abs(z - z.mean())
    size = np.sqrt((apart**2).mean())
    require(size > 0, "all points coincide")
    origin = z[np.argmin(apart)]  # on the circle, nearly: there all unknowns are well defined
    z = (z - origin) / size
    (k, out, angle), unit, sd = _least_squares(z, scatter and scatter / size, robust)
    sd *= 1 if scatter else widened(len(points) - 3)
    flat = (
        "the arc is too short: the points fit a straight line as well as a circle (of radius "
        f"{size / (abs(k) + TO_95 * sd):.3g} or more); mark points further apart along the edge"
    )
    require(abs(k) > TO_95 * sd, flat)
    middle = -(out + 1 / k) * np.exp(1j * angle)
    turns = np.sort(np.angle(z - middle))
    gap = np.diff(turns, append=turns[0] + 2 * np.pi).max()
    middle = complex(origin + middle * size)
    radius, scatter, arc = map(float, (size / abs(k), unit * size, 360 - np.degrees(gap)))
    return Circle(middle.real, middle.imag, radius, float(sd / abs(k) * radius), scatter, arc)
