"""The true sky of the night that a group names in its sheet, to hold its result against."""

from functools import cache
from typing import TYPE_CHECKING

import numpy as np

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
    day, clock, instant = words.get("eclipse_date"), words.get(moment), None
    if day is None and clock is None:
        return None
    if clock is not None:
        if clock.day is None:
            raise Impossible(
                f"{label_of(moment)} needs its date: write it as 2029-06-26T21:40+02:00"
            )
        if clock.offset is None:
            notes.append(f"{label_of(moment)} names no zone and is taken as UTC")
        since_midnight = round(1000 * (clock.seconds - (clock.offset or 0)))
        instant = np.datetime64(clock.day, "ms") + np.timedelta64(since_midnight, "ms")
    return _night(day, instant, words.get("place_latitude"), words.get("place_longitude"))


@cache
def _night(day, instant, latitude, longitude):
    from moonreach import sky  # only here: a sheet without a night must not wait for it

    place = None if latitude is None or longitude is None else sky.Place(latitude, longitude)
    return sky.night_truth(day and day.isoformat(), instant, place)
