"""The pages: links lead somewhere, commands exist, what they show is what comes."""

import os
import re
import runpy
import subprocess
import sys
from math import radians, tan
from pathlib import Path

import pytest
from astropy import units as u

from moonreach.__main__ import COMMANDS, main
from moonreach.lessons import sighting_angle

PROJECT = Path(__file__).resolve().parents[1]
PAGES = [*PROJECT.glob("*.md"), *(PROJECT / "docs").rglob("*.md")]


def text_of(page):
    return page.read_text(encoding="utf-8")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_links_lead_to_files_and_commands_exist(page):
    text = text_of(page)
    for link in re.findall(r"\]\(([^)#]+)\)", text):
        if "://" not in link:
            assert (page.parent / link).exists(), link
    for command in re.findall(r"(?:`|^)moonreach ([a-z]+)", text, re.M):
        assert command in COMMANDS, command


def test_the_rods_table_is_what_the_lesson_gives():
    """Against similar triangles written out: disc less and plus hole, over twice the tangent."""
    rows = re.findall(
        r"^\| (\d+) mm \| ([\d.]+) m \| ([\d.]+) m \| ([\d.]+) m \|$",
        text_of(PROJECT / "docs" / "build_the_rod.md"),
        re.M,
    )
    assert len(rows) == 4
    for disc, nearest, farthest, rod in (map(float, row) for row in rows):
        assert nearest == pytest.approx((disc - 1.5) / 2e3 / tan(radians(33.5 / 120)), abs=0.005)
        assert farthest == pytest.approx((disc + 1.5) / 2e3 / tan(radians(29.4 / 120)), abs=0.005)
        assert farthest <= rod
    seen = sighting_angle.angular_diameter(15 * u.mm, 1.492 * u.m)  # as lesson 4 tells it
    assert seen.to_value(u.arcmin) == pytest.approx(34.6, abs=0.05)


def test_benchmarks_start_as_they_are_told_to():
    # All in one process that knows nothing of the tests' own paths; none is run.
    code = (
        "import runpy, sys\n"
        "clean = list(sys.path)\n"
        "for name in sys.argv[1:]:\n"
        "    sys.path[:] = [name.rpartition('/')[0], *clean]\n"
        "    runpy.run_path(name, run_name='started')\n"
    )
    paths = [str(path) for path in sorted((PROJECT / "tests" / "benchmarks").glob("*.py"))]
    environment = os.environ | {"PYTHONPATH": str(PROJECT)}
    run = subprocess.run(
        [sys.executable, "-c", code, *paths], capture_output=True, text=True, env=environment
    )
    assert run.returncode == 0, run.stderr


def test_each_deliberate_fault_has_its_line():
    # The benchmark itself takes minutes; a line that was rewritten is told here at once.
    faults = runpy.run_path(str(PROJECT / "tests" / "benchmarks" / "deliberate_faults.py"))[
        "FAULTS"
    ]
    for what, path, right, wrong, _ in faults:
        assert text_of(PROJECT / path).count(right) == 1 and right != wrong, what


def test_the_readme_shows_what_reduce_prints(capsys):
    main(["reduce", str(PROJECT / "data" / "published.csv")])
    shown = re.search(r"^```\n(Group .*?)\n```$", text_of(PROJECT / "README.md"), re.M | re.S)[1]
    assert f"{shown}\n\n" in capsys.readouterr().out


def test_files_that_the_pages_name_are_there():
    for page in PAGES:
        for name in re.findall(
            r"`((?:moonreach|tests|data|docs|notebooks)/[\w./]+)`", text_of(page)
        ):
            path = PROJECT / name.replace("STEM", "earth_size").replace("NN_", "01_")
            assert path.exists(), f"{page.name}: {name}"
