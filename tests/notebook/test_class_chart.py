"""The class's chart on lesson 5's page: who the class is, whose dot stands out, and when."""

from base64 import b64decode
from dataclasses import replace

import pytest

from moonreach import exercises
from moonreach.notebook.desk import Desk
from moonreach.practice import invented
from moonreach.sheet import tables
from moonreach.sheet.origin import Origin


@pytest.fixture
def desk(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return Desk("moon_distance")


def find_the_distance(desk):
    right = exercises.find("moon_distance").answer(desk.readings())
    desk.box("moon_distance").box.value = f"{right.to_value('km'):.0f}"


def lay_groups(folder, count):
    """Write a sheet for each of some groups whose readings are their own."""
    folder.mkdir(exist_ok=True)
    truths = [invented.Truth(offset=0.05)] * count
    groups = tables.of_rows(invented.practice_class(truths, 11)).groups()
    for name, rows in groups.items():
        own = [replace(row, origin=Origin.OWN) for row in rows]
        tables.write(folder / f"{name.casefold()}.csv", own)
    return list(groups)


def drawn(chart):
    return b64decode(chart.picture.value.partition("base64,")[2].partition('"')[0]).decode()


def test_it_waits_until_the_distance_is_found(desk):
    chart = desk.class_chart()
    assert "after answer 4" in chart.as_text() and chart.picture.value == ""
    find_the_distance(desk)
    assert "<svg" in drawn(chart) and "Distances of 9 groups" in chart.picture.value


def test_without_other_groups_the_class_is_the_practice_class_and_says_so(desk):
    chart = desk.class_chart()
    find_the_distance(desk)
    assert "The arrow marks Crane. The others are an invented practice class." in chart.as_text()


@pytest.mark.parametrize(
    ("count", "whose"), [(1, "an invented practice class"), (3, "your folder")]
)
def test_two_other_groups_in_the_folder_are_a_class(desk, tmp_path, count, whose):
    lay_groups(tmp_path / "work", count)
    chart = desk.class_chart()
    find_the_distance(desk)
    assert whose in chart.as_text()


def test_the_groups_own_dot_stands_among_the_others_once(desk, tmp_path):
    name, *_ = lay_groups(tmp_path / "work", 3)
    desk.choose(name)
    chart = desk.class_chart()
    assert "after answer 4" in chart.as_text()
    find_the_distance(desk)
    assert f"The arrow marks {name}." in chart.as_text()
    assert "Distances of 3 groups" in chart.picture.value
