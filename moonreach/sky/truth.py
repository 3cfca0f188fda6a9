"""The truth of a night: how far the Moon was, how large it looked, how wide the shadow was."""

from dataclasses import dataclass

import numpy as np
from astropy import units as u

from moonreach.lessons import today
from moonreach.sky.bodies import moon_at
from moonreach.sky.clock import days_of, utc_of
from moonreach.sky.eclipses import LunarEclipses, eclipse_on, lunar_eclipses
from moonreach.sky.place import Place


@dataclass(frozen=True, eq=False)
class NightTruth:
    """What the sky was on one night, by today's series, to hold a class's result against.

    `distance` is from the Earth's centre to the Moon's, `topocentric_distance` from the place
    (None without one). `moon_angle` is the Moon's angular diameter as seen from the place, or from
    the Earth's centre without one. `eclipse` is that night's lunar eclipse, or None: its
    `shadow_ratio`, contacts, `rate` and `path_offset` are the truth of the timing lesson.
    """

    instant: np.datetime64
    distance: u.Quantity
    moon_angle: u.Quantity
    topocentric_distance: u.Quantity | None
    altitude: u.Quantity | None
    azimuth: u.Quantity | None
    eclipse: LunarEclipses | None

    @property
    def distance_earth_diameters(self):
        """The distance in mean diameters of the Earth."""
        return (self.distance / today.EARTH_DIAMETER).to_value("")

    @property
    def shadow_ratio(self):
        """Shadow's radius over the Moon's that night, None without an eclipse."""
        return None if self.eclipse is None else float(self.eclipse.shadow_ratio)


def night_truth(
    eclipse_date=None, observed_at=None, place: Place | None = None, rule="danjon"
) -> NightTruth:
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
        raise ValueError("give eclipse_date or observed_at: the truth is that of a night")
    if eclipse_date is not None:
        eclipse = eclipse_on(eclipse_date, rule)
    else:
        eclipse = _eclipse_near(observed_at, rule)
    instant = eclipse.greatest if observed_at is None else utc_of(days_of(observed_at))
    moon = moon_at(instant)
    seen = moon_at(instant, place) if place else moon
    return NightTruth(
        instant=instant,
        distance=moon.distance,
        moon_angle=2 * seen.semidiameter,
        topocentric_distance=seen.distance if place else None,
        altitude=seen.altitude,
        azimuth=seen.azimuth,
        eclipse=eclipse,
    )


def _eclipse_near(instant, rule):
    """Return the eclipse of the night around an instant, or None."""
    days = float(days_of(instant))
    near = lunar_eclipses(utc_of(days - 0.5), utc_of(days + 0.5), rule)
    return near[0] if len(near) else None
