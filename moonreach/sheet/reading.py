"""One row of a class sheet: its cells, the reading they make, and back.

Nothing is guessed: a cell that cannot be read for certain is refused, and says what is accepted.
"""

import csv
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from astropy import units as u

from moonreach.sheet import cells, values
from moonreach.sheet.cells import CellError
from moonreach.sheet.conventions import Conventions
from moonreach.sheet.origin import Origin
from moonreach.sheet.quantities import QUANTITIES

COLUMNS = ("group", "quantity", "value", "unit", "uncertainty", "note")
ORIGIN = "origin"  # a further column, where not all readings are the groups' own
_ORIGINS = (Origin.OWN, Origin.SHARED, Origin.PRACTICE)  # those that a reading may have
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


def split(line: str, separator: str, names: Sequence[str]) -> list[str]:
    """Return one line's cells, or raise `CellError` for a line that cannot be split."""
    if found := _CONTROL.search(line):
        raise CellError("row", found[0], "text without control or unreadable characters")
    try:
        row = next(csv.reader([line], delimiter=separator, strict=True))
    except csv.Error:
        row = line.split(separator)  # an inch sign or a second of arc is no quotation mark
        whole = "unit" in names and len(row) == len(names)
        unit = row[names.index("unit")].strip() if whole else ""
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
    return row


def cells_of(line: str, separator: str, names: Sequence[str]) -> dict[str, str]:
    """Return one line's cells by column, or raise `CellError` for a line that cannot be split."""
    row = split(line, separator, names)
    row += [""] * (len(names) - len(row))
    return {
        name: cell for name, cell in zip(names, row, strict=False) if name in (*COLUMNS, ORIGIN)
    }


def reading_of(
    cell: Mapping[str, str], conventions: Conventions, file: str, row: int
) -> Reading | None:
    """Return the `Reading` of a row's cells (nothing for empty ones), or raise `CellError`.

    A cell `usual unit` is the unit of a whole column, which gives way to that of the cell itself.
    """
    if not any(cell.values()):
        return None
    note = cell.get("note", "")
    if conventions.comma_separated and re.fullmatch(r"[0-9]+", note):
        raise CellError("note", note, "words (is it the rest of a decimal comma? write 1.5)")
    group = re.sub(r"\s+", " ", cell["group"])
    if not group:
        raise CellError("group", "", "the name of a group")
    quantity = conventions.quantity(cell["quantity"], row)
    term = QUANTITIES[quantity]
    value, uncertainty, resolution = values.of(cell, term, conventions, row)
    origin = Origin(cells.word(cell.get("origin") or "own", _ORIGINS, "origin"))
    return Reading(group, quantity, value, uncertainty, resolution, note, file, row, origin)
