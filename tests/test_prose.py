"""Figures that the pages repeat, against what computes them."""

import re
from pathlib import Path

import numpy as np
import pytest
from benchmarks.assumptions import errors
from prose_figures import FIGURES, TOTAL

from moonreach.reduction.inputs import ASSUMED
from moonreach.sheet.quantities import PRIOR

PROJECT = Path(__file__).resolve().parents[1]
FRACTIONS = {"tenth": 0.1, "third": 1 / 3, "a quarter": 0.25}


def test_what_the_assumptions_change_is_what_the_benchmark_says():
    found = 100 * np.array([errors(TOTAL[index]) for index in range(len(TOTAL))])
    (ratio, of_ratio), (distance, of_distance), exact = zip(
        found.mean(0), found.std(0), strict=True
    )
    accuracy = words_of("docs/accuracy.md")
    assert f"rate from the Moon's size | {ratio:.1f} % | {of_ratio:.1f} % |" in accuracy
    assert f"distance from it | {distance:.1f} % | {of_distance:.1f} % |" in accuracy
    told = f"century's {len(TOTAL)} total eclipses the ratio comes out {-ratio:.1f} % too small"
    told += f" on average. The scatter is {of_ratio:.1f} %"
    assert told in words_of("notebooks/02_eclipse_timing.ipynb")
    told = f"{-distance:.1f} % too small on average and scatters by {of_distance:.1f} %"
    assert told in words_of("notebooks/05_moon_distance.ipynb")
    numbers = distance, of_distance, *exact
    told = (
        "timing is wrong by {:.1f} % (standard deviation {:.1f} %). "
        "From an exact *x* it is wrong by {:.1f} %"
    )
    told = f"{told} ({{:.1f}} %)".format(*numbers).replace("-", "−")
    assert told in words_of("notebooks/03_shadow_cone.ipynb")
    rms = np.sqrt(np.mean(found**2, axis=0)) / 100
    sizes = [ASSUMED[f"assumption_{name}"]["standard"] for name in ("moon_rate", "cone_and_rate")]
    assert [float(size) for size in sizes] == pytest.approx(rms[:2], abs=1e-4)


def words_of(path):
    text = (PROJECT / path).read_text(encoding="utf-8")
    return " ".join(text.replace('\\n",\n', " ").replace("\n", " ").split())


@pytest.mark.parametrize(
    ("path", "words", "value", "room"),
    [(path, *row) for path, rows in FIGURES.items() for row in rows],
    ids=lambda one: str(one)[:40],
)
def test_a_figure_in_prose_is_what_computes_it(path, words, value, room):
    told = re.findall(words, words_of(path))
    assert told, words
    for figure in told:
        number = FRACTIONS.get(figure) or float(figure.replace("−", "-").replace(" ", ""))
        assert number == pytest.approx(float(value), abs=room + 1e-12)


def test_places_off_one_meridian_cost_what_the_table_of_the_simulation_says():
    row = r"places 1°, 2°, 5° of longitude apart, zenith distances alone [| ]*([\d.]+) %, (.*?) \|"
    two, five = re.search(row, words_of("docs/accuracy.md"))[2].split(", ")
    told = f"2° changes the distance by {two}, 5° by {five}"
    for page in ("notebooks/07_other_ways.ipynb", "docs/readings.md"):
        assert told in words_of(page)


def test_the_usual_counts_as_the_pages_say():
    assert PRIOR == 5 and "as much as five degrees of freedom" in words_of("docs/readings.md")


@pytest.mark.parametrize(
    "path", sorted((PROJECT / "notebooks").glob("*.ipynb")), ids=lambda p: p.stem
)
def test_a_page_leaves_its_doubts_about_sources_to_the_list(path):
    text = path.read_text(encoding="utf-8")
    assert "from memory" not in text and "no source" not in text and "common knowledge" not in text
