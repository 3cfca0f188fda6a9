"""The Moon from two places against Hipparchus, the sky, skyfield with DE421, and vectors."""

from datetime import UTC

import numpy as np
import pytest
from astropy import units as u
from clouds import numbers, three_ways
from hypothesis import assume, given
from hypothesis import strategies as st
from jpl_ephemeris import BODIES
from skyfield.api import load, wgs84

from moonreach import sky
from moonreach.lessons import other_ways, today, two_places
from moonreach.lessons.refuse import Impossible

WGS84_FLATTENING = 1 / 298.257223563  # NIMA TR8350.2
WGS84_RADIUS = 6378.137  # km, equatorial

# Ten pairs of places in general position, degrees, and moments at which both see the Moon.
PAIRS = (
    ((52.1, 5.2), (-33.9, 18.4), "2029-03-25T21:00"),
    ((52.1, 5.2), (14.7, -17.4), "2029-03-25T21:00"),
    ((60.2, 24.9), (-26.2, 28.0), "2030-01-17T22:00"),
    ((40.7, -74.0), (-33.4, -70.7), "2028-10-03T02:00"),
    ((35.7, 139.7), (-37.8, 145.0), "2027-06-18T14:00"),
    ((28.6, 77.2), (-4.3, 15.3), "2031-11-28T19:00"),
    ((64.1, -21.9), (19.4, -99.1), "2026-12-24T02:00"),
    ((1.4, 103.8), (-31.9, 115.9), "2033-05-13T15:00"),
    ((55.8, 37.6), (25.2, 55.3), "2029-09-22T20:00"),
    ((47.5, 19.0), (-12.0, 45.0), "2034-02-03T21:00"),
)


def test_hipparchus_71_and_83():
    # 71 Earth radii at least, 83 at most, 77 on average, from an eclipse total at the Hellespont
    # and of four fifths at Alexandria: Pappus; Cleomedes; Toomer 1974 (from memory). Assumed, and
    # not known to be his: latitudes 41 and 31 deg, one meridian, the Sun on it at declination
    # -3 deg and without parallax, Moon and Sun 1/650 of a circle (Almagest IV.9), the eclipse's
    # distance the least one, and a range of 247.5 : 3122.5 (Almagest IV.11, from memory).
    shift = other_ways.shift_from_covered_parts(1, 4 / 5, 360 * u.deg / 650)
    least = float(other_ways.distance_in_earth_radii(shift, 10 * u.deg, 44 * u.deg))
    part = 247.5 / 3122.5
    found = (least, least / (1 - part), least * (1 + part) / (1 - part))
    assert found == pytest.approx((71, 77, 83), abs=0.2)


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: f"{pair[0]}{pair[1]}")
def test_two_places_anywhere_against_the_sky_and_skyfield(pair):
    *places, moment = pair
    seen, theirs = [], []
    time = load.timescale(builtin=True).from_datetime(
        np.datetime64(moment, "ms").item().replace(tzinfo=UTC)
    )
    for latitude, longitude in places:
        moon = sky.moon_at(moment, sky.Place(latitude * u.deg, longitude * u.deg))
        assert moon.altitude > 10 * u.deg
        seen.append((90 * u.deg - moon.altitude, moon.azimuth))
        place = BODIES["earth"] + wgs84.latlon(latitude, longitude)
        altitude, azimuth, _ = place.at(time).observe(BODIES["moon"]).apparent().altaz()
        theirs.append(((90 - altitude.degrees) * u.deg, azimuth.degrees * u.deg))
    latitudes, longitudes = (np.array(one) * u.deg for one in zip(*places, strict=True))
    distance_here = sky.moon_at(moment).distance.to_value(u.km)
    distance_there = BODIES["earth"].at(time).observe(BODIES["moon"]).distance().km
    for directions, distance in ((seen, distance_here), (theirs, distance_there)):
        zeniths, azimuths = (u.Quantity(one) for one in zip(*directions, strict=True))
        sine = two_places.sine_of_parallax_anywhere(
            latitudes, longitudes, zeniths, azimuths, WGS84_FLATTENING
        )
        assert WGS84_RADIUS / float(sine) == pytest.approx(distance, rel=1e-3)
        globe = two_places.sine_of_parallax_anywhere(latitudes, longitudes, zeniths, azimuths)
        assert today.EARTH_RADIUS.value / float(globe) == pytest.approx(distance, rel=0.015)


SEEN = st.floats(-60, 60), st.floats(20, 120), st.floats(-70, 70), st.floats(30, 90)


@given(*SEEN)
def test_the_meridian_is_a_case_of_anywhere(north, apart, zenith, away):
    shift = other_ways.shift_at(away, apart * u.deg, zenith * u.deg)
    south_zenith = zenith - apart - shift.value
    assume(abs(south_zenith) < 89)
    sine = other_ways.sine_of_parallax(shift, apart * u.deg, zenith * u.deg)
    assert float(sine) == pytest.approx(1 / away, rel=1e-6)
    found = two_places.sine_of_parallax_anywhere(
        (north, north - apart) * u.deg,
        (7, 7) * u.deg,
        (abs(zenith), abs(south_zenith)) * u.deg,
        [180 if z > 0 else 0 for z in (zenith, south_zenith)] * u.deg,
    )
    assert float(found) == pytest.approx(1 / away, rel=1e-6)


@given(*SEEN)
def test_shift_by_vectors(north, apart, zenith, away):
    # Places and Moon as points of a plane: the angle between the two lines of sight.
    turn = np.radians([north, north - apart])
    places = np.column_stack([np.cos(turn), np.sin(turn)])
    line = np.radians(north - zenith)  # of sight in the north
    out = np.array([np.cos(line), np.sin(line)])
    along = -places[0] @ out + np.sqrt((places[0] @ out) ** 2 + away**2 - 1)
    moon = places[0] + along * out
    one, other = (moon - place for place in places)
    angle = np.arctan2(one[0] * other[1] - one[1] * other[0], one @ other)
    found = other_ways.shift_at(away, apart * u.deg, zenith * u.deg)
    assert found.to_value(u.rad) == pytest.approx(angle, abs=1e-9)
    if found > 0.01 * u.deg:
        back = other_ways.distance_in_earth_radii(found, apart * u.deg, zenith * u.deg)
        assert float(back) == pytest.approx(away, rel=1e-5)


def test_covered_parts_are_how_far_equal_discs_lie_apart():
    # Two equal discs of width 1, their middles d apart, leave d of the diameter over: plane
    # geometry; so the part covered is 1 - d.
    wide = 32 * u.arcmin
    for part in (0, 0.25, 0.8, 1):
        shift = other_ways.shift_from_covered_parts(1, part, wide)
        assert shift.to_value(u.arcmin) == pytest.approx(32 * (1 - part))
    # The Sun's own parallax: with n = 2 it moves half as much as the Moon.
    near = other_ways.shift_from_covered_parts(1, 0.8, wide, 2)
    assert near.to_value(u.arcmin) == pytest.approx(2 * 32 * 0.2)


def test_limits():
    assert other_ways.shift_at(1e9, 80 * u.deg, 40 * u.deg).value == pytest.approx(0, abs=1e-6)
    # Straight up at one place and on the horizon at the other: the horizontal parallax itself.
    shift = np.degrees(np.arcsin(1 / 60))
    zenith = (90 - shift) * u.deg
    found = two_places.sine_of_parallax_anywhere(
        (0, 90 - shift) * u.deg, (0, 0) * u.deg, (0 * u.deg, 90 * u.deg), (0, 180) * u.deg
    )
    assert 1 / float(found) == pytest.approx(60, rel=1e-6)
    assert zenith < 90 * u.deg
    assert float(other_ways.sine_of_parallax(-1 * u.deg, 80 * u.deg, 40 * u.deg)) < 0


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (lambda: other_ways.distance_in_earth_radii(0 * u.deg, 80 * u.deg, 41 * u.deg), "shift"),
        (lambda: other_ways.shift_from_covered_parts(1.2, 0.8, 32 * u.arcmin), "from 0 to 1"),
        (lambda: other_ways.shift_from_covered_parts(1, -0.1, 32 * u.arcmin), "from 0 to 1"),
        (lambda: other_ways.shift_from_covered_parts(1, 0.8, 32 * u.arcmin, 1), "greater than 1"),
        (lambda: other_ways.shift_at(0.9, 80 * u.deg, 41 * u.deg), "inside the Earth"),
    ],
)
def test_refuses_what_cannot_be(wrong, said):
    with pytest.raises(Impossible, match=said):
        wrong()


def test_numbers_arrays_and_clouds():
    for shift, apart, zenith in three_ways(1.2 * u.deg, 80 * u.deg, 41 * u.deg):
        found = numbers(other_ways.distance_in_earth_radii(shift, apart, zenith), u.one)
        assert np.all(np.abs(found - 62.144) < 1e-3)
    values = [value * u.deg for value in (50, -30, 0, 5, 41, 40.2, 183, 357)]
    for angles in three_ways(*values):
        pairs = [angles[i : i + 2] for i in range(0, 8, 2)]
        found = numbers(two_places.sine_of_parallax_anywhere(*pairs), u.one)
        assert np.all(np.abs(found - found.flat[0]) < 1e-12) and 0.01 < found.flat[0] < 0.02
