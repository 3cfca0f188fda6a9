"""The words of the class sheet: every quantity, what it is, and what it may be.

`typical` is the standard uncertainty of one careful reading by a beginner, used only where a
group gives neither an uncertainty nor a second reading. A plain number is a fraction of the
reading. All are common practice, no source, but for the contact times: Sinnott (Sky & Telescope,
"Measuring Earth's Shadow") gives 20 to 30 s for practised observers, to which the soft edge adds.
"""

import re
from dataclasses import dataclass
from functools import partial

from astropy import units as u

_MAP = 0.02 * u.deg  # the standard uncertainty of what is read from a map


@dataclass(frozen=True)
class Term:
    """One quantity of the sheet.

    `family` names readings taken in one way by the same people, whose scatter is pooled. What is
    not `measured` is a choice, a date or a place: it is stated, and has no uncertainty.
    """

    kind: str
    meaning: str
    least: u.Quantity | None = None
    greatest: u.Quantity | None = None
    typical: u.Quantity | float = 0.0
    family: str = ""
    words: tuple[str, ...] = ()
    measured: bool = True


def _gnomon(where):
    meaning = f"height of the {where} gnomon above the ground"
    return Term("length", meaning, 1 * u.cm, 1 * u.km, 0.002)


def _shadow(where):
    meaning = f"length of the {where} gnomon's shadow at local noon"
    return Term("length", meaning, 0 * u.m, 10 * u.km, 0.01, "shadows")


def _contact(number, what):
    return Term("clock", f"U{number}, {what}", typical=45 * u.s, family="contacts")


def _sighting(what):
    return Term("length", what, 5 * u.cm, 200 * u.m, 0.02, "sightings")


def _angle(meaning, least, greatest, typical, family=""):
    return Term("angle", meaning, least * u.deg, greatest * u.deg, typical, family)


def _zenith(where):
    meaning = f"zenith distance of the Moon at the {where} place"
    return _angle(meaning, 0, 95, 0.5 * u.deg, "zenith distances")


def _part(where):
    meaning = f"covered part of the Sun's diameter at the {where} place, 1 where total"
    return Term("part", meaning, 0 * u.one, 1 * u.one, 0.03 * u.one)


def _place(prefix):
    """Latitudes of two places; from a map, so that they cost nothing."""
    return {
        f"{prefix}_{where}_latitude": _angle(f"latitude of the {where}ern place", -90, 90, _MAP)
        for where in ("north", "south")
    }


_stated = partial(Term, measured=False)


QUANTITIES = {
    "north_gnomon_height": _gnomon("northern"),
    "north_shadow_length": _shadow("northern"),
    "south_gnomon_height": _gnomon("southern"),
    "south_shadow_length": _shadow("southern"),
    "north_noon": _stated("clock", "date and time of the northern noon reading"),
    "south_noon": _stated("clock", "date and time of the southern noon reading"),
    "north_south_distance": Term(
        "length", "distance between the places along the meridian", 1 * u.km, 20_000 * u.km, 0.01
    ),
    "road_distance": Term(
        "length", "straight distance between the places", 1 * u.km, 20_000 * u.km, 0.01
    ),
    "road_bearing": Term(
        "angle", "bearing of the road from north", -360 * u.deg, 360 * u.deg, 2 * u.deg
    ),
    "shadow_edge": _stated(
        "choice", "which end of the shadow was read", words=("middle", "full_shadow")
    ),
    "shadows": _stated(
        "choice", "whether both shadows point one way", words=("same_side", "opposite_sides")
    ),
    "eclipse_date": _stated("date", "date of the eclipse"),
    "umbral_contact_1": _contact(1, "the Moon begins to enter the umbra"),
    "umbral_contact_2": _contact(2, "the Moon is wholly in the umbra"),
    "umbral_contact_3": _contact(3, "the Moon begins to leave the umbra"),
    "umbral_contact_4": _contact(4, "the Moon has left the umbra"),
    "partial_phase": Term(
        "duration", "from U1 to U2, or from U3 to U4", 1 * u.min, 4 * u.h, 60 * u.s
    ),
    "total_phase": Term("duration", "from U2 to U3", 0 * u.s, 4 * u.h, 60 * u.s),
    "path": _stated("choice", "path through the shadow", words=("central", "unknown")),
    "photo_shadow_radius": Term(
        "picture", "radius of the shadow's circle on the photograph", 1 * u.pix, 1e6 * u.pix, 0.05
    ),
    "photo_moon_radius": Term(
        "picture", "radius of the Moon's circle on the photograph", 1 * u.pix, 1e6 * u.pix, 0.01
    ),
    "disc_diameter": Term("length", "diameter of the disc", 0.1 * u.mm, 1 * u.m, 0.005),
    "hole_diameter": Term("length", "diameter of the sight hole", 0 * u.mm, 10 * u.cm, 0.1),
    "vanish_distance": _sighting("from the hole to the disc when the Moon is just wholly covered"),
    "rim_distance": _sighting("from the hole to the disc when the Moon's rim just shows all round"),
    "moon_altitude": Term(
        "angle", "altitude of the Moon at the sighting", -1 * u.deg, 90 * u.deg, 3 * u.deg
    ),
    "observed_at": _stated("clock", "date and time of the sighting"),
    "place_latitude": _stated(
        "angle", "latitude of the place, north positive", -90 * u.deg, 90 * u.deg
    ),
    "place_longitude": _stated(
        "angle", "longitude of the place, east positive", -180 * u.deg, 360 * u.deg
    ),
    "half_moon_elongation": _angle(
        "angle between Sun and Moon when the Moon looked half", 30, 150, 3 * u.deg, "half moons"
    ),
    "half_moon_sun_altitude": _angle(
        "altitude of the Sun at half Moon, from a shadow", -1, 90, 1 * u.deg
    ),
    "half_moon_altitude": _angle("altitude of the half Moon", -1, 90, 1.5 * u.deg),
    "half_moon_azimuth_difference": _angle(
        "angle along the horizon between Sun and half Moon", 0, 180, 2 * u.deg
    ),
    **_place("pair"),
    "pair_north_zenith_distance": _zenith("northern"),
    "pair_south_zenith_distance": _zenith("southern"),
    "pair_moon": _stated(
        "choice",
        "where the Moon stood, as seen from the two zeniths",
        words=("between", "south_of_both", "north_of_both"),
    ),
    "pair_shift": _angle(
        "shift of the Moon among the stars between the two places", 0, 3, 2 * u.arcmin
    ),
    "pair_north_longitude": _angle("longitude of the northern place", -180, 360, _MAP),
    "pair_south_longitude": _angle("longitude of the southern place", -180, 360, _MAP),
    "pair_north_azimuth": _angle(
        "azimuth of the Moon at the northern place, from north", 0, 360, 1 * u.deg
    ),
    "pair_south_azimuth": _angle(
        "azimuth of the Moon at the southern place, from north", 0, 360, 1 * u.deg
    ),
    "pair_moment": _stated("clock", "date and time at which both places measured"),
    **_place("solar_eclipse"),
    "solar_eclipse_north_part": _part("northern"),
    "solar_eclipse_south_part": _part("southern"),
    "solar_eclipse_sun_altitude": _angle(
        "altitude of the Sun at the northern place, from a shadow", 0, 90, 1 * u.deg
    ),
    "sun_angle": Term(
        "angle", "angular diameter of the Sun", 20 * u.arcmin, 45 * u.arcmin, 0.3 * u.arcmin
    ),
}

# Readings that belong together.
GNOMONS = tuple(
    f"{place}_{what}" for place in ("north", "south") for what in ("gnomon_height", "shadow_length")
)
CONTACTS = tuple(f"umbral_contact_{number}" for number in (1, 2, 3, 4))
ROD = ("disc_diameter", "vanish_distance", "rim_distance")

_LABELS = {
    **{name: f"U{number}" for number, name in enumerate(CONTACTS, start=1)},
    "partial_phase": "entry time",
    "total_phase": "totality",
    "north_south_distance": "north-south distance",
}


def label_of(name: str) -> str:
    """Return the printed name of a quantity, which a sheet understands as well.

    >>> label_of("umbral_contact_2"), label_of("disc_diameter")
    ('U2', 'disc diameter')
    """
    return _LABELS.get(name, name.replace("_", " "))


def quantity_of(text: str) -> str | None:
    """Return the quantity that a text names, by its name or its label in any letter case."""
    plain = re.sub(r"[\s_-]+", "_", text.strip().casefold())
    return plain if plain in QUANTITIES else _BY_LABEL.get(plain)


_BY_LABEL = {re.sub(r"[\s-]+", "_", text.casefold()): name for name, text in _LABELS.items()}
