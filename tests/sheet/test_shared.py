"""What groups share in a class sheet, and rows that stand in it twice."""

from dataclasses import replace

import pytest
from astropy import units as u

from moonreach.sheet import shared, tables
from moonreach.sheet.origin import Origin
from moonreach.sheet.repeats import without_repeats
from moonreach.sheet.tables import SheetError

GNOMON = ("north_gnomon_height", "100", "cm", "", "")
ROAD = ("north_south_distance", "810", "km", "8", "")
CONTACT = ("umbral_contact_2", "21:40:10", "", "", "")
LATER = ("umbral_contact_3", "23:31:40", "", "", "")
SHADOWS = [("north_shadow_length", length, "cm", "", "") for length in ("77.1", "77.9")]


def sheet_of(*rows):
    sheet = tables.of_rows(list(rows))
    assert sheet.problems == []
    return sheet


def test_rows_of_all_groups_are_handed_to_those_that_have_none():
    rows = [("Shared", *ROAD), ("Heron", *GNOMON), ("Otter", *GNOMON)]
    rows.append(("Otter", "north_south_distance", "800", "km", "", ""))
    groups = sheet_of(*rows).groups()
    assert list(groups) == ["Heron", "Otter"]
    road = {name: [r for r in rows if r.quantity == ROAD[0]] for name, rows in groups.items()}
    assert [(r.value, r.origin, r.group) for r in road["Heron"]] == [
        (810 * u.km, Origin.SHARED, "Heron")
    ]
    assert [(r.value, r.origin) for r in road["Otter"]] == [(800 * u.km, Origin.OWN)]


def test_a_sheet_of_shared_rows_alone_is_a_group():
    assert list(sheet_of(("shared", *ROAD)).groups()) == ["shared"]


@pytest.mark.parametrize(
    ("rows", "origin"),
    [
        ([ROAD], Origin.SHARED),
        ([CONTACT], Origin.OWN),  # nor does one call in the same second
        (SHADOWS, Origin.SHARED),
        ([GNOMON], Origin.OWN),  # two sticks of 100 cm prove nothing
        (SHADOWS[:1], Origin.OWN),
    ],
)
def test_the_same_readings_of_two_groups_are_shared(rows, origin):
    groups = sheet_of(*[(name, *row) for name in ("Heron", "Otter") for row in rows]).groups()
    assert {row.origin for rows in groups.values() for row in rows} == {origin}
    # In the class's result even a single one counts as shared, to be cautious.
    assert shared.sharers(groups) == {rows[0][0]: [["Heron", "Otter"]]}


def test_two_clock_times_are_no_chance():
    rows = [(name, *row) for name in ("Heron", "Otter") for row in (CONTACT, LATER)]
    groups = sheet_of(*rows).groups()
    assert {row.origin for rows in groups.values() for row in rows} == {Origin.SHARED}


def test_other_readings_units_and_practice_are_told_apart():
    rows = [("Heron", *ROAD), ("Otter", "north_south_distance", "810000", "m", "8000", "")]
    assert shared.sharers(sheet_of(*rows).groups()) == {ROAD[0]: [["Heron", "Otter"]]}
    rows[1] = ("Otter", "north_south_distance", "810", "km", "9", "")
    assert shared.sharers(sheet_of(*rows).groups()) == {}
    rows = [("Heron", *ROAD), ("Otter", *ROAD)]
    sheet = sheet_of(*rows)
    assert {row.origin for rows in sheet.groups().values() for row in rows} == {Origin.SHARED}
    practice = [replace(row, origin=Origin.PRACTICE) for row in sheet.readings]
    groups = tables.Sheet(practice).groups()
    assert {row.origin for rows in groups.values() for row in rows} == {Origin.PRACTICE}


def test_what_is_shared_is_said_once_for_each_set_of_groups():
    rows = [(name, *row) for name in ("Heron", "Otter", "Lynx") for row in (ROAD, CONTACT, LATER)]
    assert shared.in_words(sheet_of(*rows).groups()) == [
        "all groups have the same readings of north-south distance, U2 and U3: these count as "
        "shared, and do not average out"
    ]


FORM = [GNOMON, *SHADOWS, ROAD]


def test_a_form_that_was_sent_twice_counts_once():
    rows = [("Heron", *row) for row in (*FORM, *FORM)]
    kept, remarks = without_repeats(tables.of_rows(rows).readings)
    assert len(kept) == len(FORM)
    assert [text for _, text in remarks] == [
        "rows 6 to 9 repeat rows 2 to 5 exactly (group Heron); they were counted once"
    ]


def test_between_other_groups_and_three_times_it_counts_once_too():
    rows = [("Heron", *row) for row in FORM] + [("Otter", *row) for row in FORM]
    rows += [("heron", *row) for row in (*FORM, *FORM)]
    kept, remarks = without_repeats(tables.of_rows(rows).readings)
    assert len(kept) == 2 * len(FORM) and len(remarks) == 2


def test_equal_readings_of_one_or_two_kinds_are_readings():
    rows = [("Heron", *row) for row in (*SHADOWS, *SHADOWS, GNOMON, *SHADOWS, GNOMON)]
    kept, remarks = without_repeats(tables.of_rows(rows).readings)
    assert len(kept) == len(rows) and remarks == []


def test_read_says_it_and_goes_on(tmp_path):
    paths = [tmp_path / "a.csv", tmp_path / "b.csv"]
    for path in paths:
        tables.write(path, [("Heron", *row) for row in FORM])
    sheet = tables.read(*paths)
    assert len(sheet.readings) == len(FORM)
    assert f"rows 2 to 5 repeat rows 2 to 5 of {paths[0]} exactly" in str(sheet.problems[0])


def test_the_same_file_twice_is_refused(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    tables.write("a.csv", [("Heron", *row) for row in FORM])
    with pytest.raises(SheetError, match=r"a\.csv: the same file is named twice; name it once"):
        tables.read("a.csv", "./a.csv")
