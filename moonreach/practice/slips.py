"""Common mistakes of a group's hand: one table of how each is made, undone and told.

Names are those of the exercises wherever these know the same mistake. Practice makes them, the
search for a group's likely mistake undoes them: both by the same row.
"""

import tomllib
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import combinations
from pathlib import Path

import numpy as np
from astropy import units as u

from moonreach.sheet.quantities import CONTACTS, GNOMONS, ROD, label_of
from moonreach.sheet.reading import Reading

_RODS = (2, 1.5, 1.8, 2.4, 2.5, 3) * u.m  # as sold; common practice, no source
_HOLE = {"value": 1 * u.mm, "uncertainty": 0.3 * u.mm}  # the usual one; common practice, no source
_MILE = 1.609344
_DISC, *_SIGHTINGS = ROD
_DISTANCES = ("north_south_distance", "road_distance")
_PHASES = ("partial_phase", "total_phase")
_CIRCLES = ("photo_moon_radius", "photo_shadow_radius")

Hand = Callable[[list[Reading], object], list[Reading]]


@dataclass(frozen=True)
class Slip:
    """One common mistake: what it may be done to, both its directions, and what to say of it.

    `targets` are pairs of words and what it is done to, the usual one first; `make` and `undo` take
    readings and such a target, and return the readings changed, or as they are where it does not
    fit. `parts` are the lesson parts it may spoil. A group is told "It looks as if {told}", in
    which ``{it}`` stands for the target's words, and asked the `question` (slips.toml has both).
    """

    name: str
    targets: tuple[tuple[str, object], ...]
    make: Hand
    undo: Hand
    parts: tuple[str, ...]
    told: str
    question: str

    def made(self, readings: list[Reading]) -> list[Reading]:
        """Return a group's readings with this mistake made in the first place where it fits."""
        tries = (self.make(readings, target) for _, target in self.targets)
        return next((changed for changed in tries if changed != readings), readings)

    def ways(self, readings: list[Reading]) -> list[tuple[str, list[Reading]]]:
        """Return what a group is told and the readings with it undone, for each way that fits."""
        ways = [(it, self.undo(readings, target)) for it, target in self.targets]
        return [
            (self.told.format(it=it, name=self.name), undone)
            for it, undone in ways
            if undone != readings
        ]


def _changed(readings, quantities, change):
    return [replace(r, **change(r)) if r.quantity in quantities else r for r in readings]


def _written(value, resolution):
    """Return a value as it is written in steps of twice the resolution."""
    decimals = round(-np.log10(2 * resolution.to_value(value.unit)))
    return round(value.value, max(0, decimals)) * value.unit


def _scaled(readings, target):
    """Scale values and their steps; the uncertainty is stated as if nothing were wrong."""
    names, factor = target

    def change(reading):
        step = reading.resolution * factor
        return {"value": _written(reading.value * factor, step), "resolution": step}

    return _changed(readings, names, change)


def _scaled_back(readings, target):
    names, factor = target

    def change(reading):
        given = reading.uncertainty
        return {"uncertainty": None if given is None else given / factor}

    return _changed(_scaled(readings, (names, 1 / factor)), names, change)


def _swapped(readings, names):
    """Swap the first quantity with the second, and the third with the fourth."""
    other = dict(zip(names[::2], names[1::2], strict=True))
    other |= {second: first for first, second in other.items()}
    return _changed(readings, other, lambda reading: {"quantity": other[reading.quantity]})


def _from_the_other_end(readings, rod):
    if not all(0 * u.m < r.value < rod for r in readings if r.quantity in _SIGHTINGS):
        return readings

    def change(reading):
        return {"value": _written(rod.to(reading.value.unit) - reading.value, reading.resolution)}

    return _changed(readings, _SIGHTINGS, change)


def _without_hole(readings, _):
    """Leave out the rim readings, and take the hole for a point."""
    kept = [reading for reading in readings if reading.quantity != "rim_distance"]
    return _changed(kept, ("hole_diameter",), lambda reading: {"value": 0 * u.mm})


def _hole_given_back(readings, _):
    if all(reading.value != 0 * u.mm for reading in readings):
        return readings
    return _changed(readings, ("hole_diameter",), lambda reading: _HOLE)


def _later(readings, target):
    """Move a contact by hours; without a date the clock begins anew at midnight."""
    name, hours = target

    def change(reading):
        clock, seconds = reading.value, reading.value.seconds + 3600 * hours
        return {"value": replace(clock, seconds=seconds if clock.day else seconds % 86_400)}

    return _changed(readings, (name,), change)


def _earlier(readings, target):
    return _later(readings, (target[0], -target[1]))


def _hundredths(readings, _):
    """Write two durations in place of the contacts, 1 h 02 min as 1.02 h."""
    first = {r.quantity: r for r in reversed(readings) if r.quantity in CONTACTS}
    if len(first) < len(CONTACTS):
        return readings
    u1, u2, u3, _ = (int(first[name].value.seconds) // 60 for name in CONTACTS)
    kept = [reading for reading in readings if reading.quantity not in CONTACTS]
    for name, minutes in zip(_PHASES, (u2 - u1, u3 - u2), strict=True):
        hours, rest = divmod(minutes % 1440, 60)
        lasts = {"value": (hours + rest / 100) * u.h, "resolution": 0.005 * u.h}
        kept.append(replace(first[CONTACTS[0]], quantity=name, uncertainty=None, **lasts))
    return kept


def _sixty_minutes(readings, _):
    def change(reading):
        hours, hundredths = divmod(reading.value.to_value(u.h), 1)
        return {"value": hours * u.h + hundredths * 100 * u.min}

    in_hours = {r.quantity for r in readings if r.quantity in _PHASES and r.value.unit == u.h}
    return _changed(readings, in_hours, change)


def _said(readings, quantity, word):
    stated = {"value": word, "uncertainty": None, "resolution": None, "note": ""}
    return [*readings, replace(readings[0], quantity=quantity, **stated)]


def _other_side(readings, _):
    said = [reading for reading in readings if reading.quantity == "shadows"]
    kept = [reading for reading in readings if reading.quantity != "shadows"]
    same = not said or said[0].value == "same_side"
    return _said(kept, "shadows", "opposite_sides") if same else kept


def _any_path(readings, _):
    return [reading for reading in readings if reading.quantity != "path"]


def _each(*targets):
    """Return each target after its printed names."""
    named = ([label_of(name) for name in names] for names in targets)
    words = (" and ".join(n if n[0] == "U" else f"the {n}" for n in names) for names in named)
    return tuple(zip(words, targets, strict=True))


def _times(factor, *targets):
    return tuple((words, (names, factor)) for words, names in _each(*targets))


def _unit(factor, *usual):
    """Return the lengths that may be in the wrong unit by a factor, the usual ones first."""
    lengths = (_DISC,), *((name,) for name in GNOMONS), _DISTANCES, ("hole_diameter",), _SIGHTINGS
    return _times(factor, *sorted(map(tuple, lengths), key=lambda names: names != usual))


_IT = (("", None),)
_PLACES = (
    ("the northern place", GNOMONS[:2]),
    ("the southern place", GNOMONS[2:]),
    ("the northern and the southern place", GNOMONS),
)
_PAIRS = sorted(combinations(CONTACTS, 2), key=lambda pair: pair != CONTACTS[1:3])
_CLOCKS = sorted(CONTACTS, key=lambda name: name != CONTACTS[2])
_HOURS = tuple((label_of(name), (name, hours)) for hours in (1, -1) for name in _CLOCKS)
_UNITS = {
    "centimetres for millimetres": _unit(10, _DISC),
    "millimetres for centimetres": _unit(0.1, GNOMONS[3]),
    "metres for centimetres": _unit(100, GNOMONS[3]),
    "centimetres for metres": _unit(0.01, GNOMONS[3]),
    "metres for millimetres": _unit(1000, GNOMONS[3]),
    "millimetres for metres": _unit(0.001, GNOMONS[3]),
}
# What each is done to, how it is made, and how it is undone.
_TABLE = {
    "gnomon and shadow swapped": (_PLACES, _swapped, _swapped),
    "sum for difference": (_IT, _other_side, _other_side),
    "miles for kilometres": (
        (("miles", (_DISTANCES, 1 / _MILE)), ("kilometres", (_DISTANCES, _MILE))),
        _scaled,
        _scaled_back,
    ),
    **{name: (targets, _scaled, _scaled_back) for name, targets in _UNITS.items()},
    "radius for diameter": (_times(0.5, (_DISC,)), _scaled, _scaled_back),
    "wrong end of the rod": (
        tuple((f"{rod:g}", rod) for rod in _RODS),
        _from_the_other_end,
        _from_the_other_end,
    ),
    "readings swapped": (_each(_SIGHTINGS), _swapped, _swapped),
    "forgot the hole": (_IT, _without_hole, _hole_given_back),
    "contacts swapped": (_each(*_PAIRS), _swapped, _swapped),
    "an hour off": (_HOURS, _later, _earlier),
    "total phase for partial phase": (_each(_PHASES), _swapped, _swapped),
    "minutes as decimal hours": (_IT, _hundredths, _sixty_minutes),
    "hours for minutes": (
        (("hours", (_PHASES, 1 / 60)), ("minutes", (_PHASES, 60))),
        _scaled,
        _scaled_back,
    ),
    "through-middle formula": (_IT, lambda rows, _: _said(rows, "path", "central"), _any_path),
    "diameter for radius": (_times(2, *((name,) for name in _CIRCLES)), _scaled, _scaled_back),
    "circles swapped": (_each(_CIRCLES), _swapped, _swapped),
}


def _slips():
    words = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
    unit = words["a wrong unit"]
    return {name: Slip(name, *row, **words.get(name, unit)) for name, row in _TABLE.items()}


SLIPS = _slips()
