"""Sun, Moon, eclipses and what a place sees of them: for plans, and for the truth of a night.

Nothing here teaches, and nothing is fetched: ERFA's series carry it, from 1900 to 2100.
"""

from moonreach.sky.bodies import moon_at, sun_at
from moonreach.sky.clock import LAST_YEAR, clock_note, days_of, utc_of
from moonreach.sky.eclipses import CONTACTS, MOMENTS, eclipse_on, lunar_eclipses, shadow_radii
from moonreach.sky.evenings import half_moons, sighting_evenings
from moonreach.sky.nights import NightTruth, night_truth, seen_from
from moonreach.sky.noon import local_noon, noon_pair
from moonreach.sky.place import Place, angle_of, zone_of
