"""Today's values, each with its source; the lessons measure against them, never with them."""

from astropy import units as u

# Mean radius (2a + b) / 3 of the WGS 84 ellipsoid (NIMA TR8350.2): 6371.0088 km.
EARTH_RADIUS = 6371.0088 * u.km
# Twice the mean radius above.
EARTH_DIAMETER = 2 * EARTH_RADIUS
# Nominal equatorial radius, IAU 2015 Resolution B3 (Mamajek et al., arXiv:1510.07674).
EARTH_EQUATORIAL_RADIUS = 6378.1 * u.km

# Working group on cartographic coordinates of the IAU, report for 2015 (from memory).
MOON_RADIUS = 1737.4 * u.km
# Encyclopaedias, from memory: the semi-major axis of the mean orbit; the series constant and fact
# sheets differ from it by up to 600 km.
MOON_DISTANCE = 384_399 * u.km
# Geocentric mean: arcsin(1737.4 / 384 399), from the two above.
MOON_SEMIDIAMETER = 15.54 * u.arcmin
# Geocentric, at apogee (406 700 km) and at perigee (356 400 km): 2 arcsin of 1737.4 km over these
# (Meeus, Astronomical Algorithms, ch. 50; from memory).
MOON_LEAST_DIAMETER = 29.4 * u.arcmin
MOON_GREATEST_DIAMETER = 33.5 * u.arcmin
# Mean month from new Moon to new Moon (Meeus, Astronomical Algorithms, ch. 49; from memory).
SYNODIC_MONTH = 29.530589 * u.day

# Nominal solar radius, IAU 2015 Resolution B3 (Mamajek et al., arXiv:1510.07674).
SUN_RADIUS = 695_700 * u.km
# The astronomical unit, exact by IAU 2012 Resolution B2.
SUN_DISTANCE = 149_597_870.7 * u.km
# Mean: arcsin(695 700 / 149 597 870.7), from the two above; 15.73' in July, 16.26' in January.
SUN_SEMIDIAMETER = 15.99 * u.arcmin
# n: 149 597 870.7 / 384 399, from the two distances above.
SUN_MOON_DISTANCE_RATIO = 389.2

# The almanacs' eclipse constants, kept apart so that contacts can be held against published ones.
# k = 0.2725076 equatorial radii of 6378.137 km (IAU 1982; Espenak and Meeus 2009,
# NASA/TP-2009-214173).
ECLIPSE_MOON_RADIUS = 0.2725076 * 6378.137 * u.km
# 959.63" at 1 au (Espenak and Meeus 2009, NASA/TP-2009-214173; from memory).
ECLIPSE_SUN_RADIUS = 696_000 * u.km
