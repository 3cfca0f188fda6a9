"""One row of a class sheet: its cells, the reading they make, and back.

Nothing is guessed: a cell that cannot be read for certain is refused, and says what is accepted.
"""

import csv
import difflib
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from astropy import units as u

from moonreach.sheet import cells
from moonreach.sheet.cells import CellError
from moonreach.sheet.origin import Origin
from moonreach.sheet.quantities import QUANTITIES, quantity_of

COLUMNS = ("group", "quantity", "value", "unit", "uncertainty", "note")
ORIGIN = "origin"  # a further column, where not all readings are the groups' own
_LEAST_UNCERTAINTY = 1e-9  # in any unit: what is smaller is a slip, and no weight can be formed
_ORIGINS = (Origin.OWN, Origin.SHARED, Origin.PRACTICE)  # those that a reading may have
_EMPTY = ("", "-", "–", "—")
_CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f\x85\u2028\u2029\ufffd]")


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
        unit = {u.pix: "px", u.one: ""}.get(value.unit, str(value.unit))
        decimals = max(0, round(-math.log10(2 * reading.resolution.to_value(value.unit))))
        text = f"{value.value:.{decimals}f}"
    elif isinstance(value, cells.Clock):
        text = cells.clock_text(value, reading.resolution)
        unit = "s" if reading.uncertainty is not None else ""
    given = ""
    if reading.uncertainty is not None:
        given = f"{reading.uncertainty.to_value(u.s if unit == 's' else value.unit):g}"
    return [reading.group, reading.quantity, text, unit, given, reading.note]


def cells_of(line: str, separator: str, names: Sequence[str]) -> dict[str, str]:
    """Return one line's cells by column, or raise `CellError` for a line that cannot be split."""
    if found := _CONTROL.search(line):
        raise CellError("row", found[0], "text without control or unreadable characters")
    try:
        row = next(csv.reader([line], delimiter=separator, strict=True))
    except csv.Error:
        row = line.split(separator)  # an inch sign or a second of arc is no quotation mark
        unit = row[names.index("unit")].strip() if len(row) == len(names) else ""
        if unit != '"' or line.count('"') > 1:
            raise CellError(
                "row", line.strip()[:60], "quotation marks that are closed on the same line"
            ) from None
    row = [cell.strip() for cell in row]
    if any(row[len(names) :]):
        raise CellError(
            "row",
            f"{len(row)} cells",
            f"{len(names)} cells as in the header (a decimal comma in a table separated by commas "
            "must stand in quotation marks)",
        )
    row += [""] * (len(names) - len(row))
    return {
        name: cell for name, cell in zip(names, row, strict=False) if name in (*COLUMNS, ORIGIN)
    }


def reading_of(
    line: str, separator: str, names: Sequence[str], file: str, row: int
) -> Reading | None:
    """Return the `Reading` of one line (nothing for an empty one), or raise `CellError`."""
    cell = cells_of(line, separator, names)
    if not any(cell.values()):
        return None
    comma = separator == ","
    note = cell.get("note", "")
    if comma and re.fullmatch(r"[0-9]+", note):
        raise CellError("note", note, "words (is it the rest of a decimal comma? write 1.5)")
    group = re.sub(r"\s+", " ", cell["group"])
    if not group:
        raise CellError("group", "", "the name of a group")
    quantity = quantity_of(cell["quantity"])
    if quantity is None:
        near = difflib.get_close_matches(cell["quantity"].casefold(), QUANTITIES, 3) or QUANTITIES
        raise CellError("quantity", cell["quantity"], ", ".join(near))
    term = QUANTITIES[quantity]
    value, unit, resolution = _value(cell, term, comma)
    uncertainty = _uncertainty(cell.get("uncertainty", ""), term, value, unit, comma)
    origin = Origin(cells.word(cell.get("origin") or "own", _ORIGINS, "origin"))
    return Reading(group, quantity, value, uncertainty, resolution, note, file, row, origin)


def _value(cell, term, comma):
    text, unit_text = cell["value"], cell["unit"]
    if not text:
        raise CellError("value", "", "a value")
    if term.kind in ("choice", "date"):
        if unit_text not in _EMPTY:
            raise CellError("unit", unit_text, "nothing, as this quantity has no unit")
        value = cells.word(text, term.words) if term.kind == "choice" else cells.day(text)
        return value, None, None
    if term.kind == "clock":
        zone = "+00:00" if unit_text.casefold() in ("utc", "ut") else ""
        unit = cells.unit("" if zone or unit_text in _EMPTY else unit_text, "clock")
        return cells.clock(text, zone), unit, cells.clock_resolution(text)
    unit = cells.unit("" if unit_text in _EMPTY else unit_text, term.kind)
    number, step = cells.number(text, "value", comma)
    value = number * unit
    least, greatest = term.least, term.greatest
    if not least.unit.is_equivalent(unit):  # a photograph measured on a print
        least, greatest = 0.1 * u.mm, 100 * u.m
    if not least.value <= value.to_value(least.unit) <= greatest.to_value(least.unit):
        raise CellError("value", f"{text} {unit_text}", f"{least:g} to {greatest:g}")
    return value, unit, step * unit


def _uncertainty(text, term, value, unit, comma):
    if text in _EMPTY:
        return None
    if unit is None or not term.measured:
        raise CellError("uncertainty", text, "nothing, for this quantity")
    number, _ = cells.number(text, "uncertainty", comma)
    uncertainty = number * unit
    greatest = {"clock": 1 * u.h, "angle": 90 * u.deg}.get(term.kind)
    if greatest is None:  # no reading is less sure than itself, but a shadow may have no length
        greatest = abs(value) if value != 0 else 1 * unit
    if number < _LEAST_UNCERTAINTY or uncertainty > greatest:
        raise CellError("uncertainty", text, f"more than zero and at most {greatest:g}")
    return uncertainty
