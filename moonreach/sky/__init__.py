"""Sun, Moon, eclipses and what a place sees of them: for plans, and for the truth of a night.

Nothing here teaches, and nothing is fetched: ERFA's series carry it, from 1900 to 2100.
"""

from moonreach.sky.bodies import Body, moon_at, moon_distance_at, sun_at
from moonreach.sky.eclipses import CONTACTS, LunarEclipses, eclipse_on, lunar_eclipses
from moonreach.sky.place import Place
from moonreach.sky.shadow import shadow_radii

__all__ = [
    "CONTACTS",
    "Body",
    "LunarEclipses",
    "Place",
    "eclipse_on",
    "lunar_eclipses",
    "moon_at",
    "moon_distance_at",
    "shadow_radii",
    "sun_at",
]
