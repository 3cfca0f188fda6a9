"""Whose a result is, beside it in each figure: no invented one passes for the group's own."""

from dataclasses import replace

import pytest

from moonreach.figures import class_result
from moonreach.figures.all_ways import AllWays
from moonreach.notebook.practice_night import practice_readings
from moonreach.practice import invented
from moonreach.reduction.group import reduce_group
from moonreach.reduction.summary import ClassSummary
from moonreach.reduction.words import rounded
from moonreach.sheet import tables
from moonreach.sheet.origin import Origin

ROWS = practice_readings().rows


def group(origin, without=(), rows=ROWS):
    """Return the result of readings of one origin, but for those whose names begin so."""
    kept = [row for row in rows if not row.quantity.startswith(tuple(without))]
    return reduce_group("Heron", [replace(row, origin=origin) for row in kept])


def labels(*results):
    """Return the labels of the group's ways in the figure, as they stand beside its axis."""
    ways = AllWays(*results)
    ticks = [label.get_text() for label in ways.figure().axes[0].get_yticklabels()]
    assert all(f"  {label}: " in repr(ways) for label in ticks)
    return ticks[4:]


def of_class(practice):
    """Return a class of three, in which the groups so named are invented."""
    truth = invented.Truth(offset=0.05)
    rows = tables.of_rows(invented.practice_class([truth] * 3, 7)).groups()
    whose = (Origin.OWN, Origin.PRACTICE)
    return ClassSummary(
        tables.of_rows([replace(r, origin=whose[n in practice]) for n in rows for r in rows[n]])
    )


def test_all_ways_on_one_axis():
    ways = AllWays(group(Origin.OWN))
    text = repr(ways)
    # Aristarchus, Props. 11 and 17 (Heath 1913): 22.5 to 30 Moon diameters, Moon / Earth 19:60 to
    # 43:108. In Earth radii 22.5 x 2 x 19/60 = 14.25 and 30 x 2 x 43/108 = 23.9.
    assert "Aristarchus: 14.2 to 23.9" in text and "Hipparchus, solar eclipse: 71 to 83" in text
    # Pappus on Almagest V.11 (Toomer 1974) and Almagest V.13 (Berry 1898, sec. 49).
    assert "mean 67.3" in text and "Ptolemy: at most 64.2, mean 59" in text
    shadow = next(way for way in ways.ways if way.origin)
    assert shadow.value == 2 * group(Origin.OWN).outcome("distance_earth_diameters").value
    assert len(ways.png()) > 10_000 and len(ways.figure().axes[0].lines) > 10
    drawn = [text.get_text() for text in ways.figure().axes[0].texts]
    far = str(ways.ways[-1]).split(" to ")[-1].rstrip(")")
    assert float(far) > 110 and f"to {far}" in drawn  # an arrow would mean that it has no end
    nothing = AllWays(type(group(Origin.OWN))("Nobody", ""))
    assert not any(way.origin for way in nothing.ways) and nothing.png()


def test_each_way_says_whose_it_is():
    own, shared, practice = (group(o) for o in (Origin.OWN, Origin.SHARED, Origin.PRACTICE))
    ways = ["shadow and rod", "solar eclipse", "two places"]
    eclipse = own.outcome("solar_eclipse_distance").origin
    assert labels(own)[::2] == ["Yours, shadow and rod", "Yours, two places"]
    assert (
        labels(own)[1]
        == {
            Origin.OWN: "Yours, solar eclipse",
            Origin.TODAY: "Solar eclipse (with today's Sun)",
        }[eclipse]
    )
    assert labels(shared)[2] == "Yours, two places (shared)"
    assert labels(practice) == [f"Practice group, {way}" for way in ways]


def test_a_way_that_the_group_lacks_is_the_practice_groups_and_no_other():
    own = group(Origin.OWN, ("pair_",))
    practice = group(Origin.PRACTICE)
    found = labels(own, practice)
    assert found[0] == "Yours, shadow and rod" and found[2] == "Practice group, two places"
    assert labels(group(Origin.OWN), practice) == labels(group(Origin.OWN))


def test_one_invented_reading_makes_a_way_the_practice_groups():
    rows = [
        replace(row, origin=Origin.PRACTICE if row.quantity == "rim_distance" else Origin.OWN)
        for row in ROWS
    ]
    assert labels(reduce_group("Heron", rows))[0] == "Practice group, shadow and rod"


@pytest.mark.parametrize("practice", [0, 1, 3])
def test_the_class_names_its_invented_groups_and_says_so_of_its_mean(practice):
    names = [result.group for result in of_class(()).groups]
    summary = of_class(names[:practice])
    (axes,) = class_result.figure(summary).axes
    ticks = [label.get_text() for label in axes.get_yticklabels()]
    marked = [f"{name} (practice)" for name in names[:practice]]
    assert ticks == [*marked, *names[practice:]]
    word = {0: "", 1: " (partly practice)", 3: " (practice)"}[practice]
    mean = rounded(summary.diameters.value, summary.diameters.low, summary.diameters.high)[0]
    assert f"class {mean}{word}" in [text.get_text() for text in axes.texts]
    assert f"robust mean is {mean}{word} Earth diameters" in class_result.alternative(summary)


def test_a_long_name_is_cut_and_its_word_is_not():
    row = of_class(()).groups[0].rows
    rows = [replace(r, group="A very long name of a group", origin=Origin.PRACTICE) for r in row]
    (axes,) = class_result.figure(ClassSummary(tables.of_rows(rows))).axes
    assert [label.get_text() for label in axes.get_yticklabels()] == ["A very… (practice)"]


def test_invented_groups_have_their_own_colour():
    names = [result.group for result in of_class(()).groups]
    colors = []
    for practice in ((), names):
        (axes,) = class_result.figure(of_class(practice)).axes
        dots = [line for line in axes.lines if line.get_marker() == "o"]
        colors.append({line.get_markeredgecolor() for line in dots})
    assert len(colors[0]) == len(colors[1]) == 1 and colors[0].isdisjoint(colors[1])
