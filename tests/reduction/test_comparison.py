"""The class as an interlaboratory comparison, against ISO 13528 and an independent solver."""

from types import SimpleNamespace

import numpy as np
import pytest
from astropy import units as u
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize

from moonreach.lessons.interval import TO_95
from moonreach.practice.invented import Truth, practice_class
from moonreach.reduction.comparison import compare, robust_mean
from moonreach.reduction.printed import as_text
from moonreach.reduction.propagation import Outcome
from moonreach.reduction.summary import ClassSummary
from moonreach.reduction.words import to_check, zeta_words
from moonreach.sheet import tables
from moonreach.sheet.tables import Sheet


def outcome(value, own=0.3, shared=0.0):
    standard = np.hypot(own, shared)
    parts = {"reading": own, "assumption_equal_discs": shared}
    return Outcome(value, value - TO_95 * standard, value + TO_95 * standard, parts)


def huber(values, scale):
    """Return Huber's M-estimate of location for a given scale, straight from its equation."""

    def pull(mean):
        return np.clip((values - mean) / (1.5 * scale), -1, 1).sum()

    return optimize.brentq(pull, values.min() - 1, values.max() + 1)


@given(st.lists(st.integers(-60, 60), min_size=4, max_size=30))
def test_algorithm_a_is_hubers_estimate(tenths):
    # Independent: ISO 13528's robust mean solves Huber's equation at 1.5 s* for its own s*.
    values = np.array(tenths) / 10
    mean, deviation = robust_mean(values)
    if deviation > 1e-3:
        assert mean == pytest.approx(huber(values, deviation), abs=1e-4)


def test_normal_data_keep_mean_and_deviation():
    # The factor 1.134 makes s* right for normal data (ISO 13528): try it on exact quantiles.
    from scipy.stats import norm

    values = norm.ppf((np.arange(2000) + 0.5) / 2000)
    assert robust_mean(values) == pytest.approx((0, 1), abs=0.01)


@pytest.mark.parametrize("seed", range(6))
def test_algorithm_a_is_hubers_proposal_2(seed):
    # Independent: statsmodels' joint estimate of location and scale with the same limit of 1.5,
    # whose consistency factor is exact where ISO 13528 rounds it to 1.134.
    from statsmodels.robust.scale import Huber

    generator = np.random.default_rng(seed)
    values = generator.normal(30, 0.5, 30)
    values[:3] += generator.uniform(2, 60, 3)  # three slips
    mean, deviation = robust_mean(values)
    other_mean, other_deviation = Huber(c=1.5, tol=1e-10, maxiter=1000)(values)
    assert mean == pytest.approx(other_mean, abs=0.01 * deviation)
    assert deviation == pytest.approx(other_deviation, rel=0.01)


def test_one_wild_result_hardly_matters():
    values = [29.8, 30.1, 30.2, 30.4, 29.9, 60.8]
    mean, _ = robust_mean(values)
    assert mean == pytest.approx(30.1, abs=0.2)


@pytest.mark.parametrize("values", [[5.0], [5.0, 5.0, 5.0], [1.0, 3.0]])
def test_small_and_equal_classes(values):
    mean, deviation = robust_mean(values)
    assert mean == pytest.approx(np.mean(values))
    assert np.isfinite(deviation)


def test_zeta_score():
    # ISO 13528: zeta = (x - X) / sqrt(u^2 + u_X^2), with u_X = 1.25 s* / sqrt p. The formula is
    # that of values independent of each other: X is the mean of the other groups.
    outcomes = [outcome(value) for value in (29.5, 30.0, 30.5, 31.0)]
    result, scores = compare(outcomes)
    assert result.standard == pytest.approx(1.25 * robust_mean([29.5, 30.0, 30.5, 31.0])[1] / 2)
    mean, deviation = robust_mean([30.0, 30.5, 31.0])
    u_mean = 1.25 * deviation / 3**0.5
    assert scores[0] == pytest.approx((29.5 - mean) / np.hypot(0.3, u_mean))


def test_a_group_is_no_part_of_what_it_is_held_against():
    # Of two groups each is the other's mean: the difference over both uncertainties (GUM 5.1.2).
    _, scores = compare([outcome(30.0, 0.3), outcome(31.0, 0.4)])
    assert scores == pytest.approx([-2.0, 2.0])


def test_groups_that_share_all_but_nothing_say_nothing_of_each_other():
    # The clouds are narrower than their parts together: what is left of them is no uncertainty.
    pair = [Outcome(v, v - 0.7, v + 0.7, {"road": 0.4, "rod": 0.3}) for v in (30.0, 30.5)]
    assert compare(pair, {"road": [1, 1], "rod": [1, 1]})[1] == [None, None]
    _, scores = compare(pair, {"road": [1, 1]})
    assert scores == pytest.approx([-0.5 / np.hypot(0.3, 0.3), 0.5 / np.hypot(0.3, 0.3)])


def test_a_reading_that_all_share_widens_the_class_whole():
    # A common term does not average out (GUM 5.2.2): with marks alike for all it stays, 0.4 of
    # each; with a mark for each group the scatter has it already.
    groups = [Outcome(v, v - 1, v + 1, {"road": 0.4, "rod": 0.2}) for v in (29.8, 30.0, 30.2, 30.4)]
    one, _ = compare(groups, {"road": [1, 1, 1, 1]})
    apart, _ = compare(groups, {"road": [1, 2, 3, 4]})
    assert (one.shared, apart.shared) == pytest.approx((0.4, 0.0))
    # Two pairs: the mean has a variance of 0.4^2 / 2, of which the scatter of four such values
    # shows E(s^2) / 4 = 0.4^2 / 4 (1 - 1/2) (4/3) = 0.4^2 / 6 (expectation of the sample variance).
    pairs, _ = compare(groups, {"road": [1, 1, 2, 2]})
    assert pairs.shared**2 == pytest.approx(0.4**2 * (1 / 2 - 1 / 6))


@given(st.lists(st.floats(0.01, 100), min_size=2, max_size=9))
def test_what_each_has_of_its_own_is_shared_by_none(sizes):
    # Exactly nothing: a report tells by it which inputs the groups share.
    groups = [Outcome(30.0, 30 - size, 30 + size, {"rod": size}) for size in sizes]
    found, _ = compare(groups, {"rod": list(range(len(groups)))})
    assert found.common == {"rod": 0.0}


def test_what_all_take_for_granted_does_not_average_out():
    many = [outcome(30 + 0.01 * i, 0.1, 0.5) for i in range(-50, 51)]
    result, scores = compare(many)
    assert result.shared == pytest.approx(0.5)
    assert result.high - result.value > TO_95 * 0.5
    # It moves all groups alike, so it excuses no group against the others.
    others, _ = compare(many[1:])
    away = many[0].value - others.value
    assert scores[0] == pytest.approx(away / np.hypot(0.1, others.standard), rel=1e-6)


def test_class_of_one_and_of_none():
    result, scores = compare([outcome(30)])
    assert (result.value, scores) == (30, [None])
    assert compare([]) == (None, [])


def test_the_interval_of_a_class_of_three():
    # t_95(2) = 4.303 (handbook table), on the standard uncertainty of the robust mean alone.
    result, _ = compare([outcome(value) for value in (29.0, 30.0, 31.0)])
    assert result.high - result.value == pytest.approx(4.303 * result.standard, rel=1e-3)


def test_the_common_part_is_that_of_the_middle_group():
    # One group's wide assumption is not the class's.
    result, _ = compare([outcome(30, 0.3, shared) for shared in (0.1, 0.2, 0.9)])
    assert result.shared == pytest.approx(0.2)


def test_a_group_with_a_wrong_earth_does_not_agree_with_the_class():
    # Its Earth diameters are as good as the others'; its Earth, and so its kilometres, are not.
    rows = practice_class([Truth()] * 6, 4, slips={0: "miles for kilometres"})
    summary = ClassSummary(Sheet(rows))
    assert abs(summary.zetas["distance_earth_diameters"]["Heron"]) < 2
    assert abs(summary.zeta["Heron"]) > 3 and "agrees" not in zeta_words(summary.zeta["Heron"])


def test_a_class_of_two_has_no_distance_below_nothing():
    rows = practice_class([Truth(distance=300_000 * u.km), Truth(distance=480_000 * u.km)], 3)
    summary = ClassSummary(tables.of_rows(rows))
    for key, result in summary.results.items():
        assert 0 <= result.low < result.value < result.high, key
    assert summary.kilometres.low == 0  # Student's t with one degree of freedom: 12.7


def test_a_score_below_nothing_has_a_true_minus_sign():
    summary = ClassSummary(tables.of_rows(practice_class([Truth()] * 4, 3)))
    text = as_text(summary, details=True)
    assert any(zeta < 0 for zeta in summary.zeta.values())
    assert "zeta score −" in text and "zeta score -" not in text


def test_beside_a_known_mistake_nobody_else_of_two_is_far_off():
    far = SimpleNamespace(zeta={"Rot": -50.0, "Blau": 50.0})
    assert [*to_check(far, {"Blau": "the disc was read in cm"})] == ["Blau"]
    far.zeta["Lila"] = 0.5
    assert [*to_check(far, {"Blau": "the disc was read in cm"})] == ["Blau", "Rot"]
