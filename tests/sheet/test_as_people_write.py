"""Cells as people write them: what can be meant in one way is understood and said."""

import datetime

import pytest
from astropy import units as u
from hypothesis import given
from hypothesis import strategies as st

from moonreach.sheet import cells, clocks, shared, tables

HEADER = "group;quantity;value;unit;uncertainty;note"


def read(tmp_path, *rows):
    path = tmp_path / "sheet.csv"
    path.write_text("\n".join([HEADER, *rows]), encoding="utf-8")
    return tables.read(path)


# Lengths of the foot and the inch: the international yard of 1959, 0.9144 m exactly.
@pytest.mark.parametrize(
    ("row", "value"),
    [
        ("disc;77,6 mm", 77.6 * u.mm),
        ("shadow north;77,6 cm;cm", 77.6 * u.cm),
        ("shadow north;1.5;CM", 1.5 * u.cm),
        ("shadow north;1.5 Centimeters", 1.5 * u.cm),
        ("shadow north;1.5;metres", 1.5 * u.m),
        ("shadow north;2.0 feet", 0.6096 * u.m),
        ("shadow north;5 ft 3 in", 1.6002 * u.m),
        ("shadow north;5' 3.5″", 1.6129 * u.m),
        ("shadow north;1 m 60 cm", 1.6 * u.m),
        ("moon altitude;31° 30′", 31.5 * u.deg),
        ("totality;1 h 42 min", 102 * u.min),
        ("moon altitude;35 degrees", 35 * u.deg),
        ("totality;102;m", 102 * u.min),
        ("photo moon;120 Pixels", 120 * u.pix),
        ("solar eclipse north part;85 %", 0.85 * u.one),
    ],
)
def test_numbers_with_their_units(tmp_path, row, value):
    sheet = read(tmp_path, f"A;{row}")
    assert sheet.problems == [] and sheet.notes == []
    assert sheet.readings[0].value.to_value(value.unit) == pytest.approx(value.value)


@pytest.mark.parametrize(
    ("row", "known"),
    [
        ("distance north-south;806 ± 8 km", 8 * u.km),
        ("distance north-south;806 km +/- 8000 m", 8 * u.km),
        ("distance north-south;806;km;±8", 8 * u.km),
        ("distance north-south;806;km;8 km", 8 * u.km),
        ("U1;20:45:44 ± 35 s", 35 * u.s),
        ("U1;20:45:44 ± 1;min", 60 * u.s),
    ],
)
def test_an_uncertainty_behind_its_value(tmp_path, row, known):
    sheet = read(tmp_path, f"A;{row}")
    assert sheet.problems == []
    assert sheet.readings[0].uncertainty.to_value(known.unit) == pytest.approx(known.value)


@pytest.mark.parametrize(
    ("text", "hour", "minute", "note"),
    [
        ("1:29 am", 1, 29, None),
        ("12:29 a.m.", 0, 29, None),
        ("12:29 PM", 12, 29, None),
        ("11:15pm", 23, 15, None),
        ("23h15", 23, 15, None),
        ("23.15", 23, 15, "“23.15” was read as 23:15"),
        ("24:09", 0, 9, "“24:09” was read as 00:09"),
    ],
)
def test_clock_times(tmp_path, text, hour, minute, note):
    sheet = read(tmp_path, f"A;U1;{text}")
    assert sheet.problems == []
    assert sheet.readings[0].value.seconds == 3600 * hour + 60 * minute
    assert [line.partition("row 2: ")[2] for line in sheet.notes] == ([note] if note else [])


@pytest.mark.parametrize("text", ["25:10", "13:00 pm", "0:10 am", "23.1", "12:60", "334"])
def test_no_clock_times(tmp_path, text):
    assert "a clock time such as" in str(read(tmp_path, f"A;U1;{text}").problems[0])


@given(st.times())
def test_a_time_is_found_again_from_twelve_hours(moment):
    # By the calendar's own strftime: %I is the hour of twelve, %p am or pm.
    found = clocks.clock(moment.strftime("%I:%M:%S %p"))
    assert found.seconds == moment.hour * 3600 + moment.minute * 60 + moment.second


@given(st.dates(datetime.date(1900, 1, 1), datetime.date(2100, 12, 31)))
def test_a_date_is_found_again(date):
    for pattern in ("%Y-%m-%d", "%Y/%m/%d", "%Y%m%d", "%d %b %Y", "%B %d, %Y"):
        assert clocks.day(date.strftime(pattern)) == date
    for first, pattern in ((True, "%d.%m.%Y"), (False, "%m/%d/%Y")):
        assert clocks.day(date.strftime(pattern), first) == date
        if date.day > 12 or date.day == date.month:
            assert clocks.day(date.strftime(pattern)) == date
        else:
            with pytest.raises(cells.CellError, match=f"{date}"):
                clocks.day(date.strftime(pattern))


def test_other_rows_fix_the_order_of_dates(tmp_path):
    sheet = read(tmp_path, "A;date;6/7/2029", "B;date;26/6/2029", "A;north noon;5/6/2029 12:30")
    assert [str(r.value) for r in sheet.readings[:2]] == ["2029-07-06", "2029-06-26"]
    assert str(sheet.readings[2].value.day) == "2029-06-05"
    (note,) = sheet.notes
    assert "“6/7/2029” was read with the day first, as in other rows, and 1 more" in note
    sheet = read(tmp_path, "A;date;6/7/2029", "B;date;26/6/2029", "C;date;6/26/2029")
    assert "accepted: 2029-06-07 or 2029-07-06" in str(sheet.problems[0])


def test_megametres_for_millimetres(tmp_path):
    (note,) = (sheet := read(tmp_path, "A;disc;14 Mm", "A;hole;1.5;Mm")).notes
    assert [r.value for r in sheet.readings] == [14 * u.mm, 1.5 * u.mm]
    assert note.endswith("“14 Mm” was read as 14 mm, as Mm cannot be, and 1 more in this way")
    both = read(tmp_path, "A;hole;0;Mm")
    assert "accepted: 0 Mm or 0 mm" in str(both.problems[0])
    neither = read(tmp_path, "A;north-south distance;806;Mm")
    assert "1 km to 20000 km" in str(neither.problems[0])


def test_a_foreign_decimal_sign_is_refused_with_both_readings(tmp_path):
    rows = ["A;shadow north;77,6;cm", "A;distance north-south;1.112;km", "B;rim;1.376;m"]
    sheet = read(tmp_path, *rows)
    (problem,) = sheet.problems
    assert "column value: found “1.112 km”; accepted: 1,112 km or 1112 km" in str(problem)
    # 1376 m are beyond the limits of a rod: the point can only be a decimal one.
    assert [reading.quantity for reading in sheet.readings] == [
        "north_shadow_length",
        "rim_distance",
    ]
    assert read(tmp_path, rows[1]).problems == []
    # A group that writes points itself means a point.
    assert read(tmp_path, *rows, "A;disc;14.5;mm").problems == []


def test_a_number_that_only_thousands_make_possible_names_both(tmp_path):
    (problem,) = read(tmp_path, "A;moon altitude;35;deg", "A;photo moon;0.5;px").problems
    assert "1 px to" in str(problem)
    (problem,) = read(tmp_path, "A;shadow north;12.345;km").problems
    assert "0 m to 10 km" in str(problem) and "12345" not in str(problem)
    (problem,) = read(tmp_path, "A;vanish;4.321;cm").problems
    assert "5 cm to 200 m" in str(problem) and "if you mean 4321 cm, say so" in str(problem)


@pytest.mark.parametrize(
    ("name", "near"),
    [
        ("U9", "such as U4, U3, U2"),
        ("disk diameter", "disc diameter"),
        ("shadow", "north shadow length, south shadow length"),
        ("gnomon hight north", "north gnomon height"),
    ],
)
def test_an_unknown_quantity_gets_its_three_nearest(tmp_path, name, near):
    (problem,) = read(tmp_path, f"A;{name};14;mm").problems
    assert near in problem.message and problem.message.count(",") == 3


def test_words_in_any_order_are_a_quantity_and_said(tmp_path):
    sheet = read(tmp_path, "A;length of the northern shadow;77;cm")
    assert sheet.readings[0].quantity == "north_shadow_length"
    assert "“length of the northern shadow” was read as north shadow length" in sheet.notes[0]


def test_names_all_but_alike_are_asked_about(tmp_path):
    names = ["Eagle", "EAGLE", "Eagles", "Group 1", "1", "Night Owl", "Nightowls", "Heron"]
    sheet = read(tmp_path, *(f"{name};disc;14;mm" for name in names))
    assert sheet.notes == [
        "Eagle and Eagles: the same group? They were kept apart",
        "Group 1 and 1: the same group? They were kept apart",
        "Night Owl and Nightowls: the same group? They were kept apart",
    ]
    assert len(sheet.groups()) == 7
    assert shared.names_alike(["Group", "Team", "1", "2", "11"]) == []


@given(st.decimals(-90, 90, places=3), st.sampled_from(["deg", "Degrees", "°", "DEG", " degree"]))
def test_every_digit_comes_back(tmp_path_factory, number, unit):
    sheet = tables.of_rows([["A", "place_latitude", f"{number}{unit}", "", "", ""]])
    assert sheet.readings[0].value == float(number) * u.deg
    assert sheet.readings[0].resolution == 0.0005 * u.deg


def test_a_reading_without_its_zeros_is_told(tmp_path):
    path = tmp_path / "class.csv"
    path.write_text("group,gnomon north (m),hole (mm)\nA,1,1.5\nB,2,1.5\nC,1.00,1.5 ± 0.1\n")
    (note,) = tables.read(path).notes
    assert "row 2: north gnomon height of 1 m counts as known to ±0.5 m only" in note
    assert "(1 more in this way)" in note


@pytest.mark.parametrize(
    ("quantity", "text", "degrees"),
    [
        ("pair_south_latitude", "34° 6′ S", -34.1),
        ("pair_north_latitude", "52.1 N", 52.1),
        ("place_latitude", "12,5s", -12.5),
        ("place_longitude", "5.2°W", -5.2),
        ("place_longitude", "5.2 E", 5.2),
    ],
)
def test_a_latitude_is_written_with_its_side(quantity, text, degrees):
    sheet = tables.of_rows([["A", quantity, text, "", "", ""]])
    assert sheet.readings[0].value.to_value(u.deg) == pytest.approx(degrees)


@pytest.mark.parametrize(
    ("quantity", "text"),
    [("place_latitude", "5 W"), ("place_latitude", "-5 S"), ("vanish_distance", "5 N")],
)
def test_a_side_that_cannot_be_is_refused(quantity, text):
    sheet = tables.of_rows([["A", quantity, text, "", "", ""]])
    assert not sheet.readings and "accepted: " in str(sheet.problems[0])


def test_an_uncertainty_in_per_cent_is_that_of_the_reading():
    sheet = tables.of_rows([["A", "vanish_distance", "2.00 m", "", "1.5 %", ""]])
    assert sheet.readings[0].uncertainty.to_value(u.cm) == pytest.approx(3)
    sheet = tables.of_rows([["A", "moon_altitude", "30", "deg", "5%", ""]])
    assert "found “%”" in str(sheet.problems[0])
