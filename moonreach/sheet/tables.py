"""The class sheet: read, check, write. The only room that knows the file format.

A table of text with the columns group, quantity, value, unit, uncertainty and note, in any order.
It is read line by line, so that a damaged line can never swallow its neighbours. Nothing is
guessed: what cannot be read for certain is reported and left out, and the rest goes on.
"""

import csv
import difflib
import io
import re
from dataclasses import dataclass, field
from pathlib import Path

from astropy import units as u

from moonreach.sheet import cells, writing
from moonreach.sheet.cells import CellError
from moonreach.sheet.quantities import QUANTITIES

COLUMNS = ("group", "quantity", "value", "unit", "uncertainty", "note")
_NEEDED = frozenset(COLUMNS[:4])
_LEAST_UNCERTAINTY = 1e-9  # in any unit: what is smaller is a slip, and no weight can be formed
_EMPTY = ("", "-", "–", "—")
_CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f\x85\u2028\u2029\ufffd]")


class SheetError(ValueError):
    """A file that is no class sheet at all."""


@dataclass(frozen=True)
class Problem:
    """One thing that was wrong: where, what was found and what is accepted."""

    file: str
    row: int | None
    column: str | None
    message: str

    def __str__(self):
        row = f", row {self.row}" if self.row else ""
        column = f", column {self.column}" if self.column else ""
        return f"{self.file}{row}{column}: {self.message}"


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


@dataclass
class Sheet:
    """What was read from one or more files."""

    readings: list = field(default_factory=list)
    problems: list = field(default_factory=list)

    def groups(self):
        """Return each group's readings, in the order in which groups first appear.

        A group's name is the same in any letter case, and shown as it was first written.
        """
        found = {}
        for reading in self.readings:
            found.setdefault(reading.group.casefold(), []).append(reading)
        return {readings[0].group: readings for readings in found.values()}


def read(*paths):
    """Return the `Sheet` of one or more files; a file that is no sheet becomes a problem.

    Raises `SheetError`, with one sentence a file, when none of them is a sheet.
    """
    sheet, refused = Sheet(), []
    for path in paths:
        try:
            _read_file(path, sheet)
        except SheetError as error:
            refused.append(str(error))
            name, _, message = str(error).partition(": ")
            sheet.problems.append(Problem(name, None, None, message))
    if len(refused) == len(paths):
        raise SheetError("; ".join(refused))
    return sheet


def write(path, rows, comments=()):
    """Write rows (each a sequence in the order of `COLUMNS`) as a class sheet, atomically.

    Comment lines start with `#` and are passed over by `read`.
    """
    text = io.StringIO()
    text.writelines(f"# {comment}\n" for comment in comments)
    table = csv.writer(text, lineterminator="\n")
    table.writerow(COLUMNS)
    table.writerows(rows)
    writing.replace(path, text.getvalue())


def of_rows(rows):
    """Return the `Sheet` that rows, as `write` takes them, make without a file."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([COLUMNS, *rows])
    sheet = Sheet()
    _read_lines(text.getvalue().splitlines(), "practice", sheet)
    return sheet


def table(lines, name):
    """Yield the number, text, separator and columns of each line of the table among the lines.

    Raises `SheetError`, naming the file, where there is none.
    """
    header = None
    for row, line in enumerate(lines, start=1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        if header is None:
            header = header_of(line)
            if header is None and row >= 20:  # before that it may be a title above the table
                break
            continue
        yield row, line, *header
    if header is None:
        raise SheetError(
            f"{name}: no table with the columns group, quantity, value and unit was found in it; "
            "accepted is a text file separated by commas, semicolons or tabs"
        )


def _read_file(path, sheet):
    name = str(path)
    _read_lines(_lines(path, name), name, sheet)


def _read_lines(lines, name, sheet):
    for row, line, separator, columns in table(lines, name):
        try:
            reading = reading_of(line, separator, columns, name, row)
        except CellError as error:
            sheet.problems.append(Problem(name, row, error.column, str(error)))
        else:
            if reading:
                sheet.readings.append(reading)


def _lines(path, name):
    try:
        data = Path(path).read_bytes()
    except OSError as error:
        raise SheetError(f"{name}: cannot be read ({error.strerror})") from None
    if not data.strip():
        raise SheetError(f"{name}: the file is empty; accepted is a class sheet")
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        data = data.decode("utf-16", errors="replace").encode()
    return [text_of(line) for line in re.split(b"\r\n|\r|\n", data.removeprefix(b"\xef\xbb\xbf"))]


def text_of(line):
    """Return the text of one line of bytes."""
    # Line by line: one stray byte must not change how the other lines are understood.
    try:
        return line.decode("utf-8")
    except UnicodeDecodeError:
        return line.decode("cp1252", errors="replace")


def header_of(line):
    """Return the separator and the columns' names of a header line, or nothing."""
    for separator in ",;\t":
        try:
            names = next(csv.reader([line], delimiter=separator, strict=True))
        except csv.Error:
            continue
        names = [name.strip().casefold() for name in names]
        known = [name for name in names if name in COLUMNS]
        if set(known) >= _NEEDED and len(set(known)) == len(known):
            return separator, names
    return None


def cells_of(line, separator, names):
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
    return {name: cell for name, cell in zip(names, row, strict=False) if name in COLUMNS}


def reading_of(line, separator, names, file, row):
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
    quantity = re.sub(r"[\s_-]+", "_", cell["quantity"].casefold())
    term = QUANTITIES.get(quantity)
    if term is None:
        near = difflib.get_close_matches(quantity, QUANTITIES, 3) or QUANTITIES
        raise CellError("quantity", cell["quantity"], ", ".join(near))
    value, unit, resolution = _value(cell, term, comma)
    uncertainty = _uncertainty(cell.get("uncertainty", ""), term, value, unit, comma)
    return Reading(group, quantity, value, uncertainty, resolution, note, file, row)


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
    if unit is None or term.typical is None:
        raise CellError("uncertainty", text, "nothing, for this quantity")
    number, _ = cells.number(text, "uncertainty", comma)
    uncertainty = number * unit
    greatest = {"clock": 1 * u.h, "angle": 90 * u.deg}.get(term.kind)
    if greatest is None:  # no reading is less sure than itself, but a shadow may have no length
        greatest = abs(value) if value != 0 else 1 * unit
    if number < _LEAST_UNCERTAINTY or uncertainty > greatest:
        raise CellError("uncertainty", text, f"more than zero and at most {greatest:g}")
    return uncertainty
