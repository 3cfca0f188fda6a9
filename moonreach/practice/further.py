"""Invented readings for the two further lessons; a pair of places under the real sky.

The groups, their hands and the invented places are made up. In `pair_rows` the sky is not.
"""

from dataclasses import dataclass

import numpy as np
from astropy import units as u

from moonreach.lessons import other_ways, sun_distance, today
from moonreach.lessons.refuse import Impossible


@dataclass(frozen=True)
class FurtherHands:
    """How far people's readings scatter: standard deviations of one reading.

    Common practice, no source: a half Moon judged by eye, a plumb line on a protractor of 15 cm,
    a part of the Sun read from its projected image.
    """

    half: u.Quantity = 1.8 * u.deg
    altitude: u.Quantity = 1 * u.deg
    azimuth: u.Quantity = 2 * u.deg
    zenith: u.Quantity = 0.3 * u.deg
    part: float = 0.02
    half_readings: int = 5
    zenith_readings: int = 4


# The invented places: two schools on one meridian, and two that saw a solar eclipse.
PAIR = 50.0 * u.deg, -30.0 * u.deg
NORTH_ZENITH = 41.2 * u.deg
ECLIPSE = 44.0 * u.deg, 35.5 * u.deg
SUN_ALTITUDE = 52.0 * u.deg


def further_rows(name, generator, distance=today.MOON_DISTANCE, hands=None):
    """Return one group's invented rows for the two further lessons.

    Parameters: the group's name, a numpy random generator, the Moon's distance, and the
    `FurtherHands`.
    """
    hands = hands or FurtherHands()
    radii = (distance / today.EARTH_RADIUS).to_value(u.one)
    sheet = _Writer(name, generator)
    half = sun_distance.elongation_at_half(today.SUN_MOON_DISTANCE_RATIO)
    for _ in range(hands.half_readings):
        sheet.angle("half_moon_elongation", half, hands.half, 1)
    sun, moon = 24 * u.deg, 41 * u.deg
    between = np.arccos(
        (np.cos(half) - np.sin(sun) * np.sin(moon)) / (np.cos(sun) * np.cos(moon))
    ).to(u.deg)
    sheet.angle("half_moon_sun_altitude", sun, hands.altitude, 0, stated=True)
    sheet.angle("half_moon_altitude", moon, hands.altitude, 0, stated=True)
    sheet.angle("half_moon_azimuth_difference", between, hands.azimuth, 0, stated=True)

    north, south = PAIR
    shift = other_ways.shift_at(radii, north - south, NORTH_ZENITH)
    sheet.angle("pair_north_latitude", north, None, 2)
    sheet.angle("pair_south_latitude", south, None, 2)
    for place, zenith in (("north", NORTH_ZENITH), ("south", north - south + shift - NORTH_ZENITH)):
        for _ in range(hands.zenith_readings):
            sheet.angle(f"pair_{place}_zenith_distance", zenith, hands.zenith, 1)

    north, south = ECLIPSE
    shift = other_ways.shift_at(radii, north - south, 90 * u.deg - SUN_ALTITUDE)
    part = 1 - (shift / (2 * today.SUN_SEMIDIAMETER)).to_value(u.one)
    sheet.angle("solar_eclipse_north_latitude", north, None, 2)
    sheet.angle("solar_eclipse_south_latitude", south, None, 2)
    sheet.row("solar_eclipse_north_part", "1", "")
    part += hands.part * generator.standard_normal()
    sheet.row("solar_eclipse_south_part", f"{part:.2f}", "", f"{hands.part:g}")
    sheet.angle("solar_eclipse_sun_altitude", SUN_ALTITUDE, hands.altitude, 0, stated=True)
    return sheet.rows


def pair_rows(name, north, south, moment, generator=None, hands=None):
    """Return one group's rows for the Moon seen from two places at one moment, from the real sky.

    Parameters: the group's name, two `sky.Place`, the moment (ISO 8601, UTC without a zone), and,
    for readings that scatter, a numpy random generator and the `FurtherHands`. Raises `Impossible`
    where the Moon is not up at both.
    """
    from moonreach import sky  # only here: invented places need no sky

    hands, sheet = hands or FurtherHands(), _Writer(name, generator)
    if north.latitude < south.latitude:
        north, south = south, north
    for where, place in (("north", north), ("south", south)):
        moon = sky.moon_at(moment, place)
        if moon.altitude <= 5 * u.deg:
            raise Impossible(
                f"at {moment} the Moon stands {moon.altitude.value:.1f} deg high at the {where}ern "
                "place; it must be more than 5 deg up at both"
            )
        sheet.angle(f"pair_{where}_latitude", place.latitude, None, 3)
        sheet.angle(f"pair_{where}_longitude", place.longitude, None, 3)
        digits, count = (4, 1) if generator is None else (1, hands.zenith_readings)
        for _ in range(count):
            zenith = 90 * u.deg - moon.altitude
            sheet.angle(f"pair_{where}_zenith_distance", zenith, hands.zenith, digits)
        sheet.angle(f"pair_{where}_azimuth", moon.azimuth, hands.azimuth, digits)
    stamp = str(np.datetime64(sky.utc_of(sky.days_of(moment)), "s"))
    sheet.row("pair_moment", f"{stamp}Z", "")
    return sheet.rows


class _Writer:
    """Rows of one group, each reading scattered where there is a generator."""

    def __init__(self, name, generator):
        self.name, self.generator, self.rows = name, generator, []

    def row(self, quantity, value, unit, uncertainty=""):
        self.rows.append([self.name, quantity, value, unit, uncertainty, ""])

    def angle(self, quantity, true, scatter, digits, stated=False):
        value = true.to_value(u.deg)
        if scatter is not None and self.generator is not None:
            value += scatter.to_value(u.deg) * self.generator.standard_normal()
        given = f"{scatter.to_value(u.deg):g}" if stated else ""
        self.row(quantity, f"{value:.{digits}f}", "deg", given)
