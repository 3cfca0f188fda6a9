"""Common mistakes of a group's hand: one table of how each is made, undone and told.

A row of `slips.toml` says what a mistake is done to and in which words; the function of its hand
does it, here, in both directions. Practice makes mistakes, and the search for a group's likely
mistake undoes them. Names are those of the exercises wherever these know the same mistake.
"""

import tomllib
from dataclasses import dataclass, replace
from itertools import product
from pathlib import Path

import numpy as np
from astropy import units as u

from moonreach.sheet.quantities import CONTACTS, label_of
from moonreach.sheet.reading import Reading

_HOLE = {"value": 1.5 * u.mm, "uncertainty": 0.3 * u.mm}  # usual; common practice, no source


def _changed(readings, names, change):
    return [replace(r, **change(r)) if r.quantity in names else r for r in readings]


def _each(change):
    """Return the hand that does to each of the named readings what `change` tells of one."""
    return lambda readings, names, by: _changed(readings, names, lambda r: change(r, by))


def _written(value, resolution):
    """Return a value as it is written in steps of twice the resolution."""
    decimals = round(-np.log10(2 * resolution.to_value(value.unit)))
    return round(value.value, max(0, decimals)) * value.unit


def _scaled(reading, factor):
    """Scale value and step; the uncertainty is stated as if nothing were wrong."""
    step = reading.resolution * factor
    return {"value": _written(reading.value * factor, step), "resolution": step}


def _scaled_back(reading, factor):
    given = reading.uncertainty
    given = {} if given is None else {"uncertainty": given / factor}
    return _scaled(reading, 1 / factor) | given


def _later(reading, hours):
    """Move a contact by hours; without a date the clock begins anew at midnight."""
    clock, seconds = reading.value, reading.value.seconds + 3600 * hours
    return {"value": replace(clock, seconds=seconds if clock.day else seconds % 86_400)}


def _hole_given_back(reading, _):
    return _HOLE if reading.value == 0 * u.mm else {}


def _swapped(readings, names, _):
    """Swap the first quantity with the second, and the third with the fourth."""
    pairs = list(zip(names[::2], names[1::2], strict=True))
    other = dict(pairs) | {second: first for first, second in pairs}
    return _changed(readings, other, lambda reading: {"quantity": other[reading.quantity]})


def _from_the_other_end(readings, names, metres):
    def change(reading):
        rest = metres * u.m - reading.value
        return {"value": _written(rest.to(reading.value.unit), reading.resolution)}

    on_rod = (0 * u.m < r.value < metres * u.m for r in readings if r.quantity in names)
    return _changed(readings, names, change) if all(on_rod) else readings


def _pulled(readings, names, part):
    """Move the second quantity towards the mean of the first, to a part of the way between."""
    near = [reading.value for reading in readings if reading.quantity == names[0]]
    mark = u.Quantity(near).mean() if near else None

    def change(reading):
        return {"value": _written(mark + part * (reading.value - mark), reading.resolution)}

    return _changed(readings, names[1:], change) if near else readings


def _left_out(readings, names, *_):
    return [reading for reading in readings if reading.quantity not in names]


def _without_hole(readings, names, _):
    """Leave out the rim readings, and take the hole for a point."""
    rim, hole = names
    return _changed(_left_out(readings, [rim]), [hole], lambda reading: {"value": 0 * u.mm})


def _hundredths(readings, names, _):
    """Write two durations in place of the contacts, 1 h 02 min as 1.02 h."""
    first = {r.quantity: r for r in reversed(readings) if r.quantity in CONTACTS}
    if len(first) < len(CONTACTS):
        return readings
    u1, u2, u3, _ = (int(first[name].value.seconds) // 60 for name in CONTACTS)
    kept = _left_out(readings, CONTACTS)
    for name, minutes in zip(names, (u2 - u1, u3 - u2), strict=True):
        hours, rest = divmod(minutes % 1440, 60)
        lasts = {"value": (hours + rest / 100) * u.h, "resolution": 0.005 * u.h}
        kept.append(replace(first[CONTACTS[0]], quantity=name, uncertainty=None, **lasts))
    return kept


def _sixty_minutes(readings, names, _):
    """Take hundredths of an hour for minutes, where all of them may be minutes."""

    def change(reading):
        hours, hundredths = divmod(reading.value.to_value(u.h), 1)
        return {"value": hours * u.h + hundredths * 100 * u.min}

    in_hours = [r.value for r in readings if r.quantity in names and r.value.unit == u.h]
    may_be = in_hours and all(round(value.value % 1, 4) < 0.6 for value in in_hours)
    return _changed(readings, names, change) if may_be else readings


def _stated(readings, names, word):
    """State a word, or leave it out where it is stated."""
    (name,), kept = names, _left_out(readings, names)
    if any(reading.quantity == name and reading.value == word for reading in readings):
        return kept
    plain = {"value": word, "uncertainty": None, "resolution": None, "note": ""}
    return [*kept, replace(readings[0], quantity=name, **plain)]


# How each hand makes a mistake, and undoes it: from readings, names and a number or word to the
# readings changed, or as they are where it does not fit.
_HANDS = {
    "scale": (_each(_scaled), _each(_scaled_back)),
    "swap": (_swapped, _swapped),
    "pull towards": (_pulled, lambda readings, names, part: _pulled(readings, names, 1 / part)),
    "count from the other end": (_from_the_other_end, _from_the_other_end),
    "move by hours": (_each(_later), _each(lambda reading, hours: _later(reading, -hours))),
    "leave out the hole": (_without_hole, _each(_hole_given_back)),
    "write minutes as hundredths": (_hundredths, _sixty_minutes),
    "state or not": (_stated, _stated),
    "state": (_stated, _left_out),
}


@dataclass(frozen=True)
class Slip:
    """One common mistake, a row of `slips.toml`: what it may be done to, and what to say of it.

    `on` are the quantities of each way to make it, `by` its numbers or words, the usual first, and
    `words` tell of each pair of them where the printed names do not. `parts` are the lesson parts
    it may spoil, `chance` how often what is written looks so without it. A group is told "It looks
    as if {told}", and asked the `question`.
    """

    name: str
    hand: str
    parts: tuple[str, ...]
    told: str
    question: str
    on: tuple[tuple[str, ...], ...]
    by: tuple[float | str, ...] = (1,)
    words: tuple[str, ...] = ()
    chance: float = 1

    def made(self, readings: list[Reading]) -> list[Reading]:
        """Return a group's readings with this mistake made in the first place where it fits."""
        make, _ = _HANDS[self.hand]
        tries = (make(readings, names, by) for by, names in product(self.by, self.on))
        return next((changed for changed in tries if changed != readings), readings)

    def ways(self, readings: list[Reading]) -> list[tuple[str, list[Reading]]]:
        """Return what a group is told and the readings with it undone, for each way that fits."""
        _, undo = _HANDS[self.hand]
        ways = [
            (self._told(place, names, by), undo(readings, names, by))
            for place, (by, names) in enumerate(product(self.by, self.on))
        ]
        return [way for way in ways if way[1] != readings]

    def _told(self, place, names, by):
        labels = map(label_of, names)
        printed = " and ".join(label if label[0] == "U" else f"the {label}" for label in labels)
        it = self.words[place] if self.words else printed
        return self.told.format(it=it, by=by, name=self.name)


def _slips():
    table = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
    unit = table.pop("a wrong unit")
    for name, by, usual in unit.pop("units"):
        first = sorted(unit["on"], key=lambda names, usual=usual: usual not in names)
        table[name] = unit | {"by": [by], "on": first}
    return {name: Slip(name, **row) for name, row in table.items()}


SLIPS = _slips()
