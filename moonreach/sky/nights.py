"""One night: what a place sees of its eclipse, and the truth to hold a class's result against."""

from dataclasses import dataclass
from functools import cache

import numpy as np
from astropy import units as u

from moonreach.lessons import today
from moonreach.sky.bodies import Body, moon_at, sun_at
from moonreach.sky.clock import days_of, utc_of
from moonreach.sky.eclipses import LunarEclipses, OfEclipses, eclipse_on, lunar_eclipses
from moonreach.sky.evenings import DARK
from moonreach.sky.place import Place

LOW = 5 * u.deg  # of the Moon: below that haze and roofs hide a contact (common practice)
_SAMPLES = np.linspace(0, 1, 49)  # of an eclipse


@dataclass(frozen=True, eq=False)
class Sight(OfEclipses):
    """The altitude of the Moon's centre at each of `MOMENTS`, and what can be done there.

    Angles are degrees without refraction (which lifts by half a degree at the horizon), NaN where
    an eclipse has no such contact. `visible` is
    "all", "part" or "none" of the umbral eclipse, of the penumbral one where there is no umbral.
    `good` says at which of `MOMENTS` the Moon is above `LOW` in a sky as dark as `DARK`; from
    `first` until `last` it is (UTC to a few minutes, NaT where never); `photograph`: whether it is
    with a third to two thirds of an entry or exit done. `crosses_north`: whether the Moon passes
    the meridian north of the zenith, so that an observer who looks at it has south up.
    """

    altitude: u.Quantity
    visible: np.ndarray
    good: np.ndarray
    first: np.datetime64
    last: np.datetime64
    photograph: np.ndarray
    crosses_north: np.ndarray


def seen_from(eclipses: LunarEclipses, place: Place):
    """Return the `Sight` that a place has of one eclipse or of several.

    >>> from moonreach.sky import eclipse_on
    >>> june = seen_from(eclipse_on("2029-06-26"), Place(52.1 * u.deg, 5.2 * u.deg))
    >>> str(june.visible), june.altitude[3].round(1)
    ('part', <Quantity -0.4 deg>)
    """
    missing = np.isnat(eclipses.moments)
    instants = np.where(missing, eclipses.greatest[..., None], eclipses.moments)
    moon, sun = moon_at(instants, place), sun_at(instants, place)
    p1, u1, u2, _, u3, u4, p4 = np.moveaxis(eclipses.moments, -1, 0)[..., None]
    first, last = np.where(np.isnat([u1, u4]), [p1, p4], [u1, u4])
    times = first + (last - first) * _SAMPLES
    there = moon_at(times, place).altitude
    up = there > 0 * u.deg
    good = (there > LOW) & (sun_at(times, place).altitude < DARK)
    done = [(times - one) / (end - one) for one, end in _phases(u1, u2, u3, u4)]
    never = np.datetime64("NaT", "ms")
    return Sight(
        altitude=np.where(missing, np.nan, moon.altitude),
        visible=np.where(up.all(axis=-1), "all", np.where(up.any(axis=-1), "part", "none"))[()],
        good=(moon.altitude > LOW) & (sun.altitude < DARK) & ~missing,
        first=np.fmin.reduce(np.where(good, times, never), axis=-1),
        last=np.fmax.reduce(np.where(good, times, never), axis=-1),
        photograph=(good & np.any([(d >= 1 / 3) & (d <= 2 / 3) for d in done], axis=0)).any(-1),
        crosses_north=moon.declination[..., 3] > place.latitude,
    )


def _phases(u1, u2, u3, u4):
    """Return begin and end of entry and exit; of a partial eclipse the whole, twice."""
    return (u1, np.where(np.isnat(u2), u4, u2)), (np.where(np.isnat(u3), u1, u3), u4)


@dataclass(frozen=True, eq=False)
class NightTruth:
    """What the sky was on one night, by today's series, to hold a class's result against.

    `distance` is from the Earth's centre to the Moon's. `moon` is the Moon as seen from the place,
    or from the Earth's centre without one. `eclipse` is that night's lunar eclipse, or None: its
    `shadow_ratio`, contacts, `rate` and `path_offset` are the truth of the timing lesson.
    """

    instant: np.datetime64
    distance: u.Quantity
    moon: Body
    eclipse: LunarEclipses | None

    @property
    def moon_angle(self):
        """The Moon's angular diameter as seen from there."""
        return 2 * self.moon.semidiameter

    @property
    def distance_earth_diameters(self):
        """The distance in mean diameters of the Earth."""
        return (self.distance / today.EARTH_DIAMETER).to_value("")

    @property
    def shadow_ratio(self):
        """Shadow's radius over the Moon's that night, None without an eclipse."""
        return None if self.eclipse is None else float(self.eclipse.shadow_ratio)


@cache  # the groups of a class name one night
def night_truth(eclipse_date=None, observed_at=None, place: Place | None = None) -> NightTruth:
    """Return the truth of a night from what a class sheet says of it.

    `observed_at` (an instant; without a zone UTC) is when the rod was read, and sets distance and
    angle; without it the greatest eclipse of `eclipse_date` does (either side of midnight, see
    `eclipse_on`). The eclipse is that of `eclipse_date`, or of the night of `observed_at` if it
    had one. Raises ValueError for neither, and for an `eclipse_date` without an eclipse.

    >>> truth = night_truth(eclipse_date="2029-06-26")
    >>> truth.distance.round(-2), round(truth.shadow_ratio, 2), truth.moon_angle.round(2)
    (<Quantity 373300. km>, 2.73, <Quantity 32. arcmin>)
    """
    if eclipse_date is None and observed_at is None:
        raise ValueError(
            "give the date of an eclipse or the time of a sighting: the truth is that of a night"
        )
    if eclipse_date is not None:
        eclipse = eclipse_on(eclipse_date)
    else:
        days = float(days_of(observed_at))
        near = lunar_eclipses(utc_of(days - 0.5), utc_of(days + 0.5))
        eclipse = near[0] if len(near) else None
    instant = eclipse.greatest if observed_at is None else utc_of(days_of(observed_at))
    return NightTruth(instant, moon_at(instant).distance, moon_at(instant, place), eclipse)
