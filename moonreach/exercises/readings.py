"""One group's readings as the exercises take them, and what the lesson functions make of them."""

from functools import cached_property

from astropy import units as u

from moonreach.exercises.checking import shown
from moonreach.lessons import earth_size, eclipse_timing, moon_distance, shadow_cone, today
from moonreach.lessons.refuse import Impossible
from moonreach.reduction.chain import (
    ALTITUDE_NOT_GIVEN,
    HOLE_NOT_GIVEN,
    MOON_RATE,
    OFF_CENTRE,
    THROUGH_MIDDLE,
    Chain,
)
from moonreach.reduction.further import (
    PLAIN_ECLIPSE,
    RATIO_NOT_GIVEN,
    SUN_ANGLE_NOT_GIVEN,
    FurtherChain,
    granted,
)
from moonreach.reduction.group import declination_change, reduce_group
from moonreach.reduction.inputs import inputs_of, stand_in
from moonreach.sheet.quantities import CONTACTS, ROD


class Readings:
    """The best value of each quantity of one group, and what follows from them.

    `readings["disc_diameter"]` is the mean of the group's readings, as the class report takes it;
    contact times count from the first one. What follows is worked out when it is asked for.
    """

    def __init__(self, group, rows, invented=False):
        """Take a group's name, its list of `tables.Reading`, and whether they are invented."""
        self.group, self.rows, self.invented = group, rows, invented
        self.problems = []
        inputs, self.words = inputs_of(rows, self.problems)
        self.values = {name: made.value for name, made in inputs.items()}
        change = declination_change(self.words, self.problems)
        self.chain = Chain(frozenset(self.values), self.words, change)
        self.further = FurtherChain(frozenset(self.values), self.words)

    def __getitem__(self, quantity):
        return self.values[quantity]

    def __contains__(self, quantity):
        return quantity in self.values

    def __repr__(self):
        whose = f"{self.group}{', an invented practice group' * self.invented}"
        names = [*self.values, *self.words]
        return "\n".join([whose, *(f"  {n.replace('_', ' ')}: {self.text(n)}" for n in names)])

    def text(self, quantity):
        """Return one quantity as text: its mean, its clock time or its word."""
        if quantity in self.words:
            return str(self.words[quantity]).replace("_", " ")
        value = self[quantity]
        if quantity not in CONTACTS:
            return shown(value.value, value.unit, 5)
        clocks = [row.value for name in CONTACTS for row in self.rows if row.quantity == name]
        start = next((clock for clock in clocks if clock.day), clocks[0])
        seconds = round(start.seconds + value.to_value(u.s)) % 86_400
        return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}"

    def lacks(self, needs):
        """Return which quantities are missing for what an exercise needs.

        Parameters: words such as ``"earth"``, ``"timing"``, ``"angle"``, or names of quantities.
        """
        timing, eclipse = self.chain.lacks_for_timing, self.further.lacks_for_solar_eclipse
        known = {
            "earth": self.chain.lacks_for_earth,
            "timing": timing,
            "angle": self.chain.lacks_for_angle,
            "ratio": lambda: _either(timing(), self.chain.lacks_for_photograph()),
            "half_moon": self.further.lacks_for_half_moon,
            "pair": self.further.lacks_for_pair,
            "solar_eclipse": eclipse,
            "another_way": lambda: _either(self.further.lacks_for_pair(), eclipse()),
        }
        missing = []
        for need in needs:
            if need in known:
                missing += known[need]()
            else:
                parts = {"contacts": CONTACTS, "rod": ROD}.get(need, (need,))
                missing += [name for name in parts if name not in self.values]
        return list(dict.fromkeys(missing))

    @cached_property
    def result(self):
        """The group's reduced results, with their intervals."""
        return reduce_group(self.group, self.rows)

    def zenith(self, place):
        """Return the Sun's zenith distance at the ``"north"`` or ``"south"`` place."""
        edge = self.words.get("shadow_edge", "middle")
        names = f"{place}_gnomon_height", f"{place}_shadow_length"
        return earth_size.zenith_distance(*(self[name] for name in names), edge)

    @cached_property
    def arc(self):
        """The arc between the two places."""
        shadows = self.words.get("shadows", "same_side")
        zeniths = self.zenith("north"), self.zenith("south")
        return earth_size.arc(*zeniths, shadows, self.chain.declination_change)

    @cached_property
    def road(self):
        """The north-south distance of the two places."""
        if "north_south_distance" in self:
            return self["north_south_distance"]
        return earth_size.north_south_distance(self["road_distance"], self["road_bearing"])

    @cached_property
    def earth(self):
        """Earth's diameter: the group's own, or today's where it has not measured it."""
        if self.chain.lacks_for_earth():
            return today.EARTH_DIAMETER
        return self.chain.earth_diameter(self.values).to(u.km)

    @cached_property
    def phases(self):
        """The partial and the total phase."""
        return tuple(phase.to(u.min) for phase in self.chain.phases(self.values))

    @cached_property
    def angle(self):
        """The Moon's angular diameter from where the group stood."""
        return self.chain.angle({HOLE_NOT_GIVEN: stand_in(HOLE_NOT_GIVEN).value} | self.values)

    @cached_property
    def altitude(self):
        """The Moon's altitude at the sighting, or the middle of what it may have been."""
        given = "moon_altitude" in self
        return self["moon_altitude"] if given else stand_in(ALTITUDE_NOT_GIVEN).value

    @cached_property
    def semidiameter(self):
        """The Moon's semidiameter from Earth's centre, which the timing wants."""
        ratio = self.chain.ratio(self.values | {MOON_RATE: 1}, OFF_CENTRE, self.angle)
        moons = shadow_cone.earth_in_moons(ratio)
        return moon_distance.geocentric_angle(self.angle, self.altitude, moons) / 2

    @cached_property
    def rate(self):
        """The Moon's rate against the shadow that night."""
        return eclipse_timing.scaled_rate(self.semidiameter)

    @cached_property
    def ratio(self):
        """The shadow ratio x that the group's result stands on."""
        if self.result.ratio is None:
            raise Impossible("; ".join(self.result.problems))
        return self.result.ratio.value

    @property
    def caution(self):
        """A sentence on a ratio that stands on an unknown path, or nothing."""
        if self.result.method != THROUGH_MIDDLE or self.words.get("path") == "central":
            return ""
        return (
            "The shadow ratio is timed as if the Moon had passed through the middle. On most "
            "nights that is too small, by a quarter in the mean; the rod's readings of lesson 4 "
            "put it right."
        )

    @cached_property
    def earth_in_moons(self):
        """How many Moons make an Earth."""
        return shadow_cone.earth_in_moons(self.ratio)

    @cached_property
    def least_elongation(self):
        """The lower end of the 95 % interval of the half Moon's elongation."""
        found = self.result.outcome("elongation")
        if found is None:
            raise Impossible("; ".join(self.result.problems))
        if found.low >= 90:
            raise Impossible(
                f"this elongation's interval, from {found.low:.1f} deg on, lies wholly at 90 deg "
                "or more, where the lines to the Sun never meet: half Moon was called too late or "
                "too early, so take the readings once more"
            )
        return found.low * u.deg

    @cached_property
    def cone_ratio(self):
        """The shadow ratio for the Sun's size: the group's own, or the middle of a century's."""
        return self.result.ratio.value if self.result.ratio else granted(RATIO_NOT_GIVEN).value

    @cached_property
    def pair_shift(self):
        """The Moon's shift between the two places of a pair."""
        return self.further.shift(self.values)

    @cached_property
    def sun_angle(self):
        """The Sun's angular diameter, its mean where it was not measured."""
        return self.values.get("sun_angle", granted(SUN_ANGLE_NOT_GIVEN).value)

    @cached_property
    def solar_eclipse(self):
        """A solar eclipse's shift and sine of the parallax, by key."""
        taken = {PLAIN_ECLIPSE: granted(PLAIN_ECLIPSE).value, SUN_ANGLE_NOT_GIVEN: self.sun_angle}
        return self.further.solar_eclipse(taken | self.values)


def _either(first, other):
    """Return what is missing where either of two sets of readings would do."""
    if not (first and other):
        return []
    return [*first[:-1], f"{first[-1]}, or else {' and '.join(other)}"]
