"""How a table is laid out: a row for each reading, or a row for each group; its readings' cells."""

import contextlib
import csv
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from moonreach.sheet import cells, columns
from moonreach.sheet.cells import CellError
from moonreach.sheet.columns import Column
from moonreach.sheet.files import SheetError
from moonreach.sheet.quantities import QUANTITIES

_CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f\x85\u2028\u2029\ufffd]")
_UNITS = ("unit", "units")  # in place of a group's name: the row of units
Line = str | list[str]  # of a text file, or a spreadsheet's row


@dataclass
class Header:
    """The header of a table: its separator, columns, whether each row is a group's, its own row."""

    separator: str
    columns: list[Column]
    wide: bool
    row: int = 1

    def names(self) -> list[str]:
        """Return the columns' names as they are compared."""
        return [column.header.casefold() for column in self.columns]

    def split(self, line: Line) -> list[str]:
        """Return one line's cells, or raise `CellError` for a line that cannot be split."""
        if found := _CONTROL.search("".join(line)):
            unreadable = f"the unreadable character U+{ord(found[0]):04X}"
            raise CellError(None, unreadable, "readable text")
        try:
            row = _cut(line, self.separator)
        except csv.Error:
            row = self._with_a_sign(line)
        row, wanted = [cell.strip() for cell in row], len(self.columns)
        more, fewer = any(row[wanted:]), self.wide and any(row) and len(row) < wanted
        if more or fewer:
            comma = " (where commas separate cells, numbers have a decimal point)" * more
            raise CellError(None, f"{len(row)} cells", f"{wanted} cells as in the header{comma}")
        return row[:wanted] + [""] * (wanted - len(row))

    def _with_a_sign(self, line):
        """Return the cells of a line in which an inch or a second of arc is a sign, no quote."""
        row = line.split(self.separator)
        whole = not self.wide and len(row) == len(self.columns)
        if whole and line.count('"') == 1 and row[self.names().index("unit")].strip() == '"':
            return row
        raise CellError(None, line.strip()[:60], "quotation marks that are closed on their line")

    def readings(self, row: list[str]) -> Iterator[dict[str, str]]:
        """Yield each reading of a line's cells by the names of `COLUMNS`.

        `column` is the header that a reading stands under, `usual unit` the unit of its column,
        which counts where the cell has none. Raises `CellError` for a row without a group.
        """
        row = list(zip(self.columns, row, strict=True))
        common = {
            column.holds: cell for column, cell in row if column.holds and not column.quantity
        }
        if not self.wide:
            yield common
            return
        filled = [(column, cell) for column, cell in row if cell]
        if filled and not common["group"]:
            raise CellError("group", "", "the name of a group")
        spread = {
            column.quantity: cell if cells.has_unit(cell) else f"{cell} {column.unit}"
            for column, cell in filled
            if column.holds == "uncertainty"
        }
        for column, cell in filled:
            if column.holds == "value":
                yield {
                    **common,
                    "column": column.header,
                    "quantity": column.quantity,
                    "value": cell,
                    "unit": "" if cells.has_unit(cell) else column.unit,
                    "usual unit": column.unit,
                    "uncertainty": spread.get(column.quantity, ""),
                }

    def worked_out(self, row: list[str]) -> str | None:
        """Return the name of a row that is a mean or sum of the groups'; nothing for a group's."""
        place = next(place for place, one in enumerate(self.columns) if one.holds == "group")
        name = row[place] or next(filter(None, row), "")
        return name if columns.is_worked_out(name) else None

    def take_units(self, line: Line) -> bool:
        """Take the units of a row below the header into the columns; return whether it was one."""
        units = []
        with contextlib.suppress(csv.Error, CellError):
            for column, cell in zip(self.columns, _cut(line, self.separator), strict=False):
                if column.quantity and cell.strip():
                    cells.units(cell.strip(), QUANTITIES[column.quantity].kind)
                    units.append((column, cell.strip()))
                elif column.holds == "group" and cell.strip().casefold() not in ("", *_UNITS):
                    return False
            for column, unit in units:
                column.unit = unit
            return bool(units)
        return False


@dataclass
class Rows:
    """What a table's lines hold: each reading's row number and cells; errors by row number.

    Besides, what was left out, and the groups that have two rows, in words.
    """

    cells: list = field(default_factory=list)
    errors: list = field(default_factory=list)
    left_out: list = field(default_factory=list)
    twice: list = field(default_factory=list)
    comma_separated: bool = False


def rows_of(lines: Iterable[Line], name: str, group: str = "") -> Rows:
    """Return the `Rows` of a table in either form.

    Parameters: the lines, the file's name, and the group of rows that name none: a spreadsheet's
    sheet may be one group's. Raises `SheetError` where there is no table.
    """
    header, below = table(lines, name, bool(group))
    rows = Rows(comma_separated=header.separator == ",")
    if header.wide:
        rows.left_out, errors = columns.left_out(header.columns)
        rows.errors = [(None, error) for error in errors]
        if below and header.take_units(below[0][1]):
            del below[0]
    first = {}  # the row of each group
    for row, line in below:
        try:
            split = header.split(line)
            if header.wide and (mean := header.worked_out(split)):
                rows.left_out.append(f"row {row}, “{mean}”, a row worked out of the groups'")
                continue
            read = [{"group": group, **one} for one in header.readings(split)]
            if header.wide and read:
                whose = read[0]["group"]
                if (before := first.setdefault(cells.folded(whose), row)) != row:
                    rows.twice.append(f"rows {before} and {row} both say {whose}")
        except CellError as error:
            rows.errors.append((row, error))
            continue
        if header.wide or not group or _is_filled(read[0]):
            rows.cells += [(row, one) for one in read]
    return rows


def _is_filled(reading):
    """Return whether anybody filled a line of a spreadsheet's form; if not it is no mistake."""
    return any(reading.get(column) for column in ("value", "uncertainty", "note"))


def table(
    lines: Iterable[Line], name: str, of_one_group: bool = False
) -> tuple[Header, list[tuple[int, Line]]]:
    """Return the header of the table among lines, and the number and text of each line below it.

    Parameters: the lines, the file's name, whether a column for the group may be missing. Raises
    `SheetError`, naming the file, where there is none.
    """
    header, below = None, []
    for row, line in enumerate(lines, start=1):
        text = "".join(line).lstrip()
        if not text or text.startswith("#"):
            continue
        if header:
            below.append((row, line))
        elif header := header_of(line, of_one_group):
            header.row = row
        elif row >= 20:
            break  # before that it may be a title above the table
    if not header:
        raise SheetError(
            f"{name}: no table of readings was found. Accepted are the columns group, quantity, "
            "value and unit, or one row for each group under a header such as group, U1, U2. It "
            "is a spreadsheet, or a text with commas, semicolons or tabs between its cells"
        )
    return header, below


def header_of(line: Line, of_one_group: bool = False) -> Header | None:
    """Return the `Header` that a line is, in either form, or nothing."""
    for separator in ",;\t" if isinstance(line, str) else "\t":
        with contextlib.suppress(csv.Error):
            names = [" ".join(name.split()) for name in _cut(line, separator)]
            if found := columns.of_readings(names, of_one_group):
                return Header(separator, found, wide=False)
            if found := columns.of_groups(names):
                return Header(separator, found, wide=True)
    return None


def _cut(line, separator):
    """Return a line's cells as they are; csv.Error where quotation marks are not closed."""
    if isinstance(line, list):
        return line
    return next(csv.reader([line], delimiter=separator, strict=True), [])
