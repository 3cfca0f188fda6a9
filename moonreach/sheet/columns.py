"""What the header of a table says: a row for each reading, or a row for each group."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from moonreach.sheet import cells
from moonreach.sheet.cells import CellError
from moonreach.sheet.quantities import QUANTITIES, nearest, quantity_meant, quantity_of

COLUMNS = ("group", "quantity", "value", "unit", "uncertainty", "note")
ORIGIN = "origin"  # a further column, where not all readings are the groups' own
_NEEDED = {"group", "quantity", "value", "unit"}
_GROUP = re.compile(r"(name of )?(the |your |our )?(group|team)('s)?( name)?\W*", re.IGNORECASE)
_UNIT = re.compile(r"(?P<name>.*?)\s*[(\[](?P<unit>[^()\[\]]*)[)\]]\s*(?P<number>[0-9]*)")
_SPREAD = re.compile(r"±|\+/?-|\b(standard )?uncertainty( of)?\b", re.IGNORECASE)
_ALIKE = 0.75  # from here on a header that names no quantity was meant to name one
# What people call a row below the groups' that is worked out of them; common practice, no source.
_WORKED_OUT = re.compile(
    r"(the )?(whole )?class( mean| average)?|all( groups)?|mean|average|median|total|sum|"
    r"(min|max)(imum)?|standard deviation|sd|mittel(wert)?|durchschnitt|summe|"
    r"moyenne|media|promedio",
    re.IGNORECASE,
)


@dataclass
class Column:
    """One column: what it holds (a cell of a class sheet, or nothing), of which quantity."""

    header: str
    holds: str | None = None
    quantity: str = ""
    unit: str = ""


def of_readings(names: list[str], of_one_group: bool) -> list[Column] | None:
    """Return the columns of a table with one row for each reading, or nothing."""
    columns = [
        Column(name, small if (small := name.casefold()) in (*COLUMNS, ORIGIN) else None)
        for name in names
    ]
    known = [column.holds for column in columns if column.holds]
    whole = _NEEDED - ({"group"} if of_one_group else set()) <= set(known)
    return columns if whole and len(set(known)) == len(known) else None


def of_groups(names: list[str]) -> list[Column] | None:
    """Return the columns of a table with one row for each group, or nothing."""
    columns = []
    for name in names:
        columns.append(_column(name, columns))
    groups = [column for column in columns if column.holds == "group"]
    if not groups or not any(column.quantity for column in columns):
        return None
    first = next((one for one in groups if _GROUP.fullmatch(one.header)), groups[0])
    for column in groups:
        column.holds = "group" if column is first else None
    return columns


def _column(header, before):
    """Return what a header says: a quantity, its uncertainty, the group, a note, or nothing."""
    if re.search(r"\b(group|team)\b", header, re.IGNORECASE) or _GROUP.fullmatch(header):
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


def left_out(columns: Iterable[Column]) -> tuple[list[str], list[CellError]]:
    """Return the headers that say nothing, and an error for each that is nearly a quantity."""
    others, errors = [], []
    for header in [one.header for one in columns if one.header and not one.holds]:
        if near := nearest(header, _ALIKE):
            labels = ", ".join(QUANTITIES[name].label for name in near)
            errors.append(CellError("header", header, f"a quantity, such as {labels}"))
        else:
            others.append(header)
    return others, errors


def is_worked_out(name: str) -> bool:
    """Return whether a row's name is that of a mean or sum of the groups, and no group's.

    >>> is_worked_out("Mittelwert"), is_worked_out("Class 9b"), is_worked_out("Mean Machines")
    (True, False, False)
    """
    return bool(_WORKED_OUT.fullmatch(name.strip(" :.=")))
