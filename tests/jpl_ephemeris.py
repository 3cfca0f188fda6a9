"""JPL's DE421 from the `de421` package, dressed so that skyfield can read it: no download.

The package covers 1899 to 2200 in an older layout than skyfield's own files; `EPHEMERIS` serves
the four segments that skyfield's eclipse finder wants, `moon` and `sun` plain vectors.
"""

from types import SimpleNamespace

import de421
import erfa
import numpy as np
from jplephem.ephem import Ephemeris
from skyfield.constants import AU_KM
from skyfield.vectorlib import VectorFunction

from moonreach.lessons import today
from moonreach.sky.clock import J2000

_DE421 = Ephemeris(de421)
LIGHT = erfa.CMPS * 86.4  # km a day
EARTH, MOON, SUN = (
    radius.to_value("km")
    for radius in (
        today.EARTH_EQUATORIAL_RADIUS,
        today.ECLIPSE_MOON_RADIUS,
        today.ECLIPSE_SUN_RADIUS,
    )
)


class _Segment:
    def __init__(self, center, target, name, share):
        self.center, self.target, self.name, self.share = center, target, name, share
        self.spk_segment = self

    def compute(self, jd, fraction=0.0):
        return self.share * _DE421.position(self.name, np.atleast_1d(jd), fraction)

    def compute_and_differentiate(self, jd, fraction=0.0):
        both = _DE421.position_and_velocity(self.name, np.atleast_1d(jd), fraction)
        return tuple(self.share * part for part in both)


class _Body(VectorFunction):
    """A body from the centre of the solar system, as skyfield adds and observes them."""

    def __init__(self, target, *parts):
        self.center, self.target, self.parts, self.ephemeris = 0, target, parts, BODIES

    def _at(self, t):
        both = [_DE421.position_and_velocity(name, np.atleast_1d(t.tdb)) for name, _ in self.parts]
        shares = [share for _, share in self.parts]
        place, speed = (
            sum(share * part[i] for share, part in zip(shares, both, strict=True)) / AU_KM
            for i in (0, 1)
        )
        if np.ndim(t.tdb) == 0:
            place, speed = place[:, 0], speed[:, 0]
        return place, speed, None, None


# For skyfield's almanac and its places on the ground: `BODIES["earth"] + wgs84.latlon(...)`.
BODIES = {}
BODIES["earth"] = _Body(399, ("earthmoon", 1.0), ("moon", -_DE421.earth_share))
BODIES["moon"] = _Body(301, ("earthmoon", 1.0), ("moon", _DE421.moon_share))
BODIES["sun"] = BODIES[10] = _Body(10, ("sun", 1.0))
BODIES[5], BODIES[6] = _Body(5, ("jupiter", 1.0)), _Body(6, ("saturn", 1.0))  # which bend light

EPHEMERIS = SimpleNamespace(
    segments=[
        _Segment(0, 10, "sun", 1.0),
        _Segment(0, 3, "earthmoon", 1.0),
        _Segment(3, 399, "moon", -_DE421.earth_share),
        _Segment(3, 301, "moon", _DE421.moon_share),
    ]
)


def moon(jd):
    """Geocentric Moon in km, ICRF, shape (n, 3), without light time."""
    return _DE421.position("moon", np.atleast_1d(jd)).T


def earth(jd):
    """Barycentric Earth in km and km/day, ICRF, shape (n, 3) each."""
    base, speed = _DE421.position_and_velocity("earthmoon", np.atleast_1d(jd))
    offset, offset_speed = _DE421.position_and_velocity("moon", np.atleast_1d(jd))
    share = _DE421.earth_share
    return (base - share * offset).T, (speed - share * offset_speed).T


def sun(jd):
    """Barycentric Sun in km, ICRF, shape (n, 3)."""
    return _DE421.position("sun", np.atleast_1d(jd)).T


def apart(days):
    """From DE421: angle from the shadow's axis, radii of umbra and penumbra, Moon (radians)."""
    jd = J2000 + np.ravel(days)
    place, speed = earth(jd)
    seen = moon(jd)
    seen = moon(jd - np.linalg.norm(seen, axis=1) / LIGHT)
    sunward = sun(jd) - place
    sunward = sun(jd - np.linalg.norm(sunward, axis=1) / LIGHT) - place
    far, near = np.linalg.norm(sunward, axis=1), np.linalg.norm(seen, axis=1)
    shift = sunward / far[:, None] + speed / LIGHT  # aberration to first order
    axis = -shift / np.linalg.norm(shift, axis=1)[:, None]
    chord = np.linalg.norm(seen / near[:, None] - axis, axis=1)
    p, q, s = np.arcsin(EARTH / near), np.arcsin(EARTH / far), np.arcsin(SUN / far)
    shadow = 1.01 * p + q  # Danjon
    values = 2 * np.arcsin(chord / 2), shadow - s, shadow + s, np.arcsin(MOON / near)
    return [value.reshape(np.shape(days)) for value in values]


def eclipses(middle):
    """Greatest eclipse and contacts by DE421 near given instants, by search and bisection."""
    low, high = middle - 0.1, middle + 0.1
    for _ in range(45):  # golden-ratio search of the least angle
        left, right = high - 0.618034 * (high - low), low + 0.618034 * (high - low)
        closer = apart(left)[0] < apart(right)[0]
        low, high = np.where(closer, low, left), np.where(closer, right, high)
    greatest = (low + high) / 2
    angle, umbra, penumbra, moon = apart(greatest)
    magnitude = (umbra + moon - angle) / (2 * moon)
    contacts = np.full((len(middle), 6), np.nan)
    for column, (which, side) in enumerate(
        [("p", -1), ("u", -1), ("t", -1), ("t", 1), ("u", 1), ("p", 1)]
    ):

        def outside(days, which=which):
            angle, umbra, penumbra, moon = apart(days)
            limit = {"p": penumbra + moon, "u": umbra + moon, "t": umbra - moon}[which]
            return angle - limit

        inside, out = greatest.copy(), greatest + side * 0.2
        exists = outside(inside) < 0
        for _ in range(40):
            half = (inside + out) / 2
            within = outside(half) < 0
            inside, out = np.where(within, half, inside), np.where(within, out, half)
        contacts[:, column] = np.where(exists, out, np.nan)
    return greatest, contacts, magnitude, (penumbra + moon - angle) / (2 * moon)
