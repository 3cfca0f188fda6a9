"""The two forms of a table: one row for each reading, or one row for each group."""

import csv
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from moonreach.sheet import wide
from moonreach.sheet.cells import CellError
from moonreach.sheet.files import SheetError
from moonreach.sheet.reading import COLUMNS, ORIGIN, cells_of

_NEEDED = frozenset(COLUMNS[:4])


@dataclass
class Rows:
    """What a table's lines hold: each reading's row number and cells; errors by row number."""

    cells: list = field(default_factory=list)
    errors: list = field(default_factory=list)
    left_out: list = field(default_factory=list)
    comma_separated: bool = False


def rows_of(lines: Sequence[str], name: str, group: str = "") -> Rows:
    """Return the `Rows` of a table in either form.

    Parameters: the lines, the file's name, and the group of rows that name none: a spreadsheet's
    sheet may be one group's. Raises `SheetError` where there is no table.
    """
    try:
        return _long(list(table(lines, name, bool(group))), group)
    except SheetError:
        return _wide(list(table(lines, name, header_in=wide.header_of)))


def table(
    lines: Iterable[str], name: str, of_one_group: bool = False, header_in: Callable | None = None
) -> Iterator[tuple]:
    """Yield the number, text, separator and columns of each line of the table among the lines.

    Parameters: the lines, the file's name, whether a column for the group may be missing, and
    what finds separator and columns in a header (`header_of`). Raises `SheetError`, naming the
    file, where there is none.
    """
    header = None
    for row, line in enumerate(lines, start=1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        if header is None:
            header = header_in(line) if header_in else header_of(line, of_one_group)
            if header is None and row >= 20:  # before that it may be a title above the table
                break
            continue
        yield row, line, *header
    if header is None:
        raise SheetError(
            f"{name}: no table with the columns group, quantity, value and unit was found in it, "
            "and none with one row for each group; accepted is a spreadsheet, or a text file "
            "separated by commas, semicolons or tabs"
        )


def header_of(line: str, of_one_group: bool = False) -> tuple[str, list[str]] | None:
    """Return the separator and the columns' names of a header line, or nothing."""
    needed = _NEEDED - {"group"} if of_one_group else _NEEDED
    for separator in ",;\t":
        try:
            names = next(csv.reader([line], delimiter=separator, strict=True))
        except csv.Error:
            continue
        names = [name.strip().casefold() for name in names]
        known = [name for name in names if name in (*COLUMNS, ORIGIN)]
        if set(known) >= needed and len(set(known)) == len(known):
            return separator, names
    return None


def _long(lines, group):
    rows = Rows(comma_separated=any(separator == "," for _, _, separator, _ in lines))
    for row, line, separator, columns in lines:
        try:
            cells = cells_of(line, separator, columns)
        except CellError as error:
            rows.errors.append((row, error))
            continue
        measured = any(cells.get(column) for column in ("value", "uncertainty", "note"))
        if measured or not group:  # a line of a spreadsheet's form that nobody filled is no mistake
            rows.cells.append((row, {"group": group, **cells}))
    return rows


def _wide(lines):
    rows = Rows()
    for row, line, separator, columns in lines:
        if row == lines[0][0]:
            rows.comma_separated = separator == ","
            rows.left_out, errors = wide.left_out(columns)
            rows.errors += [(None, error) for error in errors]
            if wide.take_units(line, separator, columns):
                continue
        try:
            read = list(wide.cells_of(line, separator, columns))
        except CellError as error:
            rows.errors.append((row, error))
            continue
        if read and wide.is_worked_out(name := read[0]["group"]):
            rows.left_out.append(f"row {row}, “{name}”, a row worked out of the groups'")
        else:
            rows.cells += [(row, cells) for cells in read]
    return rows
