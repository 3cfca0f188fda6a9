"""One group's readings as the exercises take them."""

from functools import cached_property

from astropy import units as u

from moonreach.lessons.refuse import Impossible
from moonreach.reduction.further import USUAL_RATIO
from moonreach.reduction.group import best_values, reduce_group
from moonreach.reduction.inputs import inputs_of, stand_in
from moonreach.reduction.results import MEASUREMENTS
from moonreach.reduction.words import rounded
from moonreach.sheet.quantities import CONTACTS, QUANTITIES, label_of

__all__ = ["Readings", "rounded"]


class Readings:
    """The best value of each quantity of one group, and what follows from them."""

    def __init__(self, group, rows, invented=False):
        """Take a group's name, its list of `Reading`, and whether they are invented."""
        self.group, self.rows, self.invented = group, rows, invented
        self.best, self.problems = best_values(rows), []
        inputs_of(rows, self.problems)
        given = {row.quantity for row in rows}
        self.values = {n: v for n, v in self.best.items() if n in given and QUANTITIES[n].measured}
        self.words = {
            n: v for n, v in self.best.items() if n in given and not QUANTITIES[n].measured
        }

    def __getitem__(self, quantity):
        return self.values[quantity]

    def __contains__(self, quantity):
        return quantity in self.values

    def __repr__(self):
        whose = f"{self.group}{', an invented practice group' * self.invented}"
        names = [*self.values, *self.words]
        return "\n".join([whose, *(f"  {label_of(n)}: {self.text(n)}" for n in names)])

    def __getattr__(self, name):
        if name.startswith("_"):
            raise AttributeError(name)
        known = {"altitude": "moon_altitude", "road": "baseline"}
        name = known.get(name, name)
        if name in self.best:
            return self.best[name]
        if name in MEASUREMENTS or name in ("arc", "angle", "semidiameter", "rate", "pair_shift"):
            raise Impossible("; ".join(self.result.problems))
        raise AttributeError(name)

    def text(self, quantity):
        """Return one quantity as text: its mean, its clock time or its word."""
        from moonreach.exercises.checking import shown

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
        """Return which quantities are missing for what an exercise needs."""
        known = {"contacts": CONTACTS, "rod": ("disc_diameter", "vanish_distance", "rim_distance")}
        return self.result.lacks(*(part for need in needs for part in known.get(need, (need,))))

    @cached_property
    def result(self):
        """The group's reduced results, with their intervals."""
        return reduce_group(self.group, self.rows)

    def zenith(self, place):
        """Return the Sun's zenith distance at the ``"north"`` or ``"south"`` place."""
        return self.best[f"{place}_zenith"]

    @property
    def phases(self):
        """The entry time and totality."""
        return self.best["entry_time"], self.best["totality"]

    @property
    def ratio(self):
        """The shadow ratio that the group's result stands on."""
        return self.result["ratio"]

    @property
    def earth_in_moons(self):
        """How many Moons make an Earth."""
        return 1 + self.ratio

    @property
    def caution(self):
        """A sentence on a ratio that stands on an unknown path, or nothing."""
        if self.result.method != "central" or self.words.get("path") == "central":
            return ""
        return (
            "The shadow ratio is timed as if the Moon had passed through the middle. On most "
            "nights that is too small, by a quarter in the mean; the rod's readings of lesson 4 "
            "put it right."
        )

    @property
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

    @property
    def cone_ratio(self):
        """The shadow ratio for the Sun's size: the group's own, or the middle of a century's."""
        return self.ratio if "ratio" in self.result else stand_in(USUAL_RATIO).value

    @property
    def solar_eclipse(self):
        """A solar eclipse's shift and sine of the parallax, by key."""
        return {"shift": self.best["solar_eclipse_shift"], "sine": self.best["solar_eclipse_sine"]}
