"""The timed night: motion and curvature of the umbra's edge in one fit with one shadow ratio.

In units of the Moon's semidiameter s: x the shadow ratio, b the path's least distance from the
shadow's axis, v the Moon's rate, t_m mid-eclipse, e the edge's signed distance from the Moon's
centre toward the shadow's far side, 1 at U1 and U4 and -1 at U2 and U3. The centres are D = x + e
apart, and D^2 = b^2 + v^2 (t - t_m)^2. So two pictures at tau_1 and tau_2 from mid-eclipse give

    x = [v^2 (tau_1^2 - tau_2^2) - (e_1^2 - e_2^2)] / [2 (e_1 - e_2)],

of which the chord formula is the case e = 1, -1.
"""

from dataclasses import dataclass

import numpy as np
from astropy import units as u
from scipy.optimize import least_squares

from moonreach.lessons import today
from moonreach.lessons.eclipse_timing import scaled_rate
from moonreach.lessons.interval import Interval

CONTACTS = {"U1": (-1, 1), "U2": (-1, -1), "U3": (1, -1), "U4": (1, 1)}  # side of mid-eclipse, e
ANY_MOON = (
    today.MOON_SEMIDIAMETER,
    0.04 * today.MOON_SEMIDIAMETER,
)  # 14.7' to 16.8', no part preferred
# The rate's own error, half of that of a ratio by the chord formula (`assumption_moon_rate`).
RATE_SD = 0.0077
# How far all edges of a night may lie off alike, and each on its own. Real pictures showed 0.01 to
# 0.08 with light curves of any kind; common practice, no source.
OFFSET_SD, EDGE_SD = 0.03, 0.008
DRAWS = 4000
SURE = 300.0  # s: a contact less sure than this is not told
ONE_SIDE = (
    "all times are from one side of mid-eclipse. They cannot show how far from the middle the Moon "
    "passed, nor the contacts of the other side. One contact of that side, from any class, helps"
)
DISAGREE = (
    "the times do not fit one path through the shadow: look at each camera's clock and offset"
)


@dataclass(frozen=True)
class Edges:
    """Where the umbra's edge lay on the disc at moments of one night.

    times: numpy datetimes in UTC. places: e of each. covariance: of 1 / x and these places;
    curvature: 1 / x by the edge's bend alone.
    """

    times: np.ndarray
    places: np.ndarray
    curvature: float
    covariance: np.ndarray


@dataclass(frozen=True)
class Night:
    """What all timed pictures of a night tell together; lengths in Moon semidiameters.

    ratio, path_offset: `Interval`s, the offset as a share of the umbra's radius. contacts: numpy
    datetime in UTC and standard uncertainty in seconds, by name, as far as they are known. curve:
    hours from the first picture, and the fitted place of the edge then. used: the `Edges`.
    """

    ratio: Interval
    path_offset: Interval
    contacts: dict
    curve: tuple
    used: Edges
    message: str = ""

    def told(self):
        """Return in words the ratio and the contacts, each by the name of what it is."""
        told = {"with their times": f"shadow ratio {self.ratio}, path offset {self.path_offset}"}
        contacts = (
            f"{name} {moment.astype('M8[s]').item():%H:%M:%S} ± {sd:.0f} s"
            for name, (moment, sd) in self.contacts.items()
        )
        return told | ({"contacts, UTC": ", ".join(contacts)} if self.contacts else {})


class _Path:
    """The unknowns x, t_m, v and the common shift of the edges, for any path offset."""

    def __init__(self, edges, moon, contacts, zero):
        self.rate = (scaled_rate(moon[0]) / moon[0]).to_value(1 / u.h)
        self.rate_sd = self.rate * np.hypot(float(moon[1] / moon[0]), RATE_SD)
        own = np.diag(np.append(0, np.full(len(edges.places), EDGE_SD**2)))
        self.factor = np.linalg.cholesky(edges.covariance + own)
        self.seen = np.append(edges.curvature, edges.places)
        self.hours = hours_from(zero, edges.times)
        self.called = [
            (hours_from(zero, time), CONTACTS[name][1], self.rate * sd / 3600)
            for name, time, sd in contacts
        ]

    def residuals(self, unknowns, offset):
        """Return what is left of the readings and the priors, each in its own uncertainty."""
        x, _, rate, shift = unknowns
        model = np.append(1 / x, place(self.hours, offset, unknowns))
        called = [(place(t, offset, (*unknowns[:3], 0)) - e) / sd for t, e, sd in self.called]
        priors = (rate - self.rate) / self.rate_sd, shift / OFFSET_SD
        return np.concatenate([np.linalg.solve(self.factor, model - self.seen), called, priors])

    def fits(self, start, offsets):
        """Return weights, unknowns, their covariances and costs of a fit at each path offset."""
        ends = (1.2, -12, 0, -1), (6, 12, 10, 1)
        found = [
            least_squares(self.residuals, start, args=(offset,), bounds=ends, x_scale=0.05)
            for offset in offsets
        ]
        spreads = np.array([np.linalg.pinv(each.jac.T @ each.jac) for each in found])
        costs = np.array([each.cost for each in found])
        weights = np.exp(costs.min() - costs) * np.sqrt(np.linalg.det(spreads))
        return weights, np.array([each.x for each in found]), spreads, costs

    def start(self):
        """Return the likeliest of a row of moments of mid-eclipse, all else as usual."""
        tried = [(1 / self.seen[0], t, self.rate, 0.0) for t in np.arange(-4, 4.1, 0.1)]
        return min(tried, key=lambda q: (self.residuals(q, 0.3) ** 2).sum())


def hours_from(zero, moments):
    """Return numpy datetimes as hours from one of them."""
    return (moments - zero) / np.timedelta64(1, "ms") / 3.6e6


def place(hours, offset, unknowns):
    """Return the place e of the edge: x, t_m, v and a shift as unknowns, the path offset b / x."""
    x, middle, rate, shift = unknowns
    return np.hypot(offset * x, rate * (hours - middle)) - x + shift


def fit_night(edges, moon=ANY_MOON, contacts=()):
    """Fit one shadow ratio to the places and the bend of the umbra's edge.

    Parameters: ``edges``, of two pictures at least; the Moon's semidiameter as from Earth's centre
    and its standard uncertainty; contacts called by eye, each a name such as U1, a numpy datetime
    in UTC and a standard uncertainty in seconds. Returns a `Night`.

    For each path offset the rest is fitted; the fits are weighed by how likely they are, so that a
    path offset that the times cannot tell widens all that hangs on it.
    """
    zero = edges.times.min()
    path = _Path(edges, moon, contacts, zero)
    offsets = np.linspace(0, 1.36, 35)
    weights, found, spreads, _ = path.fits(path.start(), offsets)
    step, likely = offsets[1], offsets[weights > 1e-3 * weights.max()]
    # Once more, closer together, where it is likely.
    offsets = np.linspace(max(likely[0] - step, 0), likely[-1] + step, 35)
    weights, found, spreads, costs = path.fits(found[np.argmax(weights)], offsets)
    best, freedom = np.argmin(costs), max(len(path.seen) + len(path.called) - 4, 1)
    strain = max(1.0, 2 * costs[best] / freedom)  # readings that disagree tell less
    draws = _draws(weights, found, spreads * strain, offsets)
    x, offset = draws[:, 0], draws[:, 4]
    beyond = path.hours - np.median(draws[:, 1])
    one_side = (beyond.min() > 0 or beyond.max() < 0) and not contacts
    message = DISAGREE if strain > 4 else ONE_SIDE if one_side else ""
    moments = np.linspace(min(path.hours.min(), -0.5), path.hours.max() + 0.5, 200)
    curve = zero, moments, place(moments, offsets[best], found[best])
    ratio, offset = (
        Interval(*np.quantile(each, (0.5, 0.025, 0.975)).tolist()) for each in (x, offset)
    )
    return Night(ratio, offset, _contacts(draws, zero), curve, edges, message)


def _draws(weights, found, spreads, offsets):
    """Return draws of x, t_m, v, shift and path offset from the weighed fits."""
    random = np.random.default_rng(4)
    shares = np.cumsum(weights) / weights.sum()
    which = np.searchsorted(shares, (np.arange(DRAWS) + 0.5) / DRAWS)
    roots = np.linalg.cholesky(spreads + 1e-12 * np.eye(4))
    normal = np.einsum("kij,kj->ki", roots[which], random.normal(size=(DRAWS, 4)))
    between = random.uniform(-0.5, 0.5, DRAWS) * (offsets[1] - offsets[0])
    return np.column_stack([found[which] + normal, np.abs(offsets[which] + between)])


def _contacts(draws, zero):
    """Return the contacts that all but few draws have, and that are sure enough."""
    x, middle, rate, _, offset = draws.T
    contacts = {}
    for name, (side, e) in CONTACTS.items():
        square = (x + e) ** 2 - (offset * x) ** 2
        if np.mean(square > 0) > 0.99:
            hours = middle + side * np.sqrt(np.maximum(square, 0)) / rate
            sd = 3600 * float(hours.std())
            if sd < SURE:
                moment = zero + np.timedelta64(round(3.6e6 * float(np.median(hours))), "ms")
                contacts[name] = moment, sd
    return contacts
