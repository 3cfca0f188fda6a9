"""A plan's rows as text, each block with its caution; the words stand in `plan.toml`."""

from datetime import date

import numpy as np
from astropy import units as u

from moonreach import sky
from moonreach.sky.planning import GNOMON, WORDS

_BLOCKS = WORDS["blocks"]
_SIGNS = {None: "none", True: "yes", False: "no"}
_OUTDOORS = "\n      outdoors about {:%H:%M} to {:%H:%M}"


def as_text(plan):
    """Return the plan as text: eclipses, evenings, half Moons, noon shadows, with cautions."""
    place, noon = plan.place, plan.noon_row
    blocks = [_span(plan), _eclipse_block(plan)]
    if place:
        blocks.append(_evening_block(plan))
        if plan.half_moons:
            blocks.append(_block("half_moons", plan.half_moon_rows, place))
    if noon:
        pair, below = (noon["here"], noon["partner"]), _told("noon_pair", noon, place)
        blocks.append(_block("noon", pair, place, below, date=plan.first, gnomon=GNOMON))
    note = sky.clock_note(str(plan.last))
    return "\n\n".join(blocks + ([note] if note else []))


def _block(name, rows, place, below="", **heading):
    """Return a block: heading, rows or the word that there are none, lines below, caution."""
    words = _BLOCKS[name]
    lines = [_told(name, row, place) for row in rows] or [words["none"]]
    lines = [words["heading"].format(**heading), *lines, below, words["caution"]]
    return "\n".join(line for line in lines if line)


def _told(name, row, place):
    """Return a row in the words of its block, on the place's clocks."""
    told = _chosen(name, {key: _readable(key, value, place) for key, value in row.items()})
    return _BLOCKS[name]["row"].format(**told)


def _chosen(name, told):
    """Return a row with the words that its block chooses by the row's values."""
    words = {}
    for key, choice in _BLOCKS[name].get("choices", {}).items():
        value = told[choice["by"]]
        by_value = choice.get(_SIGNS.get(value, value), choice.get("any", ""))
        words[key] = by_value.format(**told)
    return told | words


def _readable(name, value, place):
    if name == "date":
        return date.fromisoformat(value)
    return local(value, place) if name.endswith("_utc") and isinstance(value, str) else value


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
    left = words["left"].format(left) if left else ""
    if plan.next_row:
        row = told_of(plan.next_row, place)
        left += f"\n{words['next']}\n{_told('eclipses', row, place)}"
    if plan.next_row or not listed:
        left += f"\n{words['without']}"
    rows = [told_of(plan.eclipse_rows[i], place) for i in listed]
    return _block("eclipses", rows, place, left.strip("\n"), there=words["there"] if place else "")


def told_of(row, place):
    """Return an eclipse's row with what its words ask for: night, timing, times, hours outdoors."""
    here = row["timing_here"]  # None without a place
    if row["kind"] == "partial" and here != "no":
        here = "shallow"
    when, hours = f"{local(row['greatest_utc'], place):%a %d %b %Y}", ""
    if row["night"]:
        when = f"night of {' to '.join(map(_date, row['night'].split('/')))}"
    if row["out_from_utc"]:
        hours = _OUTDOORS.format(
            *(local(row[f"out_{end}_utc"], place) for end in ("from", "until"))
        )
    more = {"when": when, "hours": hours, "times": "  ".join(times(row, place))}
    return row | more | {"here": row["borrow"] or here}


def _date(text):
    """Return an ISO 8601 date as "Mon 1 Jan 2029"."""
    day = date.fromisoformat(text)
    return f"{day:%a} {day.day} {day:%b %Y}"


def timing(row, place):
    """Return what a place can do with an eclipse and the formula for it, in one line of words."""
    told = _chosen("eclipses", told_of(row, place))
    return told["timing"] + told["formula"]


def times(row, place):
    """Return an eclipse's umbral contacts and greatest phase, with the Moon's altitude there."""
    instants, parts = row["contacts_utc"] | {"greatest": row["greatest_utc"]}, []
    for name in sky.MOMENTS[1:-1]:
        if instants[name] is None:
            continue
        part = f"{name} {local(instants[name], place):%H:%M}"
        if place:
            height = row["altitudes_deg"][name]
            part += f" ({height:.0f}°)" if height > 0 else " (below)"
        parts.append(part)
    return parts


def _evening_block(plan):
    """Return the block on evenings for the sighting rod; the rod's length stands below."""
    words, rows, rod = _BLOCKS["evenings"], plan.evening_rows, ""
    if rows and plan.rod is not None:
        enough = sum(row["rod_long_enough"] for row in rows)
        rod = words["rod"].format(rod=plan.rod, enough=enough, all=len(rows))
    return _block("evenings", rows, plan.place, rod)


def degrees_of(place):
    """Return a place's latitude and longitude as text."""
    latitude = place.latitude.to_value(u.deg)
    longitude = (place.longitude.to_value(u.deg) + 180) % 360 - 180
    return (
        f"{abs(latitude):.2f}° {'N' if latitude >= 0 else 'S'}, "
        f"{abs(longitude):.2f}° {'E' if longitude >= 0 else 'W'}"
    )


def local(utc, place):
    """Return a row's instant by the place's clocks, or in UTC, to the nearest minute."""
    instant = np.datetime64(utc.removesuffix("Z"), "s") + np.timedelta64(30, "s")
    minute = instant.astype("M8[m]")
    return place.local(minute) if place else minute.item()


def readings(row):
    """Return where the disc will stand on an evening, as lines: none without a disc."""
    told = _chosen("evenings", row)["readings"].strip()
    return [told] if told else []
