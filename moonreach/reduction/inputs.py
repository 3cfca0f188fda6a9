"""From a group's rows to inputs, one a measured quantity, and to what the group stated."""

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
from astropy import units as u

from moonreach.lessons.refuse import Impossible
from moonreach.reduction import further
from moonreach.reduction.uncertainty import Input, from_readings, normal, pool, rectangular
from moonreach.sheet import timeline
from moonreach.sheet.origin import Origin, least_own
from moonreach.sheet.quantities import CONTACTS, QUANTITIES, label_of
from moonreach.sheet.reading import Reading

NOT_GIVEN = "not given"
STAND_INS = ("moon_altitude", "hole_diameter", "sun_angle", further.USUAL_RATIO)
ASSUMED = tomllib.loads(Path(__file__).with_name("assumptions.toml").read_text(encoding="utf-8"))


def inputs_of(
    readings: list[Reading], problems: list[str]
) -> tuple[dict[str, Input], dict[str, object]]:
    """Return a group's inputs, and what it stated: two dicts by quantity.

    Parameters: the group's readings, and a list that takes a sentence for each problem. Contact
    times become times on one line. What cannot be used is left out.
    """
    rows, stated = {}, {}
    for reading in readings:
        rows.setdefault(reading.quantity, []).append(reading)
    for name in [name for name in rows if not QUANTITIES[name].measured]:
        values = [reading.value for reading in rows.pop(name)]
        stated[name] = values[0]
        if any(value != values[0] for value in values):
            problems.append(f"{label_of(name)} is stated in different ways; the first one counts")
    values = {name: [reading.value for reading in of_name] for name, of_name in rows.items()}
    values.update(_contact_times(values, problems))
    sets = {}
    for name, of_name in values.items():
        try:
            sets[name] = u.Quantity(of_name)
        except u.UnitConversionError:
            problems.append(
                f"{label_of(name)} has readings in px and in a length; accepted is one of them"
            )
    return _made(sets, rows, problems), stated


def _made(sets, rows, problems):
    """Return the input that each set of readings makes."""
    given = {name: _given(rows[name], values.unit) for name, values in sets.items()}
    typical = {name: typical_scatter(name, sets) for name in sets}
    scattered = {name: values for name, values in sets.items() if given[name] is None}
    pooled = _pooled(scattered, typical)
    inputs = {}
    for name, values in sets.items():
        term = QUANTITIES[name]
        made = from_readings(
            name,
            values,
            given[name],
            _resolution(term, values, rows[name]),
            typical[name],
            pooled.get(name),
        )
        inputs[name] = replace(made, origin=least_own(row.origin for row in rows[name]))
        if made.grounds == "misfit":
            problems.append(
                f"the readings of {label_of(name)} scatter by {values.std(ddof=1):.3g}, far more "
                "than the uncertainty stated for them; their scatter was used"
            )
    return inputs


@cache  # the same for every group, with its draws and quantiles
def stand_in(name: str) -> Input:
    """Return the input for something that a step needs but the group did not read.

    Parameters: a name of `STAND_INS`. Source: `assumptions.toml`.
    """
    return _assumed(name, f"{name} ({NOT_GIVEN})", NOT_GIVEN)


@cache
def assumption(name: str) -> Input:
    """Return the input for what nobody reads: an assumption, or how an instrument was set up.

    Parameters: a name in `assumptions.toml`, which says where its size comes from.
    """
    return _assumed(name, name, "assumption")


def limits_of(name: str) -> tuple[u.Quantity, u.Quantity]:
    """Return the least and the greatest value of what `stand_in` or `assumption` limits."""
    value, half_width = (u.Quantity(ASSUMED[name][key]) for key in ("value", "half_width"))
    return value - half_width, value + half_width


def _assumed(name, draws, grounds):
    row = ASSUMED[name]
    origin = row.get("origin")
    made_of, spread = (normal, "standard") if "standard" in row else (rectangular, "half_width")
    made = made_of(draws, u.Quantity(row["value"]), u.Quantity(row[spread]), grounds)
    return replace(made, origin=origin and Origin(origin))


def _contact_times(values, problems):
    names = [name for name in CONTACTS if name in values]
    clocks = [clock for name in names for clock in values[name]]
    if not clocks:
        return {}
    try:
        line = timeline.place(clocks)
        if max(line) - min(line) > 6 * u.h:
            raise Impossible(
                f"the umbral contacts span {(max(line) - min(line)).to(u.h):.1f}, but those of one "
                "eclipse at most 4 h: look at the dates, zones and hours"
            )
    except Impossible as error:
        problems.append(str(error))
        for name in names:
            del values[name]
        return {}
    placed = iter(line)
    return {name: [next(placed) for _ in values[name]] for name in names}


def typical_scatter(name: str, sets: Mapping[str, u.Quantity]) -> u.Quantity:
    """Return how far readings of a quantity usually scatter, as a standard deviation.

    Parameters: the quantity, and the readings of all quantities by name.
    """
    term, values = QUANTITIES[name], sets[name]
    if _seen_to_be_total(term, values):
        return 0 * u.one
    if not isinstance(term.typical, u.Quantity):  # a fraction of the reading
        return term.typical * abs(values.mean())
    if term.kind != "length" or term.typical.unit != u.deg:
        return term.typical.to(values.unit)
    # A shadow's blur is an angle: from a gnomon of height h it spreads over h / cos(z)^2 of it.
    height = sets.get(name.replace("shadow_length", "gnomon_height"), values).mean()
    return (term.typical.to_value(u.rad) * (height + values.mean() ** 2 / height)).to(values.unit)


def _resolution(term, values, readings):
    if _seen_to_be_total(term, values):
        return None
    return max(reading.resolution for reading in readings)


def _seen_to_be_total(term, values):
    """Whether all say that an eclipse is total, which is seen and not estimated."""
    return term.kind == "part" and np.all(values == 1)


def _given(readings, unit):
    given = [r.uncertainty.to_value(unit) for r in readings if r.uncertainty is not None]
    if not given:
        return None
    usual = float(np.sqrt(np.mean(np.square(given))))  # a row without one is as good as the others
    return [
        usual if r.uncertainty is None else r.uncertainty.to_value(unit) for r in readings
    ] * unit


def _pooled(sets, typical):
    """Return by quantity the scatter of its family: pooled in units of what is typical of each."""
    families = {}
    for name, values in sets.items():
        if QUANTITIES[name].family and typical[name] > 0 * values.unit:
            families.setdefault(QUANTITIES[name].family, {})[name] = values / typical[name]
    pooled = {}
    for family, members in families.items():
        scatter, freedom = pool(list(members.values()))
        pooled |= {name: (family, scatter * typical[name], freedom) for name in members}
    return pooled
