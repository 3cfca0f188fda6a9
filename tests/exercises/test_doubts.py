"""Doubts about readings: what cannot be is said, what can be is left alone."""

import csv
from pathlib import Path

import numpy as np
import pytest
from astropy import units as u
from hypothesis import given, settings
from hypothesis import strategies as st

from moonreach.exercises.doubts import doubts
from moonreach.lessons import shadow_cone, today
from moonreach.practice import invented
from moonreach.sheet import tables

DATA = Path(__file__).parents[2] / "data"
REFERENCE = Path(__file__).parents[1] / "reference"
CONTACTS = [f"umbral_contact_{number}" for number in (1, 2, 3, 4)]


def said(*rows):
    """Return what is said about rows of quantity, value and unit, by quantity."""
    sheet = tables.of_rows([["Heron", *row, "", ""] for row in rows])
    assert not sheet.problems
    found = doubts(sheet.readings)
    assert all("\n" not in doubt.sentence and doubt.sentence for doubt in found)
    return {doubt.reading.quantity: doubt.sentence for doubt in found}


def contacts(*clocks):
    return said(*[(name, clock, "s") for name, clock in zip(CONTACTS, clocks, strict=True)])


def test_a_call_minutes_from_the_others_is_named():
    # 22:41 with its minutes swapped; of two calls the second is named. Eyes differ by 45 s or so.
    one, other = ("umbral_contact_1", "22:41:30", "s"), ("umbral_contact_1", "22:42:10", "s")
    wrong = ("umbral_contact_1", "22:24:10", "s")
    sheet = tables.of_rows([["Heron", *row, "", ""] for row in (one, other, wrong)])
    ((doubt),) = doubts(sheet.readings)
    assert doubt.reading.row == 4 and "17 min from the middle one of the readings" in doubt.sentence
    assert said(one, other) == {}
    assert "17 min from the other reading" in said(one, wrong)["umbral_contact_1"]
    late = [("umbral_contact_3", clock, "s") for clock in ("23:59:50", "00:00:20", "00:01:00")]
    assert said(*late) == {}


@settings(max_examples=40, deadline=None)
@given(st.floats(357e3, 406e3), st.floats(0, 0.55), st.floats(2, 60), st.integers(0, 10**6))
def test_nothing_is_said_about_readings_of_a_possible_night(distance, offset, zenith, seed):
    # The Moon's least and greatest distances: NASA Moon fact sheet.
    moon_parallax = np.arcsin(today.EARTH_RADIUS / (distance * u.km))
    sun_parallax = np.arcsin(today.EARTH_RADIUS / today.SUN_DISTANCE)
    umbra = shadow_cone.umbra_semidiameter(moon_parallax, sun_parallax, today.SUN_SEMIDIAMETER)
    truth = invented.Truth(
        distance=distance * u.km,
        ratio=(umbra / np.arcsin(today.MOON_RADIUS / (distance * u.km))).to_value(u.one),
        offset=offset,
        south_zenith_distance=zenith * u.deg,
    )
    rows = invented.group_rows("Heron", truth, invented.Hands(), np.random.default_rng(seed))
    assert doubts(tables.of_rows(rows).readings) == []


def test_nothing_is_said_about_the_published_group_but_its_moon_on_the_horizon():
    found = doubts(tables.read(DATA / "published.csv").readings)
    assert [doubt.reading.quantity for doubt in found] == ["moon_altitude"]


def test_the_practice_slip_is_found():
    found = {d.reading.group: d.sentence for d in doubts_by_group(DATA / "practice_class.csv")}
    assert list(found) == ["Beaver"] and "radius and not its diameter" in found["Beaver"]


def doubts_by_group(path):
    groups = tables.read(path).groups().values()
    return [doubt for readings in groups for doubt in doubts(readings)]


def test_a_shadow_in_the_wrong_unit():
    found = said(("north_gnomon_height", "1", "m"), ("north_shadow_length", "11", "m"))
    assert found == {"north_shadow_length": "a shadow of 11 m from a 1 m gnomon: did you mean cm?"}
    found = said(("south_gnomon_height", "100", "cm"), ("south_shadow_length", "0.8", "cm"))
    assert found["south_shadow_length"].endswith("did you mean m?")


def test_a_gnomon_as_tall_as_a_tower():
    assert said(("north_gnomon_height", "120", "m"))["north_gnomon_height"] == (
        "a gnomon of 120 m is unlikely: did you mean cm?"
    )


def test_lengths_that_make_no_earth():
    shadows = [
        ("north_gnomon_height", "1", "m"),
        ("north_shadow_length", "80", "cm"),
        ("south_gnomon_height", "1", "m"),
    ]
    distance = ("north_south_distance", "800", "km")
    alike = said(*shadows, ("south_shadow_length", "80", "cm"), distance)
    assert "give no arc" in alike["north_shadow_length"]
    small = said(*shadows, ("south_shadow_length", "20", "cm"), distance)
    assert "make the Earth 3 351 km wide" in small["north_shadow_length"]
    # A road due east has no length along the meridian: asked where no shadow was read at all.
    east = said(("road_distance", "800", "km"), ("road_bearing", "90", "deg"))
    assert "road_distance" in east
    near = said(("north_south_distance", "12", "km"))
    assert "less than a degree" in near["north_south_distance"]


@pytest.mark.parametrize(
    ("clocks", "quantity", "words"),
    [
        (("20:00", "21:05", "23:30", "00:35"), CONTACTS[2], "totality of 145 min cannot be"),
        (("20:00", "21:05", "22:35", "22:30"), CONTACTS[3], "U4 is not later than U3"),
        (("21:05", "20:00", "22:35", "23:40"), CONTACTS[1], "U2 is not later than U1"),
        (("20:00", "20:20", "21:35", "22:40"), CONTACTS[1], "entry time of 20 min cannot be"),
        (("20:00", "21:05", "22:35", "00:05"), CONTACTS[3], "65 min to enter and 90 min to leave"),
        (("20:00", "20:51", "22:38", "23:29"), CONTACTS[2], "at least 3.10 Moons wide"),
    ],
)
def test_contacts_that_cannot_be(clocks, quantity, words):
    found = contacts(*clocks)
    assert list(found) == [quantity] and words in found[quantity]


def test_contacts_over_midnight_are_in_order():
    assert contacts("22:30", "23:36", "01:15", "02:21") == {}


def test_nothing_is_said_about_published_total_eclipses():
    # NASA/GSFC (F. Espenak), among them 2000 July 16 with a totality of 1 h 46.4 min.
    with (REFERENCE / "eclipses.csv").open(encoding="utf-8") as file:
        nights = list(csv.DictReader(line for line in file if not line.startswith("#")))
    total = [night for night in nights if night["U2"]]
    assert len(total) >= 5 and "2000-07-16" in {night["date"] for night in total}
    for night in total:
        assert contacts(*(night[f"U{number}"] for number in (1, 2, 3, 4))) == {}, night["date"]


def test_phases_in_the_wrong_unit():
    found = said(("partial_phase", "1.1", "min"), ("total_phase", "103", "min"))
    assert found["partial_phase"].endswith("did you mean h?")


@pytest.mark.parametrize(
    ("disc", "vanish", "rim", "hole", "quantity", "words"),
    [
        ("14 mm", "1.7 m", "1.5 m", "1 mm", "vanish_distance", "were the two swapped?"),
        ("7 mm", "1.45 m", "1.65 m", "1 mm", "disc_diameter", "the disc's radius"),
        ("14 cm", "1.45 m", "1.65 m", "1 mm", "disc_diameter", "did you mean mm?"),
        ("14 mm", "1.20 m", "1.35 m", "1 mm", "disc_diameter", "make the Moon 37.7′ wide"),
        ("15 mm", "1.49 m", "1.57 m", "1.5 mm", "hole_diameter", "where the ring first showed"),
        ("14 mm", "1.45 m", "1.65 m", "15 mm", "hole_diameter", "not smaller than the disc"),
        ("14 mm", "1.45 m", "1.65 m", "9 mm", "hole_diameter", "very wide"),
    ],
)
def test_rods_that_cannot_be(disc, vanish, rim, hole, quantity, words):
    names = "disc_diameter", "vanish_distance", "rim_distance", "hole_diameter"
    cells = [text.split() for text in (disc, vanish, rim, hole)]
    found = said(*[(name, *cell) for name, cell in zip(names, cells, strict=True)])
    assert words in found[quantity]


def test_one_reading_far_from_the_others():
    found = said(*[("vanish_distance", value, "m") for value in ("1.50", "1.51", "0.15", "1.49")])
    assert "0.15 m is far from the middle one" in found["vanish_distance"]
    found = said(("north_shadow_length", "80", "cm"), ("north_shadow_length", "80", "mm"))
    assert found["north_shadow_length"].endswith("did you mean cm?")


@pytest.mark.parametrize(
    ("shadow", "moon", "words"),
    [
        ("160 px", "434 px", "were the two swapped?"),
        ("800 px", "160 px", "5.00 Moons wide"),
        ("43 mm", "160 px", "cannot be compared"),
    ],
)
def test_photographs_that_cannot_be(shadow, moon, words):
    found = said(("photo_shadow_radius", *shadow.split()), ("photo_moon_radius", *moon.split()))
    assert words in found["photo_shadow_radius"]


def test_any_readings_at_all_are_met_without_an_error():
    values = {"length": "0.1 m", "angle": "5 deg", "duration": "1 h", "picture": "1 px"}
    from moonreach.sheet.quantities import QUANTITIES

    for name, term in QUANTITIES.items():
        text = values.get(term.kind) or {"clock": "12:00 s", "date": "2029-06-26 "}.get(term.kind)
        rows = [["Heron", name, *(text or f"{term.words and term.words[0]} ").split(" "), "", ""]]
        doubts(tables.of_rows(rows * 2).readings)
    assert doubts([]) == []
    mixed = [["Heron", "photo_moon_radius", "16", unit, "", ""] for unit in ("px", "mm")]
    assert doubts(tables.of_rows(mixed).readings) == []  # the reduction says it
