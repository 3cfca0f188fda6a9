"""One row for each group, and spreadsheets: what they hold, what is left out, what is refused."""

import datetime
import random
import subprocess
import sys
import zipfile

import openpyxl
import pytest
import xlsxwriter
from astropy import units as u
from class_tables import as_spreadsheets_hold, csv_text, ods, wide_rows, xls, xlsx

from moonreach.sheet import tables, workbook
from moonreach.sheet.tables import SheetError

WIDE = ["group", "shadow north (cm)", "shadow north (cm)", "U1", "disc (mm)", "altitude (°)"]


def read(tmp_path, rows, separator=","):
    path = tmp_path / "wide.csv"
    path.write_text(csv_text(rows, separator), encoding="utf-8")
    return tables.read(path)


def test_repeated_columns_are_repeated_readings(tmp_path):
    sheet = read(tmp_path, [WIDE, ["Owl", "77,6", "77.9 mm", "23:15", "", "35"]], ";")
    assert sheet.problems == []
    assert [(r.quantity, str(r.value)) for r in sheet.readings if r.quantity[0] != "u"] == [
        ("north_shadow_length", "77.6 cm"),
        ("north_shadow_length", "77.9 mm"),
        ("moon_altitude", "35.0 deg"),
    ]


@pytest.mark.parametrize("header", ["Group", "TEAM", "Name of your group?", "our team's name"])
def test_the_column_of_the_group(tmp_path, header):
    rows = [["Timestamp", "group members", header, "U2"], ["1.1.2029", "A, B", "Owl", "21:40"]]
    sheet = read(tmp_path, rows)
    assert [r.group for r in sheet.readings] == ["Owl"]
    assert sheet.notes[0].endswith("left out, as no reading: Timestamp, group members")


def test_a_header_that_is_nearly_a_quantity_is_a_problem(tmp_path):
    rows = [["group", "U2", "shadow lenght north", "weather"], ["Owl", "21:40", "77 cm", "wind"]]
    sheet = read(tmp_path, rows)
    assert "column header: found “shadow lenght north”" in str(sheet.problems[0])
    assert "north shadow length" in str(sheet.problems[0])
    assert sheet.notes[0].endswith("left out, as no reading: weather")


def test_notes_origin_and_shared_rows_hold(tmp_path):
    rows = [
        ["group", "disc (mm)", "distance north-south (km)", "note", "origin"],
        ["shared", "", "806", "by map", ""],
        ["Owl", "14", "", "", "practice"],
        ["Eagle", "15", "", "windy", ""],
    ]
    groups = read(tmp_path, rows).groups()
    found = {
        name: [(str(r.value), r.origin, r.note) for r in rows] for name, rows in groups.items()
    }
    road = ("806.0 km", "shared", "by map")
    assert found == {
        "Owl": [("14.0 mm", "practice", ""), road],
        "Eagle": [("15.0 mm", "own", "windy"), road],
    }


def test_a_row_too_short_or_too_long_is_refused_whole(tmp_path):
    rows = [["Owl", "77", "6", "78", "23:15", "14", "35"], ["Eagle", "77", "23:15", "14", "35"]]
    sheet = read(tmp_path, [WIDE, *rows])
    assert sheet.readings == []
    assert [str(p).partition(" (")[0].partition(": ")[2] for p in sheet.problems] == [
        "found “7 cells”; accepted: 6 cells as in the header",
        "found “5 cells”; accepted: 6 cells as in the header",
    ]


def test_a_form_that_was_sent_twice_counts_once(tmp_path):
    row = ["Owl", "77", "78", "23:15", "14", "35"]
    sheet = read(tmp_path, [WIDE, row, row])
    assert len(sheet.readings) == 5
    assert "row 3 repeats row 2 exactly (group Owl); it was counted once" in str(sheet.problems[0])


def test_a_second_form_with_the_same_instrument_is_no_repeat(tmp_path):
    rows = [["Owl", "77", "78", "23:15", "14", "35"], ["Owl", "79", "78", "23:15", "14", "35"]]
    sheet = read(tmp_path, [WIDE, *rows])
    assert len(sheet.readings) == 10 and sheet.problems == []
    (note,) = [note for note in sheet.notes if "Owl" in note]
    assert "rows 2 and 3 both say Owl and count as one group; two groups need two names" in note


def test_an_error_in_a_cell_is_named_and_no_empty_cell(tmp_path):
    path = tmp_path / "class.xlsx"
    with xlsxwriter.Workbook(path) as book:
        for title in ("May", "# old"):
            sheet = book.add_worksheet(title)
            sheet.write_row(0, 0, ["group", "shadow north (cm)", "U4", "remark"])
            sheet.write_row(1, 0, ["Owl", 77.5])
            sheet.write_formula(1, 2, "=1/0", None, "#DIV/0!")
            sheet.write_formula(1, 3, "=1/0", None, "#DIV/0!")
    sheet = tables.read(path)
    (problem,) = sheet.problems
    assert (problem.row, problem.column) == (2, "U4") and "#DIV/0!" in str(problem)
    assert [one.value for one in sheet.readings] == [77.5 * u.cm]


@pytest.mark.skipif(sys.platform == "win32", reason="there is no such limit")
def test_where_memory_is_limited_already_a_spreadsheet_is_read(tmp_path):
    import resource

    path = tmp_path / "class.xlsx"
    xlsx(path, {"class": [WIDE[:2], ["Owl", 77.0]]})
    code = f"from moonreach.sheet import tables; print(len(tables.read({str(path)!r}).readings))"
    limit = (1900 * 1024**2,) * 2
    run = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, limit),
    )
    assert run.stdout == "1\n", run.stderr


def test_numbers_times_and_dates_as_a_spreadsheet_holds_them(tmp_path):
    path = tmp_path / "class.xlsx"
    late = datetime.timedelta(hours=24, minutes=9)
    rows = [["group", "U1", "U2", "date", "shadow north (cm)", "shadow north (cm)", "vanish (m)"]]
    rows.append(["Owl", datetime.time(23, 15), late, datetime.date(2029, 6, 7), 77.0, 77.6, 1.376])
    rows.append(["Elk", datetime.datetime(2029, 6, 7, 23, 15, 20), "", "", "78,0 cm", 7.76e1, ""])
    xlsx(path, {"class": rows})
    sheet = tables.read(path)
    assert sheet.problems == []
    owl, elk = sheet.groups().values()
    assert [r.value for r in owl[3:]] == [77 * u.cm, 77.6 * u.cm, 1.376 * u.m]
    assert [r.value.seconds for r in owl[:2]] == [83700, 540]
    assert owl[2].value == elk[0].value.day == datetime.date(2029, 6, 7)
    # 77.0 has lost its zero in the file: its column was read to 0.1 cm; U1 was read to seconds.
    assert {r.resolution for r in owl[3:5]} == {0.05 * u.cm}
    assert [owl[0].resolution, owl[1].resolution] == [0.5 * u.s, 30 * u.s]


def test_the_sheet_that_fits_is_read_and_another_can_be_named(tmp_path):
    path = tmp_path / "class.xlsx"
    table = [WIDE[:2], ["Owl", 77.0]]
    xlsx(
        path, {"notes": [["cold"]], "May": table, "June": [WIDE[:2], ["Owl", 78.0]], "# old": table}
    )
    with pytest.raises(
        SheetError, match="sheets May and June both hold the group owl; name the one"
    ):
        tables.read(path)
    assert [r.value for r in tables.read(path, table="June").readings] == [78 * u.cm]
    with pytest.raises(
        SheetError, match="no sheet is called July; there are notes, May, June, # old"
    ):
        tables.read(path, table="July")
    with pytest.raises(SheetError, match="sheet notes: no table"):
        tables.read(path, table="notes")
    text = tmp_path / "class.csv"
    text.write_text("group,U1\nElk,21:40\n", encoding="utf-8")
    both = tables.read(path, text, table="June")
    assert [r.group for r in both.readings] == ["Owl", "Elk"]
    (note,) = [note for note in both.notes if "--table" in note]
    assert note == f"{text}: a text file is one table, so --table June changed nothing"


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"%PDF-1.7 ...", "no table can be read from a PDF; open the table where it was made and"),
        (b"\x89PNG\r\n\x1a\n", "no table can be read from a picture"),
        (b"PK\x03\x04 no zip at all", "this spreadsheet cannot be read; it is damaged"),
        (
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" * 99,
            "this spreadsheet cannot be read; it is damaged",
        ),
    ],
)
def test_files_that_hold_no_table(tmp_path, data, says):
    path = tmp_path / "class.xlsx"
    path.write_bytes(data)
    with pytest.raises(SheetError, match=says):
        tables.read(path)


def test_spreadsheets_that_would_fill_the_machine_are_refused(tmp_path):
    book = openpyxl.Workbook()
    book.active["XFD1048576"] = 1  # the last cell there can be: 17 thousand million of them
    book.save(corner := tmp_path / "corner.xlsx")
    ods(repeated := tmp_path / "repeated.ods", {"T": [["a"]]})
    with zipfile.ZipFile(repeated) as file:
        parts = {name: file.read(name) for name in file.namelist()}
    many = b'<table:table-row table:number-rows-repeated="1000000">'
    wide = b'<table:table-cell table:number-columns-repeated="9999"'
    content = parts["content.xml"].replace(b"<table:table-row>", many)
    parts["content.xml"] = content.replace(b"<table:table-cell", wide)
    with zipfile.ZipFile(repeated, "w") as file:
        for name, part in parts.items():
            file.writestr(name, part)
    for path in (corner, repeated):
        with pytest.raises(SheetError, match="holds more than a class can have measured"):
            tables.read(path)


@pytest.mark.parametrize("write", [xlsx, ods])
def test_a_digit_changed_where_nothing_is_packed_is_seen(tmp_path, write):
    write(path := tmp_path / "class", {"class": [["group", "disc (mm)"], ["Owl", 14.75]]})
    with zipfile.ZipFile(path) as file:
        parts = {name: file.read(name) for name in file.namelist()}
    with zipfile.ZipFile(path, "w", zipfile.ZIP_STORED) as file:
        for name, part in parts.items():
            file.writestr(name, part)
    assert len(tables.read(path).readings) == 1
    path.write_bytes(path.read_bytes().replace(b"14.75", b"14.85"))
    with pytest.raises(SheetError, match="cannot be read; it is damaged"):
        tables.read(path)


def test_a_number_of_a_spreadsheet_has_no_sign_between_thousands(tmp_path):
    # The text has a decimal comma; the number beside it, 1.376 m, is no less clear for that.
    rows = [["group", "shadow north (cm)", "shadow south (m)"], ["Owl", "78,5 cm", 1.376]]
    xlsx(path := tmp_path / "class.xlsx", {"class": rows})
    sheet = tables.read(path)
    assert sheet.problems == []
    assert [reading.value for reading in sheet.readings] == [78.5 * u.cm, 1.376 * u.m]


@pytest.mark.parametrize("write", [xlsx, ods])
def test_bytes_flipped_or_cut_never_change_a_digit(tmp_path, write):
    rows = [["group", *"abcdefghijklmnop"], *wide_rows(as_spreadsheets_hold)]
    write(path := tmp_path / "class", {"class": rows})
    whole = path.read_bytes()
    expected = workbook.sheets_in(whole)["sheets"]
    for seed in range(100):
        random_, data = random.Random(seed), bytearray(whole)
        if seed % 3:
            for _ in range(random_.choice((1, 5, 30))):
                data[random_.randrange(len(data))] = random_.randrange(256)
        else:
            del data[random_.randrange(len(data)) :]
        try:
            found = workbook.sheets_in(bytes(data))
        except Exception:  # whatever it is ends that process, and is said to be damage
            continue
        # A flipped byte of a sheet's name changes that; no other text does.
        assert list(found.get("sheets", expected).values()) == list(expected.values())


def test_an_old_spreadsheet_cut_short_is_refused_in_one_sentence(tmp_path):
    xls(path := tmp_path / "class.xls", {"T": [WIDE[:2], ["Owl", 77.0]]})
    assert len(tables.read(path).readings) == 1
    path.write_bytes(path.read_bytes()[:700])
    with pytest.raises(SheetError, match="cannot be read; it is damaged"):
        tables.read(path)


@pytest.mark.parametrize("name", ["Mean", "average:", "Mittelwert", "CLASS", "whole class", "sum"])
def test_a_row_worked_out_of_the_groups_is_left_out_and_said(tmp_path, name):
    path = tmp_path / "class.csv"
    text = f"group,disc (mm),rim (m)\nHeron,14.1,1.61\nSwift,14.3,1.63\n{name},14.2,1.62\n"
    path.write_text(text, encoding="utf-8")
    sheet = tables.read(path)
    assert list(sheet.groups()) == ["Heron", "Swift"] and sheet.problems == []
    (note,) = sheet.notes
    assert f"row 4, “{name}”" in note


def test_a_mean_below_a_form_stands_in_its_first_column(tmp_path):
    header = ["Timestamp", "group", "disc (mm)", "altitude of the Moon (deg)"]
    sheet = read(tmp_path, [header, ["20:15", "Heron", "14.1", "35"], ["Mean", "", "14.1", "35"]])
    assert [reading.quantity for reading in sheet.readings] == ["disc_diameter", "moon_altitude"]
    assert sheet.problems == [] and "row 3, “Mean”" in sheet.notes[0]


@pytest.mark.parametrize("name", ["Mean Machines", "Class 9b", "Summer", "All Stars"])
def test_a_group_that_is_called_nearly_so_counts(tmp_path, name):
    path = tmp_path / "class.csv"
    path.write_text(f"group,disc (mm),rim (m)\n{name},14.1,1.61\n", encoding="utf-8")
    assert list(tables.read(path).groups()) == [name]
