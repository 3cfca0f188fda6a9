"""The empty table to fill in: one row for each group, or one sheet of a spreadsheet for each."""

import io
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from moonreach.sheet import cells
from moonreach.sheet.columns import COLUMNS
from moonreach.sheet.quantities import QUANTITIES
from moonreach.sheet.reading import Reading, row_of
from moonreach.sheet.writing import csv_of

_HOW = "# Fill in what you have. A line that starts with # does not count; rename the groups."
_EXAMPLE = "# example (invented)"
_UNITS_SHEET = "# units"


def quantities(everything: bool = False) -> list[str]:
    """Return the quantities of a template: those that most classes read, or all there are."""
    return [name for name, term in QUANTITIES.items() if everything or term.columns]


def rows(names: Sequence[str], groups: int, example: Sequence[Reading]) -> list[list[str]]:
    """Return the table with one row for each group: header, units, an example, the groups' rows.

    Parameters: the quantities' names, the number of groups, an invented group's readings.
    """
    columns = list(_columns(names, example))
    return [
        ["group", *(QUANTITIES[name].short for name, _ in columns)],
        ["unit", *(QUANTITIES[name].unit for name, _ in columns)],
        [_EXAMPLE, *(text for _, text in columns)],
        *([f"Group {group}", *[""] * len(columns)] for group in range(1, groups + 1)),
    ]


def text(table: Sequence[Sequence[str]]) -> str:
    """Return a table of `rows` as a CSV file's text."""
    return f"{_HOW}\n{csv_of(table)}"


def workbook(
    names: Sequence[str], groups: int, example: Sequence[Reading], one_sheet_each: bool
) -> bytes:
    """Return the template as an .xlsx file, with its limits as rules for what is typed.

    Parameters: as of `rows`, and whether each group has a sheet of its own.
    """
    import xlsxwriter  # only where a spreadsheet is written

    file = io.BytesIO()
    with xlsxwriter.Workbook(file, {"in_memory": True}) as book:
        head = book.add_format({"bold": True, "text_wrap": True, "bottom": 1})
        grey = book.add_format({"italic": True, "font_color": "#808080"})
        if one_sheet_each:
            _write_group(book.add_worksheet("# example"), names, example, head, grey)
            for group in range(1, groups + 1):
                _write_group(book.add_worksheet(f"Group {group}"), names, (), head, None)
            book.worksheets()[1].activate()
        else:
            sheet = book.add_worksheet("Class")
            _write(sheet, rows(names, groups, example), {1: head, 3: grey})
            for column, (name, _) in enumerate(_columns(names, example), start=1):
                _rule(sheet, name, (4, column, 3 + groups, column), (2, column))
            sheet.freeze_panes(3, 1)
        sheet = book.add_worksheet(_UNITS_SHEET)  # what each unit is in its kind's first
        offered = [(name, kind) for kind, (_, names, _) in cells.KINDS.items() for name in names]
        for row, (name, kind) in enumerate(offered):
            sheet.write_row(row, 0, [name, cells.unit(name, kind).to(cells.KINDS[kind][0])])
        sheet.hide()
    return file.getvalue()


def _columns(names: Sequence[str], example: Sequence[Reading]) -> Iterator[tuple[str, str]]:
    """Yield each column's quantity, and what an example has of it, in the unit proposed there."""
    for name in names:
        term = QUANTITIES[name]
        read = (reading for reading in example if reading.quantity == name)
        for _ in range(max(1, term.columns)):
            text = ""
            if reading := next(read, None):
                if term.unit:
                    to = cells.unit(term.unit, term.kind)
                    reading = replace(reading, value=reading.value.to(to))
                text = row_of(reading)[2]
            yield name, text


def _write_group(sheet, names, example, head, style):
    """Write one group's sheet: a line for each reading; the sheet's name is the group's."""
    table, styles = [COLUMNS[1:]], {1: head}
    for row, (name, text) in enumerate(_columns(names, example), start=2):
        table.append([QUANTITIES[name].label, text, QUANTITIES[name].unit])
        styles[row] = style
        _rule(sheet, name, (row, 1, row, 1), (row, 2))
    _write(sheet, table, styles)
    sheet.freeze_panes(2, 1)


def _write(sheet, table, styles):
    """Write how to fill the sheet in, and a table of texts below, numbers as numbers."""
    for number, row in enumerate([[_HOW], *table]):
        for column, text in enumerate(row):
            is_number = re.fullmatch(r"[0-9]+(\.[0-9]+)?", text)
            sheet.write(number, column, float(text) if is_number else text, styles.get(number))
    sheet.set_column(0, 0, 24)


def _rule(sheet, name, place, unit):
    """Set the rule for the cells of a quantity, and the choice of units for its unit's cell."""
    from xlsxwriter.utility import xl_rowcol_to_cell

    term = QUANTITIES[name]
    base, units, _ = cells.KINDS.get(term.kind, (None, (), ""))
    if units:
        sheet.data_validation(*unit, *unit, {"validate": "list", "source": [*units]})
    says = {"date": "; as 2029-12-20", "clock": "; as 21:40 or 21:40:10"}.get(term.kind, "")
    rule = {"validate": "any"}
    if term.kind == "choice":
        rule = {"validate": "list", "source": [*term.words]}
    elif term.least is not None:
        least, greatest = (end.to_value(base) for end in (term.least, term.greatest))
        typed = number = xl_rowcol_to_cell(*place[:2])
        if units:
            of_unit = xl_rowcol_to_cell(*unit, row_abs=True)
            number = f"{typed}*VLOOKUP({of_unit},'{_UNITS_SHEET}'!$A:$B,2,FALSE)"
        within = f"AND({number}>={least:.10g},{number}<={greatest:.10g})"
        says = f": {term.least:g} to {term.greatest:g} ({term.why})"
        rule = {
            "validate": "custom",
            "value": f"=IFERROR(OR(ISTEXT({typed}),{within}),TRUE)",  # a text is judged when read
            "error_title": "Is that so?",
            "error_message": f"Accepted is {term.label}{says}."[:255],
        }
    shown = {"input_title": term.label[:32], "input_message": f"{term.meaning}{says}."[:255]}
    sheet.data_validation(*place, rule | shown)
