"""Shadow against Moon, from published contact times."""

import csv
from pathlib import Path

import numpy as np
import pytest
from astropy import units as u
from clouds import numbers, three_ways
from hypothesis import given
from hypothesis import strategies as st

from moonreach.lessons import eclipse_timing
from moonreach.lessons.refuse import Impossible

# The Moon's geocentric semidiameter in arcseconds at each eclipse, from JPL DE421 (computed once).
SEMIDIAMETERS = {
    "2000-07-16": 883.2, "2007-03-03": 891.4, "2010-12-21": 952.2, "2011-06-15": 957.3,
    "2014-04-15": 931.0, "2014-10-08": 980.4, "2015-09-28": 1004.6, "2018-01-31": 995.3,
    "2018-07-27": 882.8, "2019-01-21": 1002.2, "2021-05-26": 1002.9, "2022-05-16": 990.0,
    "2022-11-08": 917.7, "2025-03-14": 892.9, "2025-09-07": 969.8, "2026-03-03": 937.0,
    "2028-12-31": 949.5, "2029-06-26": 960.4,
}  # fmt: skip


def published():
    path = Path(__file__).parents[1] / "reference" / "eclipses.csv"
    lines = [line for line in path.read_text(encoding="utf-8").splitlines() if line[0] != "#"]
    return [row for row in csv.DictReader(lines) if row["date"] in SEMIDIAMETERS]


def contacts(row):
    times = []
    for name in ("U1", "U2", "U3", "U4"):
        hours, minutes, seconds = map(int, row[name].split(":"))
        seconds += 3600 * hours + 60 * minutes
        while times and seconds < times[-1]:
            seconds += 86_400
        times.append(seconds)
    return times * u.s


def ratio_of_magnitude(row):
    """Return x from the published umbral magnitude and gamma.

    Magnitude = (S + s - b) / 2s, and gamma is b in equatorial Earth radii, b = gamma p, with
    s = 0.2725 p (IAU 1982).
    """
    return 2 * float(row["umbral_magnitude"]) - 1 + abs(float(row["gamma"])) / 0.2725076


@pytest.mark.parametrize("row", published(), ids=lambda row: row["date"])
def test_published_eclipses(row):
    # NASA/GSFC (F. Espenak): contacts, umbral magnitude and gamma.
    semidiameter = SEMIDIAMETERS[row["date"]] * u.arcsec
    phases = eclipse_timing.phases(*contacts(row))
    rate = eclipse_timing.scaled_rate(semidiameter)
    x = eclipse_timing.ratio_off_centre(*phases, semidiameter, rate)
    true = ratio_of_magnitude(row)
    assert 2.61 < true < 2.78
    assert x.value == pytest.approx(true, rel=0.03)
    # The path offset follows: b/S = gamma / (0.2725 x). It is sensitive near the middle.
    offset = eclipse_timing.path_offset(x, *phases).value
    assert offset**2 == pytest.approx((float(row["gamma"]) / 0.2725076 / true) ** 2, abs=0.06)


def test_enough_published_eclipses():
    assert len(published()) >= 12


def test_the_simple_formula_fails_off_centre():
    # 2022 May 16 passed at 0.34 of the shadow's radius: the simple formula is 13 % low there,
    # and right on 2029 June 26, at 0.02.
    found = {row["date"]: row for row in published()}
    errors = {}
    for day in ("2022-05-16", "2029-06-26"):
        phases = eclipse_timing.phases(*contacts(found[day]))
        simple = eclipse_timing.ratio_through_middle(*phases).value
        errors[day] = simple / ratio_of_magnitude(found[day]) - 1
    assert errors["2022-05-16"] == pytest.approx(-0.13, abs=0.02)
    assert abs(errors["2029-06-26"]) < 0.005


def test_common_practice():
    # Common practice, no source: a total phase 1.5 times the partial one gives 2.5.
    assert eclipse_timing.ratio_through_middle(1 * u.h, 1.5 * u.h) == 2.5


def test_mean_rate():
    # 360 deg in a synodic month: 0.508 deg an hour (common practice, no source).
    assert eclipse_timing.scaled_rate(15.54 * u.arcmin).value == pytest.approx(0.508, abs=5e-4)


night = (st.floats(1.5, 4), st.floats(0, 0.9), st.floats(13, 18))


@given(*night)
def test_round_trip(ratio, place, semidiameter):
    s = semidiameter * u.arcmin
    rate = eclipse_timing.scaled_rate(s)
    offset = place * (ratio - 1) / ratio  # anywhere that leaves totality
    phases = eclipse_timing.expected_phases(ratio, offset, s, rate)
    x = eclipse_timing.ratio_off_centre(*phases, s, rate)
    assert x.value == pytest.approx(ratio, rel=1e-9)
    found = eclipse_timing.path_offset(x, *phases).value
    assert found**2 == pytest.approx(offset**2, abs=1e-8)
    # The simple formula never gives more than the truth.
    assert eclipse_timing.ratio_through_middle(*phases) <= x * (1 + 1e-12)


@given(*night)
def test_through_the_middle_both_agree(ratio, _, semidiameter):
    s = semidiameter * u.arcmin
    phases = eclipse_timing.expected_phases(ratio, 0, s, eclipse_timing.scaled_rate(s))
    assert eclipse_timing.ratio_through_middle(*phases).value == pytest.approx(ratio)


def test_within_a_fifth_of_the_radius_the_simple_formula_will_do():
    # From the chord geometry: up to b = 0.2 S the simple formula is within 5 %.
    s = 15.54 * u.arcmin
    for offset in np.linspace(0, 0.2, 5):
        phases = eclipse_timing.expected_phases(2.7, offset, s, eclipse_timing.scaled_rate(s))
        assert eclipse_timing.ratio_through_middle(*phases) > 0.95 * 2.7


def test_numbers_arrays_and_clouds_alike():
    for u1, u2, u3, u4, s in three_ways(
        0 * u.min, 66 * u.min, 169 * u.min, 235 * u.min, 14.7 * u.arcmin
    ):
        phases = eclipse_timing.phases(u1, u2, u3, u4)
        rate = eclipse_timing.scaled_rate(s)
        x = eclipse_timing.ratio_off_centre(*phases, s, rate)
        v = 360 / (29.530589 * 24 * 60) * (14.7 / 15.54) ** 2 * 60 / 14.7  # semidiameters a minute
        expected = v**2 * (235**2 - 103**2) / 16
        assert numbers(x, u.one) == pytest.approx(expected, rel=1e-6)
        b = eclipse_timing.path_offset(x, *phases)
        square = (expected + 1) ** 2 - (v * 235 / 2) ** 2
        assert numbers(b, u.one) == pytest.approx(max(square, 0) ** 0.5 / expected, abs=1e-6)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: eclipse_timing.phases(0 * u.s, 9 * u.s, 5 * u.s, 20 * u.s), "U3 is not later"),
        (lambda: eclipse_timing.ratio_through_middle(60 * u.min, 0 * u.min), "needs totality"),
        (lambda: eclipse_timing.ratio_through_middle(0 * u.min, 9 * u.min), "entry time"),
        (
            lambda: eclipse_timing.ratio_off_centre(
                60 * u.min, -1 * u.min, 15 * u.arcmin, 0.5 * u.deg / u.h
            ),
            "needs totality",
        ),
        (
            lambda: eclipse_timing.ratio_off_centre(
                10 * u.min, 10 * u.min, 15 * u.arcmin, 0.5 * u.deg / u.h
            ),
            "x < 1",
        ),
        (
            lambda: eclipse_timing.expected_phases(2.7, 0.7, 15 * u.arcmin, 0.5 * u.deg / u.h),
            "never completely",
        ),
        (lambda: eclipse_timing.scaled_rate(0 * u.arcmin), "semidiameter"),
    ],
)
def test_impossible(call, says):
    with pytest.raises(Impossible, match=says):
        call()
