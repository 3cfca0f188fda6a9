"""Invented readings for the two further lessons.

The groups, their hands and the places are made up.
"""

import numpy as np
from astropy import units as u

from moonreach.lessons import moon_phase, other_ways, today
from moonreach.lessons.air import seen_zenith_distance
from moonreach.practice.hands import Hands, Scribe

# The invented places: two schools on one meridian, and two that saw a solar eclipse.
PAIR = 50.0 * u.deg, -30.0 * u.deg
NORTH_ZENITH = 41.2 * u.deg
ECLIPSE = 44.0 * u.deg, 35.5 * u.deg
SUN_ALTITUDE = 52.0 * u.deg


def further_rows(name, generator, distance=today.MOON_DISTANCE, hands=None):
    """Return one group's invented readings for the two further lessons, rows of a sheet.

    Parameters: the group's name, a numpy random generator, the Moon's distance, and the
    `Hands`.
    """
    hands, scribe = hands or Hands(), Scribe(name, generator)
    radii = (distance / today.EARTH_RADIUS).to_value(u.one)
    half = moon_phase.elongation_at_half(today.SUN_MOON_DISTANCE_RATIO).to(u.deg)
    scribe.read("half_moon_elongation", half, hands.half, 1, count=hands.half_readings)
    sun, moon = 24 * u.deg, 41 * u.deg
    cosine = (np.cos(half) - np.sin(sun) * np.sin(moon)) / (np.cos(sun) * np.cos(moon))
    between = np.arccos(cosine).to(u.deg)
    scribe.read("half_moon_sun_altitude", sun, hands.protractor, 0, stated=True)
    scribe.read("half_moon_altitude", moon, hands.protractor, 0, stated=True)
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
    scribe.read("solar_eclipse_sun_altitude", SUN_ALTITUDE, hands.protractor, 0, stated=True)
    return scribe.readings
