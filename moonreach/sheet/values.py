"""What a row's value, unit and uncertainty say together, or why they cannot be used."""

import contextlib
import re
from collections.abc import Mapping, Sequence

from astropy import units as u

from moonreach.sheet import cells
from moonreach.sheet.cells import CellError
from moonreach.sheet.conventions import Conventions
from moonreach.sheet.quantities import Term

_LEAST_UNCERTAINTY = 1e-9  # in any unit: what is smaller is a slip, and no weight can be formed
_EMPTY = ("", "-", "–", "—")


def of(
    cell: Mapping[str, str], term: Term, conventions: Conventions, row: int
) -> tuple[object, u.Quantity | None, u.Quantity | None]:
    """Return a row's value, its standard uncertainty and half its last step, or raise `CellError`.

    Parameters: the row's cells `value`, `unit` and `uncertainty`, where `usual unit` may hold that
    of a whole column; the quantity's `Term`; the table's conventions; the row's number.
    """
    text, spread = _value_and_spread(cell, term)
    cell = {**cell, "value": text, "uncertainty": spread}
    value, unit, resolution = _value(cell, term, conventions, row)
    return value, _uncertainty(spread, term, value, unit, conventions), resolution


def apart(cell: Mapping[str, str], term: Term, menu: Sequence[str] = ()) -> dict[str, str]:
    """Return a row's cells with number, unit and uncertainty each in its own, times in one form.

    "160 ± 1 cm" becomes 160, cm and 1, "10:41 pm" 22:41. What cannot be read in one way only stays
    as it is written. Parameters: the cells, the quantity's `Term`, and how units may be called.
    """
    made = dict(cell)
    with contextlib.suppress(CellError):
        text, spread = _value_and_spread(cell, term)
        if term.kind == "date":
            text = cells.day(text).isoformat()
        elif term.kind == "clock":
            read = cells.clock(text)
            if read.seconds % 1 == 0:
                text = cells.clock_text(read, cells.clock_resolution(text))
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


def _value_and_spread(cell, term):
    """Return a row's value and its uncertainty, which may stand behind it: 806 ± 8 km."""
    text, given = cell["value"], cell.get("uncertainty", "").removeprefix("±").strip()
    value, sign, spread = re.sub(r"\+/?[-−]", "±", text).partition("±")
    if not value.strip() or not sign:
        return text, given
    if given not in _EMPTY:
        raise CellError("uncertainty", given, "one uncertainty, after ± or in a cell of its own")
    number, own = cells.number_and_unit(value, term.kind)
    unit = "" if own or term.kind == "clock" else cells.number_and_unit(spread, term.kind)[1]
    return f"{number} {unit}" if unit else value.strip(), spread.strip()


def _value(cell, term, conventions, row):
    text, unit_text = cell["value"], cell["unit"]
    unit_text = "" if unit_text in _EMPTY else unit_text
    if not text:
        raise CellError("value", "", "a value")
    if term.kind in ("choice", "date"):
        if unit_text:
            cells.units(unit_text, term.kind)  # which refuses it
        if term.kind == "choice":
            return cells.word(text, term.words), None, None
        read = _dated(text, lambda first: cells.day(text, first), conventions, row)
        return read, None, None
    if term.kind == "clock":
        return _clock(text, unit_text or cell.get("usual unit", ""), conventions, row)
    return _number(cell, unit_text, term, conventions, row)


def _number(cell, unit_text, term, conventions, row):
    text, own = cells.number_and_unit(cell["value"], term.kind)
    if own and unit_text and cells.units(own, term.kind) != cells.units(unit_text, term.kind):
        raise CellError("unit", f"{own} and {unit_text}", "one unit, in the value's cell or beside")
    usual = cell.get("usual unit", "")
    written = own or unit_text or usual
    if own and usual and cells.units(own, term.kind) != cells.units(usual, term.kind):
        sentence = f"“{cell['value']}” was read in its own unit, not in its column's, {usual}"
        conventions.understand("own unit", row, sentence)
    units = cells.units(written, term.kind)
    number, step = cells.number(text, "value", conventions.comma_separated)
    possible = [unit for unit in units if _is_possible(number * unit, term)]
    unit = (possible or units)[0]
    sign = conventions.foreign_sign(cell["group"], text)
    if cells.may_be_thousands(text) and _is_possible(1000 * number * unit, term):
        whole = f"{1000 * number:.0f} {written}".strip()
        if sign:
            clear = f"{re.sub('[.,]', sign, text)} {written}".strip()
            names = {",": "comma", ".": "point"}
            why = f"the other numbers have a decimal {names[sign]}"
            raise CellError("value", f"{text} {written}", f"{clear} or {whole} ({why})")
        if not possible:
            limits = _limits(term, unit)
            raise CellError("value", f"{text} {written}", f"{limits}; if you mean {whole}, say so")
    if not possible:
        raise CellError("value", f"{text} {written}".strip(), _limits(term, unit))
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
    least, greatest = _least_and_greatest(term, unit)
    return f"{least:g} to {greatest:g}" + (f" ({term.why})" if term.why else "")


def _clock(text, unit_text, conventions, row):
    zone = "+00:00" if unit_text.casefold() in ("utc", "ut") else ""
    unit = cells.unit("" if zone else unit_text, "clock")
    read = _dated(text, lambda first: cells.clock(text, zone, first), conventions, row)
    resolution = cells.clock_resolution(text)
    if found := re.search(r"(?:^|[T\s])(?:[0-9]{1,2}(\.)[0-9]{2}|24.?[0-9]{2})", text):
        sentence = f"“{text}” was read as {cells.clock_text(read, resolution)}"
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


def _uncertainty(text, term, value, unit, conventions):
    if text in _EMPTY:
        return None
    if unit is None or not term.measured:
        raise CellError("uncertainty", text, "nothing, for this quantity")
    number_text, own = cells.number_and_unit(text, term.kind)
    number, _ = cells.number(number_text, "uncertainty", conventions.comma_separated)
    uncertainty = number * (cells.unit(own, term.kind) if own else unit)
    greatest = {"clock": 1 * u.h, "angle": 90 * u.deg}.get(term.kind)
    if greatest is None:  # no reading is less sure than itself, but a shadow may have no length
        greatest = abs(value) if value != 0 else 1 * unit
    if number < _LEAST_UNCERTAINTY or uncertainty > greatest:
        raise CellError("uncertainty", text, f"more than zero and at most {greatest:g}")
    return uncertainty
