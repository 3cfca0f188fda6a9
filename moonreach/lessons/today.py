"""Today's values, each with its source; the lessons measure against them, never with them."""

from astropy import units as u

# Earth: mean radius (2a + b) / 3 of the WGS 84 ellipsoid (NIMA TR8350.2): 6371.0088 km.
EARTH_RADIUS = 6371.0088 * u.km
EARTH_DIAMETER = 2 * EARTH_RADIUS
# Nominal equatorial radius, IAU 2015 Resolution B3 (Mamajek et al., arXiv:1510.07674).
EARTH_EQUATORIAL_RADIUS = 6378.1 * u.km

# Moon: radius 1737.4 km, IAU working group on cartographic coordinates 2015 (from memory).
MOON_RADIUS = 1737.4 * u.km
# Mean distance 384 399 km (encyclopaedias; series constant and fact sheets differ by up to 600 km).
MOON_DISTANCE = 384_399 * u.km
# Mean geocentric semidiameter 15.54' = arcsin(1737.4 / 384 399).
MOON_SEMIDIAMETER = 15.54 * u.arcmin
# Over the months its geocentric diameter runs from 29.4' (apogee) to 33.5' (perigee): 2 arcsin of
# 1737.4 km over 406 700 km and 356 400 km (Meeus, Astronomical Algorithms, ch. 50; from memory).
MOON_LEAST_DIAMETER = 29.4 * u.arcmin
MOON_GREATEST_DIAMETER = 33.5 * u.arcmin
# Synodic month 29.530589 days (Meeus, Astronomical Algorithms, ch. 49; from memory).
SYNODIC_MONTH = 29.530589 * u.day

# Sun: nominal radius, IAU 2015 Resolution B3; astronomical unit, IAU 2012 Resolution B2.
SUN_RADIUS = 695_700 * u.km
SUN_DISTANCE = 149_597_870.7 * u.km
# Mean semidiameter 15.99' = arcsin(695 700 / 149 597 870.7); 15.73' in July, 16.26' in January.
SUN_SEMIDIAMETER = 15.99 * u.arcmin
# Sun's distance over Moon's distance, from the two means above.
SUN_MOON_DISTANCE_RATIO = 389.2

# The almanacs' eclipse constants, kept apart so that contacts can be held against published ones:
# Moon's radius k = 0.2725076 equatorial radii of 6378.137 km (IAU 1982; Espenak and Meeus 2009,
# NASA/TP-2009-214173), Sun's radius 696 000 km (959.63" at 1 au, the same source; from memory).
ECLIPSE_MOON_RADIUS = 0.2725076 * 6378.137 * u.km
ECLIPSE_SUN_RADIUS = 696_000 * u.km
