"""The truth of the night in `reduce`, and practice readings of real nights."""

import json

import pytest
from astropy import units as u

from moonreach import __main__ as cli
from moonreach import sky
from moonreach.practice.real_night import sky_truth

HEADER = "group,quantity,value,unit,uncertainty,note\n"
ATHENS_LIKE = ("--latitude", "38", "--longitude", "23.7", "--zone", "Europe/Athens")


def reduce(capsys, path):
    code = cli.main(["reduce", str(path), "--json"])
    return code, json.loads(capsys.readouterr().out)


def practice(capsys, path, *words):
    code = cli.main(["practice", "--out", str(path), *words])
    captured = capsys.readouterr()
    return code, captured.err


def test_practice_of_a_real_night(capsys, tmp_path):
    # NASA/GSFC: 2018 July 27, umbral magnitude 1.6087 and gamma 0.1168 give x = 2.646; the Moon
    # was near apogee, 406 000 km (JPL DE421: horizontal parallax 3239.7", so 6378.14 km over it).
    path = tmp_path / "sheet.csv"
    code, _ = practice(capsys, path, "--eclipse", "2018-07-27", *ATHENS_LIKE, "--groups", "12")
    assert code == 0
    assert "the sky alone is real" in path.read_text(encoding="utf-8").splitlines()[0]
    code, found = reduce(capsys, path)
    assert code == 0
    truth = found["groups"][0]["truth"]
    assert truth["shadow_ratio"] == pytest.approx(2.646, abs=0.003)
    assert truth["distance_km"] == pytest.approx(406_100, abs=150)
    assert truth["distance_earth_diameters"] == pytest.approx(406_100 / 12_742, abs=0.02)
    assert 29.3 < truth["moon_angle_arcmin"] < 29.9
    whole = found["class"]["distance_km"]
    assert whole["low"] < truth["distance_km"] < whole["high"]
    for group in found["groups"]:
        expected = (group["distance_km"]["value"] / truth["distance_km"] - 1) * 100
        assert group["error_percent"] == pytest.approx(expected)


def test_angle_is_larger_from_a_place_below_the_moon(capsys, tmp_path):
    path = tmp_path / "sheet.csv"
    rows = "A,observed_at,2018-07-27T20:21Z,,,\nA,disc_diameter,14,mm,,\nA,rim_distance,1.6,m,,\n"
    place = "A,place_latitude,-23.5,deg,,\nA,place_longitude,55,deg,,\n"
    angles = []
    for text in (rows, rows + place):
        path.write_text(HEADER + text, encoding="utf-8")
        _, found = reduce(capsys, path)
        angles.append(found["groups"][0]["truth"]["moon_angle_arcmin"])
    # The Moon stood almost in the zenith there: one Earth radius nearer, 1.6 % (6371 in 399 700).
    assert angles[1] / angles[0] == pytest.approx(1 + 6371 / 399_700, abs=5e-4)


def test_without_a_night_there_is_no_truth(capsys, tmp_path):
    path = tmp_path / "sheet.csv"
    path.write_text(f"{HEADER}A,disc_diameter,14,mm,,\n", encoding="utf-8")
    _, found = reduce(capsys, path)
    assert "truth" not in found["groups"][0]


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("eclipse_date,2018-07-20", "2018-07-27"),
        ("eclipse_date,1850-07-20", "1900 to 2100"),
        ("observed_at,21:40", "needs its date"),
    ],
)
def test_a_night_that_cannot_be_is_a_sentence(capsys, tmp_path, row, says):
    path = tmp_path / "sheet.csv"
    path.write_text(f"{HEADER}A,disc_diameter,14,mm,,\nA,{row},,,\n", encoding="utf-8")
    _, found = reduce(capsys, path)
    assert any(says in problem["message"] for problem in found["problems"])
    assert "truth" not in found["groups"][0]


def test_observed_at_without_a_zone_is_remarked_on(capsys, tmp_path):
    path = tmp_path / "sheet.csv"
    path.write_text(f"{HEADER}A,observed_at,2018-07-27T20:21,,,\n", encoding="utf-8")
    _, found = reduce(capsys, path)
    assert "sighting time names no zone and is taken as UTC" in found["groups"][0]["notes"]


def test_contacts_below_the_horizon_are_left_out():
    # 2029 June 26 from 52 N 5 E: the Moon sets before greatest eclipse.
    place = sky.Place(52.1 * u.deg, 5.2 * u.deg, zone="Europe/Amsterdam")
    contacts = sky_truth("2029-06-26", place).contacts
    assert [contact is None for contact in contacts] == [False, False, True, True]
    # NASA/GSFC: U1 at 01:32:18 UT, which is 03:32:18 in summer there; published UT runs early.
    assert contacts[0].to_value(u.s) == pytest.approx(3 * 3600 + 32 * 60 + 18, abs=20)


@pytest.mark.parametrize("latitude", [-50, -10, 0, 15, 60])
def test_any_latitude_gives_earths_size(capsys, tmp_path, latitude):
    path = tmp_path / "sheet.csv"
    words = ("--eclipse", "2018-07-27", "--latitude", str(latitude), "--longitude", "55")
    assert practice(capsys, path, *words, "--groups", "2")[0] == 0
    _, found = reduce(capsys, path)
    for group in found["groups"]:
        assert group["earth_diameter_km"]["value"] == pytest.approx(12_742, rel=0.12)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--eclipse", "2018-07-20"), "nearest"),
        (("--eclipse", "2021-11-19"), "is partial"),
        (("--eclipse", "2018-07-27", "--latitude", "40"), "--longitude"),
        (("--eclipse", "2018-07-27", "--latitude", "40", "--longitude", "-110"), "not seen"),
        (("--eclipse", "2018-07-27", "--latitude", "95", "--longitude", "0"), "latitude"),
        (("--eclipse", "soon"), "2029-06-26"),
        (
            ("--eclipse", "2018-07-27", "--latitude", "40", "--longitude", "0", "--zone", "Here"),
            "IANA",
        ),
    ],
)
def test_impossible_nights_are_one_sentence(capsys, tmp_path, words, says):
    code, err = practice(capsys, tmp_path / "sheet.csv", *words)
    assert code == 2
    assert says in err
    assert len(err.strip().splitlines()) == 1
