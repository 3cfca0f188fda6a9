"""The further lessons in sheet, reduction, summary and report: optional, and in blocks apart."""

import csv
import json
import re

import numpy as np
import pytest
from astropy import units as u
from two_places_sky import pair_rows

from moonreach import report, sky
from moonreach.__main__ import main
from moonreach.exercises.doubts import doubts
from moonreach.lessons import other_ways, sun_distance, today
from moonreach.notebook import practice_night
from moonreach.notebook.desk import Desk
from moonreach.practice.further import ECLIPSE, PAIR, further_rows
from moonreach.practice.hands import Hands
from moonreach.reduction import printed, summary
from moonreach.reduction.group import reduce_group
from moonreach.reduction.inputs import assumption, limits_of
from moonreach.reduction.results import BLOCKS, FURTHER_QUANTITIES, RESULTS
from moonreach.sheet import tables
from moonreach.sheet.quantities import QUANTITIES, label_of
from moonreach.sheet.reading import row_of

PAIR_READINGS = {
    "pair_north_latitude": "50.00",
    "pair_south_latitude": "-30.00",
    "pair_north_zenith_distance": "41.00",
    "pair_south_zenith_distance": "40.20",
}
ECLIPSE_READINGS = {
    "solar_eclipse_north_latitude": "41.00",
    "solar_eclipse_south_latitude": "31.00",
    "solar_eclipse_north_part": "1",
    "solar_eclipse_south_part": "0.8",
    "solar_eclipse_sun_altitude": "46.0",
}


def practice_rows():
    """Return the practice group's rows as texts, to be typed into a sheet."""
    return [row_of(reading) for reading in practice_night.practice_rows()]


def rows_of(readings, unit="deg"):
    rows = []
    for name, values in readings.items():
        for value in values if isinstance(values, tuple) else (values,):
            kind = QUANTITIES[name].kind
            rows.append(["Heron", name, value, unit if kind == "angle" else "", "", ""])
    return rows


def reduced(readings, **more):
    sheet = tables.of_rows(rows_of(readings | more))
    assert not sheet.problems
    return reduce_group("Heron", sheet.readings)


def further_of(result):
    return {name: found for name, found in result.outcomes.items() if RESULTS[name].block}


def test_without_their_readings_nothing_is_said_of_them():
    rows = [row for row in practice_rows() if row[1] not in FURTHER_QUANTITIES]
    found = reduce_group("Heron", tables.of_rows(rows).readings)
    assert not further_of(found) and found.problems == []
    stored = summary.as_object(summary.ClassSummary(tables.of_rows(rows)))
    assert "further" not in stored["groups"][0]
    assert "half Moon" not in printed.as_text(summary.ClassSummary(tables.of_rows(rows)))


def test_their_readings_change_no_digit_of_the_chain():
    rows = practice_rows()
    alone = [row for row in rows if row[1] not in FURTHER_QUANTITIES]
    whole, bare = (reduce_group("Heron", tables.of_rows(r).readings) for r in (rows, alone))
    assert len(alone) < len(rows)
    assert {**whole.of_block("")} == {**bare.of_block("")}
    assert {RESULTS[name].block for name in further_of(whole)} == set(BLOCKS)


def test_names_of_all_results():
    found = reduce_group("Heron", tables.of_rows(practice_rows()).readings)
    keys = list(further_of(found))
    assert keys == [name for name, result in RESULTS.items() if result.block]
    assert reduced(PAIR_READINGS).outcome("sun_in_earths") is None
    with pytest.raises(KeyError):
        found.outcome("elongations")


def lift(zenith):
    """Return by how many degrees the air lifts a light at a zenith distance in degrees."""
    return 58.3 / 3600 * np.tan(np.radians(zenith))


def test_the_pair_by_hand():
    # The air lifts by 58.3" times the tangent of the zenith distance (Astronomical Almanac, from
    # memory), so that both zenith distances are larger than they were read.
    north, south = 41 + lift(41), 40.2 + lift(40.2)
    found = reduced(PAIR_READINGS).outcomes
    assert found["pair_shift"].value == pytest.approx(north + south - 80, rel=1e-3)
    angles = (north + south - 80) * u.deg, 80 * u.deg, north * u.deg
    by_hand = other_ways.distance_in_earth_radii(*angles)
    assert found["pair_distance"].value == pytest.approx(float(by_hand) / 2, rel=1e-3)
    # Seen from the other hemisphere the same sky is upside down.
    mirrored = {
        "pair_north_latitude": "30.00",
        "pair_south_latitude": "-50.00",
        "pair_north_zenith_distance": "40.20",
        "pair_south_zenith_distance": "41.00",
    }
    assert reduced(mirrored).outcome("pair_distance").value == pytest.approx(
        found["pair_distance"].value
    )


@pytest.mark.parametrize("side", [1, -1])
def test_the_moon_on_one_side_of_both_zeniths(side):
    # The places 60 and 30 degrees from the equator, the Moon 10 degrees beyond it.
    shift = other_ways.shift_at(60, 30 * u.deg, 70 * u.deg).to_value(u.deg)
    far, near = ("north", "south")[::side]
    given = {
        f"pair_{far}_latitude": f"{60 * side:.4f}",
        f"pair_{near}_latitude": f"{30 * side:.4f}",
        f"pair_{far}_zenith_distance": f"{70 - lift(70 - lift(70)):.4f}",
        f"pair_{near}_zenith_distance": f"{40 - shift - lift(40 - shift):.4f}",
    }
    block = reduced(given).outcomes
    assert block["pair_shift"].value == pytest.approx(shift, abs=1e-3)
    assert block["pair_distance"].value == pytest.approx(30, rel=2e-3)
    said = reduced(given, pair_moon="between").outcome("pair_shift")
    assert said is None or said.value != pytest.approx(shift, abs=1)


def test_a_shift_among_the_stars_goes_before_the_second_zenith_distance():
    block = reduced(PAIR_READINGS, pair_shift="1.10").outcomes
    assert block["pair_shift"].value == pytest.approx(1.1)
    wide = reduced(PAIR_READINGS).outcome("pair_distance")
    assert block["pair_distance"].high - block["pair_distance"].low < wide.high - wide.low


def test_two_places_anywhere_from_the_real_sky():
    places = sky.Place(52 * u.deg, 5 * u.deg), sky.Place(-34 * u.deg, 151 * u.deg)
    near = sky.Place(-10 * u.deg, 40 * u.deg)
    for first, second in ((places[0], near), (near, places[0])):
        rows = pair_rows("Heron", first, second, "2029-03-25T20:00")
        found = reduce_group("Heron", tables.of_rows(rows).readings)
        assert not [problem for problem in found.problems if "two places" in problem]
        true = sky.moon_at("2029-03-25T20:00").distance / today.EARTH_DIAMETER
        # A globe in place of the flattened Earth costs a few tenths of a per cent.
        assert found.outcome("pair_distance").value == pytest.approx(float(true), rel=0.012)
        assert found.outcome("pair_shift") is None
        notes = summary.block_notes(found, "pair")
        assert notes == [f"true at that moment: {float(true):.2f} Earth diameters"]


def test_the_solar_eclipse_by_hand():
    block = reduced(ECLIPSE_READINGS, sun_angle="0.55").outcomes
    assert block["solar_eclipse_shift"].value == pytest.approx(0.2 * 33)
    by_hand = other_ways.distance_in_earth_radii(6.6 * u.arcmin, 10 * u.deg, 44 * u.deg)
    assert block["solar_eclipse_distance"].value == pytest.approx(float(by_hand) / 2)
    swapped = {
        **ECLIPSE_READINGS,
        "solar_eclipse_north_part": "0.8",
        "solar_eclipse_south_part": "1",
        "sun_angle": "0.55",
    }
    assert reduced(swapped).outcome("solar_eclipse_shift").value == pytest.approx(0.2 * 33)
    shares = block["solar_eclipse_distance"].shares
    assert "assumption_plain_eclipse" in shares
    assert shares.get("solar_eclipse_north_part", 0) < 1e-6  # total is seen, not estimated


def test_parts_in_per_cent_are_the_same():
    rows = rows_of(ECLIPSE_READINGS)
    in_percent = [
        [*row[:2], f"{100 * float(row[2]):g}", "%", *row[4:]] if row[1].endswith("part") else row
        for row in rows
    ]
    found = [
        reduce_group("Heron", tables.of_rows(r).readings).outcome("solar_eclipse_distance").value
        for r in (rows, in_percent)
    ]
    assert found[0] == pytest.approx(found[1])


def test_the_half_moon_is_one_sided_and_still_says_that_the_sun_is_larger():
    block = reduced({"half_moon_elongation": ("88.0", "91.0", "90.5", "87.5", "89.0")}).outcomes
    ratio, earths = block["sun_distance_ratio"], block["sun_in_earths"]
    assert ratio.high == np.inf and earths.high == np.inf
    assert ratio.low == pytest.approx(1 / np.cos(np.radians(block["elongation"].low)), rel=0.01)
    assert 10 < ratio.low < today.SUN_MOON_DISTANCE_RATIO
    least = sun_distance.sun_in_earths(ratio.low, 2.7)
    assert earths.low == pytest.approx(float(least), rel=0.03) and earths.low > 2


def test_an_elongation_beyond_90_leaves_a_lower_end_alone_or_says_what_is_wrong():
    found = reduced({"half_moon_elongation": ("90.0", "92.0", "92.5", "91.0")})
    assert found.outcome("sun_distance_ratio").value == np.inf
    assert found.outcome("sun_distance_ratio").low > 10
    found = reduced({"half_moon_elongation": ("94.1", "94.0", "94.2", "94.1")})
    assert found.outcome("elongation").value == pytest.approx(94.1)
    assert found.outcome("sun_distance_ratio") is found.outcome("sun_in_earths") is None
    said = [problem for problem in found.problems if "half Moon" in problem]
    assert len(said) == 1 and "at 90 deg or more" in said[0]


def test_altitudes_give_the_elongation_where_it_was_not_read():
    given = {
        "half_moon_sun_altitude": "24.0",
        "half_moon_altitude": "41.0",
        "half_moon_azimuth_difference": "112.8",
    }
    by_hand = sun_distance.elongation_from_altitudes(24 * u.deg, 41 * u.deg, 112.8 * u.deg)
    assert reduced(given).outcome("elongation").value == pytest.approx(by_hand.value)
    direct = reduced(given, half_moon_elongation="88.0")
    assert direct.outcome("elongation").value == pytest.approx(88)
    del given["half_moon_altitude"]
    assert "for the half Moon there is no half Moon altitude" in reduced(given).problems


def test_a_pair_without_a_shift_keeps_what_it_has_and_says_where_to_look():
    found = reduced(PAIR_READINGS, pair_south_latitude="30.00")
    assert found.outcome("pair_shift").value == pytest.approx(-19.2, abs=1e-3)
    assert found.outcome("pair_distance") is None
    assert any("signs of the latitudes" in problem for problem in found.problems)


def test_what_is_missing_is_named():
    for readings, name, what in (
        (PAIR_READINGS, "pair_south_zenith_distance", "the Moon from two places"),
        (ECLIPSE_READINGS, "solar_eclipse_sun_altitude", "the solar eclipse"),
    ):
        left = {key: value for key, value in readings.items() if key != name}
        found = reduced(left)
        lacking = f"for {what} there is no "
        said = [problem for problem in found.problems if problem.startswith(lacking)]
        assert len(said) == 1 and said[0].endswith(label_of(name)) and not further_of(found)


def test_reduce_prints_blocks_and_stores_them(tmp_path, capsys):
    path = tmp_path / "class.csv"
    tables.write(path, practice_rows())
    assert main(["reduce", str(path), "--out", str(tmp_path)]) == 0
    text = capsys.readouterr().out
    for words in ("The half Moon", "A solar eclipse from two places", "The Moon from two places"):
        assert f"\n  {words}\n" in text
    assert re.search("Sun's distance +at least [0-9]+ Moon distances", text)
    stored = json.loads((tmp_path / "results.json").read_text(encoding="utf-8"))
    further = stored["groups"][0]["further"]
    assert further["sun_distance"]["results"]["sun_distance_ratio"]["high"] is None
    table = csv.reader((tmp_path / "results.csv").read_text(encoding="utf-8").splitlines())
    assert {name for name, result in RESULTS.items() if result.block} <= {row[1] for row in table}


def test_a_group_with_nothing_else_is_reduced(tmp_path, capsys):
    path = tmp_path / "class.csv"
    tables.write(path, rows_of(PAIR_READINGS))
    assert main(["reduce", str(path)]) == 1  # it lacks the chain, and says so
    assert "The Moon from two places" in capsys.readouterr().out


@pytest.mark.parametrize("kind", ["html", "pdf"])
def test_the_report_shows_them_when_present(tmp_path, kind):
    path = tmp_path / "class.csv"
    tables.write(path, practice_rows())
    report.write([path], [tmp_path / f"report.{kind}"])
    made = report.content.report_of(tables.read(path))
    read, further = made.groups[0].left[:2]
    assert any(row[0].startswith("Sun's distance") for row in further.rows)
    readings = {name for name, _ in read.rows}
    assert "half Moon elongation" not in readings and "disc diameter" in readings
    if kind == "html":
        text = (tmp_path / "report.html").read_text(encoding="utf-8")
        assert "The further lessons" in text and re.search("at least [0-9]+ Moon distances", text)
        tables.write(path, [row for row in practice_rows() if row[1] not in FURTHER_QUANTITIES])
        report.write([path], [tmp_path / "report.html"])
        assert "further lessons" not in (tmp_path / "report.html").read_text(encoding="utf-8")


def test_practice_writes_them_when_asked(tmp_path, capsys):
    names = {}
    for more in ((), ("--further",)):
        path = tmp_path / f"{len(more)}.csv"
        assert main(["practice", "--out", str(path), "--groups", "2", *more]) == 0
        names[len(more)] = [r.quantity for r in tables.read(path).readings]
    assert names[1][: len(names[0])] == names[0]
    assert set(names[1][len(names[0]) :]) <= FURTHER_QUANTITIES and len(names[1]) > len(names[0])


def test_practice_readings_hold_their_truth():
    angles = dict.fromkeys(("half", "protractor", "azimuth", "zenith"), 0.05 * u.deg)
    exact = Hands(**angles, part=0.001)
    rows = further_rows("Heron", np.random.default_rng(1), 384_399 * u.km, exact)
    found = reduce_group("Heron", tables.of_rows(rows).readings)
    for key in ("pair_distance", "solar_eclipse_distance"):
        one = found.outcome(key)
        assert one.low < 30.17 < one.high
    assert PAIR[0] > PAIR[1] and ECLIPSE[0] > ECLIPSE[1]


def doubted(readings, **more):
    rows = tables.of_rows(rows_of(readings | more)).readings
    return {doubt.reading.quantity: doubt.sentence for doubt in doubts(rows)}


def test_doubts_about_what_cannot_be():
    assert doubted(PAIR_READINGS) == doubted(ECLIPSE_READINGS) == {}
    assert "within 15° of 90°" in doubted({"half_moon_elongation": "60"})["half_moon_elongation"]
    wrong_sign = doubted(PAIR_READINGS, pair_south_latitude="30.00")
    assert "look at the signs" in wrong_sign["pair_north_zenith_distance"]
    far = {"pair_north_longitude": "179.00", "pair_south_longitude": "-177.00"}
    assert "4° of longitude apart" in doubted(PAIR_READINGS, **far)["pair_north_longitude"]
    azimuths = {"pair_north_azimuth": "180", "pair_south_azimuth": "0"}
    assert doubted(PAIR_READINGS, **far, **azimuths) == {}
    parts = "solar_eclipse_north_part", "solar_eclipse_south_part"
    assert "covered alike" in doubted(ECLIPSE_READINGS, **dict.fromkeys(parts, "1"))[parts[0]]
    assert "neither place" in doubted(ECLIPSE_READINGS, **{parts[0]: "0.9"})[parts[0]]
    three = {
        "half_moon_sun_altitude": "24",
        "half_moon_altitude": "41",
        "half_moon_azimuth_difference": "20",
    }
    assert "put the Moon" in doubted(three)["half_moon_azimuth_difference"]
    assert doubts(tables.of_rows(practice_rows()).readings) == []


def test_a_group_with_an_eclipse_alone_has_its_own_result(tmp_path):
    desk = Desk("other_ways", "Heron", tmp_path)
    assert "or else solar eclipse north latitude," in desk.result()
    tables.write(desk.sheet.path, rows_of(ECLIPSE_READINGS))
    assert desk.readings().group == "Heron"
    text = desk.result()
    assert "from a solar eclipse" in text and "from two places" not in text
    assert "follows after answer 2" in text


def test_a_moment_needs_its_date():
    found = reduced(PAIR_READINGS, pair_moment="20:00")
    assert found.outcome("pair_distance") == reduced(PAIR_READINGS).outcome("pair_distance")
    assert any("pair moment needs its date" in problem for problem in found.problems)
    found = reduced(PAIR_READINGS, pair_moment="2029-03-25T20:00")
    assert found.notes == ["pair moment names no zone and is taken as UTC"]
    assert summary.block_notes(found, "pair")[0].startswith("true at that moment: 29.2")
    far_off = reduced(PAIR_READINGS, pair_moment="2329-03-25T20:00Z")
    assert far_off.outcome("pair_distance") and any("outside 1900" in p for p in far_off.problems)


def test_the_suns_stand_in_is_todays_sun():
    # Their own limits, of July and January, stand beside the table.
    low, high = limits_of("sun_angle")
    assert u.isclose((low + high) / 2, 2 * today.SUN_SEMIDIAMETER)
    assert u.isclose(assumption("sun_angle").value, 2 * today.SUN_SEMIDIAMETER)


def test_the_earths_stand_in_is_todays_earth():
    assert u.isclose(assumption("usual_earth_diameter").value, today.EARTH_DIAMETER, rtol=1e-9)


def test_a_moon_that_stands_too_low_is_refused_in_one_sentence():
    found = reduced(PAIR_READINGS, pair_south_zenith_distance="80.0")
    assert found.outcome("pair_distance") is None
    (said,) = [problem for problem in found.problems if "straight up" in problem]
    assert "80 deg from straight up" in said and "at most 75 deg" in said
