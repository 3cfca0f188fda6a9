"""One group's readings as the exercises take them."""

from astropy import units as u

from moonreach.exercises.checking import shown
from moonreach.lessons.refuse import Impossible
from moonreach.reduction.group import GroupResult, reduce_group
from moonreach.reduction.results import STEPS
from moonreach.reduction.steps import work_out
from moonreach.sheet.quantities import CONTACTS, QUANTITIES, ROD, label_of
from moonreach.sheet.reading import Reading

_CAUTION = (
    "The shadow ratio is timed as if the Moon had passed through the middle. On most nights that "
    "is too small, by a quarter on average; the rod's readings of lesson 4 put it right."
)


class Readings(GroupResult):
    """A group's results that show themselves as lines, one for each quantity it gave."""

    def __init__(self, group: str, rows: list[Reading], invented: bool = False):
        """Reduce a group's readings; `invented` is whether they are the practice group's."""
        self.__dict__ |= vars(reduce_group(group, rows))
        self.invented = invented

    def __getitem__(self, name):
        if name in _FOR_EXERCISES:
            return _FOR_EXERCISES[name](self)
        return super().__getitem__(name)

    def __repr__(self):
        whose = f"{self.group}{', an invented practice group' * self.invented}"
        mark = " (practice)" * self.invented
        return "\n".join([whose, *(f"  {label_of(n)}: {self.text(n)}{mark}" for n in self.given)])

    @property
    def given(self) -> list[str]:
        """The quantities that the group read or stated, and that can be used."""
        return list(dict.fromkeys(row.quantity for row in self.rows if row.quantity in self))

    def text(self, quantity: str) -> str:
        """Return one quantity as text: its mean, its clock time or its word."""
        value = self[quantity]
        if not QUANTITIES[quantity].measured:
            return str(value).replace("_", " ")
        if quantity not in CONTACTS:
            return shown(value.value, value.unit, 5)
        clocks = [row.value for name in CONTACTS for row in self.rows if row.quantity == name]
        start = next((clock for clock in clocks if clock.day), clocks[0])
        seconds = round(start.seconds + value.to_value(u.s)) % 86_400
        return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}"

    @property
    def caution(self) -> str:
        """A sentence on a ratio that stands on an unknown path, or nothing."""
        known = self.method != "central" or self.values.get("path") == "central"
        return "" if known else _CAUTION


def _least_elongation(readings):
    """Return the lower end of the 95 % interval of the half Moon's elongation."""
    outcome = readings.outcome("elongation")
    if outcome is None:
        raise Impossible("; ".join(readings.problems))
    if outcome.low >= 90:
        raise Impossible(
            f"this elongation's interval begins at {outcome.low:.1f} deg. At 90 deg or more the "
            "lines to the Sun never meet: half Moon was called too late or too early. Take the "
            "readings once more"
        )
    return outcome.low * u.deg


def _cone_ratio(readings):
    """Return the shadow ratio for the Sun's size: the group's own, or that of a century."""
    return readings["ratio" if "ratio" in readings else "usual_shadow_ratio"]


def _change_of_a_wider_moon(readings):
    """Return by how many per cent the distance changes if the Moon looks 1 % wider in the rod."""
    begin = {row.quantity for row in readings.rows} | set(readings.inputs)
    wider = {name: readings[name] for name in begin if name in readings}
    wider |= {name: wider[name] / 1.01 for name in ROD[1:] if name in wider}
    work_out(STEPS, wider)
    name = "distance_earth_diameters"
    return 100 * (wider[name] / readings[name] - 1).to_value(u.one)


# What the formulas of exercises stand on, and no step of the reduction finds.
_FOR_EXERCISES = {
    "least_elongation": _least_elongation,
    "cone_ratio": _cone_ratio,
    "change_of_a_wider_moon": _change_of_a_wider_moon,
}
