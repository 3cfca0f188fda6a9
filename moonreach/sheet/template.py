"""The empty table to fill in: one row for each group, or one sheet of a spreadsheet for each."""

import csv
import io
from collections.abc import Iterator, Sequence

from astropy import units as u

from moonreach.sheet import cells
from moonreach.sheet.quantities import QUANTITIES, Term
from moonreach.sheet.reading import COLUMNS, Reading, row_of

UNITS = {
    "length": ("mm", "cm", "m", "km", "inch", "ft", "mile"),
    "angle": ("deg", "arcmin", "arcsec"),
    "duration": ("s", "min", "h"),
    "picture": ("px",),
}
_BASES = {"length": u.m, "angle": u.deg, "duration": u.s, "picture": u.pix, "part": u.one}
_HOW = "# Fill in what you have; the rest may stay empty. A line that starts with # does not count."
_EXAMPLE = "# example (invented)"
_UNITS_SHEET = "# units"


def quantities(everything: bool = False) -> list[str]:
    """Return the quantities of a template: those that most classes read, or all there are."""
    return [name for name, term in QUANTITIES.items() if everything or term.columns]


def rows(names: Sequence[str], groups: int, example: Sequence[Reading]) -> list[list[str]]:
    """Return the table with one row for each group: header, units, an example, the groups' rows.

    Parameters: the quantities' names, the number of groups, an invented group's readings.
    """
    columns = list(_columns(names))
    shown = {name: _texts(name, example) for name in names}
    return [
        ["group", *(QUANTITIES[name].short for name, _ in columns)],
        ["unit", *(QUANTITIES[name].unit for name, _ in columns)],
        [_EXAMPLE, *((shown[name][number:] or [""])[0] for name, number in columns)],
        *([f"Group {group}", *[""] * len(columns)] for group in range(1, groups + 1)),
    ]


def text(table: Sequence[Sequence[str]]) -> str:
    """Return a table of `rows` as a CSV file's text."""
    file = io.StringIO()
    file.write(f"{_HOW}\n")
    csv.writer(file, lineterminator="\n").writerows(table)
    return file.getvalue()


def workbook(
    names: Sequence[str], groups: int, example: Sequence[Reading], one_sheet_each: bool
) -> bytes:
    """Return the template as an .xlsx file, with its limits as rules for what is typed.

    Parameters: as of `rows`, and whether each group has a sheet of its own.
    """
    import xlsxwriter  # only where a spreadsheet is written

    file = io.BytesIO()
    with xlsxwriter.Workbook(file, {"in_memory": True}) as book:
        styles = {
            "head": book.add_format({"bold": True, "text_wrap": True, "bottom": 1}),
            "grey": book.add_format({"italic": True, "font_color": "#808080"}),
            "plain": book.add_format(),
        }
        if one_sheet_each:
            _write_sheet(book.add_worksheet("# example"), names, styles, example)
            for group in range(1, groups + 1):
                _write_sheet(book.add_worksheet(f"Group {group}"), names, styles)
            book.worksheets()[1].activate()
        else:
            _write_rows(book.add_worksheet("Class"), names, groups, styles, example)
        _write_units(book.add_worksheet(_UNITS_SHEET))
    return file.getvalue()


def _columns(names: Sequence[str]) -> Iterator[tuple[str, int]]:
    """Yield each column's quantity, and the how manieth of it the column is."""
    for name in names:
        for number in range(max(1, QUANTITIES[name].columns)):
            yield name, number


def _texts(name, readings):
    """Return an example's readings of a quantity, with a unit that is not the proposed one."""
    written = [row_of(reading) for reading in readings if reading.quantity == name]
    proposed = ("", QUANTITIES[name].unit or "s")
    return [text if unit in proposed else f"{text} {unit}" for _, _, text, unit, _, _ in written]


def _write_rows(sheet, names, groups, styles, example):
    sheet.write_string(0, 0, _HOW, styles["grey"])
    table = rows(names, groups, example)
    for number, row in enumerate(table, start=1):
        style = styles[{1: "head", 3: "grey"}.get(number, "plain")]
        for column, cell in enumerate(row):
            _write(sheet, number, column, cell, style)
    for column, (name, _) in enumerate(_columns(names), start=1):
        _offer_units(sheet, 2, column, name)
        rule = _rule(QUANTITIES[name], (4, column), (2, column))
        sheet.data_validation(4, column, len(table), column, rule)
    sheet.set_column(0, 0, 20)
    sheet.freeze_panes(3, 1)
    sheet.set_landscape()


def _write_sheet(sheet, names, styles, example=()):
    """Write one group's sheet: a line for each reading; the sheet's name is the group's."""
    how = f"{_HOW} Give this sheet the name of the group."
    sheet.write_string(0, 0, how, styles["grey"])
    for column, title in enumerate(COLUMNS[1:]):
        sheet.write_string(1, column, title, styles["head"])
    for row, (name, number) in enumerate(_columns(names), start=2):
        shown = (_texts(name, example)[number:] or [""])[0]
        for column, cell in enumerate((QUANTITIES[name].label, shown, QUANTITIES[name].unit)):
            _write(sheet, row, column, cell, styles["grey" if example else "plain"])
        _offer_units(sheet, row, 2, name)
        sheet.data_validation(row, 1, row, 1, _rule(QUANTITIES[name], (row, 1), (row, 2)))
    sheet.set_column(0, 0, 26)
    sheet.freeze_panes(2, 0)


def _write_units(sheet):
    """Write the hidden table of what each unit is in its kind's first, for the limits' rules."""
    every = [(name, kind) for kind, names in UNITS.items() for name in names]
    for row, (name, kind) in enumerate(every):
        sheet.write_string(row, 0, name)
        sheet.write_number(row, 1, cells.unit(name, kind).to(_BASES[kind]))
    sheet.hide()


def _write(sheet, row, column, text, style):
    try:
        sheet.write_number(row, column, float(text), style)
    except ValueError:
        sheet.write_string(row, column, text, style)


def _offer_units(sheet, row, column, name):
    if units := UNITS.get(QUANTITIES[name].kind):
        sheet.data_validation(row, column, row, column, {"validate": "list", "source": [*units]})


def _rule(term: Term, cell: tuple[int, int], unit: tuple[int, int]) -> dict:
    """Return the rule for what is typed into a quantity's cells, whose first one is given."""
    from xlsxwriter.utility import xl_rowcol_to_cell

    shown = {"input_title": term.label[:32], "input_message": f"{term.meaning}."[:255]}
    if term.kind == "choice":
        return {"validate": "list", "source": [*term.words], **shown}
    if term.kind not in _BASES:
        how = "as 2029-12-20" if term.kind == "date" else "as 21:40 or 21:40:10"
        return {"validate": "any", **shown, "input_message": f"{term.meaning}; {how}."}
    least, greatest = (end.to_value(_BASES[term.kind]) for end in (term.least, term.greatest))
    typed = number = xl_rowcol_to_cell(*cell)
    if term.kind != "part":
        of_unit = xl_rowcol_to_cell(*unit, row_abs=True)
        number = f"{typed}*VLOOKUP({of_unit},'{_UNITS_SHEET}'!$A:$B,2,FALSE)"
    within = f"AND({number}>={least:.10g},{number}<={greatest:.10g})"
    limits = f"{term.least:g} to {term.greatest:g}: {term.why}."
    return {
        "validate": "custom",
        "value": f"=IFERROR(OR(ISTEXT({typed}),{within}),TRUE)",  # a text is judged when read
        **shown,
        "input_message": f"{term.meaning}. {limits}"[:255],
        "error_title": "Is that so?",
        "error_message": f"Accepted are {limits}"[:255],
    }
