"""The invented class: the same readings for the same seed, and each says that it is invented."""

from pathlib import Path

import numpy as np
import pytest

from moonreach import __main__ as cli
from moonreach.practice import invented
from moonreach.practice.further import further_rows
from moonreach.practice.slips import SLIPS
from moonreach.sheet import tables
from moonreach.sheet.origin import Origin
from moonreach.sheet.reading import row_of

SHIPPED = Path(__file__).parents[2] / "data" / "practice_class.csv"


def test_the_shipped_class_is_what_its_seed_makes(tmp_path):
    made = tmp_path / "class.csv"
    offsets = ["--path-offset", *map(str, [0.05, 0.05, 0.05, 0.45, 0.05, 0.05, 0.5, 0.05])]
    mistake = ["--mistake", "radius for diameter"]
    assert cli.main(["practice", "--out", str(made), *offsets, *mistake]) == 0
    assert made.read_bytes() == SHIPPED.read_bytes()


def test_what_is_invented_says_so_in_memory_and_on_the_sheet(tmp_path):
    rows = invented.practice_class([invented.Truth()] * 2, 3, slips={1: "an hour off"})
    rows += further_rows("Heron", np.random.default_rng(3))
    tables.write(tmp_path / "class.csv", rows)
    read = tables.read(tmp_path / "class.csv").readings
    assert {row.origin for row in rows} == {row.origin for row in read} == {Origin.PRACTICE}
    # A reading is worth the same in memory as in the file.
    assert [row_of(row) for row in rows] == [row_of(row) for row in read]
    assert [row.value for row in rows] == [row.value for row in read]


@pytest.mark.parametrize("slip", SLIPS)
def test_no_mistake_makes_readings_a_groups_own(slip):
    rows = invented.group_rows("A", invented.Truth(), invented.Hands(), np.random.default_rng(1))
    assert {row.origin for row in SLIPS[slip].made(rows)} == {Origin.PRACTICE}


def test_the_side_of_the_shadows_can_be_wrong_both_ways():
    rows = invented.group_rows("A", invented.Truth(), invented.Hands(), np.random.default_rng(1))
    slip = SLIPS["sum for difference"]
    opposite = slip.made(rows)
    assert [row.value for row in opposite if row.quantity == "shadows"] == ["opposite_sides"]
    assert [undone for _, undone in slip.ways(opposite)] == [rows]
    assert [undone for _, undone in slip.ways(rows)] == [opposite]  # as a sheet may say nothing
    central = SLIPS["central formula"]
    assert central.ways(rows) == []  # what was not stated cannot be undone
    assert [undone for _, undone in central.ways(central.made(rows))] == [rows]
