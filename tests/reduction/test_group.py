"""One group's readings to its results: which formula is used, what is missing, what is fair."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from astropy import units as u

from moonreach.lessons import eclipse_timing
from moonreach.lessons.refuse import Impossible
from moonreach.practice.hands import Hands
from moonreach.practice.invented import Truth, group_rows
from moonreach.reduction.group import reduce_group
from moonreach.sheet import tables
from moonreach.sheet.clocks import Clock, day, place
from moonreach.sheet.reading import row_of

DATA = Path(__file__).parents[2] / "data"
TRUTH = Truth(ratio=2.7, offset=0.4)


def rows(name="A", truth=TRUTH, seed=1, **options):
    readings = group_rows(name, truth, Hands(), np.random.default_rng(seed), **options)
    return [row_of(reading) for reading in readings]


def without(found, *starts):
    return [row for row in found if not row[1].startswith(starts)]


def reduce_rows(tmp_path, found):
    path = tmp_path / "sheet.csv"
    tables.write(path, found)
    sheet = tables.read(path)
    assert sheet.problems == []
    ((name, readings),) = sheet.groups().items()
    return reduce_group(name, readings)


def test_published_readings():
    # data/published.csv: contacts of 2014 April 15 (NASA/GSFC), mean angular diameter (NASA Moon
    # fact sheet), 1/50 of a circle (Cleomedes) on the WGS 84 meridian. What must come of it are
    # today's values: 384 399 km, 30.17 Earth diameters, 12 742 km.
    ((name, readings),) = tables.read(DATA / "published.csv").groups().items()
    found = reduce_group(name, readings)
    assert found.problems == []
    assert found.method == "chord"
    assert found.outcome("earth_diameter").value == pytest.approx(12_742, rel=0.002)
    # x from the published magnitude 1.2907 and gamma 0.3017 of that eclipse is 2.688.
    assert found.outcome("ratio").value == pytest.approx(2.688, rel=0.03)
    assert found.outcome("distance_earth_diameters").value == pytest.approx(30.17, rel=0.01)
    assert (
        found.outcome("distance_earth_diameters").low
        < 30.17
        < found.outcome("distance_earth_diameters").high
    )
    assert found.outcome("distance_km").value == pytest.approx(384_399, rel=0.01)


def test_by_hand(tmp_path):
    # The chain with a pocket calculator: photograph 270 to 100 px, 14 mm at 1.6 m, horizon.
    found = reduce_rows(
        tmp_path,
        [
            ["A", "photo_shadow_radius", "270", "px", "", ""],
            ["A", "photo_moon_radius", "100", "px", "", ""],
            ["A", "disc_diameter", "14", "mm", "", ""],
            ["A", "hole_diameter", "0.0", "mm", "", ""],
            ["A", "vanish_distance", "1.600", "m", "", ""],
            ["A", "moon_altitude", "0", "deg", "", ""],
        ],
    )
    assert found.outcome("ratio").value == pytest.approx(2.7)
    earths = 1 / (3.7 * 2 * np.sin(np.arctan(7 / 1600)))
    distance = np.hypot(earths, 0.5)
    assert found.outcome("distance_earth_diameters").value == pytest.approx(distance)
    assert found.outcome("distance_km").value == pytest.approx(distance * 12_742.0176)
    assert found.outcome("earth_diameter") is None


def test_off_centre_formula_is_used_and_the_simple_one_shown(tmp_path):
    found = reduce_rows(tmp_path, rows(photo=False))
    assert found.method == "chord"
    assert found.outcome("ratio_chord") and not found.outcome("ratio_photo")
    assert found.outcome("ratio_central").value < 0.85 * found.outcome("ratio").value
    assert found.outcome("path_offset").low < 0.4 < found.outcome("path_offset").high


def test_path_central_takes_the_simple_formula(tmp_path):
    stated = [*rows(photo=False), ["A", "path", "central", "", "", ""]]
    assert reduce_rows(tmp_path, stated).method == "central"
    stated[-1][2] = "unknown"
    assert reduce_rows(tmp_path, stated).method == "chord"


def test_without_an_angle_the_simple_formula_is_all_there_is(tmp_path):
    found = reduce_rows(tmp_path, without(rows(photo=False), "disc", "hole", "vanish", "rim"))
    assert found.method == "central"
    assert found.outcome("distance_km") is None
    assert any("disc diameter, vanish distance" in problem for problem in found.problems)


def test_the_surer_of_timing_and_photograph_goes_on(tmp_path):
    both = rows(photo=True)
    found = reduce_rows(tmp_path, both)
    assert found.outcome("ratio_chord") and found.outcome("ratio_photo")
    surer = min(("chord", "photo"), key=lambda key: found.outcome(f"ratio_{key}").standard)
    assert found.method == surer == "chord"
    sharp = [[*row[:4], "0.5", ""] if row[1].startswith("photo") else row for row in both]
    assert reduce_rows(tmp_path, sharp).method == "photo"


def test_an_angle_read_too_small_makes_the_path_central(tmp_path):
    # No path is nearer than a central one; chance alone takes the chord formula's ratio below.
    small = [
        [*row[:2], f"{float(row[2]) * 1.08:.3f}", *row[3:]]
        if row[1] in ("vanish_distance", "rim_distance")
        else row
        for row in rows(truth=Truth(offset=0.0), photo=False)
    ]
    found = reduce_rows(tmp_path, small)
    assert found.outcome("ratio_chord").value < found.outcome("ratio_central").value
    assert found.outcome("path_offset").value == 0


@pytest.mark.parametrize(
    ("left_out", "says"),
    [
        (("north_shadow",), "Earth's size there is no north shadow length"),
        (("north_south",), "road distance with road bearing"),
        (("disc",), "Moon's angular diameter there is no disc diameter"),
        (("vanish", "rim"), "there is no vanish distance or rim distance"),
        (("umbral", "photo"), "U2, U3"),
        (("umbral_contact_2", "photo"), "shadow ratio there is no U2"),
        (("umbral_contact_1", "umbral_contact_4", "photo"), "U1 or U4"),
    ],
)
def test_what_is_missing_is_named(tmp_path, left_out, says):
    found = reduce_rows(tmp_path, without(rows(), *left_out))
    assert any(says in problem for problem in found.problems), found.problems


def test_nothing_for_earth_is_no_problem(tmp_path):
    found = reduce_rows(tmp_path, without(rows(), "north", "south"))
    assert found.problems == []
    assert found.outcome("earth_diameter") is None
    # Today's mean diameter (lessons/today.py) turns diameters into kilometres.
    per_diameter = found["distance_km"] / found["distance_earth_diameters"]
    assert per_diameter.to_value(u.km) == pytest.approx(12_742.0176)


@pytest.mark.parametrize("missing", ["umbral_contact_1", "umbral_contact_4"])
def test_three_contacts_will_do(tmp_path, missing):
    found = reduce_rows(tmp_path, without(rows(photo=False), missing))
    assert found.outcome("ratio").low < 2.7 < found.outcome("ratio").high
    assert found.problems == []


def test_durations_in_place_of_contacts(tmp_path):
    partial, total = TRUTH.phases
    timed = [
        *without(rows(photo=False), "umbral"),
        ["A", "partial_phase", f"{partial.to_value(u.min):.2f}", "min", "0.5", ""],
        ["A", "total_phase", f"{total.to_value(u.h):.4f}", "h", "0.01", ""],
    ]
    found = reduce_rows(tmp_path, timed)
    assert found.outcome("ratio").low < 2.7 < found.outcome("ratio").high


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (("umbral_contact_2", "umbral_contact_3"), "U3 is not later than U2"),
        (("umbral_contact_1", "umbral_contact_2"), "U2 is not later than U1"),
    ],
)
def test_swapped_contacts_are_named_and_the_photograph_goes_on(tmp_path, change, says):
    names = dict(zip(change, change[::-1], strict=True))
    swapped = [[row[0], names.get(row[1], row[1]), *row[2:]] for row in rows()]
    found = reduce_rows(tmp_path, swapped)
    assert any(says in problem for problem in found.problems)
    assert found.method == "photo"
    assert found.outcome("distance_km")


def test_swapped_rod_readings_are_named_and_change_nothing(tmp_path):
    names = {"vanish_distance": "rim_distance", "rim_distance": "vanish_distance"}
    good, swapped = rows(), [[row[0], names.get(row[1], row[1]), *row[2:]] for row in rows()]
    found = reduce_rows(tmp_path, swapped)
    assert any("swapped" in problem for problem in found.problems)
    assert found.outcome("angle").value == pytest.approx(
        reduce_rows(tmp_path, good).outcome("angle").value
    )


def test_no_totality_is_explained(tmp_path):
    timed = [
        *without(rows(photo=False), "umbral"),
        ["A", "partial_phase", "90", "min", "", ""],
        ["A", "total_phase", "0", "min", "", ""],
    ]
    found = reduce_rows(tmp_path, timed)
    assert any("needs totality" in problem for problem in found.problems)
    assert found.outcome("angle")
    assert found.outcome("distance_km") is None


def test_disc_smaller_than_the_hole_is_explained(tmp_path):
    small = [
        [*row[:2], "20", *row[3:]] if row[1] == "hole_diameter" else row
        for row in rows(sightings="vanish", calibrated=False)
    ]
    found = reduce_rows(tmp_path, small)
    assert any("never vanishes" in problem for problem in found.problems)
    assert found.outcome("ratio")


def test_a_short_arc_cannot_be_told_from_zero(tmp_path):
    near = [
        [*row[:2], "120", *row[3:]] if row[1] in ("north_shadow_length", "south_shadow_length")
        else [*row[:2], "100", *row[3:]] if row[1].endswith("gnomon_height") else row
        for row in rows()
    ]  # fmt: skip
    near[1][2] = "120.2"
    found = reduce_rows(tmp_path, near)
    assert found.outcome("earth_diameter") is None
    assert any("Earth's size" in problem for problem in found.problems)
    assert found.outcome("distance_km")


def test_road_with_a_bearing(tmp_path):
    slanted = [
        *without(rows(), "north_south_distance"),
        ["A", "road_distance", "935.3", "km", "5", ""],
        ["A", "road_bearing", "30", "deg", "1", ""],
    ]
    found = reduce_rows(tmp_path, slanted)
    assert found.outcome("earth_diameter").low < 12_742 < found.outcome("earth_diameter").high


def test_noons_a_week_apart_are_corrected(tmp_path):
    # Near an equinox the Sun's declination moves by 0.39 deg a day: 2.7 deg in a week.
    dated = [
        *rows(),
        ["A", "north_noon", "2029-03-20T12:10", "", "", ""],
        ["A", "south_noon", "2029-03-27T12:10", "", "", ""],
    ]
    plain, moved = reduce_rows(tmp_path, rows()), reduce_rows(tmp_path, dated)
    arc = 810 / (np.pi * plain.outcome("earth_diameter").value) * 360
    assert plain.outcome("earth_diameter").value / moved.outcome(
        "earth_diameter"
    ).value == pytest.approx((arc - 2.73) / arc, abs=0.01)


def test_missing_altitude_and_hole_widen_the_interval(tmp_path):
    plain = rows(sightings="vanish", calibrated=False)
    known = reduce_rows(tmp_path, plain)
    unknown = reduce_rows(tmp_path, without(plain, "hole", "moon_altitude"))
    assert unknown.outcome("distance_km").standard > known.outcome("distance_km").standard
    assert "hole_diameter" in unknown.budget
    assert len(unknown.notes) == 2


def test_budget_names_the_reading_that_rules(tmp_path):
    rough = [
        [*row[:4], "0.2", ""] if row[1] in ("vanish_distance", "rim_distance") else row
        for row in rows(photo=False)
    ]
    budget = reduce_rows(tmp_path, rough).budget
    assert set(list(budget)[:2]) == {"vanish_distance", "rim_distance"}
    assert sum(budget.values()) == pytest.approx(1)


def test_same_rows_same_digits_whoever_else_is_there(tmp_path):
    path = tmp_path / "class.csv"
    tables.write(path, rows("B", seed=2) + rows("A") + rows("C", seed=3))
    among = reduce_group("A", tables.read(path).groups()["A"])
    alone = reduce_rows(tmp_path, rows("A")).outcome("distance_km")
    assert among.outcome("distance_km") == replace(
        alone, origin=among.outcome("distance_km").origin
    )


def test_units_do_not_matter(tmp_path):
    other = {"cm": ("m", 0.01), "m": ("inch", 1 / 0.0254), "km": ("mile", 1 / 1.609344)}
    changed = []
    for row in rows():
        unit, factor = other.get(row[3], (row[3], 1))
        if factor != 1:
            given = f"{float(row[4]) * factor:.9g}" if row[4] else ""
            row = [*row[:2], f"{float(row[2]) * factor:.9f}", unit, given, ""]
        changed.append(row)
    found, plain = reduce_rows(tmp_path, changed), reduce_rows(tmp_path, rows())
    assert found.outcome("distance_km").value == pytest.approx(
        plain.outcome("distance_km").value, rel=1e-6
    )


def test_contradicting_words_are_named(tmp_path):
    words = [["A", "path", "central", "", "", ""], ["A", "path", "unknown", "", "", ""]]
    found = reduce_rows(tmp_path, rows() + words)
    assert any("path is stated in different ways" in problem for problem in found.problems)


def test_px_and_mm_do_not_mix(tmp_path):
    mixed = [*rows(), ["A", "photo_moon_radius", "15", "mm", "", ""]]
    found = reduce_rows(tmp_path, mixed)
    assert any("px and in a length" in problem for problem in found.problems)
    assert found.outcome("ratio_photo") is None


class TestTimeline:
    """Clock times of one night."""

    def test_over_midnight_without_dates(self):
        line = place([Clock(23.5 * 3600), Clock(600), Clock(2 * 3600)])
        assert [time.to_value(u.s) for time in line] == [0, 2400, 9000]

    def test_a_second_watcher_on_the_other_side_of_midnight(self):
        line = place([Clock(10), Clock(86_390)])
        assert line[1] == -20 * u.s

    def test_zones(self):
        # 23:30 at UTC+2 is 21:30 UTC.
        line = place([Clock(23.5 * 3600, None, 7200), Clock(21.5 * 3600, None, 0)])
        assert line[1] == 0 * u.s

    def test_zone_of_the_others(self):
        line = place([Clock(0, None, 7200), Clock(60)])
        assert line[1] == 60 * u.s

    def test_dates(self):
        line = place([Clock(0, day("2029-06-27")), Clock(86_340, day("2029-06-26"))])
        assert line[1] == -60 * u.s

    def test_mixed_zones_are_refused(self):
        with pytest.raises(Impossible, match="name all or none"):
            place([Clock(0, None, 7200), Clock(0, None, 0), Clock(0)])


def test_contacts_days_apart_are_refused(tmp_path):
    dates = iter(["2029-06-25", "2029-06-26", "2029-06-26", "2029-06-26"])
    spread = [
        [*row[:2], f"{next(dates)}T{row[2]}", *row[3:]] if row[1].startswith("umbral") else row
        for row in rows(photo=False)
    ]
    found = reduce_rows(tmp_path, spread)
    assert any("at most 4 h" in problem for problem in found.problems)


def test_practice_truth_is_consistent():
    s = TRUTH.angle_at(TRUTH.distance) / 2
    x = eclipse_timing.ratio_off_centre(*TRUTH.phases, s, eclipse_timing.scaled_rate(s))
    assert x.value == pytest.approx(2.7)


def test_a_missing_fourth_contact_is_as_far_from_u3_as_u2_from_u1(tmp_path):
    # Contacts of an exact clock: 66 min to enter, 103 min of totality. x = 1 + 103/66 when the path
    # is central (Aristarchus), to the last digit.
    timed = [
        ["A", f"umbral_contact_{number}", clock, "", "", ""]
        for number, clock in ((1, "21:00:00"), (2, "22:06:00"), (3, "23:49:00"))
    ]
    found = reduce_rows(tmp_path, timed)
    assert found["entry_time"].to_value(u.min) == pytest.approx(66, abs=1e-9)
    assert found["totality"].to_value(u.min) == pytest.approx(103, abs=1e-9)
    assert found.outcome("ratio_central").value == pytest.approx(1 + 103 / 66, abs=1e-12)
