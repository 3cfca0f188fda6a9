"""What each lesson measures, what it needs, and what it finds."""

from moonreach.reduction.further import BY_ALTITUDES, PAIR_READINGS, PLACED, SOLAR_ECLIPSE
from moonreach.sheet.quantities import CONTACTS, GNOMONS, ROD

# What each lesson measures: first what it cannot do without, then what only some need.
MEASURED = {
    "earth_size": (
        (*GNOMONS, "north_south_distance"),
        ("shadow_edge", "shadows", "north_noon", "south_noon", "road_distance", "road_bearing"),
    ),
    "eclipse_timing": (("eclipse_date", *CONTACTS), ("path", "partial_phase", "total_phase")),
    "shadow_cone": (("photo_shadow_radius", "photo_moon_radius"), ()),
    "sighting_angle": (
        (*ROD, "hole_diameter", "moon_altitude"),
        ("observed_at", "place_latitude", "place_longitude"),
    ),
    "moon_distance": (("moon_altitude",), ()),
    "sun_distance": (("half_moon_elongation",), BY_ALTITUDES),
    "other_ways": (
        PAIR_READINGS,
        ("pair_moon", "pair_shift", *PLACED, "pair_moment", *SOLAR_ECLIPSE, "sun_angle"),
    ),
}
# What a lesson's own readings must hold before they are used instead of the practice group's.
NEEDS = {
    "earth_size": ("earth",),
    "eclipse_timing": ("timing",),
    "shadow_cone": ("ratio",),
    "sighting_angle": ("angle",),
    "moon_distance": ("angle", "ratio"),
    "sun_distance": ("half_moon",),
    "other_ways": ("another_way",),
}
# What each lesson finds: the result, in words, its unit, and the exercise that leads to it, if any.
RESULTS = {
    "earth_size": (("earth_diameter", "Earth's diameter", " km", "earth_diameter"),),
    "eclipse_timing": (),  # one for each method
    "shadow_cone": (("earth_in_moons", "Moons in an Earth", "", "earth_in_moons"),),
    "sighting_angle": (("angle", "The Moon's angle", "′", "bracket_angle"),),
    "moon_distance": (
        ("distance_earth_diameters", "The Moon's distance", " Earth diameters", "moon_distance"),
        ("distance_km", "The Moon's distance", " km", "moon_distance"),
    ),
    "sun_distance": (
        ("elongation", "The elongation at half Moon", "°", ""),
        ("sun_distance_ratio", "The Sun's distance", " Moon distances", "least_ratio"),
        ("sun_in_earths", "The Sun's diameter", " Earths", "sun_in_earths"),
    ),
    "other_ways": (
        ("solar_eclipse_distance", "The distance from a solar eclipse", " Earth diameters",
         "eclipse_distance"),
        ("pair_distance", "The distance from two places", " Earth diameters", "pair_distance"),
    ),
}  # fmt: skip
