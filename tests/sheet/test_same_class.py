"""Tables as different as teachers make them, of one invented class: the same digits from each."""

import pytest
from class_tables import (
    CLASS,
    HEADER,
    IN_WORDS,
    SHORT,
    as_spreadsheets_hold,
    columns,
    csv_text,
    in_other_units,
    long_rows,
    ods,
    wide_rows,
    xls,
    xlsx,
)

from moonreach.reduction import printed, summary
from moonreach.sheet import tables

UNITS = {quantity: unit for read in CLASS.values() for quantity, unit, _, _ in read}


def in_words(sheet):
    reduced = summary.ClassSummary(sheet)
    assert reduced.problems == []
    return printed.as_text(reduced, details=True)


def long_points(path):
    path.write_text(csv_text([HEADER, *long_rows()]), encoding="utf-8")


def long_commas(path):
    """Decimal commas, printed labels, units in words and capitals, another order of columns."""
    rows = [["Value", "Unit", "Note", "GROUP", "Quantity", "Uncertainty"]]
    for group, quantity, value, unit, spread, _ in long_rows():
        value = "20.12.2029" if quantity == "eclipse_date" else value.replace(".", ",")
        unit = IN_WORDS.get(unit, "s" if spread else "")
        spread = spread.replace(".", ",")
        rows.append([value, unit, "", group.upper(), SHORT[quantity], spread])
    path.write_text("Our class 9b\n\n" + csv_text(rows, ";"), encoding="cp1252")


def wide_units_in_header(path):
    def cell(quantity, value, unit, spread):
        return f"{value} ± {spread}" if spread else value

    head = [SHORT[name] + (f" ({UNITS[name]})" if UNITS[name] else "") for name, _ in columns()]
    path.write_text(csv_text([["Group", *head], *wide_rows(cell)]), encoding="utf-8")


def wide_units_below(path):
    """Units in a row below the header, an uncertainty's column behind each quantity."""
    rows = [["team"], ["unit"], *([group] for group in CLASS)]
    for quantity, number in columns():
        for row, read in zip(rows[2:], CLASS.values(), strict=True):
            known = {name: (values, spread) for name, _, values, spread in read}
            values, spread = known.get(quantity, ([""], ""))
            row += [values[number].replace(".", ","), spread.replace(".", ",")]
        unit = UNITS[quantity]
        rows[0] += [f"{SHORT[quantity]} {number + 1}", "±"]
        rows[1] += [unit, unit]
    path.write_text(csv_text(rows, "\t"), encoding="utf-16")


def form_export(path):
    """What a form on the web gives: when, who, long questions, units in the cells."""

    def cell(quantity, value, unit, spread):
        if quantity.startswith("umbral"):
            hour, rest = int(value[:2]), value[2:]
            value = f"{hour % 12 or 12}{rest} {'PM' if hour > 11 else 'a.m.'}"
        value = "December 20, 2029" if quantity == "eclipse_date" else value
        return f"{value} {IN_WORDS.get(unit, '')}{f' +/- {spread}' if spread else ''}"

    head = ["Timestamp", "Email address", "Name of your group?"]
    head += [SHORT[name] for name, _ in columns()]
    rows = [["2029/12/21 8:15:09 AM", "a@school.example", *row] for row in wide_rows(cell)]
    path.write_text(csv_text([head, *rows]), encoding="utf-8-sig")


def wide_xlsx(path):
    """Numbers, times and a date as a spreadsheet holds them; a sheet of remarks beside."""
    rows = [["Eclipse, class 9b"], [], ["Group", *(SHORT[name] for name, _ in columns())]]
    rows.append(["units", *(UNITS[name] for name, _ in columns())])
    rows += wide_rows(as_spreadsheets_hold)
    spreads = {name: spread for name, _, _, spread in CLASS["Heron"] if spread}
    rows[2] += [f"uncertainty of {SHORT[name]}" for name in spreads]
    for row in rows[4:]:
        row += [float(spread) for spread in spreads.values()]
    xlsx(path, {"remarks": [["It was cold."]], "class": rows})


def long_ods(path):
    rows = [
        [group, SHORT[quantity], as_spreadsheets_hold(quantity, value, unit, ""), unit, spread]
        for group, quantity, value, unit, spread, _ in long_rows()
    ]
    ods(path, {"Table1": [HEADER[:5], *rows], "Table2": []})


def one_sheet_each_xls(path):
    """One sheet for each group, which no column names; readings in other units."""
    sheets = {group: [["Quantity", "Unit", "Value", "Uncertainty"]] for group in CLASS}
    for group, quantity, value, unit, spread, _ in long_rows():
        of_spread = f"{spread} {unit}" if spread and unit else spread
        sheets[group].append([SHORT[quantity], "", in_other_units(value, unit), of_spread])
    xls(path, sheets)


FORMS = {
    long_commas: ".csv",
    wide_units_in_header: ".csv",
    wide_units_below: ".txt",
    form_export: ".csv",
    wide_xlsx: ".xlsx",
    long_ods: ".ods",
    one_sheet_each_xls: ".xls",
}


@pytest.fixture(scope="module")
def expected(tmp_path_factory):
    path = tmp_path_factory.mktemp("class") / "class.csv"
    long_points(path)
    sheet = tables.read(path)
    assert sheet.notes == [] and len(sheet.readings) == len(long_rows())
    return in_words(sheet)


@pytest.mark.parametrize("form", FORMS, ids=lambda form: form.__name__)
def test_the_same_digits_from_each_form(tmp_path, form, expected):
    path = tmp_path / f"class{FORMS[form]}"
    form(path)
    found = tables.read(path)
    assert len(found.readings) == len(long_rows())
    names = {group.upper(): group for group in CLASS}
    text = in_words(found)
    for upper, group in names.items():
        text = text.replace(upper, group)
    assert text == expected
