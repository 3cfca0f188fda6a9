"""Figures that the pages repeat, against what computes them."""

import re
from pathlib import Path

import numpy as np
import pytest
from astropy import units as u
from benchmarks.assumptions import errors

from moonreach import sky
from moonreach.lessons import noon, sighting_angle, today
from moonreach.lessons.air import true_zenith_distance
from moonreach.reduction.inputs import ASSUMED, limits_of
from moonreach.sheet.quantities import PRIOR

PROJECT = Path(__file__).resolve().parents[1]
DISC, HOLE, MOON = 15 * u.mm, 1.5 * u.mm, 31.1 * u.arcmin  # the kit's rod, a mean Moon


def as_if_a_point(seen):
    at = sighting_angle.expected_reading(DISC, MOON, HOLE, seen)
    return 100 * (sighting_angle.angular_diameter(DISC, at) / MOON - 1).to_value(u.one)


def lift(zenith):
    seen = zenith * u.deg
    return (true_zenith_distance(seen) - seen).to_value(u.arcmin)


def early_rim():
    ends = [sighting_angle.expected_reading(DISC, MOON, HOLE, seen) for seen in ("vanish", "rim")]
    early = ends[0] + (ends[1] - ends[0]) / 4
    found = sighting_angle.bracketed_angular_diameter(DISC, ends[0], early)
    return 100 * (found / MOON - 1).to_value(u.one)


def setup(lean, slope):
    return noon.setup_error(52 * u.deg, lean * u.deg, slope * u.deg).to_value(u.deg)


# The page, its words with the figure in brackets, what computes it, and how finely it is told.
FIGURES = (
    ("notebooks/01_earth_size.ipynb", r"makes the angle wrong by ([\d.]+)°", setup(1, 0), 0.05),
    ("notebooks/01_earth_size.ipynb", r"slopes by one degree by ([\d.]+)°", setup(0, 1), 0.05),
    ("notebooks/01_earth_size.ipynb", r"air lifts the Sun \((\d)′ at 45°", lift(45), 0.5),
    ("notebooks/01_earth_size.ipynb", r"(\d)′ at 73° from straight up", lift(73), 0.5),
    (
        "notebooks/04_sighting_angle.ipynb",
        r"it is ([\d.]+) % from the vanish",
        as_if_a_point("vanish"),
        0.05,
    ),
    (
        "notebooks/04_sighting_angle.ipynb",
        r"and (−[\d.]+) % from the rim",
        as_if_a_point("rim"),
        0.05,
    ),
    (
        "notebooks/04_sighting_angle.ipynb",
        r"blurred by about ([\d.]+) mm",
        np.sqrt(550e-6 * 1600),
        0.02,
    ),
    (
        "notebooks/04_sighting_angle.ipynb",
        r"makes the angle ([\d.]+) % too large",
        early_rim(),
        0.5,
    ),
    (
        "notebooks/04_sighting_angle.ipynb",
        r"the distance (\d+) % too small",
        100 * (1 - 1 / (1 + early_rim() / 100) * 3.7 / (1 + 2.7 * (1 + early_rim() / 100) ** 2)),
        0.5,
    ),
    (
        "notebooks/04_sighting_angle.ipynb",
        r"29.4′ to 33.5′, (\d+) % from the farthest",
        100 * (33.5 / 29.4 - 1),
        0.5,
    ),
    (
        "notebooks/04_sighting_angle.ipynb",
        r"That is (\d) % more than today's mean",
        100 * (360 * 60 / 650 / (2 * today.MOON_SEMIDIAMETER.to_value(u.arcmin)) - 1),
        0.5,
    ),
    # Meeus, Astronomical Algorithms, table 47.A (from memory): 6.288774 sin M', and
    # 1.274027 sin(2D - M').
    ("notebooks/06_sun_distance.ipynb", r"up to ([\d.]+)° ahead", 6.288774, 0.05),
    ("notebooks/06_sun_distance.ipynb", r"can add another ([\d.]+)°", 1.274027, 0.05),
    ("docs/class_sheet.md", r"\(± ([\d.]+) mm of the hole\)", limits_of("vanish_call")[1].value, 0),
    (
        "docs/class_sheet.md",
        r"the ring's fading \(± ([\d.]+) mm\)",
        limits_of("rim_call")[1].value,
        0,
    ),
    (
        "docs/class_sheet.md",
        r"slope\*\* count ([\d.]+)°",
        float(ASSUMED["north_lean"]["standard"].split()[0]),
        0,
    ),
    (
        "docs/class_sheet.md",
        r"quadrant has ([\d.]+)°",
        float(ASSUMED["pair_north_quadrant"]["standard"].split()[0]),
        0,
    ),
    (
        "docs/class_sheet.md",
        r"\(within ± ([\d.]+) % of the Earth\)",
        100 * float(ASSUMED["assumption_meridian"]["half_width"]),
        1e-9,
    ),
    (
        "docs/class_sheet.md",
        r"± ([\d.]+) % of the distance, with",
        100 * float(ASSUMED["assumption_cone"]["standard"]),
        1e-9,
    ),
)


def test_what_the_assumptions_change_is_what_the_benchmark_says():
    total = (eclipses := sky.lunar_eclipses("2001-01-01", "2100-12-31"))[eclipses.kind == "total"]
    found = 100 * np.array([errors(total[index]) for index in range(len(total))])
    (ratio, of_ratio), (distance, of_distance), exact = zip(
        found.mean(0), found.std(0), strict=True
    )
    accuracy = words_of("docs/accuracy.md")
    assert f"rate from the Moon's size | {ratio:.1f} % | {of_ratio:.1f} % |" in accuracy
    assert f"distance from it | {distance:.1f} % | {of_distance:.1f} % |" in accuracy
    told = f"century's {len(total)} total eclipses the ratio comes out {-ratio:.1f} % too small"
    told += f" on average, with a scatter of {of_ratio:.1f} %"
    assert told in words_of("notebooks/02_eclipse_timing.ipynb")
    told = f"{-distance:.1f} % too small in the mean and scatters by {of_distance:.1f} %"
    assert told in words_of("notebooks/05_moon_distance.ipynb")
    numbers = distance, of_distance, *exact
    told = (
        "timing is wrong by {:.1f} % (standard deviation {:.1f} %), from an exact $x$ by {:.1f} %"
    )
    told = f"{told} ({{:.1f}} %)".format(*numbers).replace("-", "−")
    assert told in words_of("notebooks/03_shadow_cone.ipynb")
    rms = np.sqrt(np.mean(found**2, axis=0)) / 100
    sizes = [ASSUMED[f"assumption_{name}"]["standard"] for name in ("moon_rate", "cone_and_rate")]
    assert [float(size) for size in sizes] == pytest.approx(rms[:2], abs=1e-4)


def words_of(path):
    text = (PROJECT / path).read_text(encoding="utf-8")
    return " ".join(text.replace('\\n",\n', " ").replace("\n", " ").split())


@pytest.mark.parametrize(("path", "words", "value", "room"), FIGURES, ids=lambda one: str(one)[:40])
def test_a_figure_in_prose_is_what_computes_it(path, words, value, room):
    told = re.findall(words, words_of(path))
    assert told, words
    for figure in told:
        assert float(figure.replace("−", "-")) == pytest.approx(value, abs=room + 1e-12)


def test_the_usual_counts_as_the_pages_say():
    assert PRIOR == 5 and "as much as five degrees of freedom" in words_of("docs/class_sheet.md")


@pytest.mark.parametrize(
    "path", sorted((PROJECT / "notebooks").glob("*.ipynb")), ids=lambda p: p.stem
)
def test_a_page_leaves_its_doubts_about_sources_to_the_list(path):
    text = path.read_text(encoding="utf-8")
    assert "from memory" not in text and "no source" not in text and "common knowledge" not in text
