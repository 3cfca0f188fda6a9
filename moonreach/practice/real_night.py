"""Practice readings of a real eclipse: that night's contacts, distance and altitude.

The groups and their hands are invented; the sky is not.
"""

from dataclasses import dataclass

import numpy as np
from astropy import units as u

from moonreach import sky
from moonreach.lessons import today
from moonreach.lessons.refuse import Impossible
from moonreach.practice.invented import SECONDS, Truth
from moonreach.sheet.cells import Clock


@dataclass(frozen=True)
class SkyTruth(Truth):
    """What is true on a real night at a place, in the words of `invented.Truth`."""

    eclipse: object = None
    place: object = None
    observed_at: object = None

    @property
    def moon_diameter(self):
        """The real Moon's diameter."""
        return 2 * today.MOON_RADIUS

    @property
    def contacts(self):
        """The umbral contacts on the place's clock; None where the Moon is below the horizon."""
        times = self.eclipse.contacts[[1, 2, 3, 4]]
        if self.place is None:
            return [_time_of_day(time.item()) for time in times]
        return [
            _time_of_day(self.place.local(time))
            if sky.moon_at(time, self.place).altitude > 0
            else None
            for time in times
        ]

    @property
    def night(self):
        """What is stated of when and where it was: quantity, value and resolution."""
        stated = [
            ("eclipse_date", self.eclipse.greatest.astype("M8[D]").item()),
            ("observed_at", clock_of(self.observed_at), SECONDS),
        ]
        if self.place is not None:
            for name in ("latitude", "longitude"):
                where = getattr(self.place, name).to(u.deg).round(4)
                stated.append((f"place_{name}", where, 5e-5 * u.deg))
        return stated


def clock_of(moment):
    """Return the `Clock` of a moment (numpy, UTC) as it is read to seconds."""
    moment = moment.astype("M8[s]").item()
    return Clock(_time_of_day(moment).to_value(u.s), moment.date(), 0.0)


def _time_of_day(moment):
    seconds = moment.second + moment.microsecond / 1e6
    return moment.hour * u.h + moment.minute * u.min + seconds * u.s


def sky_truth(date, place=None):
    """Return the `SkyTruth` of the total eclipse on a date, as seen from a place.

    Parameters: a date (either side of midnight), and a `sky.Place` or nothing for the Earth at
    large. Raises ValueError for a night without an eclipse (naming the nearest), for one that is
    not total, and for a place that does not see it. The rod is taken to be read when the Moon
    stands highest between first and last contact.
    """
    eclipse = sky.eclipse_on(date)
    when = eclipse.greatest.astype("M8[D]")
    if eclipse.kind != "total":
        raise Impossible(f"the eclipse of {when} is {eclipse.kind}: the timing needs a total one")
    moments = eclipse.contacts[[1, 2, 3, 4]]
    altitude, observed_at, south = 35 * u.deg, eclipse.greatest, 47.3 * u.deg
    if place is not None:
        altitudes = u.Quantity([sky.moon_at(moment, place).altitude for moment in moments])
        best = int(np.argmax(altitudes))
        altitude, observed_at = altitudes[best], moments[best]
        if altitude < 5 * u.deg:
            raise Impossible(f"the eclipse of {when} is not seen from there, or hardly above 5 deg")
        south = _noon_zenith_distance(place.latitude)
    return SkyTruth(
        distance=sky.moon_distance_at(observed_at),
        ratio=float(eclipse.shadow_ratio),
        offset=float(eclipse.path_offset),
        altitude=altitude,
        south_zenith_distance=south,
        eclipse=eclipse,
        place=place,
        observed_at=observed_at,
    )


def _noon_zenith_distance(latitude):
    """The Sun's zenith distance on the day the class chose: no shadow too short or too long."""
    declination = 20 * u.deg if abs(latitude) > 30 * u.deg else -20 * u.deg
    return latitude - np.copysign(1, latitude.value) * declination
