"""A plan as text: the words stand in `plan.j2`, and here what they call for."""

from datetime import date
from functools import partial
from pathlib import Path

import numpy as np
from astropy import units as u
from jinja2 import Environment, FileSystemLoader

from moonreach import sky
from moonreach.sky.planning import GNOMON, WORDS

_HERE = Environment(
    loader=FileSystemLoader(Path(__file__).parent), trim_blocks=True, lstrip_blocks=True
)


def as_text(plan):
    """Return the plan as text: eclipses, evenings, half Moons, noon shadows, with cautions."""
    return told(plan.place, note=sky.clock_note(str(plan.last))).whole(plan).rstrip()


def told(place, **more):
    """Return the macros of `plan.j2`, whose times are on a place's clocks, or UTC for None."""
    shown = {"clock": partial(clock, place=place), "times": partial(times, place=place)}
    shown |= {"day": day_of, "degrees": degrees_of, "cautions": WORDS["cautions"], "gnomon": GNOMON}
    return _HERE.get_template("plan.j2").make_module(shown | more)


def clock(utc, form="%H:%M", place=None):
    """Return a row's instant by the place's clocks, or in UTC, to the nearest minute, as text."""
    instant = np.datetime64(utc.removesuffix("Z"), "s") + np.timedelta64(30, "s")
    minute = instant.astype("M8[m]")
    return f"{place.local(minute) if place else minute.item():{form}}"


def times(row, place):
    """Return an eclipse's umbral contacts and greatest phase, with the Moon's altitude there."""
    instants, parts = row["contacts_utc"] | {"greatest": row["greatest_utc"]}, []
    for name in sky.MOMENTS[1:-1]:
        if instants[name] is None:
            continue
        part = f"{name} {clock(instants[name], place=place)}"
        if place:
            height = row["altitudes_deg"][name]
            part += f" ({height:.0f}°)" if height > 0 else " (below)"
        parts.append(part)
    return parts


def degrees_of(place):
    """Return a place's latitude and longitude as text."""
    latitude = place.latitude.to_value(u.deg)
    longitude = (place.longitude.to_value(u.deg) + 180) % 360 - 180
    return (
        f"{abs(latitude):.2f}° {'N' if latitude >= 0 else 'S'}, "
        f"{abs(longitude):.2f}° {'E' if longitude >= 0 else 'W'}"
    )


def day_of(text):
    """Return an ISO 8601 date as "Mon 1 Jan 2029"."""
    day = date.fromisoformat(text)
    return f"{day:%a} {day.day} {day:%b %Y}"
