"""Slips of a group's hand, each with the way back from its readings to what they should be.

Names are those of `invented.SLIPS`, which makes such slips, and of the exercises wherever these
know the same slip.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import combinations

from astropy import units as u

from moonreach.sheet.quantities import CONTACTS

_RODS = (1.5, 1.8, 2, 2.4, 2.5, 3) * u.m  # as sold; common practice, no source
_HOLE = 1 * u.mm  # the usual sight hole; common practice, no source
_MILE = 1.609344
_ROD = ("vanish_distance", "rim_distance")
_ROADS = ("north_south_distance", "road_distance")
_PLACES = ("north", "south")
_UNITS = {
    10: "centimetres for millimetres",
    0.1: "millimetres for centimetres",
    100: "metres for centimetres",
    0.01: "centimetres for metres",
    1000: "metres for millimetres",
    0.001: "millimetres for metres",
}


@dataclass(frozen=True)
class Undo:
    """A slip, the lesson part it spoils, and its way back.

    `ways` returns a dict from what it was done to, in words, to the readings with it undone.
    The group is told "It looks as if {made}: {think}", where `made` names what it was done to.
    """

    name: str
    part: str
    ways: Callable
    made: str
    think: str


def _changed(rows, quantities, change):
    return [replace(row, **change(row)) if row.quantity in quantities else row for row in rows]


def _scaled(rows, quantities, factor):
    def change(row):
        given = {name: getattr(row, name) for name in ("value", "uncertainty", "resolution")}
        return {name: part * factor for name, part in given.items() if part is not None}

    return _changed(rows, quantities, change)


def _swapped(rows, first, second):
    names = {first: second, second: first}
    return _changed(rows, names, lambda row: {"quantity": names[row.quantity]})


def _in_words(*quantities):
    return " and ".join(f"the {quantity.replace('_', ' ')}" for quantity in quantities)


def _with_factor(sets, factor):
    return lambda rows: {_in_words(*names): _scaled(rows, names, factor) for names in sets}


def _swaps(pairs):
    return lambda rows: {_in_words(*pair): _swapped(rows, *pair) for pair in pairs}


def _gnomons_for_shadows(rows):
    ways = {}
    for places in (_PLACES[:1], _PLACES[1:], _PLACES):
        undone = rows
        for place in places:
            undone = _swapped(undone, f"{place}_gnomon_height", f"{place}_shadow_length")
        ways[f"the {' and the '.join(places)}ern place"] = undone
    return ways


def _other_side(rows):
    said = [row for row in rows if row.quantity == "shadows"]
    if not said or said[0].value == "same_side":
        extra = replace(rows[0], quantity="shadows", value="opposite_sides", uncertainty=None)
        return {"them": [row for row in rows if row not in said] + [extra]}
    return {"them": [row for row in rows if row not in said]}


def _from_the_other_end(rows):
    return {
        f"a rod of {rod:g}": _changed(rows, _ROD, lambda row, rod=rod: {"value": rod - row.value})
        for rod in _RODS
        if all(0 * u.m < row.value < rod for row in rows if row.quantity in _ROD)
    }


def _hole_given_back(rows):
    none = any(row.quantity == "hole_diameter" and row.value == 0 * u.mm for row in rows)
    back = {"value": _HOLE, "uncertainty": 0.3 * u.mm}
    return {"it": _changed(rows, ("hole_diameter",), lambda row: back)} if none else {}


def _an_hour_off(rows):
    def moved(row, seconds):
        return {"value": replace(row.value, seconds=row.value.seconds + seconds)}

    return {
        _in_words(name): _changed(rows, (name,), lambda row, hour=hour: moved(row, hour))
        for hour in (3600, -3600)
        for name in CONTACTS
    }


def _sixty_minutes(rows):
    def change(row):
        hours, hundredths = divmod(row.value.to_value(u.h), 1)
        return {"value": hours * u.h + hundredths * 100 * u.min}

    phases = [row for row in rows if row.quantity in ("partial_phase", "total_phase")]
    in_hours = {row.quantity for row in phases if row.value.unit == u.h}
    return {"it": _changed(rows, in_hours, change)} if in_hours else {}


def _any_path(rows):
    return {"it": [row for row in rows if row.quantity != "path"]}


_LENGTHS = [
    (f"{place}_{what}",) for what in ("gnomon_height", "shadow_length") for place in _PLACES
]
_UNITS_TEXT = "{made} was written in the wrong unit ({name})"
_UNITS_QUESTION = "how long is it in your hands, roughly, and in which unit is that number?"
_CIRCLES = ("photo_moon_radius", "photo_shadow_radius")

# fmt: off
SLIPS = (
    Undo("gnomon and shadow swapped", "earth", _gnomons_for_shadows,
        "gnomon and shadow changed places in the row at {made}",
        "which of the two did you measure along the ground?"),
    Undo("sum for difference", "earth", _other_side,
        "the sheet says of the two shadows the wrong thing, that they point the same way or "
        "opposite ways",
        "to which side of its gnomon did each shadow fall?"),
    Undo("miles for kilometres", "earth", lambda rows: {
            **_with_factor([_ROADS], _MILE)(rows),
            "the distance (miles were meant)": _scaled(rows, _ROADS, 1 / _MILE)},
        "{made} is in the other of miles and kilometres", "what does the map's own scale say?"),
    *(Undo(name, "earth", _with_factor([*_LENGTHS, _ROADS], 1 / factor),
           _UNITS_TEXT.replace("{name}", name), _UNITS_QUESTION)
      for factor, name in _UNITS.items()),
    Undo("radius for diameter", "rod", _with_factor([("disc_diameter",)], 2),
        "the disc's radius stands in place of its diameter", "did you measure right across it?"),
    Undo("wrong end of the rod", "rod", _from_the_other_end,
        "the distances count from the wrong end of {made}",
        "where on the scale is the sight hole?"),
    Undo("readings swapped", "rod", _swaps([_ROD]),
        "{made} changed places",
        "at which of the two, the nearer or the farther, can the Moon's rim still be seen?"),
    Undo("forgot the hole", "rod", _hole_given_back,
        "the sight hole was left out and taken as a point",
        "light enters all over the hole, so from which part of it does the Moon vanish last?"),
    *(Undo(name, "rod", _with_factor([("disc_diameter",), ("hole_diameter",), _ROD], 1 / factor),
           _UNITS_TEXT.replace("{name}", name), _UNITS_QUESTION)
      for factor, name in _UNITS.items()),
    Undo("contacts swapped", "timing", _swaps(list(combinations(CONTACTS, 2))),
        "{made} changed places", "what did the Moon look like at each of these moments?"),
    Undo("an hour off", "timing", _an_hour_off,
        "{made} is an hour off", "how long can the Moon be wholly in the shadow?"),
    Undo("total phase for partial phase", "timing", _swaps([("partial_phase", "total_phase")]),
        "{made} changed places", "in which of them is a part of the Moon still bright?"),
    Undo("minutes as decimal hours", "timing", _sixty_minutes,
        "the minutes of a phase were written as hundredths of an hour",
        "how many minutes are 0.50 hours?"),
    Undo("hours for minutes", "timing", lambda rows: {
            "it": _scaled(rows, ("partial_phase", "total_phase"), 60),
            "that": _scaled(rows, ("partial_phase", "total_phase"), 1 / 60)},
        "the phases are in the wrong unit of time", "how long did you stand there, roughly?"),
    Undo("through-middle formula", "timing", _any_path,
        "the Moon did not pass through the middle of the shadow, as the sheet says it did",
        "how would you know a central path when you see one?"),
    Undo("diameter for radius", "photograph", _with_factor([(name,) for name in _CIRCLES], 0.5),
        "{made} is the circle's whole width", "is the other circle's number its radius?"),
    Undo("circles swapped", "photograph", _swaps([_CIRCLES]),
        "{made} changed places", "which of the two is the larger circle?"),
)
# fmt: on
