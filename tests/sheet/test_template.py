"""The table to fill in: what it offers; nothing filled in is lost, through the real file."""

import csv
import io
import math
import re

import openpyxl
import pytest
from astropy import units as u
from class_tables import CLASS, as_spreadsheets_hold, csv_text, long_rows
from hypothesis import given
from hypothesis import strategies as st

from moonreach.__main__ import main
from moonreach.sheet import tables, template
from moonreach.sheet.cells import KINDS
from moonreach.sheet.quantities import QUANTITIES

GROUPS = list(CLASS)


def contents(sheet):
    """Return every reading's group, quantity, value and uncertainty."""
    return sorted((r.group, r.quantity, str(r.value), str(r.uncertainty)) for r in sheet.readings)


def written(tmp_path, name, *options):
    path = tmp_path / name
    assert main(["sheet", "--groups", "2", "--out", str(path), *options]) == 0
    return path


@pytest.fixture(scope="module")
def expected():
    return contents(tables.of_rows(long_rows()))


def filled(rows):
    """Fill the groups' rows of a table with one row for each group."""
    titles = {QUANTITIES[name].short: name for name in QUANTITIES}
    for row, (group, read) in zip(rows, CLASS.items(), strict=True):
        left = {name: (unit, [*values], spread) for name, unit, values, spread in read}
        row[0] = group
        for at, title in enumerate(filled.header[1:], start=1):
            unit, values, spread = left.get(titles[title], ("", [], ""))
            if values:
                value = values.pop(0)
                cell = as_spreadsheets_hold(titles[title], value, unit, spread)
                row[at] = f"{value} ± {spread}" if spread else cell
        assert not any(values for _, values, _ in left.values())
    return rows


def test_rows_filled_in_a_spreadsheet_come_back(tmp_path, expected):
    path = written(tmp_path, "our.xlsx")
    book = openpyxl.load_workbook(path)
    sheet = book["Class"]
    filled.header = [cell.value for cell in sheet[2]]
    for row, cells in zip(
        (5, 6), filled([[None] * len(filled.header) for _ in GROUPS]), strict=True
    ):
        for column, cell in enumerate(cells, start=1):
            sheet.cell(row, column).value = cell
    book.save(path)
    found = tables.read(path)
    assert found.problems == found.notes == []
    assert contents(found) == expected


def test_rows_filled_in_a_text_file_come_back(tmp_path, expected):
    path = written(tmp_path, "our.csv")
    first, *lines = path.read_text(encoding="utf-8").splitlines()
    rows = [*csv.reader(lines)]
    filled.header = rows[0]
    rows[3:] = filled(rows[3:])
    path.write_text(f"{first}\n{csv_text(rows, ';')}", encoding="utf-8")
    assert contents(tables.read(path)) == expected


def test_sheets_filled_for_each_group_come_back(tmp_path, expected):
    path = written(tmp_path, "our.xlsx", "--layout", "sheets")
    book = openpyxl.load_workbook(path)
    for number, (group, read) in enumerate(CLASS.items(), start=1):
        sheet = book[f"Group {number}"]
        sheet.title = group
        lines = [row for row in sheet.iter_rows(min_row=3) if row[0].value]
        for quantity, unit, values, spread in read:
            mine = [row for row in lines if row[0].value == QUANTITIES[quantity].label]
            for row, value in zip(mine, values, strict=True):
                row[1].value = as_spreadsheets_hold(quantity, value, unit, spread)
                row[2].value = unit or None
                row[3].value = float(spread) if spread else None
    book.save(path)
    found = tables.read(path)
    assert found.problems == found.notes == []
    assert contents(found) == expected


@pytest.mark.parametrize("layout", ["rows", "sheets"])
def test_an_empty_template_holds_no_reading_and_shows_an_invented_group(tmp_path, layout):
    path = written(tmp_path, "our.xlsx", "--layout", layout, "--all")
    sheet = tables.read(path)
    assert sheet.readings == sheet.problems == sheet.notes == []
    book = openpyxl.load_workbook(path)
    shown = book["Class"]["B4"] if layout == "rows" else book["# example"]["B3"]
    assert shown.value == 136.8 and shown.font.i and shown.font.color.rgb == "FF808080"


def test_every_quantity_has_its_drop_down_or_limits_with_a_reason(tmp_path):
    sheet = openpyxl.load_workbook(written(tmp_path, "our.xlsx", "--all"))["Class"]
    rules = {str(rule.sqref): rule for rule in sheet.data_validations.dataValidation}
    titles = {term.short: term for term in QUANTITIES.values()}
    seen = set()
    for cell in sheet[2][1:]:
        term, letter = titles[cell.value], cell.column_letter
        rule = rules[f"{letter}5:{letter}6"]
        seen.add(cell.value)
        if term.kind in KINDS and KINDS[term.kind][1]:
            assert sheet[f"{letter}3"].value in rules[f"{letter}3"].formula1
        if term.kind == "choice":
            assert rule.formula1 == f'"{",".join(term.words)}"'
        elif term.least is not None:
            ends = [float(end) for end in re.findall(r"[<>]=([-0-9.e+]+)", rule.formula1)]
            base = {"length": u.m, "angle": u.deg, "duration": u.s}.get(term.kind, term.least.unit)
            assert ends == pytest.approx([term.least.to_value(base), term.greatest.to_value(base)])
            assert term.why and term.why in rule.error and term.why in rule.prompt
            assert rule.formula1.startswith(f"IFERROR(OR(ISTEXT({letter}5),AND(")
        else:
            assert rule.prompt
    assert seen == set(titles)


def test_the_units_behind_the_limits(tmp_path):
    # Inch, foot and mile by the international yard of 1959; arcminute, arcsecond: SI brochure.
    book = openpyxl.load_workbook(written(tmp_path, "our.xlsx"))
    sheet = book["# units"]
    assert sheet.sheet_state == "hidden"
    assert {name: pytest.approx(factor) for name, factor in sheet.values} == {
        **{"mm": 1e-3, "cm": 1e-2, "m": 1, "km": 1e3, "inch": 0.0254, "ft": 0.3048},
        **{"mile": 1609.344, "deg": 1, "arcmin": 1 / 60, "arcsec": 1 / 3600},
        **{"s": 1, "min": 60, "h": 3600, "px": 1},
    }


MEASURED = [name for name, term in QUANTITIES.items() if term.kind in ("length", "angle")]


@given(st.data())
def test_whatever_is_filled_in_comes_back_digit_for_digit(tmp_path_factory, data):
    names = data.draw(st.lists(st.sampled_from(MEASURED), min_size=1, max_size=6, unique=True))
    table = template.rows(names, 1, [])
    put = []
    for at, unit in enumerate(table[1][1:], start=1):
        term = QUANTITIES[next(n for n in names if QUANTITIES[n].short == table[0][at])]
        least, greatest = (end.to_value(u.Unit(unit)) for end in (term.least, term.greatest))
        hundredths = st.integers(math.ceil(100 * least), math.floor(100 * greatest))
        number = f"{data.draw(hundredths) / 100:.2f}"
        sign = data.draw(st.sampled_from([".", ","]))
        table[3][at] = number.replace(".", sign)
        put.append(float(number))
    path = tmp_path_factory.getbasetemp() / "filled.csv"
    path.write_text(template.text(table).replace("\r", ""), encoding="utf-8")
    sheet = tables.read(path)
    assert sheet.problems == []
    assert [reading.value.value for reading in sheet.readings] == put


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (["--out", "our.pdf"], "--out our.pdf: the name of the table ends in .xlsx or .csv"),
        (["--out", "our.csv", "--layout", "sheets"], "--layout sheets needs a name that ends in"),
        (["--out", "none/our.csv"], "none/our.csv cannot be written: there is no folder none"),
        (["--out", "there.csv"], "there.csv is there already; nothing was written (--replace"),
    ],
)
def test_refusals(tmp_path, monkeypatch, capsys, options, says):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "there.csv").write_text("mine", encoding="utf-8")
    assert main(["sheet", *options]) == 2
    assert says in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["there.csv"]


def test_the_text_is_a_table_that_any_program_reads():
    table = template.rows(template.quantities(), 3, [])
    lines = template.text(table).splitlines()
    assert {len(row) for row in csv.reader(io.StringIO("\n".join(lines[1:])))} == {len(table[0])}
