"""A plan's rows as text, each block with its caution; the words stand in `plan.toml`."""

from datetime import date, datetime

import numpy as np
from astropy import units as u

from moonreach import sky
from moonreach.sky.planning import GNOMON, WORDS

_BLOCKS = WORDS["blocks"]


def as_text(plan):
    """Return the plan as text: eclipses, evenings, half Moons, noon shadows, with cautions."""
    blocks = [_span(plan), _eclipse_block(plan)]
    if plan.place:
        blocks.append(_evening_block(plan))
        if plan.half_moons:
            blocks.append(_block("half_moons", [_half_moon(row) for row in plan.half_moon_rows]))
    if plan.noon_row:
        blocks.append(_noon_block(plan))
    note = sky.clock_note(str(plan.last))
    return "\n\n".join(blocks + ([note] if note else []))


def _block(name, rows, below="", **heading):
    """Return a block: heading, rows or the word that there are none, lines below, caution."""
    words = _BLOCKS[name]
    lines = [words["row"].format(**row) for row in rows] or [words["none"]]
    lines = [words["heading"].format(**heading), *lines, below, words["caution"]]
    return "\n".join(line for line in lines if line)


def _span(plan):
    """Return the line on what the plan covers and by whose clocks."""
    words, span = WORDS["span"], {"first": plan.first, "last": plan.last}
    if plan.place is None:
        return words["anywhere"].format(**span)
    zone = plan.place.zone
    words = words["utc" if zone == "UTC" else "zone"]
    return words.format(place=degrees_of(plan.place), zone=zone, **span)


def _eclipse_block(plan):
    """Return the block on eclipses; how many are not listed, and why, stands below."""
    words, place, listed = _BLOCKS["eclipses"], plan.place, plan.umbral_in_sight
    umbral = sum(row["kind"] != "penumbral" for row in plan.eclipse_rows)
    counts = {"below": umbral - len(listed), "penumbral": len(plan.eclipse_rows) - umbral}
    left = "; ".join(words[why].format(count) for why, count in counts.items() if count)
    return _block(
        "eclipses",
        [_eclipse(plan.eclipse_rows[i], place) for i in listed],
        below=words["left"].format(left) if left else "",
        there=" in sight there" if place else "",
    )


def _eclipse(row, place):
    """Return an eclipse's row with what its lines say besides."""
    words, error, unseen = _BLOCKS["eclipses"], "", ""
    if row["kind"] == "total":
        percent = round(row["simple_timing_error_percent"], 1) + 0.0  # no "-0.0"
        error = words["error"].format(percent)
        if place and min(row["altitudes_deg"][name] for name in ("U1", "U2", "U3", "U4")) <= 0:
            unseen = words["unseen"]
    return row | {
        "day": day(row["greatest_utc"], place),
        "seen": WORDS["visible"].get(row["visible"], ""),
        "times": "  ".join(times(row, place)),
        "error": error,
        "unseen": unseen,
    }


def times(row, place):
    """Return an eclipse's umbral contacts and greatest phase, with the Moon's altitude there."""
    instants, parts = row["contacts_utc"] | {"greatest": row["greatest_utc"]}, []
    for name in sky.MOMENTS[1:-1]:
        if instants[name] is None:
            continue
        part = f"{name} {clock(instants[name], place)}"
        if place:
            height = row["altitudes_deg"][name]
            part += f" ({height:.0f}°)" if height > 0 else " (below)"
        parts.append(part)
    return parts


def _evening_block(plan):
    """Return the block on evenings for the sighting rod."""
    words, rows, rod = _BLOCKS["evenings"], plan.evening_rows, ""
    if rows and plan.rod is not None:
        enough = sum(row["rod_long_enough"] for row in rows)
        rod = words["rod"].format(rod=plan.rod, enough=enough, all=len(rows))
    readings = words["readings"] if plan.disc is not None else ""
    told = [
        row
        | {
            "day": f"{date.fromisoformat(row['date']):%a %d %b %Y}",
            "readings": readings.format(**row),
        }
        for row in rows
    ]
    by_the_sun = words["by_the_sun"] if plan.place.zone == "UTC" else ""
    return _block("evenings", told, below=rod, by_the_sun=by_the_sun)


def _half_moon(row):
    """Return a half Moon's row with what its line says besides."""
    words, at = _BLOCKS["half_moons"], datetime.fromisoformat(row["half_local"])
    apart = _instant(row["quadrature_utc"]) - _instant(row["half_utc"])
    return row | {
        "day": f"{at:%a %d %b %Y}",
        "time": f"{at:%H:%M}",
        "minutes": abs(round(apart / np.timedelta64(1, "m"))),
        "side": words["waxing" if row["waxing"] else "waning"],
        "sun": words["sun"].format(row["sun_altitude_deg"]) if row["shadow"] else words["no_sun"],
    }


def _noon_block(plan):
    """Return the block on the noon shadows of the first date."""
    words, pair, rows = _BLOCKS["noon"], plan.noon_row, []
    for row in (pair["here"], pair["partner"]):
        shadow = words["no_shadow" if row["full_shadow_m"] is None else "shadow"].format(**row)
        rows.append(row | {"time": clock(row["noon_utc"], plan.place), "shadow": shadow})
    worth = words["worth" if pair["worth_measuring"] else "not_worth"]
    below = words["arc"].format(worth=worth, **pair)
    if pair["arc_uncertainty_percent"] is not None:
        below += "\n" + words["uncertainty"].format(**pair)
    return _block("noon", rows, below=below, date=plan.first, gnomon=GNOMON)


def degrees_of(place):
    """Return a place's latitude and longitude as text."""
    latitude = place.latitude.to_value(u.deg)
    longitude = (place.longitude.to_value(u.deg) + 180) % 360 - 180
    return (
        f"{abs(latitude):.2f}° {'N' if latitude >= 0 else 'S'}, "
        f"{abs(longitude):.2f}° {'E' if longitude >= 0 else 'W'}"
    )


def clock(utc, place):
    """Return hours and minutes, on the place's clocks or in UTC, rounded to the minute."""
    minute = (_instant(utc) + np.timedelta64(30, "s")).astype("M8[m]")
    return f"{place.local(minute) if place else minute.item():%H:%M}"


def day(utc, place):
    """Return weekday and date on the place's calendar, or in UTC."""
    return f"{place.local(_instant(utc)) if place else _instant(utc).item():%a %d %b %Y}"


def _instant(utc):
    """Return the datetime64 that a row has as text."""
    return np.datetime64(utc.removesuffix("Z"), "s")
