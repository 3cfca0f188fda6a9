"""The class sheet as people write it, and as it should not be written."""

import pytest
from astropy import units as u

from moonreach.sheet import clocks, tables
from moonreach.sheet.quantities import QUANTITIES

HEADER = "group,quantity,value,unit,uncertainty,note"


def read(tmp_path, text, name="sheet.csv", encoding="utf-8"):
    path = tmp_path / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode(encoding))
    return tables.read(path)


def one(tmp_path, row):
    """Return the reading of one row, or the problem that it makes."""
    sheet = read(tmp_path, f"{HEADER}\n{row}\n")
    assert len(sheet.readings) + len(sheet.problems) == 1
    return (sheet.readings or sheet.problems)[0]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_written_as_people_write(tmp_path, encoding, ending, separator):
    rows = [
        [" Unit ", "NOTE", "Quantity", "VALUE", "group", "Uncertainty"],
        ["°", "früh", "moon_altitude", "35.5", "Käuze", ""],
        ["", "", "", "", "", ""],
        ["mm", "", "Disc Diameter", " 14.05 ", "Käuze ", "0.05"],
    ]
    text = ending.join(["", *(separator.join(row) for row in rows), ""])
    sheet = read(tmp_path, text, encoding=encoding)
    assert sheet.problems == []
    altitude, disc = sheet.readings
    assert (altitude.group, altitude.value, altitude.note) == ("Käuze", 35.5 * u.deg, "früh")
    assert (disc.value, disc.uncertainty, disc.row) == (14.05 * u.mm, 0.05 * u.mm, 5)
    assert list(sheet.groups()) == ["Käuze"]


@pytest.mark.parametrize(
    ("row", "value"),
    [
        ('A,disc_diameter,"14,05",mm,,', 14.05 * u.mm),
        ("A,disc_diameter,1.405e1,mm,,", 14.05 * u.mm),
        ("A,disc_diameter,+14.,mm,,", 14 * u.mm),
        ("A,disc_diameter,0.55,inch,,", 13.97 * u.mm),
        ("A,moon_altitude,2100,',,", 35 * u.deg),
        ("A,moon_altitude,2100,′,,", 35 * u.deg),
        ('A,moon_altitude,3600,",,', 1 * u.deg),
        ('A,moon_altitude,3600,"""",,', 1 * u.deg),
        ("A,moon_altitude,3600,″,,", 1 * u.deg),
        ("A,moon_altitude,−0.5,deg,,", -0.5 * u.deg),
        ("A,moon_altitude,0.5,rad", 0.5 * u.rad),
        ("A,photo_moon_radius,150,px,,", 150 * u.pix),
        ("A,photo_moon_radius,150,,,", 150 * u.pix),
        ("A,photo_moon_radius,15,mm,,", 15 * u.mm),
        ("A,total_phase,101.9,min,,", 101.9 * u.min),
        ("A,north_south_distance,500,mile,,", 804.672 * u.km),  # 1 mile = 1.609344 km exactly
        ("a,PATH,Central,,,", "central"),
        ("A,shadow edge,full shadow,-,-,", "full_shadow"),
        ("A,hole_diameter,0,mm,,,,,", 0 * u.mm),
    ],
)
def test_cells(tmp_path, row, value):
    found = one(tmp_path, row)
    assert isinstance(found, tables.Reading), found
    if isinstance(value, u.Quantity):
        assert found.value.to_value(value.unit) == pytest.approx(value.value)
    else:
        assert found.value == value


@pytest.mark.parametrize(
    ("row", "column", "says"),
    [
        (",disc_diameter,14,mm,,", "group", "name of a group"),
        ("A,disk_diameter,14,mm,,", "quantity", "disc diameter"),
        ("A,disc_diameter,,mm,,", "value", "a value"),
        ("A,disc_diameter,14 cm,mm,,", "unit", "one unit"),
        ("A,disc_diameter,nan,mm,,", "value", "one number"),
        ("A,disc_diameter,inf,mm,,", "value", "one number"),
        ("A,disc_diameter,1e999,mm,,", "value", "a number of usual size"),
        ("A,disc_diameter,1_4,mm,,", "value", "one number"),
        ("A,disc_diameter,0x14,mm,,", "value", "one number"),
        ("A,disc_diameter,１４,mm,,", "value", "one number"),
        ("A,disc_diameter,1e5,mm,,", "value", "0.1 mm to 1 m"),
        ("A,disc_diameter,-14,mm,,", "value", "0.1 mm to 1 m"),
        ('A,road_distance,"1,234",km,,', "value", "1.234 or 1234"),
        ('A,road_distance,"1,234.5",km,,', "value", "one number"),
        ("A,disc_diameter,14,,,", "unit", "there is no unit; accepted: mm, cm, m"),
        ("A,disc_diameter,14,deg,,", "unit", "mm, cm, m"),
        ("A,disc_diameter,14,m2,,", "unit", "mm, cm, m"),
        ("A,disc_diameter,14,furlongs,,", "unit", "mm, cm, m"),
        ("A,path,central,m,,", "unit", "no unit"),
        ("A,path,middle,,,", "value", "central or unknown"),
        ("A,eclipse_date,6.7.2029,,,", "value", "2029-06-07 or 2029-07-06"),
        ("A,umbral_contact_1,25:10,,,", "value", "03:34:20"),
        ("A,umbral_contact_1,3.75,,,", "value", "03:34:20"),
        ("A,umbral_contact_1,3,,,", "value", "03:34:20"),
        ("A,disc_diameter,14,mm,0,", "uncertainty", "more than zero"),
        ("A,disc_diameter,14,mm,-1,", "uncertainty", "more than zero"),
        ("A,disc_diameter,14,mm,15,", "uncertainty", "at most 14 mm"),
        ("A,photo_moon_radius,0,px,,", "value", "found “0 px”; accepted: 1 px to 1000000 px"),
        ("A,solar_eclipse_north_part,3,,,", "value", "accepted: 0 to 1 (1 is the whole"),
        ("A,shadows,north,,,", "value", "same side or opposite sides"),
        ("A,disc_diameter,14,mm,some,", "uncertainty", "one number"),
        ("A,path,central,,0.1,", "uncertainty", "stated and not measured"),
        ("A,disc_diameter,14,5,mm,,", "unit", "decimal comma"),  # an unquoted decimal comma
        ("A,disc_diameter,14,mm,0,5", "note", "decimal comma"),
        ("A,disc_diameter,14,mm,0.1,windy, cold", None, "6 cells"),
        ('A,disc_diameter,"14,mm,,', None, "closed"),
        ("A,disc_diameter,1\x004,mm,,", None, "character U+0000"),
        ("A", "quantity", "such as north gnomon height"),
    ],
)
def test_bad_rows_are_named(tmp_path, row, column, says):
    found = one(tmp_path, row)
    assert isinstance(found, tables.Problem), found
    assert (found.row, found.column) == (2, column)
    assert says in found.message
    assert str(found).startswith(f"{tmp_path}") and "accepted: " in found.message
    assert "_" not in found.message.partition("accepted: ")[2]  # no raw name of a quantity or word


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (b"", "is empty"),
        (b" \r\n ", "is empty"),
        (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + bytes(range(256)), "no table"),
        (b"a letter to the class\n" * 40, "no table"),
        (b"group,value,unit\nA,1,m\n", "no table"),
        (b"group,quantity,value,value,unit\n", "no table"),
    ],
)
def test_no_sheet(tmp_path, text, says):
    with pytest.raises(tables.SheetError, match=says):
        read(tmp_path, text)


def test_missing_file_and_folder(tmp_path):
    with pytest.raises(tables.SheetError, match="cannot be read"):
        tables.read(tmp_path / "none.csv")
    with pytest.raises(tables.SheetError, match="this is a folder; accepted is a class sheet"):
        tables.read(tmp_path)


def test_one_bad_file_does_not_stop_the_other(tmp_path):
    good = tmp_path / "good.csv"
    good.write_text(f"{HEADER}\nA,disc_diameter,14,mm,,\n", encoding="utf-8")
    sheet = tables.read(tmp_path / "none.csv", good)
    assert len(sheet.readings) == 1
    assert sheet.problems[0].file == str(tmp_path / "none.csv")


def test_title_and_comments_above_the_table(tmp_path):
    text = f"Class 9b, spring\n\n# a remark\n{HEADER}\nA,disc_diameter,14,mm,,\n"
    sheet = read(tmp_path, text)
    assert sheet.readings[0].row == 5
    assert sheet.problems == []


def test_a_stray_byte_does_not_change_other_lines(tmp_path):
    text = f"{HEADER}\nA,moon_altitude,35,°,,\nA,moon_altitude,36,deg,,".encode() + b"\xe9\n"
    sheet = read(tmp_path, text)
    assert [reading.value for reading in sheet.readings] == [35 * u.deg, 36 * u.deg]
    assert sheet.readings[1].note == "é"  # Windows-1252


def test_groups_by_name_in_any_letter_case(tmp_path):
    text = f"{HEADER}\nThe Owls,disc_diameter,14,mm,,\nthe  owls,disc_diameter,14,mm,,\n"
    assert {name: len(rows) for name, rows in read(tmp_path, text).groups().items()} == {
        "The Owls": 2
    }


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("03:34", clocks.Clock(12_840)),
        ("3:34", clocks.Clock(12_840)),
        ("03:34:20.5", clocks.Clock(12_860.5)),
        ("03:34:20,5", clocks.Clock(12_860.5)),
        ("T0334", clocks.Clock(12_840)),
        ("03:34Z", clocks.Clock(12_840, None, 0)),
        ("2029-06-26T03:34:20+02:00", clocks.Clock(12_860, clocks.day("2029-06-26"), 7200)),
        ("2029-06-26 03:34", clocks.Clock(12_840, clocks.day("2029-06-26"))),
        ("20290626T0334", clocks.Clock(12_840, clocks.day("2029-06-26"))),
    ],
)
def test_clock_times(text, expected):
    # ISO 8601, calendar dates and local times, in the basic and the extended format.
    assert clocks.clock(text) == expected


def test_clock_resolution():
    assert clocks.clock_resolution("03:34") == 30 * u.s
    assert clocks.clock_resolution("2029-06-26T03:34") == 30 * u.s
    assert clocks.clock_resolution("03:34:20") == 0.5 * u.s


def test_written_sheet_is_found_again(tmp_path):
    rows = [
        ["A", "disc_diameter", "14.05", "mm", "0.05", 'a "note", with; signs'],
        ["A", "umbral_contact_1", "23:59:30", "s", "30", ""],
        ["B", "path", "central", "", "", ""],
    ]
    path = tmp_path / "sheet.csv"
    tables.write(path, rows, ["an invented class"])
    sheet = tables.read(path)
    assert sheet.problems == []
    assert [reading.note for reading in sheet.readings] == [row[5] for row in rows]
    assert list(sheet.groups()) == ["A", "B"]


def test_every_quantity_can_be_written(tmp_path):
    samples = {"choice": "", "date": "2029-06-26", "clock": "2029-06-26T12:30"}
    units = {"length": "m", "angle": "deg", "duration": "min", "picture": "px", "part": ""}
    lines = [HEADER]
    for name, term in QUANTITIES.items():
        value = samples.get(term.kind, "1") or term.words[0]
        if term.least is not None:
            unit = u.pix if term.kind == "picture" else u.Unit(units[term.kind])
            middle = (term.least + term.greatest.to(term.least.unit)) / 2
            value = f"{middle.to_value(unit):.6f}"
        lines.append(f"A,{name},{value},{units.get(term.kind, '')},,")
    sheet = read(tmp_path, "\n".join(lines))
    assert sheet.problems == []
    assert len(sheet.readings) == len(QUANTITIES)


# What a quantity may be, and why: the least and the greatest, each still accepted.
LIMITS = {
    # Half of Earth's circumference is 20 004 km (WGS 84).
    "north_south_distance": ("1", "20000", "km"),
    "road_distance": ("1", "20000", "km"),
    # The longest umbral eclipse lasts 3 h 56 min (NASA/GSFC, F. Espenak; from memory).
    "partial_phase": ("1", "240", "min"),
    "total_phase": ("0", "240", "min"),
    # Directions, latitudes and altitudes by their definitions; refraction lifts a Moon that has
    # geometrically set by half a degree, and a dip of the horizon by more.
    "road_bearing": ("-360", "360", "deg"),
    "moon_altitude": ("-1", "90", "deg"),
    "place_latitude": ("-90", "90", "deg"),
    "place_longitude": ("-180", "360", "deg"),
    "pair_north_latitude": ("-90", "90", "deg"),
    "pair_north_longitude": ("-180", "360", "deg"),
    "pair_north_azimuth": ("0", "360", "deg"),
    "pair_north_zenith_distance": ("0", "95", "deg"),
    "half_moon_sun_altitude": ("-1", "90", "deg"),
    "half_moon_altitude": ("-1", "90", "deg"),
    "half_moon_azimuth_difference": ("0", "180", "deg"),
    "solar_eclipse_sun_altitude": ("0", "90", "deg"),
    "solar_eclipse_north_latitude": ("-90", "90", "deg"),
    "solar_eclipse_north_part": ("0", "1", ""),
    # Twice the Moon's greatest horizontal parallax is 2.05 deg (Meeus, Astronomical Algorithms).
    "pair_shift": ("0", "3", "deg"),
    # The Sun is 31.5' to 32.5' wide; the Moon of a half phase may be misjudged by far.
    "sun_angle": ("20", "45", "arcmin"),
    "half_moon_elongation": ("30", "150", "deg"),
    # Sizes of instruments: common practice, no source.
    "north_gnomon_height": ("1", "100000", "cm"),
    "north_shadow_length": ("0", "10000", "m"),
    "disc_diameter": ("0.1", "1000", "mm"),
    "hole_diameter": ("0", "100", "mm"),
    "target_diameter": ("1", "1000", "mm"),
    "target_distance": ("1", "200", "m"),
    "target_vanish_distance": ("1", "20000", "cm"),
    "target_rim_distance": ("1", "20000", "cm"),
    "vanish_distance": ("5", "20000", "cm"),
    "rim_distance": ("5", "20000", "cm"),
    "photo_moon_radius": ("1", "1000000", "px"),
    "photo_shadow_radius": ("1", "1000000", "px"),
}


@pytest.mark.parametrize("name", LIMITS)
def test_a_quantity_has_its_limits_and_no_others(tmp_path, name):
    least, greatest, unit = LIMITS[name]
    for text, side in ((least, -1), (greatest, 1)):
        inside = one(tmp_path, f"A,{name},{text},{unit},,")
        beyond = float(text) + side * max(0.002 * abs(float(text)), 0.02)
        outside = one(tmp_path, f"A,{name},{beyond:.6f},{unit},,")
        assert isinstance(inside, tables.Reading) and isinstance(outside, tables.Problem)


def test_every_limit_is_tried():
    other = {name.replace("north_", "south_") for name in LIMITS} | set(LIMITS)
    assert other >= {name for name, term in QUANTITIES.items() if term.least is not None}


@pytest.mark.parametrize(
    ("text", "half_step"), [("14", 0.5), ("14.0", 0.05), ("14.05", 0.005), ("1.4e1", 0.5)]
)
def test_the_last_digit_written_is_known_to_half_a_step(tmp_path, text, half_step):
    # A reading to the nearest step lies within half of it (GUM F.2.2.1).
    assert one(tmp_path, f"A,disc_diameter,{text},mm,,").resolution == half_step * u.mm
