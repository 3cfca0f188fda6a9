"""Invented readings for the two further lessons; a pair of places under the real sky.

The groups, their hands and the invented places are made up. In `pair_rows` the sky is not.
"""

from dataclasses import dataclass

import numpy as np
from astropy import units as u

from moonreach.lessons import other_ways, sun_distance, today
from moonreach.lessons.air import seen_zenith_distance
from moonreach.lessons.refuse import require
from moonreach.practice.hands import SECONDS, Scribe


@dataclass(frozen=True)
class FurtherHands:
    """How far people's readings scatter: standard deviations of one reading.

    Common practice, no source: a half Moon judged by eye, a plumb line on a protractor of 15 cm,
    a part of the Sun read from its projected image.
    """

    half: u.Quantity = 2 * u.deg
    altitude: u.Quantity = 1 * u.deg
    azimuth: u.Quantity = 2 * u.deg
    zenith: u.Quantity = 0.4 * u.deg
    part: float = 0.02
    half_readings: int = 5
    zenith_readings: int = 4


# The invented places: two schools on one meridian, and two that saw a solar eclipse.
PAIR = 50.0 * u.deg, -30.0 * u.deg
NORTH_ZENITH = 41.2 * u.deg
ECLIPSE = 44.0 * u.deg, 35.5 * u.deg
SUN_ALTITUDE = 52.0 * u.deg


def further_rows(name, generator, distance=today.MOON_DISTANCE, hands=None):
    """Return one group's invented readings for the two further lessons, rows of a sheet.

    Parameters: the group's name, a numpy random generator, the Moon's distance, and the
    `FurtherHands`.
    """
    hands, scribe = hands or FurtherHands(), Scribe(name, generator)
    radii = (distance / today.EARTH_RADIUS).to_value(u.one)
    half = sun_distance.elongation_at_half(today.SUN_MOON_DISTANCE_RATIO).to(u.deg)
    scribe.read("half_moon_elongation", half, hands.half, 1, count=hands.half_readings)
    sun, moon = 24 * u.deg, 41 * u.deg
    cosine = (np.cos(half) - np.sin(sun) * np.sin(moon)) / (np.cos(sun) * np.cos(moon))
    between = np.arccos(cosine).to(u.deg)
    scribe.read("half_moon_sun_altitude", sun, hands.altitude, 0, stated=True)
    scribe.read("half_moon_altitude", moon, hands.altitude, 0, stated=True)
    scribe.read("half_moon_azimuth_difference", between, hands.azimuth, 0, stated=True)

    north, south = PAIR
    shift = other_ways.shift_at(radii, north - south, NORTH_ZENITH)
    scribe.read("pair_north_latitude", north, None, 2)
    scribe.read("pair_south_latitude", south, None, 2)
    for place, zenith in (("north", NORTH_ZENITH), ("south", north - south + shift - NORTH_ZENITH)):
        name, zenith = f"pair_{place}_zenith_distance", seen_zenith_distance(zenith)
        scribe.read(name, zenith, hands.zenith, 1, count=hands.zenith_readings)

    north, south = ECLIPSE
    shift = other_ways.shift_at(radii, north - south, 90 * u.deg - SUN_ALTITUDE)
    part = (1 - shift / (2 * today.SUN_SEMIDIAMETER)).to(u.one)
    scribe.read("solar_eclipse_north_latitude", north, None, 2)
    scribe.read("solar_eclipse_south_latitude", south, None, 2)
    scribe.read("solar_eclipse_north_part", 1 * u.one, None, 0)
    scribe.read("solar_eclipse_south_part", part, hands.part * u.one, 2, stated=True)
    scribe.read("solar_eclipse_sun_altitude", SUN_ALTITUDE, hands.altitude, 0, stated=True)
    return scribe.readings


def pair_rows(name, north, south, moment, generator=None, hands=None):
    """Return one group's readings of the Moon from two places at one moment, from the real sky.

    Parameters: the group's name, two `sky.Place`, the moment (ISO 8601, UTC without a zone), and,
    for readings that scatter, a numpy random generator and the `FurtherHands`. Raises `Impossible`
    where the Moon is not up at both.
    """
    from moonreach import sky  # only here: invented places need no sky
    from moonreach.practice.real_night import clock_of

    hands, scribe = hands or FurtherHands(), Scribe(name, generator)
    digits, count = (4, 1) if generator is None else (1, hands.zenith_readings)
    south, north = sorted((north, south), key=lambda place: place.latitude)
    for where, place in (("north", north), ("south", south)):
        moon = sky.moon_at(moment, place)
        require(
            moon.altitude > 5 * u.deg,
            f"at {moment} the Moon stands {moon.altitude.value:.1f} deg high at the {where}ern "
            "place; it must be more than 5 deg up at both",
        )
        scribe.read(f"pair_{where}_latitude", place.latitude.to(u.deg), None, 3)
        scribe.read(f"pair_{where}_longitude", place.longitude.to(u.deg), None, 3)
        zenith = seen_zenith_distance(90 * u.deg - moon.altitude)
        scribe.read(f"pair_{where}_zenith_distance", zenith, hands.zenith, digits, count=count)
        scribe.read(f"pair_{where}_azimuth", moon.azimuth.to(u.deg), hands.azimuth, digits)
    scribe.state("pair_moment", clock_of(sky.utc_of(sky.days_of(moment))), SECONDS)
    return scribe.readings
