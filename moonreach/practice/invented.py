"""An invented class: readings that scatter as people's do, from a truth that is known.

For trying the unit without a sky, and for testing the tool. Everything in it is made up: the
groups, the places, the night. In its world the shadow narrows by exactly one Moon. Readings of a
real eclipse's night come from `practice_sky`.
"""

from dataclasses import dataclass

import numpy as np
from astropy import units as u

from moonreach.lessons import eclipse_timing, moon_distance, shadow_cone, sighting_angle, today
from moonreach.lessons.refuse import require

NAMES = (
    "Heron",
    "Otter",
    "Lynx",
    "Marten",
    "Stork",
    "Badger",
    "Swift",
    "Beaver",
    "Kestrel",
    "Hare",
)


@dataclass(frozen=True)
class Truth:
    """What is true in the invented world.

    Distances are of the Moon's centre from Earth's; offset is the path offset in shadow radii;
    zenith distances are positive where the noon Sun stands south. The world may depart from what
    the chain takes for granted: cone is how much farther the Moon is than the cone argument says
    (a factor), enlargement by what fraction the shadow looks too wide, and rate_factor the Moon's
    rate over the one that its size tells.
    """

    distance: u.Quantity = today.MOON_DISTANCE
    ratio: float = 2.70
    offset: float = 0.05
    earth_diameter: u.Quantity = today.EARTH_DIAMETER
    altitude: u.Quantity = 35 * u.deg
    south_zenith_distance: u.Quantity = 47.3 * u.deg
    north_south_distance: u.Quantity = 810 * u.km
    cone: float = 1.0
    enlargement: float = 0.0
    rate_factor: float = 1.0

    @property
    def moon_diameter(self):
        """The Moon's diameter, by the shadow cone."""
        told = self.ratio / self.rate_factor**2  # by times that are read with the wrong rate
        return self.earth_diameter / shadow_cone.earth_in_moons(told) * self.cone

    @property
    def geocentric_angle(self):
        """The Moon's angular diameter from Earth's centre."""
        return 2 * np.arcsin((self.moon_diameter / 2 / self.distance).to_value(u.one)) * u.rad

    @property
    def angle(self):
        """The Moon's angular diameter from where the class stands."""
        near = moon_distance.topocentric_distance(
            self.distance, self.altitude, self.earth_diameter / 2
        )
        return 2 * np.arcsin((self.moon_diameter / 2 / near).to_value(u.one)) * u.rad

    @property
    def phases(self):
        """The partial and the total phase of the night."""
        semidiameter = self.geocentric_angle / 2
        rate = eclipse_timing.scaled_rate(semidiameter) * self.rate_factor
        seen = self.ratio * (1 + self.enlargement)
        return eclipse_timing.expected_phases(seen, self.offset, semidiameter, rate)

    @property
    def contacts(self):
        """The four umbral contacts: times of the clock, or None for one that nobody could see."""
        partial, total = self.phases
        middle = 22 * u.h + 41 * u.min
        half = total / 2
        return [middle + since for since in (-half - partial, -half, half, half + partial)]

    @property
    def night(self):
        """The rows that say when and where it was."""
        return []

    def line(self):
        """Return the truth as one line of words for the head of a sheet."""
        return (
            f"truth: distance {self.distance.to_value(u.km):.0f} km, "
            f"shadow ratio {self.ratio:.3f}, path offset {self.offset:.2f}, "
            f"Earth's diameter {self.earth_diameter.to_value(u.km):.0f} km, "
            f"Moon's angle {self.angle.to_value(u.arcmin):.2f} arcmin"
        )


@dataclass(frozen=True)
class Hands:
    """How far people's readings scatter: standard deviations of one reading.

    Common practice, no source, but for the contact times: 20 to 30 s (Sinnott, Sky & Telescope,
    "Measuring Earth's Shadow") for practised observers; beginners are somewhat worse.
    """

    gnomon: float = 0.002
    shadow: u.Quantity = 6 * u.mm
    road: u.Quantity = 8 * u.km
    contact: u.Quantity = 35 * u.s
    sighting: float = 0.012
    disc: u.Quantity = 0.05 * u.mm
    hole: u.Quantity = 0.05 * u.mm
    altitude: u.Quantity = 2 * u.deg
    photo_shadow: float = 0.04
    photo_moon: float = 0.01
    shadow_readings: int = 5
    sighting_readings: int = 6


def _scale(quantities, factor):
    return lambda rows: _changed(rows, quantities, lambda v: v * factor)


def _swap(first, second):
    return lambda rows: _renamed(rows, first, second)


def _say(quantity, word):
    return lambda rows: [*rows, [rows[0][0], quantity, word, "", "", ""]]


def _without_hole(rows):
    """Only the vanish distance is read, and the hole is taken for a point."""
    rows = [row for row in rows if row[1] != "rim_distance"]
    return _changed(rows, ("hole_diameter",), lambda v: 0)


def _an_hour_later(rows):
    def later(clock):
        hour, _, rest = clock.partition(":")
        return f"{(int(hour) + 1) % 24:02}:{rest}"

    return [
        [*row[:2], later(row[2]), *row[3:]] if row[1] == "umbral_contact_3" else row for row in rows
    ]


def _hundredths(rows):
    """Two durations in place of the contacts, 1 h 02 min written as 1.02 h."""
    clocks = {row[1]: row[2] for row in rows if row[1].startswith("umbral_contact")}
    if len(clocks) < 4:
        return rows
    times = [[int(part) for part in clocks[name].split(":")] for name in sorted(clocks)]
    u1, u2, u3, _ = (hour * 60 + minute for hour, minute, _ in times)
    rows = [row for row in rows if row[1] not in clocks]
    for name, minutes in (("partial_phase", (u2 - u1) % 1440), ("total_phase", (u3 - u2) % 1440)):
        hours, rest = divmod(minutes, 60)
        rows.append([rows[0][0], name, f"{hours}.{rest:02}", "h", "", ""])
    return rows


# Slips that people make, each as a change of one group's rows; for teaching and for tests.
SLIPS = {
    "radius for diameter": _scale(("disc_diameter",), 0.5),
    "centimetres for millimetres": _scale(("disc_diameter",), 10),
    "contacts swapped": _swap("umbral_contact_2", "umbral_contact_3"),
    "wrong end of the rod": lambda rows: _changed(
        rows, ("vanish_distance", "rim_distance"), lambda v: 2 - v
    ),
    "readings swapped": _swap("vanish_distance", "rim_distance"),
    "forgot the hole": _without_hole,
    "an hour off": _an_hour_later,
    "minutes as decimal hours": _hundredths,
    "through-middle formula": _say("path", "central"),
    "gnomon and shadow swapped": _swap("north_gnomon_height", "north_shadow_length"),
    "sum for difference": _say("shadows", "opposite_sides"),
    "miles for kilometres": _scale(("north_south_distance",), 1 / 1.609344),
    "millimetres for centimetres": _scale(("south_shadow_length",), 0.1),
    "diameter for radius": _scale(("photo_moon_radius",), 2),
    "circles swapped": _swap("photo_moon_radius", "photo_shadow_radius"),
}


def group_rows(name, truth, hands, generator, hole=1 * u.mm, sightings="both", photo=True):
    """Return one group's rows for a sheet, scattered about the truth.

    Parameters: the group's name, a `Truth`, the `Hands`, a numpy random generator, the sight
    hole, which readings of the rod were taken (``"both"`` or ``"vanish"``), and whether there is
    a photograph.
    """
    rows = []

    def write(quantity, value, unit, digits, uncertainty=None):
        given = "" if uncertainty is None else f"{uncertainty.to_value(unit):g}"
        text = "px" if unit == u.pix else str(unit)
        rows.append([name, quantity, f"{value.to_value(unit):.{digits}f}", text, given, ""])

    def scattered(value, deviation):
        return value + deviation * generator.standard_normal()

    arc = (truth.north_south_distance / truth.earth_diameter).to_value(u.one) * 2 * u.rad
    for place, zenith in (
        ("north", truth.south_zenith_distance + arc),
        ("south", truth.south_zenith_distance),
    ):
        height = generator.integers(90, 140) * u.cm
        write(f"{place}_gnomon_height", scattered(height, height * hands.gnomon), u.cm, 1)
        for _ in range(hands.shadow_readings):
            shadow = scattered(height * np.abs(np.tan(zenith)), hands.shadow)
            write(f"{place}_shadow_length", shadow, u.cm, 1)
    road = scattered(truth.north_south_distance, hands.road)
    write("north_south_distance", road, u.km, 0, hands.road)
    rows += [[name, *row, "", ""] for row in truth.night]
    for number, contact in enumerate(truth.contacts, start=1):
        if contact is not None:
            clock = _clock(scattered(contact, hands.contact))
            given = f"{hands.contact.to_value(u.s):g}"
            rows.append([name, f"umbral_contact_{number}", clock, "s", given, ""])
    disc = generator.integers(12, 20) * u.mm
    write("disc_diameter", scattered(disc, hands.disc), u.mm, 2, hands.disc)
    write("hole_diameter", scattered(hole, hands.hole), u.mm, 2, hands.hole)
    for seen in ("vanish", "rim") if sightings == "both" else ("vanish",):
        distance = sighting_angle.expected_reading(disc, truth.angle, hole, seen)
        for _ in range(hands.sighting_readings):
            write(f"{seen}_distance", scattered(distance, distance * hands.sighting), u.m, 3)
    write("moon_altitude", scattered(truth.altitude, hands.altitude), u.deg, 0, hands.altitude)
    if photo:
        radius = generator.integers(120, 200) * u.pix
        shadow = radius * truth.ratio * (1 + truth.enlargement)
        write("photo_moon_radius", scattered(radius, radius * hands.photo_moon), u.pix, 0,
              radius * hands.photo_moon)  # fmt: skip
        write("photo_shadow_radius", scattered(shadow, shadow * hands.photo_shadow), u.pix, 0,
              shadow * hands.photo_shadow)  # fmt: skip
    return rows


def practice_class(truths, seed, hands=None, slips=None):
    """Return the rows of an invented class.

    Parameters: one `Truth` for each group, a whole number that fixes the scatter, the `Hands`,
    and a dict from a group's place in the class to the name of its slip. Raises `Impossible` where
    the group lacks the readings for it, as not every group has everything.
    """
    hands, slips, rows = hands or Hands(), slips or {}, []
    for index, truth in enumerate(truths):
        generator = np.random.default_rng([seed, index])
        # Not every group of a real class has everything.
        sightings = "vanish" if index % 4 == 2 else "both"
        group = group_rows(
            group_name(index),
            truth,
            hands,
            generator,
            sightings=sightings,
            photo=index % 3 == 0 or None in truth.contacts,
        )
        if index % 5 == 4:
            group = [row for row in group if not row[1].startswith(("north", "south"))]
        slipped = SLIPS[slips[index]](group) if index in slips else None
        require(slipped != group, "{} has no readings for that slip", group_name(index))
        rows += slipped or group
    return rows


def group_name(index):
    """Return the invented name of the group at a place in the class."""
    again = index // len(NAMES)
    return NAMES[index % len(NAMES)] + (f" {again + 1}" if again else "")


def _clock(since_midnight):
    seconds = round(since_midnight.to_value(u.s)) % 86_400
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}"


def _changed(rows, quantities, change):
    return [
        [*row[:2], f"{change(float(row[2])):.4g}", *row[3:]] if row[1] in quantities else row
        for row in rows
    ]


def _renamed(rows, first, second):
    names = {first: second, second: first}
    return [[row[0], names.get(row[1], row[1]), *row[2:]] for row in rows]
