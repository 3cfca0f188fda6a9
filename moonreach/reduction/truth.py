"""The true sky of the night that a group names in its sheet, to hold its result against."""

from functools import cache
from typing import TYPE_CHECKING

from astropy import units as u

from moonreach.lessons.refuse import Impossible
from moonreach.sheet.quantities import label_of

if TYPE_CHECKING:
    from moonreach.sky import NightTruth


def truth_of(
    words: dict[str, object], notes: list[str], moment: str = "observed_at"
) -> "NightTruth | None":
    """Return the `sky.NightTruth` of a group's words, or None where they name no night.

    Parameters: the group's words (`eclipse_date`, or `observed_at`, and perhaps `place_latitude`
    and `place_longitude`), a list that takes remarks, and the word that tells the moment. Raises
    ValueError, in one sentence, for a night that has no eclipse or lies outside the years the sky
    is known for.
    """
    day, clock = words.get("eclipse_date"), words.get(moment)
    if day is None and clock is None:
        return None
    observed_at = None
    if clock is not None:
        if clock.day is None:
            raise Impossible(
                f"{label_of(moment)} needs its date: write it as 2029-06-26T21:40+02:00"
            )
        if clock.offset is None:
            notes.append(f"{label_of(moment)} names no zone and is taken as UTC")
        observed_at = (clock.day, clock.seconds - (clock.offset or 0))
    place = [words.get(f"place_{name}") for name in ("latitude", "longitude")]
    if None in place:
        place = None
    return _night(day, observed_at, place and tuple(angle.to_value(u.deg) for angle in place))


@cache
def _night(day, observed_at, place):
    import numpy as np

    from moonreach import sky  # only here: a sheet without a night must not wait for it

    if observed_at is not None:
        date, seconds = observed_at
        observed_at = np.datetime64(date, "ms") + np.timedelta64(round(seconds * 1000), "ms")
    where = place and sky.Place(place[0] * u.deg, place[1] * u.deg)
    return sky.night_truth(day and day.isoformat(), observed_at, where)
