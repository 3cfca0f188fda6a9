"""The plans of the lessons: whole, with the minutes of the pages and the answers that come."""

import re

import numpy as np
import pytest
from lesson_notebooks import PATHS, answers, fresh_desk, lesson_of, prose, read
from reading import PROJECT

from moonreach.exercises.checking import shown
from moonreach.practice.hands import Hands
from moonreach.practice.invented import Truth, group_rows
from moonreach.reduction.group import reduce_group
from moonreach.sheet import tables

PARTS = [
    "Aims",
    "If you step in for a colleague",
    "Minutes",
    "Materials",
    "What students find hard, and a question that helps",
    "Notes for each part",
    "Board sketch",
    "Answers of the practice group",
    "Exit question",
    "Homework",
    "In 30 minutes",
    "Younger and older",
]
LONGEST = 45  # minutes that a page may take


@pytest.fixture(scope="module", params=PATHS, ids=lambda path: path.stem)
def lesson(request):
    """A lesson's notebook and the text of its plan."""
    plan = PROJECT / "docs" / "lessons" / f"{request.param.stem}.md"
    return request.param, plan.read_text(encoding="utf-8")


def part(plan, heading):
    return plan.split(f"## {heading}\n")[1].split("\n## ")[0]


def minutes_of(plan):
    """Return the minutes of a plan's head: all that it takes in class."""
    return max(int(number) for number in re.findall(r"(\d+) minutes", plan.split("## Aims")[0]))


def test_a_plan_is_whole_and_cautions_come_first(lesson):
    path, plan = lesson
    headings = re.findall(r"^## (.+)$", plan, re.MULTILINE)
    assert [heading for heading in headings if heading in PARTS] == PARTS
    assert plan.startswith(f"# Lesson {int(path.stem[:2])}:")
    assert "\n> " in plan.split("## Aims")[0]
    for who in ("Younger", "Older"):
        assert f"- **{who}:** " in part(plan, "Younger and older")


def test_minutes_add_up_and_are_those_of_the_page(lesson):
    path, plan = lesson
    rows = re.findall(r"^\| (\d+) \| .* \| ([^|]*) \|$", part(plan, "Minutes"), re.MULTILINE)
    before = sum(int(minutes) for minutes, where in rows if where == "before")
    on_page = sum(int(minutes) for minutes, where in rows if where != "before")
    assert before >= 5 and before + on_page == minutes_of(plan)  # logging in takes time too
    told = re.search(r"Time: (\d+) minutes", prose(read(path)))
    if not told or int(told[1]) > LONGEST:
        pytest.skip("the page itself is still too long")
    # A plan may leave some minutes more, to talk; never fewer.
    assert int(told[1]) <= on_page <= int(told[1]) + 10
    sections = {int(number) for _, where in rows for number in re.findall(r"\d", where)}
    assert sections == set(range(1, 10))


def test_the_short_form_takes_half_an_hour(lesson):
    minutes = re.findall(r"\((\d+)\)", part(lesson[1], "In 30 minutes"))
    assert sum(map(int, minutes)) == 30


def test_the_answers_are_those_of_the_practice_group(lesson, tmp_path):
    path, plan = lesson
    table = part(plan, "Answers of the practice group")
    given = re.findall(r"^\| .* \| ([^|]*) \|$", table, re.MULTILINE)[1:]
    desk = fresh_desk(lesson_of(path), tmp_path)
    found = answers(lesson_of(path), desk)
    assert given == [shown(right, exercise.unit, 3) for exercise, right in found]


@pytest.fixture(scope="module", params=[True, False], ids=["target", "no target"])
def half_widths(request):
    """Whether the rod was tried on a target, and how far invented groups' intervals reach."""
    rows = []
    for seed in range(5):
        draw = np.random.default_rng(seed)
        name = f"Group {seed}"
        rows += group_rows(name, Truth(), Hands(), draw, photo=False, calibrated=request.param)
    groups = [reduce_group(*one) for one in tables.of_rows(rows).groups().items()]

    def reach(result):
        found = [group.outcome(result) for group in groups]
        return 100 * np.median([(one.high - one.low) / 2 / one.value for one in found])

    return request.param, reach


@pytest.mark.parametrize(
    ("plan", "result", "words"),
    [
        ("01_earth_size", "earth_diameter", r"come within (\d) % of the true diameter"),
        ("04_sighting_angle", "angle", r"come within (\d+) % .* without a target within (\d+) %"),
        ("05_moon_distance", "distance_km", r"come within (\d+) % .* target within (\d+) %"),
    ],
)
def test_what_a_class_finds_is_what_invented_groups_find(plan, result, words, half_widths):
    """The intervals hold the truth as often as they say (benchmarks/interval_coverage.py)."""
    calibrated, reach = half_widths
    text = (PROJECT / "docs" / "lessons" / f"{plan}.md").read_text(encoding="utf-8")
    told = re.search(words, text.replace("\n", " "))
    number = told.groups()[0 if calibrated else -1]  # shadows need no target
    assert reach(result) == pytest.approx(float(number), abs=0.5)


def test_the_unit_counts_the_minutes_of_the_plans():
    unit = (PROJECT / "docs" / "unit.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| \d \| .*\((lessons/\S+)\)(.*?)\| (\d+) \|", unit, re.MULTILINE)
    assert len(rows) == 5
    for link, words, minutes in rows:
        plan = (PROJECT / "docs" / link).read_text(encoding="utf-8")
        assert int(minutes) == (30 if "short form" in words else minutes_of(plan))
