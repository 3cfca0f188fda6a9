"""What the further lessons' assumptions cost, and how often the interval of a pair holds the truth.

    python tests/benchmarks/further.py

A pair: zenith distances, with four readings each or so, or a shift among stars; latitudes, sides of
the Moon and its distance are drawn at random. The costs are measured on the real sky with exact
readings; `inputs.assumption` quotes them.
"""

import sys
from dataclasses import dataclass

import erfa
import numpy as np
from astropy import units as u

from moonreach import sky
from moonreach.lessons import moon_phase, other_ways, today
from moonreach.lessons.air import seen_zenith_distance
from moonreach.practice.hands import Hands
from moonreach.reduction.group import reduce_group
from moonreach.reduction.inputs import assumption
from moonreach.sheet import tables
from moonreach.sheet.quantities import PRIOR
from moonreach.sky import utc_of
from moonreach.sky.bodies import moon_vectors, sun_vectors
from moonreach.sky.place import of_date, sidereal_time

FIRST_NEW_MOON, MONTH = 5.6, 29.530589  # days from J2000.0; days
HANDS = Hands()
OWN = 0.2  # degrees: the standard uncertainty of a quadrant itself (reduction/assumptions.toml)
STARS = 2.0  # arcminutes, by which a shift among stars scatters


@dataclass(frozen=True)
class Pair:
    """Two places on one meridian and a Moon: angles in degrees, the distance in Earth radii."""

    north: float
    south: float
    zenith: float
    distance: float

    @property
    def shift(self):
        """The shift that the pair sees."""
        angles = (self.north - self.south) * u.deg, self.zenith * u.deg
        return other_ways.shift_at(self.distance, *angles).to_value(u.deg)

    def rows(self, name, generator, stars):
        """Return rows of readings as two classes take them."""
        rows = [
            [name, "pair_north_latitude", f"{self.north:.2f}", "deg", "", ""],
            [name, "pair_south_latitude", f"{self.south:.2f}", "deg", "", ""],
        ]

        def read(quantity, true, scatter, digits, count, own=0.0):
            true += own * generator.standard_normal()  # the instrument's own error, at all readings
            for _ in range(count):
                value = abs(true + scatter * generator.standard_normal())
                rows.append([name, quantity, f"{value:.{digits}f}", "deg", "", ""])

        def seen(zenith):
            return seen_zenith_distance(zenith * u.deg).value

        count = int(generator.integers(1, 7))
        scatter = some(HANDS.zenith, generator).to_value(u.deg)
        south = self.zenith - (self.north - self.south) - self.shift
        read("pair_north_zenith_distance", seen(self.zenith), scatter, 1, count, OWN)
        if stars:
            read("pair_shift", self.shift, some(STARS, generator) / 60, 3, count)
        else:
            read("pair_south_zenith_distance", seen(south), scatter, 1, count, OWN)
        side = "between" if self.zenith > 0 > south else "south_of_both"
        rows.append([name, "pair_moon", side if self.zenith > 0 else "north_of_both", "", "", ""])
        return rows


def random_pair(generator):
    """Return a pair 40 degrees or more apart whose Moon stands 15 degrees up at both."""
    while True:
        north, south = sorted(generator.uniform(-60, 65, 2), reverse=True)
        zenith = north - generator.uniform(-28, 28)
        if north - south > 40 and 3 < abs(zenith) < 75 and 3 < abs(zenith - north + south) < 73:
            departure = (
                1
                + assumption("assumption_globe").cloud.pdf_std().value * generator.standard_normal()
            )
            return Pair(north, south, zenith, generator.uniform(55.9, 63.8) * departure), departure


def coverage(count, stars, seed=1):
    """Return in which part of simulated pairs the 95 % interval holds the true distance."""
    generator, held, ends = np.random.default_rng(seed), 0, 0
    for index in range(count):
        pair, departure = random_pair(generator)
        readings = tables.of_rows(pair.rows(f"G{index}", generator, stars)).readings
        found = reduce_group(f"G{index}", readings).outcome("pair_distance")
        if found is not None:
            held += found.low <= pair.distance / departure / 2 <= found.high
            ends += not np.isfinite(found.high)
    return held / count, ends / count


def coverage_of_half_moons(count, seed=4):
    """Return in which part of simulated groups the interval holds the Sun, and the middle least n.

    Each group calls half three to eight times, and all its calls lean by up to a degree.
    """
    generator, held, least = np.random.default_rng(seed), 0, []
    half = moon_phase.elongation_at_half(today.SUN_MOON_DISTANCE_RATIO).value
    for _ in range(count):
        calls = (
            half
            + generator.uniform(-1, 1)
            + some(HANDS.half, generator).value
            * generator.standard_normal(generator.integers(3, 9))
        )
        rows = [["G", "half_moon_elongation", f"{call:.1f}", "deg", "", ""] for call in calls]
        readings = tables.of_rows(rows).readings
        if found := reduce_group("G", readings).outcome("sun_distance_ratio"):
            held += found.low <= today.SUN_MOON_DISTANCE_RATIO <= found.high
            least.append(found.low)
    return held / count, np.median(least)


def some(scatter, generator):
    """Return how far the readings of some group scatter, about what is usual."""
    return scatter * np.sqrt(PRIOR / generator.chisquare(PRIOR))


def culmination(generator):
    """Return a random meridian, and when the Moon crosses it (None: not on that day)."""
    longitude = generator.uniform(-170, 170)
    day = np.datetime64("2020-01-01") + np.timedelta64(int(generator.integers(0, 7300)), "D")
    times = day + np.arange(0, 1500, 2) * np.timedelta64(1, "m")
    moon = sky.moon_at(times, sky.Place(0 * u.deg, longitude * u.deg))
    east = (moon.azimuth.value < 180) & (moon.altitude > 0 * u.deg)
    last = np.flatnonzero(east[:-1] & ~east[1:])
    return longitude, times[last[0]] if len(last) else None


def cost_of_a_globe(apart, count=150, seed=3):
    """Return relative errors of 1/D from exact zenith distances alone, places so far apart."""
    generator, errors = np.random.default_rng(seed), []
    while len(errors) < count:
        north, south = sorted(generator.uniform(-55, 65, 2), reverse=True)
        longitude, time = culmination(generator)
        if time is None or north - south < 20:
            continue
        places = [
            sky.Place(latitude * u.deg, (longitude + turn * apart / 2) * u.deg)
            for latitude, turn in ((north, 1), (south, -1))
        ]
        declination = sky.moon_at(time).declination.to_value(u.deg)
        altitudes = [sky.moon_at(time, place).altitude for place in places]
        if not all(15 * u.deg < altitude < 70 * u.deg for altitude in altitudes):
            continue
        zeniths = [
            (90 * u.deg - altitude) * (1 if declination < latitude else -1)
            for altitude, latitude in zip(altitudes, (north, south), strict=True)
        ]
        difference = (north - south) * u.deg
        shift = other_ways.shift_from_zenith_distances(difference, *zeniths)
        sine = other_ways.sine_of_parallax(shift, difference, zeniths[0])
        true = (today.EARTH_RADIUS / sky.moon_at(time).distance).to_value(u.one)
        errors.append(float(sine) / true - 1)
    return np.array(errors)


def middle_lines():
    """Yield instant and place of the shadow's middle near local noon, 2001 to 2060."""
    for new_moon in FIRST_NEW_MOON + MONTH * np.arange(13, 755):
        days = new_moon + np.arange(-0.9, 0.9, 1 / 48)
        meets = days[np.isfinite(_where_the_shadow_falls(days)[0])]
        if not len(meets):
            continue
        days = np.arange(meets[0] - 1 / 48, meets[-1] + 1 / 48, 2 / 1440)
        latitude, right_ascension, hour_angle = _where_the_shadow_falls(days)
        best = int(np.nanargmin(np.abs(hour_angle)))
        if abs(hour_angle[best]) > np.radians(5):
            continue
        longitude = erfa.anpm(right_ascension[best] - sidereal_time(days[best]))
        yield utc_of(days[best]), sky.Place(*(np.degrees([latitude[best], longitude]) * u.deg))


def _where_the_shadow_falls(days):
    """Return latitude, right ascension and the Sun's hour angle there, NaN where it falls past."""
    sun, moon = (of_date(vectors(days), days) for vectors in (sun_vectors, moon_vectors))
    along = moon - sun
    along /= np.linalg.norm(along, axis=-1, keepdims=True)
    ahead = (moon * along).sum(axis=-1)
    root = ahead**2 - (moon**2).sum(axis=-1) + today.EARTH_RADIUS.value**2
    ground = moon - (ahead + np.sqrt(np.where(root > 0, root, np.nan)))[:, None] * along
    right_ascension, latitude = erfa.c2s(ground)
    hour_angle = right_ascension - erfa.c2s(sun)[0]
    return latitude, right_ascension, (hour_angle + np.pi) % (2 * np.pi) - np.pi


def covered_part(time, place):
    """Return the covered part of the Sun's diameter, and the Sun there."""
    sun, moon = sky.sun_at(time, place), sky.moon_at(time, place)
    one, other = sun.declination, moon.declination
    cosine = np.sin(one) * np.sin(other)
    cosine += np.cos(one) * np.cos(other) * np.cos(sun.right_ascension - moon.right_ascension)
    between = np.arccos(np.clip(cosine, -1, 1))
    part = (sun.semidiameter + moon.semidiameter - between) / (2 * sun.semidiameter)
    return part.to_value(u.one), sun, moon


def cost_of_a_plain_eclipse(seed=5):
    """Return by how many Sun diameters the shift is more than the covered parts say."""
    generator, errors = np.random.default_rng(seed), []
    for time, place in middle_lines():
        part, sun, moon = covered_part(time, place)
        if part < 1 or moon.semidiameter < sun.semidiameter:
            continue
        ratio = (sun.distance / moon.distance).to_value(u.one)
        radii = (sky.moon_at(time).distance / today.EARTH_RADIUS).to_value(u.one)
        for side in (1, -1):
            latitude = place.latitude + side * generator.uniform(4, 12) * u.deg
            if abs(latitude) > 70 * u.deg:
                continue
            times = time + np.arange(-90, 91) * np.timedelta64(1, "m")
            parts, suns, _ = covered_part(times, sky.Place(latitude, place.longitude))
            best = int(np.argmax(parts))
            if suns.altitude[best] < 15 * u.deg or not 0.3 < parts[best] < 0.98:
                continue
            north, south = max(latitude, place.latitude), min(latitude, place.latitude)
            altitude = suns.altitude[best] if side > 0 else sun.altitude
            zenith = (90 * u.deg - altitude) * (1 if sun.declination < north else -1)
            shift = other_ways.shift_at(radii, north - south, zenith) * (1 - 1 / ratio)
            wide = 2 * sun.semidiameter
            simple = other_ways.shift_from_covered_parts(1, parts[best], wide)
            errors.append(((shift - simple) / wide).to_value(u.one))
    return np.array(errors)


def _said(errors, scale=1.0, digits=1):
    numbers = (errors.mean(), errors.std(), np.sqrt(np.mean(errors**2)), np.abs(errors).max())
    return "  ".join(f"{scale * number:+.{digits}f}" for number in numbers)


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    for stars, what in ((False, "zenith distances"), (True, "shift among stars")):
        held, ends = coverage(count, stars)
        print(f"{count} pairs by {what}: {held:.1%} hold the truth, {ends:.1%} without an end")
    held, least = coverage_of_half_moons(count)
    print(
        f"{count} groups by half Moons: {held:.1%} hold the Sun; the middle least n is {least:.0f}"
    )
    print("mean, standard deviation, root mean square, worst")
    for apart in (0, 1, 2, 5):
        costs = _said(cost_of_a_globe(apart), 100, 2)
        print(f"  1/D by a globe, {apart}° of longitude apart, %: {costs}")
    costs = cost_of_a_plain_eclipse()
    print(f"  shift of {len(costs)} solar eclipses, Sun diameters: {_said(costs, 1, 3)}")
