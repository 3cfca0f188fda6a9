"""An invented class: readings that scatter as people's do, from a truth that is known.

For trying the unit without a sky, and for testing the tool. Everything in it is made up: the
groups, the places, the night. In its world the shadow narrows by exactly one Moon. Readings of a
real eclipse's night come from `real_night`.
"""

from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from astropy import units as u

from moonreach.lessons import (
    eclipse_timing,
    moon_distance,
    noon,
    shadow_cone,
    sighting_angle,
    today,
)
from moonreach.lessons.air import seen_zenith_distance
from moonreach.lessons.refuse import require
from moonreach.practice.hands import SECONDS, Hands, Scribe
from moonreach.practice.slips import SLIPS
from moonreach.sheet.clocks import Clock
from moonreach.sheet.quantities import CONTACTS

NAMES = ("Heron", "Otter", "Lynx", "Marten", "Stork")
NAMES += ("Badger", "Swift", "Beaver", "Kestrel", "Hare")
DISC, HOLE = 15 * u.mm, 1.5 * u.mm  # of the kit's rod
TARGET, TARGET_DISTANCE = 60 * u.mm, 6 * u.m  # a lit paper disc at the end of a corridor
ROAD = "north_south_distance"
_MIDDLE = 22 * u.h + 41 * u.min  # of the invented night's totality


@dataclass(frozen=True)
class Truth:
    """What is true in the invented world.

    Distances are of the Moon's centre from Earth's; offset is the path offset in shadow radii;
    zenith distances are positive where the noon Sun stands south. The world may depart from what
    the chain assumes: meridian is its curve's radius over Earth's, cone is how much farther the
    Moon is than the cone argument says (a factor), enlargement by what fraction the shadow looks
    too wide, and rate_factor the Moon's rate over the one that its size tells. A real night gives
    the Moon's own diameter, the contacts on the place's clock (None for one below the horizon),
    and what is stated of when and where it was: quantity, value and resolution.
    """

    distance: u.Quantity = today.MOON_DISTANCE
    ratio: float = 2.70
    offset: float = 0.05
    earth_diameter: u.Quantity = today.EARTH_DIAMETER
    altitude: u.Quantity = 35 * u.deg
    south_zenith_distance: u.Quantity = 47.3 * u.deg
    north_south_distance: u.Quantity = 810 * u.km
    meridian: float = 1.0
    cone: float = 1.0
    enlargement: float = 0.0
    rate_factor: float = 1.0
    own_diameter: u.Quantity | None = None
    own_contacts: tuple[u.Quantity | None, ...] = ()
    night: tuple[tuple, ...] = ()

    def angle_at(self, distance: u.Quantity) -> u.Quantity:
        """Return the Moon's angular diameter from a distance; it is as wide as the cone tells."""
        told = self.ratio / self.rate_factor**2  # by times that are read with the wrong rate
        by_cone = self.earth_diameter / shadow_cone.earth_in_moons(told) * self.cone
        diameter = by_cone if self.own_diameter is None else self.own_diameter
        return 2 * np.arcsin((diameter / 2 / distance).to_value(u.one)) * u.rad

    @property
    def angle(self) -> u.Quantity:
        """The Moon's angular diameter from where the class stands."""
        radius = self.earth_diameter / 2
        near = moon_distance.topocentric_distance(self.distance, self.altitude, radius)
        return self.angle_at(near)

    @property
    def phases(self) -> tuple[u.Quantity, u.Quantity]:
        """The invented night's entry time and totality."""
        semidiameter = self.angle_at(self.distance) / 2
        rate = eclipse_timing.scaled_rate(semidiameter) * self.rate_factor
        seen = self.ratio * (1 + self.enlargement)
        return eclipse_timing.expected_phases(seen, self.offset, semidiameter, rate)

    @property
    def contacts(self) -> tuple[u.Quantity | None, ...]:
        """The four umbral contacts: times of the clock, or None for one that nobody could see."""
        entry, total = self.phases
        since = total / 2 * [-1, -1, 1, 1] + entry * [-1, 0, 0, 1]
        return self.own_contacts or tuple(_MIDDLE + since)

    def line(self) -> str:
        """Return the truth as one line of words for the head of a sheet."""
        return (
            f"truth: distance {self.distance.to_value(u.km):.0f} km, "
            f"shadow ratio {self.ratio:.3f}, path offset {self.offset:.2f}, "
            f"Earth's diameter {self.earth_diameter.to_value(u.km):.0f} km, "
            f"angular diameter {self.angle.to_value(u.arcmin):.2f} arcmin"
        )


def group_rows(
    name, truth, hands, generator, hole=HOLE, sightings="both", photo=True, calibrated=True
):
    """Return one group's readings, rows of a sheet, scattered about the truth.

    Parameters: the group's name, a `Truth`, the `Hands`, a numpy random generator, the sight
    hole, which readings of the rod were taken (``"both"`` or ``"vanish"``), whether there is a
    photograph, and whether the rod was tried on a target of known size.
    """
    scribe = Scribe(name, generator)
    _noons(scribe, truth, hands)
    for stated in truth.night:
        scribe.state(*stated)
    for quantity, contact in zip(CONTACTS, truth.contacts, strict=True):
        if contact is not None:
            seconds = round(scribe.scattered(contact, hands.contact).to_value(u.s)) % 86_400
            scribe.state(quantity, Clock(seconds), SECONDS, hands.contact)
    kinds = ("vanish", "rim") if sightings == "both" else ("vanish",)
    _sightings(scribe, truth, hands, hole, kinds, calibrated)
    scribe.read("moon_altitude", truth.altitude, hands.altitude, 0, stated=True)
    if photo:
        moon = generator.integers(120, 200) * u.pix
        shadow = moon * truth.ratio * (1 + truth.enlargement)
        scribe.read("photo_moon_radius", moon, moon * hands.photo_moon, 0, stated=True)
        scribe.read("photo_shadow_radius", shadow, shadow * hands.photo_shadow, 0, stated=True)
    return scribe.readings


def _noons(scribe, truth, hands):
    """Read both noon shadows, through the air, from gnomons that lean and on ground that slopes."""
    road, generator = truth.north_south_distance, scribe.generator
    arc = (road / truth.earth_diameter / truth.meridian).to_value(u.one) * 2 * u.rad
    south = truth.south_zenith_distance
    for place, true in (("north", south + arc), ("south", south)):
        height = generator.integers(90, 140) * u.cm
        lean, slope = (scribe.scattered(0 * u.deg, hands.setup) for _ in range(2))
        zenith = seen_zenith_distance(true) + noon.setup_error(true, lean, slope)
        shadow = height * np.abs(np.tan(zenith))
        scatter = height * hands.shadow.to_value(u.rad) / np.cos(zenith) ** 2
        scribe.read(f"{place}_gnomon_height", height, height * hands.gnomon, 1)
        scribe.read(f"{place}_shadow_length", shadow, scatter, 1, count=hands.shadow_readings)
    scribe.read(ROAD, road, hands.road, 0, stated=True)


def _sightings(scribe, truth, hands, hole, kinds, calibrated):
    """Read the rod, on the Moon and on a target; each group calls by a habit of its own."""
    disc = DISC + 0.2 * scribe.scattered(0 * u.mm, 1 * u.mm)  # as cut by hand
    scribe.read("disc_diameter", disc, hands.disc, 2, stated=True)
    scribe.read("hole_diameter", hole, hands.hole, 2, stated=True)
    if calibrated:
        scribe.read("target_diameter", TARGET, hands.disc, 1, stated=True)
        scribe.read("target_distance", TARGET_DISTANCE, 1 * u.cm, 2, stated=True)
    for seen in kinds:
        habit = getattr(hands, f"{seen}_call") * scribe.generator.uniform(-1, 1)
        sign, works = sighting_angle.READINGS[seen], hole + habit  # may call sooner than a point
        moon = ((disc + sign * works) / (2 * np.tan(truth.angle / 2))).to(u.m)
        read = partial(scribe.read, decimals=3, count=hands.sighting_readings)
        read(f"{seen}_distance", moon, moon * hands.sighting)
        if calibrated:
            target = TARGET_DISTANCE / ((TARGET + sign * works) / (disc + sign * works))
            read(f"target_{seen}_distance", target, target * hands.sighting)


def practice_class(truths, seed, hands=None, slips=None):
    """Return the readings of an invented class, rows of a sheet.

    Parameters: one `Truth` for each group, a whole number that fixes the scatter, the `Hands`,
    and a dict from a group's place in the class to the name of its common mistake. Raises
    `Impossible` where the group lacks the readings for it, as not every group has everything.
    """
    hands, slips, rows, road = hands or Hands(), slips or {}, [], None
    for index, truth in enumerate(truths):
        name, generator = group_name(index), np.random.default_rng([seed, index])
        # Not every group of a real class has everything.
        sightings = "vanish" if index % 4 == 2 else "both"
        photo, calibrated = index % 3 == 0 or None in truth.contacts, index not in (1, 5, 7)
        group = group_rows(name, truth, hands, generator, HOLE, sightings, photo, calibrated)
        # The class has one road to its partner: all have the distance from the first group.
        road = road or next(row for row in group if row.quantity == ROAD)
        group = [replace(road, group=name), *(r for r in group if r.quantity != ROAD)]
        if index % 5 == 4:
            group = [row for row in group if not row.quantity.startswith(("north", "south"))]
        if index in slips:
            right, group = group, SLIPS[slips[index]].made(group)
            require(group != right, "{} has no readings for that mistake", name)
        rows += group
    return rows


def group_name(index):
    """Return the invented name of the group at a place in the class."""
    again = index // len(NAMES)
    return NAMES[index % len(NAMES)] + (f" {again + 1}" if again else "")
