"""Practice readings of a real eclipse: that night's contacts, distance and altitude.

The groups and their hands are invented; the sky is not.
"""

import numpy as np
from astropy import units as u

from moonreach import sky
from moonreach.lessons import today
from moonreach.lessons.refuse import require
from moonreach.practice.hands import SECONDS
from moonreach.practice.invented import Truth
from moonreach.sheet.clocks import Clock


def clock_of(moment):
    """Return the `Clock` of a moment (numpy, UTC) as it is read to seconds."""
    moment = moment.astype("M8[s]").item()
    return Clock(_time_of_day(moment).to_value(u.s), moment.date(), 0.0)


def _time_of_day(moment):
    seconds = moment.second + moment.microsecond / 1e6
    return moment.hour * u.h + moment.minute * u.min + seconds * u.s


def sky_truth(date, place=None):
    """Return the `Truth` of the total eclipse on a date, as seen from a place.

    Parameters: a date (either side of midnight), and a `sky.Place` or nothing for the Earth at
    large. Raises ValueError for a night without an eclipse (naming the nearest), for one that is
    not total, and for a place that does not see it. The rod is taken to be read when the Moon
    stands highest between first and last contact.
    """
    eclipse = sky.eclipse_on(date)
    when, moments = eclipse.greatest.astype("M8[D]"), eclipse.contacts[1:5]
    partial = f"the eclipse of {when} is {eclipse.kind}: the timing needs a total one"
    require(eclipse.kind == "total", partial)
    local = place.local if place else np.datetime64.item
    contacts = [_time_of_day(local(moment)) for moment in moments]
    night, seen, observed_at = [("eclipse_date", when.item())], {}, eclipse.greatest
    if place:
        altitudes = sky.moon_at(moments, place).altitude
        low = f"the eclipse of {when} is not seen from there, or hardly above 5 deg"
        require(altitudes.max() >= 5 * u.deg, low)
        observed_at = moments[np.argmax(altitudes)]
        contacts = [time if up else None for time, up in zip(contacts, altitudes > 0, strict=True)]
        # On the day the class chose, the Sun made a noon shadow neither too short nor too long.
        declination = 20 * u.deg if abs(place.latitude) > 30 * u.deg else -20 * u.deg
        south = place.latitude - np.copysign(1, place.latitude.value) * declination
        seen = {"altitude": altitudes.max(), "south_zenith_distance": south}
    night.append(("observed_at", clock_of(observed_at), SECONDS))
    for name in ("latitude", "longitude") if place else ():
        night.append((f"place_{name}", getattr(place, name).to(u.deg).round(4), 5e-5 * u.deg))
    return Truth(
        distance=sky.moon_at(observed_at).distance,
        ratio=float(eclipse.shadow_ratio),
        offset=float(eclipse.path_offset),
        own_diameter=2 * today.MOON_RADIUS,
        own_contacts=tuple(contacts),
        night=tuple(night),
        **seen,
    )
