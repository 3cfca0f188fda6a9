"""What is impossible or unlikely in a group's readings, said in one sentence each.

The limits stand in doubts.toml, and are common practice, no source, but for these. The Moon's
geocentric angle is 29.4' to 33.5' (Krisciunas 2010, Am. J. Phys. 78, 834); from the ground up to
1/56 more. Totality lasts at most 1 h 47 min (from memory; that of 2000 July 16 lasted 1 h 46.4 min,
NASA/GSFC, F. Espenak). Over the eclipses of 2001 to 2100 the shadow ratio is 2.62 to 2.77 by
Danjon's rule.
"""

import contextlib
import tomllib
from dataclasses import dataclass, replace
from itertools import pairwise, zip_longest
from pathlib import Path

import numpy as np
from astropy import units as u

from moonreach.exercises.formulas import formula
from moonreach.lessons.refuse import Impossible, filled
from moonreach.reduction import further, sighting
from moonreach.reduction.group import worked_out
from moonreach.reduction.inputs import limits_of
from moonreach.reduction.steps import work_out
from moonreach.sheet import clocks
from moonreach.sheet.quantities import CONTACTS
from moonreach.sheet.reading import Reading

LEAST_ANGLE, GREATEST_ANGLE = 29.4 * u.arcmin, 34.1 * u.arcmin
_LIMITS = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
_SAID = _LIMITS.pop("said")
_APART = 5 * u.min  # of two calls of one contact: more is no scatter of eyes
_SAME_KIND = ((u.mm, u.cm, u.m, u.km), (u.s, u.min, u.h))


@dataclass(frozen=True)
class Doubt:
    """One sentence about a reading that cannot be or is not likely."""

    reading: Reading
    sentence: str


def doubts(readings: list[Reading]) -> list[Doubt]:
    """Return the `Doubt`s about one group's readings, in the order of the lessons.

    Parameters: a list of `Reading`. Nothing is refused here; a doubt is to be talked over.
    """
    group = {}
    for reading in readings:
        group.setdefault(reading.quantity, []).append(reading)
    middles = {name: _middle(rows) for name, rows in group.items()}
    middles = {name: middle for name, middle in middles.items() if middle is not None}
    firsts = [replace(row, value=middles.get(name, row.value)) for name, (row, *_) in group.items()]
    values, worked = worked_out(firsts)
    told = [*_far_from_the_rest(group, middles), *_at_another_time(group)]
    for block in dict.fromkeys((*_LIMITS, *_CHECKS)):
        limits = _LIMITS.get(block, ())
        of_block = [said for limit in limits for said in _of_readings(limit, group, middles)]
        of_block += [said for limit in limits for said in _of_refusals(limit, group, worked)]
        of_block += _CHECKS[block](group, values) if block in _CHECKS else ()
        for limit in limits:
            of_block = of_block or [*_of_result(limit, group, values)]
        once = {}  # one sentence a reading
        for said in of_block:
            once.setdefault(id(said[0]), said)
        told += once.values()
    return [Doubt(*said) for said in told]


def _middle(rows):
    try:
        return np.median(u.Quantity([row.value for row in rows]))
    except (TypeError, u.UnitConversionError):  # words, clock times; px mixed with mm
        return None


def _held_against(values, middle):
    """Return what readings of one thing are held against, and what that is called."""
    return (values[0], _SAID["alone"]) if len(values) == 2 else (middle, _SAID["among"])


def _far_from_the_rest(group, middles):
    for name in middles:
        rows = group[name]
        middle, rest = _held_against([row.value for row in rows], middles[name])
        if len(rows) < 2 or not middle > 0 * middle.unit:
            continue
        limit = 1.15 if name in ("vanish_distance", "rim_distance") else 1.5
        for row in rows:
            # A shadow's end is a blur of some centimetres, however short the shadow.
            near = name.endswith("shadow_length") and abs(row.value - middle) < 4 * u.cm
            if not near and not 1 / limit <= (row.value / middle).to_value(u.one) <= limit:
                text = filled(_SAID["far"], value=row.value, rest=rest, middle=middle)
                yield row, text + _meant(row.value, lambda v, m=middle: 0.67 < v / m < 1.5)


def _at_another_time(group):
    """Yield a contact that was called minutes from the other calls of it."""
    for name in filter(group.get, CONTACTS):
        rows = group[name]
        with contextlib.suppress(Impossible):  # said of the contacts together
            line = u.Quantity(clocks.place([row.value for row in rows])).to(u.min)
            middle, rest = _held_against(line, np.median(line))
            for row, time in zip(rows, line, strict=True):
                if (off := abs(time - middle)) > _APART:
                    yield row, filled(_SAID["call"], off=round(off.value), rest=rest)


def _meant(value, fits):
    """Return the question which unit was meant, if the same number fits in another one."""
    for units in _SAME_KIND:
        if value.unit in units:
            for unit in units:
                if unit != value.unit and fits(value.value * unit):
                    return f": did you mean {unit}?"
    return ""


def _beyond(limit, value, scale=1):
    """Return a value in a limit's unit, or over a scale, if it lies beyond the limit."""
    number = (value / scale).to_value(limit.get("unit", u.one))
    least, greatest = limit["limits"]
    return None if least <= number < greatest else number


def _of_readings(limit, group, middles):
    for name, over in zip_longest(limit.get("of", ()), limit.get("over", ())):
        if over and over not in middles:
            continue
        scale = middles[over] if over else 1
        for row in group.get(name, ()):
            if _beyond(limit, row.value, scale) is not None:
                meant = _meant_usual(limit, row.value, scale)
                if meant or not limit.get("guess_only"):
                    text = filled(limit["sentence"], value=row.value, over=scale)
                    yield row, text + (meant or limit.get("otherwise", ""))


def _meant_usual(limit, value, scale=1):
    least, greatest = limit.get("usual", (np.inf, np.inf))
    unit = limit.get("unit", u.one)
    return _meant(value, lambda v: least < (v / scale).to_value(unit) < greatest)


def _of_refusals(limit, group, worked):
    asked = _asked(limit, group)
    for refused in worked.refused.values():
        what, _, why = refused.partition(": ")
        if asked and what == limit.get("refused"):
            yield asked, why


def _of_result(limit, group, values):
    name, asked = limit.get("result"), _asked(limit, group)
    if asked and name and name not in group:
        try:
            number = _beyond(limit, formula(name)(values))
        except (KeyError, Impossible):  # it cannot be worked out
            return
        if number is not None:
            yield asked, filled(limit["sentence"], value=number)


def _asked(limit, group):
    return next((group[at][0] for at in limit.get("at", ()) if at in group), None)


def _timing(group, values):
    """Ask about contacts out of order, and about an entry and an exit that are not alike."""
    rows = [group[name][0] for name in CONTACTS if name in group]
    try:
        times = clocks.place([row.value for row in rows]) if rows else []
    except Impossible as error:
        yield rows[0], str(error)
        return
    at = {row.quantity: (row, time.to(u.min)) for row, time in zip(rows, times, strict=True)}
    for first, second in pairwise(at):
        if at[second][1] <= at[first][1]:
            yield at[second][0], filled(_SAID["order"], first=first[-1], second=second[-1])
            return
    lasts = {
        two: at[two][1] - at[one][1] for one, two in pairwise(CONTACTS) if {one, two} <= set(at)
    }
    cannot_be = False
    for contact, duration in lasts.items():
        phase = "total_phase" if contact == CONTACTS[2] else "partial_phase"
        limit = next(limit for limit in _LIMITS["timing"] if limit.get("of") == [phase])
        if _beyond(limit, duration) is not None:
            cannot_be = True
            yield at[contact][0], filled(limit["sentence"], value=duration)
    enter, leave = lasts.get(CONTACTS[1]), lasts.get(CONTACTS[3])
    if len(lasts) == 3 and not cannot_be and abs(enter - leave) > 12 * u.min:
        yield at[CONTACTS[3]][0], filled(_SAID["alike"], enter=enter, leave=leave)


def _rod(group, values):
    """Ask about swapped distances, and about a disc that makes no Moon."""
    vanish, rim = (values.get(f"{seen}_distance") for seen in ("vanish", "rim"))
    if vanish is not None and rim is not None and vanish > rim:
        text = filled(_SAID["swapped"], vanish=vanish, rim=rim)
        yield group["vanish_distance"][0], text
    if "angle" not in values or values["hole_diameter"] >= values["disc_diameter"]:
        return

    def angle(disc):
        changed = values | {"disc_diameter": disc}
        work_out(sighting.SIGHTING, changed)
        return changed["angle"]

    def fits(disc, room=0.05):
        possible = LEAST_ANGLE * (1 - room) < angle(disc) < GREATEST_ANGLE * (1 + room)
        return disc > values["hole_diameter"] and possible

    disc = values["disc_diameter"]
    # One reading of a beginner scatters by a few per cent, and nobody knows where those call who
    # have tried no target; only beyond that it is worth a word.
    habit = 0 if "target_diameter" in group else limits_of("vanish_call")[1] / disc
    habit = habit / 2 if {"vanish_distance", "rim_distance"} <= set(group) else habit
    if not fits(disc, 0.02 + habit):
        text = filled(_SAID["angle"], angle=values["angle"].to_value(u.arcmin))
        yield (
            group["disc_diameter"][0],
            text + (_SAID["radius"] if fits(2 * disc) else _meant(disc, fits)),
        )


def _pair(group, values):
    """Ask about places on two meridians, where nothing makes up for that."""
    anywhere = {*further.LONGITUDES, *further.AZIMUTHS, further.ZENITHS[1]} <= set(
        group
    ) or "pair_shift" in group
    if set(further.LONGITUDES) <= set(group) and not anywhere:
        north, south = (values[name].to_value(u.deg) for name in further.LONGITUDES)
        degrees = abs((north - south + 180) % 360 - 180)
        if degrees > 1.5:
            yield group[further.LONGITUDES[0]][0], filled(_SAID["apart"], degrees=degrees)


# What no limit can hold.
_CHECKS = {
    "timing": _timing,
    "rod": _rod,
    "pair": _pair,
}
