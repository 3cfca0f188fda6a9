"""One row for each group: which quantity a column holds, and the rows of a class sheet it makes."""

import contextlib
import csv
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from moonreach.sheet import cells
from moonreach.sheet.cells import CellError
from moonreach.sheet.quantities import QUANTITIES, nearest, quantity_meant, quantity_of
from moonreach.sheet.reading import split

_GROUP = re.compile(r"(name of )?(the |your |our )?(group|team)('s)?( name)?\W*", re.IGNORECASE)
_UNIT = re.compile(r"(?P<name>.*?)\s*[(\[](?P<unit>[^()\[\]]*)[)\]]\s*(?P<number>[0-9]*)")
_SPREAD = re.compile(r"±|\+/?-|\b(standard )?uncertainty( of)?\b", re.IGNORECASE)
# What people call a row below the groups' that is worked out of them; common practice, no source.
_WORKED_OUT = re.compile(
    r"(the )?(whole )?class( mean| average)?|all( groups)?|mean|average|median|total|sum|"
    r"(min|max)(imum)?|standard deviation|sd|mittel(wert)?|durchschnitt|summe|moyenne|media|promedio",
    re.IGNORECASE,
)
_ALIKE = 0.75  # from here on a header that names no quantity was meant to name one
_UNITS = ("unit", "units")  # in place of a group's name: the row of units


@dataclass
class Column:
    """One column: what it holds (a cell of a class sheet, or nothing), of which quantity."""

    header: str
    holds: str | None = None
    quantity: str = ""
    unit: str = ""


def header_of(line: str) -> tuple[str, list[Column]] | None:
    """Return the separator and the columns of a header line with one row a group, or nothing."""
    for separator in ",;\t":
        with contextlib.suppress(csv.Error):
            columns = []
            for header in next(csv.reader([line], delimiter=separator, strict=True)):
                columns.append(_column(" ".join(header.split()), columns))
            groups = [column for column in columns if column.holds == "group"]
            named = [column for column in groups if _GROUP.fullmatch(column.header)] or groups
            if groups and any(column.quantity for column in columns):
                for column in groups:
                    column.holds = "group" if column is named[0] else None
                return separator, columns
    return None


def _column(header, before):
    """Return what a header says: a quantity, its uncertainty, the group, a note, or nothing."""
    if _GROUP.fullmatch(header) or re.search(r"\b(group|team)\b", header, re.IGNORECASE):
        return Column(header, "group")
    if (small := header.casefold()) in ("note", "notes", "origin"):
        return Column(header, small.removesuffix("s"))
    found = _UNIT.fullmatch(header)
    name, unit = (found["name"], found["unit"].strip()) if found else (header, "")
    plain = _SPREAD.sub("", name).strip()
    holds = "value" if plain == name else "uncertainty"
    if not plain and before:
        return Column(header, holds, before[-1].quantity, unit)
    first = re.sub(r"\W*[0-9]+\W*$", "", plain)  # a second reading: shadow north 2
    quantity = quantity_of(plain) or quantity_of(first) or quantity_meant(first)
    quantity = quantity or quantity_meant(header)
    if not quantity:
        return Column(header)
    if unit.casefold() not in ("utc", "ut"):
        try:
            cells.units(unit, QUANTITIES[quantity].kind)
        except CellError:
            unit = ""  # what stands in brackets is no unit: an explanation
    return Column(header, holds, quantity, unit)


def left_out(columns: Sequence[Column]) -> tuple[list[str], list[CellError]]:
    """Return the headers that say nothing here, and an error for each that is nearly a quantity."""
    others, errors = [], []
    for header in [column.header for column in columns if column.header and not column.holds]:
        if near := nearest(header, _ALIKE):
            labels = [QUANTITIES[name].label for name in near]
            errors.append(CellError("header", header, f"a quantity, such as {', '.join(labels)}"))
        else:
            others.append(header)
    return others, errors


def take_units(line: str, separator: str, columns: Sequence[Column]) -> bool:
    """Take the units of a row below the header into the columns; return whether it was one."""
    row = [cell.strip() for cell in line.split(separator)]
    filled = [(column, cell) for column, cell in zip(columns, row, strict=False) if cell]
    units = [(column, unit) for column, unit in filled if column.quantity]
    named = any(
        column.holds == "group" and cell.casefold() not in _UNITS for column, cell in filled
    )
    if named or not units:
        return False
    try:
        for column, unit in units:
            cells.units(unit, QUANTITIES[column.quantity].kind)
    except CellError:
        return False
    for column, unit in units:
        column.unit = unit
    return True


def is_worked_out(name: str) -> bool:
    """Return whether a row's name is that of a mean or sum of the groups, and no group's.

    >>> is_worked_out("Mittelwert"), is_worked_out("Class 9b"), is_worked_out("Mean Machines")
    (True, False, False)
    """
    return bool(_WORKED_OUT.fullmatch(name.strip(" :.=")))


def cells_of(line: str, separator: str, columns: Sequence[Column]) -> Iterator[dict[str, str]]:
    """Yield the cells of each reading of one group's row; raise `CellError` for a damaged row.

    `column` is the header that a reading stands under, `usual unit` the unit of its column.
    """
    row = split(line, separator, [column.header for column in columns])
    if not any(row):
        return
    if len(row) < len(columns):
        raise CellError("row", f"{len(row)} cells", f"{len(columns)} cells as in the header")
    filled = [(column, cell) for column, cell in zip(columns, row, strict=False) if cell]
    common = {"group": "", "note": "", "unit": ""}
    common |= {
        column.holds: cell for column, cell in filled if column.holds and not column.quantity
    }
    if not common["group"]:
        raise CellError("group", "", "the name of a group")
    spread = {
        column.quantity: cell if cells.number_and_unit(cell)[1] else f"{cell} {column.unit}"
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
                "usual unit": column.unit,
                "uncertainty": spread.get(column.quantity, ""),
            }
