"""Practice readings of a real eclipse: that night's contacts, distance and altitude.

The groups and their hands are invented; the sky is not.
"""

from dataclasses import dataclass

import numpy as np
from astropy import units as u

from moonreach import sky
from moonreach.lessons import today
from moonreach.lessons.refuse import Impossible
from moonreach.practice.invented import Truth

_MOMENTS = ("U1", "U2", "U3", "U4")


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
            seen, clocks = [True] * 4, [time.item() for time in times]
        else:
            seen = [sky.moon_at(time, self.place).altitude > 0 for time in times]
            clocks = [self.place.local(time) for time in times]
        return [
            clock.hour * u.h + clock.minute * u.min + (clock.second + clock.microsecond / 1e6) * u.s
            if up
            else None
            for clock, up in zip(clocks, seen, strict=True)
        ]

    @property
    def night(self):
        """The rows that say when and where it was."""
        rows = [["eclipse_date", str(self.eclipse.greatest.astype("M8[D]")), ""]]
        rows.append(["observed_at", f"{self.observed_at.astype('M8[s]')}Z", ""])
        if self.place is not None:
            rows.append(["place_latitude", f"{self.place.latitude.to_value(u.deg):g}", "deg"])
            rows.append(["place_longitude", f"{self.place.longitude.to_value(u.deg):g}", "deg"])
        return rows


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
