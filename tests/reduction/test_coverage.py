"""Do the intervals hold the truth as often as they say? The full count is under benchmarks."""

import numpy as np
import pytest
from benchmarks import further
from benchmarks.interval_coverage import simulate

from moonreach.practice.hands import Hands
from moonreach.practice.invented import Truth, group_rows
from moonreach.reduction.group import worked_out
from moonreach.reduction.inputs import assumption


@pytest.mark.parametrize("sightings", ["both", "vanish"])
def test_intervals_hold_the_truth(sightings):
    # 250 groups of fair 95 % intervals lie between 91 and 99 % all but once in a thousand times.
    held, _ = simulate(250, sightings, seed=20)
    for name in ("ratio", "angle", "diameters", "kilometres"):
        assert 0.91 <= sum(held[name]) / 250 <= 0.99, name


def test_central_nights_are_not_biased():
    # The larger of two formulas is too large on average where both are right, by 0.8 %.
    generator, ratios = np.random.default_rng(8), []
    for _ in range(200):
        rows = group_rows("G", Truth(ratio=2.7, offset=0.0), Hands(), generator, photo=False)
        ratios.append(worked_out(rows)[0]["ratio"])
    spread = np.std(ratios) / np.sqrt(len(ratios))
    assert abs(np.mean(ratios) - 2.7) < 3 * spread < 0.02 * 2.7


@pytest.mark.parametrize("stars", [False, True])
def test_intervals_of_a_pair_hold_the_truth(stars):
    held, _ = further.coverage(250, stars, seed=21)
    assert 0.91 <= held <= 0.99


def test_intervals_of_half_moons_hold_the_sun():
    held, least = further.coverage_of_half_moons(250, seed=22)
    assert 0.91 <= held <= 0.99 and least > 10


def test_what_the_further_assumptions_cost_is_what_they_say():
    for errors, name in (
        (further.cost_of_a_globe(0, count=25), "assumption_globe"),
        (further.cost_of_a_plain_eclipse(), "assumption_plain_eclipse"),
    ):
        stated = float(assumption(name).cloud.pdf_std())
        assert np.sqrt(np.mean(errors**2)) == pytest.approx(stated, rel=0.3)
