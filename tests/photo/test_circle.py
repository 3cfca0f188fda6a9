"""Circle fits: against general-purpose libraries, their intervals, and their refusals."""

import circle_fit as other_fits
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from skimage.measure import CircleModel

from moonreach.lessons.refuse import Impossible
from moonreach.photo.circle import fit_circle


def arc(random, radius=100.0, span=2.0, count=30, scatter=1.0, middle=(7.0, -3.0)):
    """Return points on an arc of that span in radians."""
    angle = np.linspace(-span / 2, span / 2, count)
    points = radius * np.stack([np.cos(angle), np.sin(angle)], axis=1) + middle
    return points + random.normal(0, scatter, points.shape)


@pytest.mark.parametrize("seed", range(8))
def test_same_circle_as_two_libraries_on_long_arcs(seed):
    # scikit-image CircleModel and circle-fit (Taubin; geometric least squares).
    points = arc(np.random.default_rng(seed), span=4.5, count=60)
    ours = fit_circle(points)
    theirs = CircleModel.from_estimate(points)
    assert ours.radius == pytest.approx(theirs.radius, abs=ours.radius_sd)
    assert ours.x == pytest.approx(theirs.center[0], abs=ours.radius_sd)
    for fit in (other_fits.taubinSVD, other_fits.least_squares_circle):
        assert ours.radius == pytest.approx(fit(points)[2], abs=ours.radius_sd)


def test_smaller_error_on_short_arcs_than_algebraic_least_squares():
    # scikit-image fits algebraically (Kasa), which is known to shrink short arcs.
    ours, theirs = [], []
    for seed in range(60):
        points = arc(np.random.default_rng(seed), span=0.8, scatter=1.5)
        ours.append(fit_circle(points, scatter=1.5).radius / 100 - 1)
        theirs.append(CircleModel.from_estimate(points).radius / 100 - 1)
    assert np.median(np.abs(ours)) < 0.6 * np.median(np.abs(theirs))


def test_published_case():
    # Gander, Golub and Strebel 1994, BIT 34, 558, example: geometric fit centre (4.7398, 2.9835),
    # radius 4.7142 (from memory).
    points = [(1, 7), (2, 6), (5, 8), (7, 7), (9, 5), (3, 7)]
    fit = fit_circle(points, robust=False)
    assert (fit.x, fit.y, fit.radius) == pytest.approx((4.7398, 2.9835, 4.7142), abs=2e-4)


def test_interval_holds_the_truth_as_often_as_it_says():
    held = []
    for seed in range(300):
        fit = fit_circle(arc(np.random.default_rng(seed), span=0.9, count=12), scatter=1.0)
        held.append(fit.interval.low <= 100 <= fit.interval.high)
    assert 0.91 < np.mean(held) < 0.985


def test_three_people_with_six_clicks_each():
    # 2 px of scatter on an arc such as the umbra shows; the scatter is estimated.
    held = []
    for seed in range(200):
        points = arc(np.random.default_rng(seed), 270.0, 0.72, 18, 2.0)
        fit = fit_circle(points)
        held.append(fit.interval.low <= 270 <= fit.interval.high)
        assert fit.scatter == pytest.approx(2.0, rel=0.6)
    assert np.mean(held) > 0.88


def test_full_circles_of_any_size_and_number():
    for count in (4, 12, 360):
        for radius in (1e-3, 5.0, 1e4):
            angle = np.linspace(0, 2 * np.pi, count, endpoint=False)
            points = radius * np.stack([np.cos(angle), np.sin(angle)], axis=1)
            fit = fit_circle(points, scatter=0.001 * radius)
            assert fit.radius == pytest.approx(radius)
            assert np.hypot(fit.x, fit.y) < 1e-6 * radius


def test_a_stray_point_pulls_little():
    points = arc(np.random.default_rng(3), span=3.0)
    points[15] += (40, 0)
    assert fit_circle(points).radius == pytest.approx(100, abs=0.6)
    assert abs(fit_circle(points, robust=False).radius - 100) > 1.5


@given(
    scale=st.floats(1e-3, 1e4),
    shift=st.floats(-100, 100),
    turn=st.floats(0, 6.28),
)
@settings(max_examples=30, deadline=None)
def test_scale_shift_and_turn(scale, shift, turn):
    points = arc(np.random.default_rng(1))
    plain = fit_circle(points)
    c, s = np.cos(turn), np.sin(turn)
    moved = scale * (points @ np.array([[c, s], [-s, c]])) + shift * scale
    fit = fit_circle(moved)
    assert fit.radius == pytest.approx(scale * plain.radius, rel=1e-3)
    assert fit.interval.high == pytest.approx(scale * plain.interval.high, rel=1e-2)


@pytest.mark.parametrize(
    ("points", "scatter", "words"),
    [
        ([(0, 0), (1, 1)], 1.0, "at least three points"),
        ([(0, 0), (1, 1), (2, 0)], None, "three points fit any circle"),
        ([(1, 1)] * 5, None, "coincide"),
        ([(x, 0.001 * x**2) for x in range(6)], 1.0, "arc is too short"),
        ([(x, 2.0 * x) for x in range(6)], 0.5, "arc is too short"),
        ([(0, 0), (1, np.nan), (2, 0), (3, 1)], 0.5, "at least three points"),
    ],
)
def test_refusals_say_why(points, scatter, words):
    with pytest.raises(Impossible, match=words):
        fit_circle(points, scatter)
