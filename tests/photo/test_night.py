"""The timed night against published contacts and an independent sky."""

import csv
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from astropy import units as u
from astropy.coordinates import GeocentricTrueEcliptic, get_body
from astropy.time import Time
from hypothesis import given
from hypothesis import strategies as st

from moonreach.photo.night import Edges, fit_night, hours_from, place

# NASA/GSFC (F. Espenak), in UT; see the file's head.
ECLIPSES = Path(__file__).parents[1] / "reference" / "eclipses.csv"
EXACT = 1e-3


def published():
    """Return the total eclipses: date, the four umbral contacts as datetimes, gamma, magnitude."""
    lines = [line for line in ECLIPSES.read_text().splitlines() if not line.startswith("#")]
    rows = [row for row in csv.DictReader(lines) if row["U2"]]
    for row in rows:
        day, before = datetime.fromisoformat(row["date"]), timedelta(0)
        moments = []
        for name in ("U1", "U2", "U3", "U4"):
            moment = datetime.fromisoformat(f"{row['date']}T{row[name]}") + before
            if moments and moment < moments[-1]:
                before, moment = timedelta(1), moment + timedelta(1)
            moments.append(moment)
        yield (
            day,
            np.array(moments, dtype="M8[ms]"),
            float(row["gamma"]),
            float(row["umbral_magnitude"]),
        )


def edges_of(hours, unknowns, offset, sd=EXACT, curvature_sd=0.5):
    """Return exact edges at hours from an invented moment; the curvature says next to nothing."""
    zero = np.datetime64("2031-05-06T00:00", "ms")
    times = zero + np.round(3.6e6 * np.array(hours)).astype("m8[ms]")
    spread = np.diag([curvature_sd**2, *[sd**2] * len(hours)])
    return Edges(times, place(np.array(hours), offset, unknowns), 1 / unknowns[0], spread)


def moon_and_sun(moment):
    """Return distance (km) and ecliptic longitude and latitude of Moon and Sun, by astropy."""
    time = Time(moment.astype("M8[ms]").item())
    bodies = []
    for name in ("moon", "sun"):
        body = get_body(name, time).transform_to(GeocentricTrueEcliptic(equinox=time))
        bodies.append((body.distance.to_value(u.km), body.lon.deg, body.lat.deg))
    return bodies


def moon_of(moment):
    """Return the Moon's semidiameter as from Earth's centre, with k = 0.2725 (IAU, 1982)."""
    return np.arcsin(0.2725 * 6378.14 / moon_and_sun(moment)[0][0]) * u.rad


@pytest.mark.parametrize("eclipse", list(published())[:6], ids=lambda each: f"{each[0]:%Y-%m-%d}")
def test_contacts_alone_give_the_published_shadow(eclipse):
    # Contacts called exactly are pictures with e of 1 and -1. Magnitude m and gamma g: the umbra's
    # radius in Moon radii is x = 2 m - 1 + g / 0.2725 (NASA/TP-2009-214173, sec. 1.3, from memory).
    _, contacts, gamma, magnitude = eclipse
    x = 2 * magnitude - 1 + abs(gamma) / 0.2725
    spread = np.diag([0.25, *[0.004**2] * 4])
    edges = Edges(contacts, np.array([1.0, -1, -1, 1]), 0.37, spread)
    moon = moon_of(contacts[1])
    night = fit_night(edges, (moon, 0.005 * moon))
    assert night.ratio.low < x < night.ratio.high
    assert night.ratio.value == pytest.approx(x, rel=0.03)
    assert night.message == ""
    for name, moment in zip(("U1", "U2", "U3", "U4"), contacts, strict=True):
        found, sd = night.contacts[name]
        assert abs((found - moment) / np.timedelta64(1, "s")) < 3 * sd + 20


def test_edges_from_the_sky_of_astropy_give_its_contacts():
    # 2018 July 27: Moon and Sun from astropy; the shadow's centre is opposite the Sun. The edge's
    # place is the centres' distance less the umbra's radius x of that night, by NASA/GSFC.
    eclipse = next(each for each in published() if f"{each[0]:%Y-%m-%d}" == "2018-07-27")
    _, contacts, gamma, magnitude = eclipse
    x = 2 * magnitude - 1 + abs(gamma) / 0.2725
    minutes = np.array([10, 25, 40, 55, 180, 195, 210, 225])
    times = contacts[0] + minutes.astype("m8[m]")
    moon = moon_of(contacts[1])
    places = []
    for time in times:
        (_, lon, lat), (_, sun, _) = moon_and_sun(time)
        across = (lon - sun - 180 + 180) % 360 - 180
        places.append(np.hypot(across * np.cos(np.radians(lat)), lat) / moon.to_value(u.deg) - x)
    spread = np.diag([0.25, *[0.005**2] * 8])
    night = fit_night(Edges(times, np.array(places), 0.37, spread), (moon, 0.005 * moon))
    assert night.ratio.value == pytest.approx(x, rel=0.03)
    assert night.ratio.low < x < night.ratio.high
    for name, moment in zip(("U1", "U2", "U3", "U4"), contacts, strict=True):
        found, sd = night.contacts[name]
        assert abs((found - moment) / np.timedelta64(1, "s")) < 60 and sd < 120


def test_two_pictures_and_the_formula():
    # The formula of the module's head, worked by hand for 1.3 h and 0.7 h from mid-eclipse.
    x, rate, offset = 2.7, 1.9, 0.25
    e1, e2 = (place(t, offset, (x, 0.0, rate, 0.0)) for t in (1.3, 0.7))
    found = (rate**2 * (1.3**2 - 0.7**2) - (e1**2 - e2**2)) / (2 * (e1 - e2))
    assert found == pytest.approx(x)


@given(st.floats(2.55, 2.85), st.floats(0.05, 0.5), st.floats(-1.0, 1.0))
def test_the_edge_comes_and_goes_alike(x, offset, middle):
    unknowns = x, middle, 1.9, 0.0
    after = np.array([0.6, 1.3])
    assert place(middle + after, offset, unknowns) == pytest.approx(
        place(middle - after, offset, unknowns)
    )


@pytest.mark.parametrize("offset", [0.1, 0.4])
def test_both_sides(offset):
    edges = edges_of([-1.6, -1.3, -1.1, 1.1, 1.3, 1.6], (2.7, 0.1, 1.96, 0.0), offset, 0.01)
    moon = 15.54 * u.arcmin
    night = fit_night(edges, (moon, 0.01 * moon))
    assert night.ratio.low < 2.7 < night.ratio.high
    assert night.path_offset.low - 0.01 < offset < night.path_offset.high
    middle = np.mean([hours_from(edges.times[0], night.contacts[n][0]) for n in ("U2", "U3")])
    assert middle - 1.6 == pytest.approx(0.1, abs=0.03)


def test_one_side_alone_says_what_it_cannot_tell_and_a_contact_mends_it():
    edges = edges_of([-1.7, -1.5, -1.3, -1.1], (2.7, 0.0, 1.96, 0.0), 0.2, 0.01, 0.01)
    moon = 15.54 * u.arcmin, 0.15 * u.arcmin
    alone = fit_night(edges, moon)
    assert "one side of mid-eclipse" in alone.message
    assert not {"U3", "U4"} & set(alone.contacts)
    hours = np.sqrt((2.7 - 1) ** 2 - (0.2 * 2.7) ** 2) / 1.96
    u3 = np.datetime64("2031-05-06T00:00", "ms") + np.timedelta64(round(3.6e6 * hours), "ms")
    night = fit_night(edges, moon, [("U3", u3, 30.0)])
    assert night.message == ""
    assert night.ratio.high - night.ratio.low < alone.ratio.high - alone.ratio.low
    assert abs((night.contacts["U3"][0] - u3) / np.timedelta64(1, "s")) < 120


def test_a_clock_that_is_wrong_is_seen():
    edges = edges_of([-1.6, -1.3, -0.3, 1.1, 1.3, 1.6], (2.7, 0.0, 1.96, 0.0), 0.2, 0.01)
    edges.places[2] = 0.6
    night = fit_night(edges, (15.54 * u.arcmin, 0.1 * u.arcmin))
    assert "do not fit one path" in night.message
