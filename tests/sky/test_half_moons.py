"""Half Moons against skyfield's almanac with JPL's DE421, and against the Sun's distance."""

from datetime import UTC

import numpy as np
import pytest
from astropy import units as u
from jpl_ephemeris import BODIES
from skyfield import almanac
from skyfield.api import load, wgs84

from moonreach import sky
from moonreach.lessons import moon_phase

SCALE = load.timescale(builtin=True)


@pytest.fixture(scope="module")
def found():
    return sky.half_moons("2000-01-01", "2030-01-01")


def skyfield_time(instants):
    return SCALE.from_datetimes([instant.item().replace(tzinfo=UTC) for instant in instants])


def test_quadratures_are_the_quarters_of_skyfields_almanac(found):
    # skyfield's moon_phases with DE421; two minutes are wanted, 20 s are reached.
    times, phases = almanac.find_discrete(
        SCALE.utc(2000, 1, 1), SCALE.utc(2030, 1, 1), almanac.moon_phases(BODIES)
    )
    quarters = (phases == 1) | (phases == 3)
    reference = times.utc_datetime()[quarters]
    assert len(found) == len(reference) == 742
    assert [one.waxing for one in found] == list(phases[quarters] == 1)
    ours = np.array([one.quadrature for one in found])
    theirs = np.array([np.datetime64(time.replace(tzinfo=None)) for time in reference])
    assert np.abs((ours - theirs) / np.timedelta64(1, "s")).max() < 20


def test_at_half_phase_half_of_the_disc_is_lit(found):
    # skyfield's fraction_illuminated with DE421: a minute of time changes it by 0.00007.
    lit = almanac.fraction_illuminated(BODIES, "moon", skyfield_time([o.half for o in found]))
    assert np.abs(lit - 0.5).max() < 0.0001


def test_half_phase_lies_nearer_the_new_moon_by_what_the_suns_distance_tells(found):
    gaps = [
        (o.quadrature - o.half) / np.timedelta64(1, "m") * (1 if o.waxing else -1) for o in found
    ]
    for one, gap in zip(found, gaps, strict=True):
        sun, moon = sky.sun_at(one.half), sky.moon_at(one.half)
        even = moon_phase.lead(float(sun.distance / moon.distance), 29.530589 * u.day)
        # The Moon's rate against the Sun is up to 17 % more or less than the mean one.
        assert gap == pytest.approx(even.to_value(u.min), rel=0.18)
    assert np.mean(gaps) == pytest.approx(17.4, abs=0.6)


def test_altitudes_are_those_of_skyfield():
    place = sky.Place(-33.9 * u.deg, 18.4 * u.deg)
    here = BODIES["earth"] + wgs84.latlon(-33.9, 18.4)
    some = sky.half_moons("2029-01-01", "2029-07-01", place)
    for name in ("moon", "sun"):
        seen = here.at(skyfield_time([o.half for o in some])).observe(BODIES[name]).apparent()
        ours = [getattr(o, f"{name}_altitude").value for o in some]
        assert ours == pytest.approx(seen.altaz()[0].degrees, abs=0.02)
    assert {one.up for one in some} == {True, False}
    assert all(one.up == (one.moon_altitude >= 10 * u.deg) for one in some)


def test_dates_are_limits_and_the_years_end():
    one = sky.half_moons("2029-01-01", "2030-01-01")[0]
    second = np.timedelta64(1, "s")
    assert sky.half_moons(one.half - second, one.half + second) == [one]
    assert sky.half_moons("2029-01-01", one.half - second) == []
    assert not one.up and one.moon_altitude is None
    with pytest.raises(ValueError, match="lies outside 1900 to 2100"):
        sky.half_moons("2150-01-01", "2151-01-01")
