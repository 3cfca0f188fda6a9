"""One row of a class sheet: its cells, the reading they make, and back.

Nothing is guessed: a cell that cannot be read for certain is refused, and says what is accepted.
"""

import contextlib
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from astropy import units as u

from moonreach.lessons.refuse import written
from moonreach.sheet import cells, clocks
from moonreach.sheet.cells import CellError
from moonreach.sheet.conventions import Conventions
from moonreach.sheet.origin import Origin
from moonreach.sheet.quantities import QUANTITIES, Term

_ORIGINS = (Origin.OWN, Origin.SHARED, Origin.PRACTICE)  # those that a reading may have

_LEAST_UNCERTAINTY = 1e-9  # in any unit: what is smaller is a slip, and no weight can be formed
_SIDES = {"latitude": "NS", "longitude": "EW"}  # as in 34° 6′ S; the second is minus
_EMPTY = ("", "-", "–", "—")


@dataclass(frozen=True)
class Reading:
    """One row: a value of a quantity (a Quantity, a clock time, a date or a word)."""

    group: str
    quantity: str
    value: object
    uncertainty: u.Quantity | None
    resolution: u.Quantity | None
    note: str
    file: str
    row: int
    origin: Origin = Origin.OWN


def row_of(reading: Reading) -> list[str]:
    """Return a reading's cells in the order of `COLUMNS`, written to the step it was read in."""
    value, unit, text = reading.value, "", str(reading.value)
    if isinstance(value, u.Quantity):
        unit = _printed(value.unit)
        decimals = max(0, round(-math.log10(2 * reading.resolution.to_value(value.unit))))
        text = f"{value.value:.{decimals}f}"
    elif isinstance(value, clocks.Clock):
        text = clocks.clock_text(value, reading.resolution)
        unit = "s" if reading.uncertainty is not None else ""
    given = ""
    if reading.uncertainty is not None:
        given = f"{reading.uncertainty.to_value(u.s if unit == 's' else value.unit):g}"
    return [reading.group, reading.quantity, text, unit, given, reading.note]


def reading_of(
    cell: Mapping[str, str], conventions: Conventions, file: str, row: int
) -> Reading | None:
    """Return the `Reading` of a row's cells (nothing for empty ones), or raise `CellError`."""
    if not any(cell.values()):
        return None
    note = cell.get("note", "")
    for column, accepted in (("unit", "a unit"), ("note", "words")):
        if conventions.comma_separated and re.fullmatch(r"[0-9]+", found := cell.get(column, "")):
            rest = "is it the rest of a number with a decimal comma? write it with a point"
            raise CellError(column, found, f"{accepted} ({rest})")
    group = re.sub(r"\s+", " ", cell["group"])
    if not group:
        raise CellError("group", "", "the name of a group")
    quantity = conventions.quantity(cell["quantity"], row)
    term = QUANTITIES[quantity]
    value, uncertainty, resolution = _value_of(cell, term, conventions, row)
    origin = Origin(cells.word(cell.get("origin") or "own", _ORIGINS, "origin"))
    return Reading(group, quantity, value, uncertainty, resolution, note, file, row, origin)


def apart(cell: Mapping[str, str], term: Term, menu: Sequence[str] = ()) -> dict[str, str]:
    """Return a row's cells with number, unit and uncertainty each in its own, times in one form.

    "160 ± 1 cm" becomes 160, cm and 1, "10:41 pm" 22:41. What cannot be read in one way only stays
    as it is written. Parameters: the cells, the quantity's `Term`, and how units may be called.
    """
    made = dict(cell)
    if cells.PLUS_MINUS.search(cell["value"]):
        cell = {**cell, "uncertainty": ""}  # what is typed now takes the place of what stood there
    with contextlib.suppress(CellError):
        text, spread = _value_and_spread(cell, term)
        if term.kind == "date":
            text = clocks.day(text).isoformat()
        elif term.kind == "clock":
            read = clocks.clock(text)
            if read.seconds % 1 == 0:
                text = clocks.clock_text(read, clocks.clock_resolution(text))
        elif term.kind != "choice":
            number, own = cells.number_and_unit(text, term.kind)
            if own and len(meant := cells.units(own, term.kind)) == 1:
                same = [name for name in menu if cells.units(name, term.kind) == meant]
                text, made["unit"] = number, (same or [own])[0]
        number, own = cells.number_and_unit(spread, term.kind)
        if own and cells.units(own, term.kind) == cells.units(made["unit"], term.kind):
            spread = number
        made |= {"value": text, "uncertainty": spread}
    return made


def _value_of(cell, term, conventions, row):
    """Return a row's value, its standard uncertainty and half its last step."""
    text, spread = _value_and_spread(cell, term)
    unit = "" if cell["unit"] in _EMPTY else cell["unit"]
    if not text:
        raise CellError("value", "", "a value, or a row that is empty")
    cell = {**cell, "value": text, "unit": unit}
    value, unit, resolution = _READERS.get(term.kind, _number)(cell, term, conventions, row)
    return value, _uncertainty(spread, term, value, unit, conventions), resolution


def _value_and_spread(cell, term):
    """Return a row's value and its uncertainty, which may stand behind it: 806 ± 8 km."""
    text, given = cell["value"], cell.get("uncertainty", "").removeprefix("±").strip()
    value, *spread = cells.PLUS_MINUS.split(text, 1)
    if not value.strip() or not spread:
        return text, given
    if given not in _EMPTY:
        raise CellError("uncertainty", given, "one uncertainty: after ± or in a cell of its own")
    number, own = cells.number_and_unit(value, term.kind)
    unit = "" if own or term.kind == "clock" else cells.number_and_unit(spread[0], term.kind)[1]
    return f"{number} {unit}" if unit else value.strip(), spread[0].strip()


def _choice(cell, term, _conventions, _row):
    _refuse_unit(cell, term)
    return cells.word(cell["value"], term.words), None, None


def _date(cell, term, conventions, row):
    _refuse_unit(cell, term)
    text = cell["value"]
    return _dated(text, lambda first: clocks.day(text, first), conventions, row), None, None


def _refuse_unit(cell, term):
    if cell["unit"]:
        cells.units(cell["unit"], term.kind)


def _number(cell, term, conventions, row):
    sides = next((sides for word, sides in _SIDES.items() if word in term.label), "")
    sided = rf"([^-−]*[0-9°'\"′″\s])([{sides}])"  # behind a number or a sign: no s of "degrees"
    found = sides and re.fullmatch(sided, cell["value"], re.IGNORECASE)
    text, own = cells.number_and_unit(found[1] if found else cell["value"], term.kind)
    written = own or cell["unit"] or "deg" * bool(found)
    if found and found[2].upper() == sides[1]:
        text = f"-{text}"
    units = cells.units(written, term.kind)
    if own and cell["unit"] and units != cells.units(cell["unit"], term.kind):
        both = f"{own} and {cell['unit']}"
        raise CellError("unit", both, "one unit")
    usual = cell.get("usual unit", "")
    if own and usual and units != cells.units(usual, term.kind):
        sentence = f"“{cell['value']}” was read in its own unit, not in its column's, {usual}"
        conventions.understand("own unit", row, sentence)
    number, step = cells.number(text, "value", conventions.comma_separated)
    possible = [unit for unit in units if _is_possible(number * unit, term)]
    unit = (possible or units)[0]
    accepted = "" if possible else _limits(term, unit)
    if cells.may_be_thousands(text) and _is_possible(1000 * number * unit, term):
        whole = f"{1000 * number:.0f} {written}".strip()
        if sign := conventions.foreign_sign(cell["group"], text):
            clear = f"{re.sub('[.,]', sign, text)} {written}".strip()
            why = f"the other numbers have a decimal {'comma' if sign == ',' else 'point'}"
            accepted = f"{clear} or {whole} ({why})"
        elif not possible:
            accepted += f"; if you mean {whole}, say so"
    if accepted:
        raise CellError("value", f"{text} {written}".strip(), accepted)
    if len(possible) > 1:
        raise CellError("unit", written, " or ".join(f"{text} {one}" for one in possible))
    if unit != units[0]:
        sentence = f"“{text} {written}” was read as {text} {unit}, as {written} cannot be"
        conventions.understand(f"{written} {unit}", row, sentence)
    return number * unit, unit, step * unit


def _is_possible(value, term):
    least, greatest = _least_and_greatest(term, value.unit)
    return least.value <= value.to_value(least.unit) <= greatest.to_value(least.unit)


def _least_and_greatest(term, unit):
    if term.least.unit.is_equivalent(unit):
        return term.least, term.greatest
    return 0.1 * u.mm, 100 * u.m  # a photograph measured on a print


def _limits(term, unit):
    least_and_greatest = _least_and_greatest(term, unit)
    ends = (f"{written(end.value, '.10g')} {_printed(end.unit)}" for end in least_and_greatest)
    return " to ".join(map(str.strip, ends)) + (f" ({term.why})" if term.why else "")


def _printed(unit):
    return {u.pix: "px", u.one: ""}.get(unit, str(unit))


def _clock(cell, _term, conventions, row):
    text, written = cell["value"], cell["unit"]
    zone = "+00:00" if written.casefold() in ("utc", "ut") else ""
    unit = cells.unit("" if zone else written, "clock")
    read = _dated(text, lambda first: clocks.clock(text, zone, first), conventions, row)
    resolution = clocks.clock_resolution(text)
    if found := re.search(r"(?:^|[T\s])(?:[0-9]{1,2}(\.)[0-9]{2}|24.?[0-9]{2})", text):
        sentence = f"“{text}” was read as {clocks.clock_text(read, resolution)}"
        conventions.understand(f"clock {found[1]}", row, sentence)
    return read, unit, resolution


def _dated(text, read, conventions, row):
    """Return what a function reads with the day first, the month first, or (None) in any case."""
    with contextlib.suppress(CellError):
        return read(None)
    found, first = read(conventions.day_first), "day" if conventions.day_first else "month"
    sentence = f"“{text}” was read with the {first} first, as in other rows"
    conventions.understand("day first", row, sentence)
    return found


_READERS = {"choice": _choice, "date": _date, "clock": _clock}


def _uncertainty(text, term, value, unit, conventions):
    if text in _EMPTY:
        return None
    if unit is None or not term.measured:
        raise CellError("uncertainty", text, "an empty cell, as this is stated and not measured")
    number_text, own = cells.number_and_unit(text, term.kind)
    number, _ = cells.number(number_text, "uncertainty", conventions.comma_separated)
    if own == "%" and term.kind in ("length", "duration", "picture"):
        unit, own = abs(value) / 100, ""
    uncertainty = number * (cells.unit(own, term.kind) if own else unit)
    greatest = {"clock": 1 * u.h, "angle": 90 * u.deg}.get(term.kind)
    if greatest is None:  # no reading is less sure than itself, but a shadow may have no length
        greatest = abs(value) if value != 0 else 1 * unit
    if number < _LEAST_UNCERTAINTY or uncertainty > greatest:
        raise CellError("uncertainty", text, f"more than zero and at most {greatest:g}")
    return uncertainty
