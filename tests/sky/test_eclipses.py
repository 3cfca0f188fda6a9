"""Eclipses against published contacts, Meeus, an almanac's shadow, and skyfield with DE421."""

import csv
from pathlib import Path

import jpl_ephemeris
import numpy as np
import pytest
from astropy import units as u
from hypothesis import given
from hypothesis import strategies as st
from skyfield import eclipselib
from skyfield.api import load

from moonreach import sky
from moonreach.sky.clock import J2000, days_of

NAMES = ["P1", "U1", "U2", "greatest", "U3", "U4", "P4"]


def published():
    """NASA/GSFC (F. Espenak), Danjon's rule: see the head of the file."""
    path = Path(__file__).parents[1] / "reference" / "eclipses.csv"
    with path.open(encoding="utf-8") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


@pytest.fixture(scope="module")
def two_centuries():
    return sky.lunar_eclipses("1901-01-01", "2100-12-31T23:59")


@pytest.mark.parametrize("row", published(), ids=lambda row: row["date"])
def test_published_eclipses(row):
    found = sky.eclipse_on(row["date"])
    listed = [f"{row['date']}T{row[name]}" if row[name] else "NaT" for name in NAMES]
    off = (found.moments - np.array(listed, "M8[ms]")) / np.timedelta64(1, "s")
    off = (off + 43_200) % 86_400 - 43_200  # the date is that of greatest eclipse
    missing = np.array([not row[name] for name in NAMES])
    assert (np.isnan(off) == missing).all()
    assert np.abs(off[~missing]).max() < 20  # published UT itself runs early after 2012
    assert np.ptp(off[~missing]) < 20  # intervals between any two contacts
    assert found.gamma == pytest.approx(float(row["gamma"]), abs=1e-3)
    assert found.umbral_magnitude == pytest.approx(float(row["umbral_magnitude"]), abs=0.003)


def test_eclipses_of_meeus_examples_54c_and_54d():
    # Meeus, Astronomical Algorithms, 2nd ed., ch. 54: an approximate method (minutes, 0.01).
    june = sky.eclipse_on("1973-06-15")
    assert june.kind == "penumbral"
    assert june.penumbral_magnitude == pytest.approx(0.4625, abs=0.01)
    assert june.gamma == pytest.approx(-1.3249, abs=0.005)
    assert J2000 + days_of(june.greatest) == pytest.approx(2441849.3687, abs=2 / 1440)
    half = (june.contacts[5] - june.contacts[0]) / np.timedelta64(2, "m")
    assert half == pytest.approx(101, abs=2)
    september = sky.eclipse_on("1997-09-16")
    assert september.kind == "total"
    assert september.umbral_magnitude == pytest.approx(1.1868, abs=0.01)
    assert september.gamma == pytest.approx(-0.3791, abs=0.003)
    assert J2000 + days_of(september.greatest) == pytest.approx(2450708.2835, abs=2 / 1440)
    halves = [
        (september.contacts[5 - k] - september.contacts[k]) / np.timedelta64(2, "m")
        for k in range(3)
    ]
    assert halves == pytest.approx([153, 98, 30], abs=1.5)


@pytest.mark.parametrize(
    "date, parallax, semidiameter, sun, sun_parallax, umbra, penumbra, magnitude",
    [
        # IAA RAS, Astronomical Yearbook 2011, p. 157, and 2018: the 1/50 rule without its
        # 0.998340, values at opposition in arcseconds.
        ("2011-06-15", 3512.99, 957.27, 944.74, 8.66, 2628.18, 4554.87, 1.708),
        ("2018-01-31", 3652.46, 995.27, 974.00, 8.93, 2740.94, 4727.27, 1.324),
    ],
)
def test_an_almanacs_shadow(
    date, parallax, semidiameter, sun, sun_parallax, umbra, penumbra, magnitude
):
    found = sky.eclipse_on(date, rule="fiftieth")
    assert found.moon_parallax.to_value(u.arcsec) == pytest.approx(parallax, abs=0.5)
    assert found.moon_semidiameter.to_value(u.arcsec) == pytest.approx(semidiameter, abs=0.2)
    assert found.sun_semidiameter.to_value(u.arcsec) == pytest.approx(sun, abs=0.5)
    assert found.sun_parallax.to_value(u.arcsec) == pytest.approx(sun_parallax, abs=0.01)
    whole = sky.shadow_radii(parallax / 0.998340, sun_parallax, sun, "fiftieth")
    assert whole == pytest.approx((umbra, penumbra), abs=1.0)
    # With the factor the umbra is 6" smaller, and the magnitude by 6" over the Moon's width.
    smaller = 1.02 * (1 - 0.998340) * parallax / (2 * semidiameter)
    assert found.umbral_magnitude == pytest.approx(magnitude - smaller, abs=0.002)


def test_shadow_rules_by_their_formulas():
    # Espenak and Meeus (2009), NASA/TP-2009-214173, sec. 1.5, worked by hand on round numbers.
    assert sky.shadow_radii(60, 0.1, 16) == pytest.approx((44.7, 76.7))
    assert sky.shadow_radii(60, 0.1, 16, "fiftieth") == pytest.approx((44.880408, 77.520408))
    assert sky.shadow_radii(60, 0.1, 16, "airless_mid_latitude") == pytest.approx(
        (44.0004, 76.0004)
    )
    with pytest.raises(ValueError, match="'guess' is not known; accepted are 'danjon'"):
        sky.shadow_radii(60, 0.1, 16, "guess")


def test_rules_differ_by_the_published_amounts(two_centuries):
    # Espenak: magnitudes by Danjon's rule are smaller than by the 1/50 rule, by about 0.005
    # (umbral) and 0.026 (penumbral).
    older = sky.lunar_eclipses("1901-01-01", "2100-12-31T23:59", rule="fiftieth")
    _, mine, theirs = np.intersect1d(
        two_centuries.greatest.astype("M8[h]"), older.greatest.astype("M8[h]"), return_indices=True
    )
    for name, amount in (("umbral_magnitude", 0.005), ("penumbral_magnitude", 0.026)):
        less = getattr(older[theirs], name) - getattr(two_centuries[mine], name)
        assert np.median(less) == pytest.approx(amount, abs=0.002)


def test_every_umbral_eclipse_that_skyfield_finds(two_centuries):
    timescale = load.timescale(builtin=True)
    t, code, details = eclipselib.lunar_eclipses(
        timescale.tt(1901, 1, 1), timescale.tt(2101, 1, 1), jpl_ephemeris.EPHEMERIS
    )
    theirs = np.asarray(t.tt)[code > 0] - J2000
    ours = two_centuries[two_centuries.kind != "penumbral"]
    assert len(ours) == len(theirs)
    seconds = (days_of(ours.greatest) - theirs) * 86_400
    assert np.abs(seconds - np.median(seconds)).max() < 20
    assert np.median(seconds) == pytest.approx(1.3, abs=0.7)  # it leaves out the light time
    # Its rule is Danjon's too. Its radii differ by 0.05 %, and it takes the least distance from a
    # Sun without aberration, 20" aside, which tells where the path is central.
    magnitudes = details["umbral_magnitude"][code > 0]
    assert np.abs(ours.umbral_magnitude - magnitudes).max() < 0.003


def test_contacts_against_de421():
    found = sky.lunar_eclipses("2026-01-01", "2056-01-01")
    greatest, contacts, umbral, penumbral = jpl_ephemeris.eclipses(days_of(found.greatest))
    there = ~np.isnan(contacts)
    assert (there == ~np.isnat(found.contacts)).all()
    not_grazing = there & (penumbral > 0.003)[:, None]
    off = np.abs(days_of(found.contacts[not_grazing]) - contacts[not_grazing]) * 86_400
    assert np.median(off) < 5
    assert off.max() < 20
    assert np.abs(days_of(found.greatest) - greatest).max() * 86_400 < 15
    assert np.abs(found.umbral_magnitude - umbral).max() < 0.002
    assert np.abs(found.penumbral_magnitude - penumbral).max() < 0.002


def test_contacts_stand_in_order_and_on_the_limits(two_centuries):
    moments = two_centuries.moments
    for row in moments:
        known = row[~np.isnat(row)]
        assert (np.diff(known) > np.timedelta64(0, "ms")).all() and len(known) in (3, 5, 7)
    total = two_centuries[two_centuries.kind == "total"]
    away = np.linalg.norm(total.offsets.to_value(u.arcmin), axis=-1)
    shadow, moon = total.umbra_radius.value, total.moon_semidiameter.value
    # The radii are those of greatest eclipse: an hour away they differ by up to 0.3 %.
    assert away[:, 1] == pytest.approx(shadow + moon, rel=0.004)
    assert away[:, 2] == pytest.approx(shadow - moon, rel=0.008)
    assert away[:, 3] == pytest.approx(total.closest.value, abs=1e-3)


def test_what_the_simple_formula_costs(two_centuries):
    total = two_centuries[two_centuries.kind == "total"]
    # Computed, no outside source: x from 2.62 to 2.77, and near the middle within 5 %.
    assert (total.shadow_ratio > 2.61).all() and (total.shadow_ratio < 2.78).all()
    near = total.path_offset < 0.2
    assert near.sum() >= 15
    assert np.abs(total.simple_timing_error[near]).max() < 0.05
    assert total.simple_timing_error.min() < -0.5
    assert np.isnan(two_centuries[two_centuries.kind == "partial"].simple_timing_error).all()


@given(st.integers(-36_000, 35_900), st.integers(1, 900))
def test_a_span_finds_the_same_as_its_halves(day, length):
    first = np.datetime64("2000-01-01") + np.timedelta64(day, "D")
    middle, last = (first + np.timedelta64(days, "D") for days in (length // 2, length))
    parts = [sky.lunar_eclipses(first, middle), sky.lunar_eclipses(middle, last)]
    whole = sky.lunar_eclipses(first, last)
    assert len(whole) == len(parts[0]) + len(parts[1])
    joined = np.concatenate([part.greatest for part in parts])
    assert (np.abs(whole.greatest - joined) < np.timedelta64(5, "ms")).all()


def test_a_night_is_named_by_either_date():
    for date in ("2029-06-25", "2029-06-26"):  # greatest at 03:22 UTC on the 26th
        assert str(sky.eclipse_on(date).greatest)[:13] == "2029-06-26T03"
    for date in ("2029-06-24", "2029-06-27"):
        with pytest.raises(ValueError, match="nearest is the total one of 2029-06-26 at 03:22"):
            sky.eclipse_on(date)
    for edge in ("1900-01-01", "2100-12-31"):
        with pytest.raises(ValueError, match=r"the nearest is the (total|partial) one of"):
            sky.eclipse_on(edge)


def test_an_end_before_the_start_is_refused():
    with pytest.raises(ValueError, match="the end, 2026-01-01, is before the start, 2027-01-01"):
        sky.lunar_eclipses("2027-01-01", "2026-01-01")


def test_an_empty_span_has_no_eclipse():
    none = sky.lunar_eclipses("2027-01-01", "2027-01-02")
    assert len(none) == 0 and none.shadow_ratio.shape == (0,)


def test_what_a_place_sees():
    total = sky.eclipse_on("2029-12-20")
    # Common sense: a full Moon at midnight stands high in December in the north, and is below
    # the horizon at the antipode, where the altitudes are the opposite but for the parallax.
    place = sky.Place(52.1 * u.deg, 5.2 * u.deg)
    here = sky.seen_from(total, place)
    assert (sky.sun_at(total.moments, place).altitude < 0 * u.deg).all()
    there = sky.seen_from(total, sky.Place(-52.1 * u.deg, -174.8 * u.deg))
    assert here.visible == "all" and there.visible == "none"
    assert (here.altitude > 0 * u.deg).all() and not (there.altitude > 0 * u.deg).any()
    both = (here.altitude + there.altitude).to_value(u.deg)
    assert (np.abs(both) < 2.1).all() and (both < 0).all()
    several = sky.lunar_eclipses("2026-01-01", "2030-01-01")
    sights = sky.seen_from(several, sky.Place(52.1 * u.deg, 5.2 * u.deg))
    assert sights.altitude.shape == (len(several), 7)
    assert (np.isnan(sights.altitude) == np.isnat(several.moments)).all()
    assert set(sights.visible) == {"all", "part", "none"}


def test_the_truth_of_a_night():
    place = sky.Place(52.1 * u.deg, 5.2 * u.deg)
    truth = sky.night_truth(eclipse_date="2029-12-20", place=place)
    days = np.atleast_1d(days_of(truth.instant))
    true = np.linalg.norm(jpl_ephemeris.moon(J2000 + days - 1.28 / 86_400), axis=1)[0]
    assert truth.distance.to_value(u.km) == pytest.approx(true, abs=40)
    assert truth.distance_earth_diameters == pytest.approx(true / 12_742.0176, rel=2e-4)
    angle = 2 * np.degrees(np.arcsin(1737.4 / truth.moon.distance.to_value(u.km))) * 60
    assert truth.moon_angle.to_value(u.arcmin) == pytest.approx(angle, abs=1e-6)
    assert truth.moon.distance < truth.distance  # the Moon stands 59 degrees high
    assert truth.shadow_ratio == pytest.approx(sky.eclipse_on("2029-12-20").shadow_ratio)
    elsewhen = sky.night_truth(eclipse_date="2029-12-20", observed_at="2029-12-01T20:00")
    assert elsewhen.distance == sky.moon_at("2029-12-01T20:00").distance
    assert elsewhen.shadow_ratio == truth.shadow_ratio
    assert sky.night_truth(observed_at="2029-12-20T20:00").shadow_ratio == truth.shadow_ratio
    assert sky.night_truth(observed_at="2029-12-22T20:00").shadow_ratio is None
    with pytest.raises(ValueError, match="give the date of an eclipse"):
        sky.night_truth()
