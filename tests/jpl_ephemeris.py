"""JPL's DE421 from the `de421` package, dressed so that skyfield can read it: no download.

The package covers 1899 to 2200 in an older layout than skyfield's own files; `EPHEMERIS` serves
the four segments that skyfield's eclipse finder wants, `moon` and `sun` plain vectors.
"""

from types import SimpleNamespace

import de421
import numpy as np
from jplephem.ephem import Ephemeris

_DE421 = Ephemeris(de421)


class _Segment:
    def __init__(self, center, target, name, share):
        self.center, self.target, self.name, self.share = center, target, name, share
        self.spk_segment = self

    def compute(self, jd, fraction=0.0):
        return self.share * _DE421.position(self.name, np.atleast_1d(jd), fraction)

    def compute_and_differentiate(self, jd, fraction=0.0):
        both = _DE421.position_and_velocity(self.name, np.atleast_1d(jd), fraction)
        return tuple(self.share * part for part in both)


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
