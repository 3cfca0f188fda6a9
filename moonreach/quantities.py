"""The words of the class sheet: every quantity, what it is, and what it may be.

`typical` is the standard uncertainty of one careful reading by a beginner, used only where a
group gives neither an uncertainty nor a second reading. A plain number is a fraction of the
reading. All are common practice, no source, but for the contact times: Sinnott (Sky & Telescope,
"Measuring Earth's Shadow") gives 20 to 30 s for practised observers, to which the soft edge adds.
"""

from dataclasses import dataclass

from astropy import units as u


@dataclass(frozen=True)
class Term:
    """One quantity of the sheet.

    `family` names readings taken in one way by the same people, whose scatter is pooled.
    """

    kind: str
    meaning: str
    least: object = None
    greatest: object = None
    typical: object = None
    family: str = ""
    words: tuple = ()


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


QUANTITIES = {
    "north_gnomon_height": _gnomon("northern"),
    "north_shadow_length": _shadow("northern"),
    "south_gnomon_height": _gnomon("southern"),
    "south_shadow_length": _shadow("southern"),
    "north_noon": Term("clock", "date and time of the northern noon reading"),
    "south_noon": Term("clock", "date and time of the southern noon reading"),
    "north_south_distance": Term(
        "length", "distance between the places along the meridian", 1 * u.km, 20_000 * u.km, 0.01
    ),
    "road_distance": Term(
        "length", "straight distance between the places", 1 * u.km, 20_000 * u.km, 0.01
    ),
    "road_bearing": Term(
        "angle", "bearing of the road from north", -360 * u.deg, 360 * u.deg, 2 * u.deg
    ),
    "shadow_edge": Term(
        "choice", "which end of the shadow was read", words=("middle", "full_shadow")
    ),
    "shadows": Term(
        "choice", "whether both shadows point one way", words=("same_side", "opposite_sides")
    ),
    "eclipse_date": Term("date", "date of the eclipse"),
    "umbral_contact_1": _contact(1, "the Moon begins to enter the umbra"),
    "umbral_contact_2": _contact(2, "the Moon is wholly in the umbra"),
    "umbral_contact_3": _contact(3, "the Moon begins to leave the umbra"),
    "umbral_contact_4": _contact(4, "the Moon has left the umbra"),
    "partial_phase": Term(
        "duration", "from U1 to U2, or from U3 to U4", 1 * u.min, 4 * u.h, 60 * u.s
    ),
    "total_phase": Term("duration", "from U2 to U3", 0 * u.s, 4 * u.h, 60 * u.s),
    "path": Term("choice", "path through the shadow", words=("central", "unknown")),
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
    "observed_at": Term("clock", "date and time of the sighting"),
    "place_latitude": Term(
        "angle", "latitude of the place, north positive", -90 * u.deg, 90 * u.deg
    ),
    "place_longitude": Term(
        "angle", "longitude of the place, east positive", -180 * u.deg, 360 * u.deg
    ),
}
