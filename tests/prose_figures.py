"""Each figure that a page repeats, with what computes it."""

import numpy as np
from astropy import units as u

from moonreach import sky
from moonreach.lessons import moon_distance, noon, other_ways, shadow_cone, sighting_angle, today
from moonreach.lessons.air import true_zenith_distance
from moonreach.practice.hands import Hands
from moonreach.reduction.inputs import ASSUMED, limits_of

DISC, HOLE, MOON = 15 * u.mm, 1.5 * u.mm, 31.1 * u.arcmin  # the kit's rod, a mean Moon


def as_if_a_point(seen):
    at = sighting_angle.expected_reading(DISC, MOON, HOLE, seen)
    return 100 * (sighting_angle.angular_diameter(DISC, at) / MOON - 1).to_value(u.one)


def lift(zenith):
    seen = zenith * u.deg
    return (true_zenith_distance(seen) - seen).to_value(u.arcmin)


def early_rim():
    ends = [sighting_angle.expected_reading(DISC, MOON, HOLE, seen) for seen in ("vanish", "rim")]
    early = ends[0] + (ends[1] - ends[0]) / 4
    found = sighting_angle.bracketed_angular_diameter(DISC, ends[0], early)
    return 100 * (found / MOON - 1).to_value(u.one)


def setup(lean, slope):
    return noon.setup_error(52 * u.deg, lean * u.deg, slope * u.deg).to_value(u.deg)


def seen_from(altitude):
    """The mean Moon's width in minutes at an altitude."""
    far = moon_distance.topocentric_distance(today.MOON_DISTANCE, altitude, today.EARTH_RADIUS)
    return far, (2 * np.arcsin(today.MOON_RADIUS / far)).to_value(u.arcmin)


def altitude_cost():
    far, _ = seen_from(40 * u.deg)
    wrong = moon_distance.geocentric_distance(far, 45 * u.deg, today.EARTH_RADIUS)
    return 100 * (wrong / today.MOON_DISTANCE - 1).to_value(u.one)


def early_distance():
    """In per cent, how much nearer a rim called too early brings the Moon off the middle."""
    wide = 1 + early_rim() / 100
    return 100 * (1 - 1 / wide * 3.7 / (1 + 2.7 * wide**2))


def far_as(width):
    return (today.MOON_RADIUS / np.sin(width / 2)).to_value(u.km)


def arcminute_at_half_moon():
    """How much farther one arcminute of elongation puts the Sun at the true one."""
    true = np.arccos(1 / today.SUN_MOON_DISTANCE_RATIO) * u.rad
    return float(np.cos(true) / np.cos(true + 1 * u.arcmin))


def two_schools(wrong):
    """The distance by places 80 degrees apart whose shift is wrong by this, over the true one."""
    apart, zenith = 80 * u.deg, 40 * u.deg
    radii = (today.MOON_DISTANCE / today.EARTH_RADIUS).to_value(u.one)
    shift = other_ways.shift_at(radii, apart, zenith)
    return float(other_ways.distance_in_earth_radii(shift + wrong * u.deg, apart, zenith)) / radii


def by_quadrants(deviations):
    """The distance in Earth diameters if quadrants 80 degrees apart err by so many deviations."""
    hands = Hands()
    shift = hands.zenith * np.sqrt(2 / hands.zenith_readings)
    mean = (today.MOON_DISTANCE / today.EARTH_DIAMETER).to_value(u.one)
    return mean * two_schools(deviations * shift.to_value(u.deg))


def no_shift_left():
    """In degrees: the whole shift of places 80 degrees apart."""
    radii = (today.MOON_DISTANCE / today.EARTH_RADIUS).to_value(u.one)
    return other_ways.shift_at(radii, 80 * u.deg, 40 * u.deg).to_value(u.deg)


def without_air():
    """In per cent, how much too far the Moon comes out at 40 degrees from both zeniths."""
    lost = 2 * (true_zenith_distance(40 * u.deg) - 40 * u.deg).to_value(u.deg)
    return 100 * (two_schools(-lost) - 1)


def plumb_off():
    """In degrees: geodetic less geocentric latitude, largest at 45 degrees (WGS 84)."""
    flat = (1 - 1 / 298.257223563) ** 2
    return 45 - np.degrees(np.arctan(flat))


def first_number(name, key):
    return float(ASSUMED[name][key].split()[0])


def air_moves_the_ratio(rule):
    """In per cent, on the mean night."""
    angles = 57.04 * u.arcmin, 8.794 * u.arcsec, 15.99 * u.arcmin
    bare, seen = (
        shadow_cone.umbra_semidiameter(*angles, one) for one in ("airless_equatorial", rule)
    )
    return 100 * float(seen / bare - 1)


def flattened_moon():
    """In per cent, how much flatter the air makes a Moon 10 degrees high."""
    edges = [true_zenith_distance(one * u.deg) - one * u.deg for one in (80.25, 79.75)]
    return 100 * ((edges[0] - edges[1]) / (0.5 * u.deg)).to_value(u.one)


def plain_sums(nights, discs):
    """In per cent, by how much x + 1 is off the whole argument on these nights."""
    bare = shadow_cone.without_air(nights.shadow_ratio, 0.0138)
    far = nights.moon_parallax / nights.sun_parallax
    whole = shadow_cone.earth_in_moons(bare, discs, far)
    return 100 * (shadow_cone.earth_in_moons(nights.shadow_ratio) / whole - 1)


ECLIPSES = sky.lunar_eclipses("2001-01-01", "2100-12-31")
TOTAL = ECLIPSES[ECLIPSES.kind == "total"]
DISCS = np.tan(TOTAL.sun_semidiameter) / np.tan(TOTAL.moon_semidiameter)
PLAIN_SUM = plain_sums(TOTAL, DISCS)
EQUATOR = 6378.137 * u.km  # WGS 84, NIMA TR8350.2
HIS_MOON = 360 * 60 / 650  # Hipparchus' Moon in arcminutes (Almagest IV.9)
MEAN_MOON = (2 * today.MOON_SEMIDIAMETER).to_value(u.arcmin)
SUN_WIDTH = (2 * today.SUN_SEMIDIAMETER).to_value(u.arcmin)

# Of each page: words with the figure in brackets, what computes it, how finely it is told.
FIGURES = {
    "notebooks/01_earth_size.ipynb": (
        (r"makes the angle wrong by ([\d.]+)°", setup(1, 0), 0.05),
        (r"slopes by one degree by ([\d.]+)°", setup(0, 1), 0.05),
        (r"air lifts the Sun \((\d)′ at 45°", lift(45), 0.5),
        (r"(\d)′ at 73° from straight up", lift(73), 0.5),
        (r"Ten minutes turn the Earth by ([\d.]+)°", 360 / 24 / 6, 0),
        (r"gnomon of 1 m would have cast some (\d) mm", 1000 * np.tan(np.radians(1 / 3)), 0.5),
        (r"Earth's mean radius is ([\d.]+) km", today.EARTH_RADIUS.value, 0.05),
        (r"the radius is ([\d.]+) km to the equator", today.EARTH_EQUATORIAL_RADIUS.value, 0.05),
    ),
    "notebooks/02_eclipse_timing.ipynb": (
        (r"the Moon's radius is ([\d.]+) of these", today.ECLIPSE_MOON_RADIUS / EQUATOR, 5e-5),
        (r"Air moves \*x\* by (\d) to", air_moves_the_ratio("danjon"), 0.5),
        (r"Air moves \*x\* by 1 to (\d) per cent", air_moves_the_ratio("fiftieth"), 0.5),
    ),
    "notebooks/03_shadow_cone.ipynb": (
        (r"then \*x\* \+ 1 is uncertain by only (\d) %", 4 * 2.7 / 3.7, 0.5),
        (r"(\d+) mm wide at 4 m", 8000 * np.tan(today.SUN_SEMIDIAMETER).value, 0.5),
        (r"makes the shadow larger: by about ([\d.]+) % in", air_moves_the_ratio("danjon"), 0.1),
        (r"rule, by (\d) % in older almanacs", air_moves_the_ratio("fiftieth"), 0.3),
        (r"wrong by less than (\d) % on the worst night", np.abs(PLAIN_SUM).max(), 0.5),
        (r"worst night and ([\d.]+) % on the mean one", PLAIN_SUM.mean(), 0.05),
        (r"looks ([\d.]+) to [\d.]+ times as wide as the Moon", DISCS.min(), 0.005),
        (r"looks [\d.]+ to ([\d.]+) times as wide as the Moon", DISCS.max(), 0.005),
        (r"the true ([\d.]+) is below both", today.MOON_RADIUS / today.EARTH_RADIUS, 5e-4),
    ),
    "notebooks/04_sighting_angle.ipynb": (
        (r"the angle wrong by ([\d.]+) %", as_if_a_point("vanish"), 0.05),
        (r"the rim mark alone by (−[\d.]+) %", as_if_a_point("rim"), 0.05),
        (r"blurred by about ([\d.]+) mm", np.sqrt(550e-6 * 1600), 0.02),
        (r"width goes from about ([\d.]+)′", today.MOON_LEAST_DIAMETER.value, 0),
        (r"29.4′ to ([\d.]+)′ and back", today.MOON_GREATEST_DIAMETER.value, 0),
        (r"and back, up to (\d+) % more", 100 * (33.5 / 29.4 - 1), 0.5),
        (r"Hipparchus has (\d) % more than today", 100 * (HIS_MOON / MEAN_MOON - 1), 0.5),
        (r"from Earth's centre \| ([\d.]+)′", seen_from(0)[1], 0.015),
        (r"Above 10° this is below (\d) %", flattened_moon(), 0.5),
    ),
    "notebooks/05_moon_distance.ipynb": (
        (r"moves the answer by a (tenth) of one per cent", altitude_cost(), 0.05),
        (r"centimetres. It is ([\d ]+) km on average", today.MOON_DISTANCE.value, 0),
        (r"on average, from about ([\d ]+) to", far_as(today.MOON_GREATEST_DIAMETER), 300),
        (r"356 400 to ([\d ]+) km over", far_as(today.MOON_LEAST_DIAMETER), 600),
    ),
    "notebooks/06_sun_distance.ipynb": (
        # Meeus, Astronomical Algorithms, table 47.A (from memory): 6.288774 sin M', and
        # 1.274027 sin(2D - M').
        (r"up to ([\d.]+)° ahead", 6.288774, 0.05),
        (r"can add another ([\d.]+)°", 1.274027, 0.05),
        (r"runs through 360° in ([\d.]+) days", today.SYNODIC_MONTH.value, 0.005),
        (r"one arcminute is more than (\d+) %", 100 * (arcminute_at_half_moon() - 1), 3),
    ),
    "notebooks/07_other_ways.ipynb": (
        (r"a shift of a degree, .* about (\d) % too far", without_air(), 0.6),
        (r"the Moon nearer by (\d) %", 100 * (1 - SUN_WIDTH / HIS_MOON), 0.6),
        (r"point to Earth's centre, by up to ([\d.]+)°", plumb_off(), 0.05),
    ),
    "docs/lessons/03_shadow_cone.md": (
        # A full shadow is as long as the disc's width over the Sun's angle.
        (r"a little beyond (\d) m", 0.02 / (2 * today.SUN_SEMIDIAMETER).to_value(u.rad), 0.2),
    ),
    "docs/lessons/04_sighting_angle.md": (
        (r"makes the angle (\d+) % too large", early_rim(), 0.5),
        (r"the distance (\d+) % too small", early_distance(), 0.5),
    ),
    "docs/lessons/07_other_ways.md": (
        (r"takes three (tenth)s off the distance", (1 - two_schools(0.5)) / 3, 0.01),
        (r"half a degree too little adds two (third)s", (two_schools(-0.5) - 1) / 2, 0.02),
        (r"A degree and (a quarter) too little leaves none", no_shift_left() - 1, 0.03),
        (r"19 groups in 20 find (\d+) to 55 Earth", by_quadrants(1.96), 1.5),
        (r"19 groups in 20 find 21 to (\d+) Earth", by_quadrants(-1.96), 1.5),
    ),
    "docs/readings.md": (
        (r"\(± ([\d.]+) mm of the hole\)", limits_of("vanish_call")[1].value, 0),
        (r"the ring's fading \(± ([\d.]+) mm\)", limits_of("rim_call")[1].value, 0),
        (r"slope\*\* count ([\d.]+)°", first_number("north_lean", "standard"), 0),
        (r"quadrant has ([\d.]+)°", first_number("pair_north_quadrant", "standard"), 0),
        (
            r"\(within ± ([\d.]+) % of the Earth\)",
            100 * first_number("assumption_meridian", "half_width"),
            1e-9,
        ),
        (
            r"± ([\d.]+) % of the distance, with",
            100 * first_number("assumption_cone", "standard"),
            1e-9,
        ),
    ),
}
