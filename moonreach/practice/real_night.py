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
from moonreach.sheet.cells import Clock


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
    when = eclipse.greatest.astype("M8[D]")
    require(
        eclipse.kind == "total",
        f"the eclipse of {when} is {eclipse.kind}: the timing needs a total one",
    )
    moments = eclipse.contacts[[1, 2, 3, 4]]
    if place is None:
        seen, observed_at = {}, eclipse.greatest
        contacts = [_time_of_day(moment.item()) for moment in moments]
    else:
        seen, observed_at, contacts = _seen_from(place, moments, when)
    night = [("eclipse_date", when.item()), ("observed_at", clock_of(observed_at), SECONDS)]
    for name in ("latitude", "longitude") if place else ():
        where = getattr(place, name).to(u.deg).round(4)
        night.append((f"place_{name}", where, 5e-5 * u.deg))
    return Truth(
        distance=sky.moon_distance_at(observed_at),
        ratio=float(eclipse.shadow_ratio),
        offset=float(eclipse.path_offset),
        own_diameter=2 * today.MOON_RADIUS,
        own_contacts=tuple(contacts),
        night=tuple(night),
        **seen,
    )


def _seen_from(place, moments, when):
    """Return the Moon's and the noon Sun's heights at a place, the best moment, the contacts."""
    altitudes = u.Quantity([sky.moon_at(moment, place).altitude for moment in moments])
    best = int(np.argmax(altitudes))
    require(
        altitudes[best] >= 5 * u.deg,
        f"the eclipse of {when} is not seen from there, or hardly above 5 deg",
    )
    contacts = [
        _time_of_day(place.local(moment)) if altitude > 0 else None
        for moment, altitude in zip(moments, altitudes, strict=True)
    ]
    # On the day the class chose, the Sun made a noon shadow neither too short nor too long.
    declination = 20 * u.deg if abs(place.latitude) > 30 * u.deg else -20 * u.deg
    south = place.latitude - np.copysign(1, place.latitude.value) * declination
    seen = {"altitude": altitudes[best], "south_zenith_distance": south}
    return seen, moments[best], contacts
