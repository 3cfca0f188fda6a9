"""From a group's rows to inputs, one a measured quantity, and to what the group stated."""

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
from astropy import units as u

from moonreach.lessons.refuse import Impossible, require
from moonreach.reduction.uncertainty import Input, from_readings, normal, pool, rectangular
from moonreach.sheet import clocks
from moonreach.sheet.origin import Origin
from moonreach.sheet.quantities import CONTACTS, QUANTITIES, label_of
from moonreach.sheet.reading import Reading

ASSUMED = tomllib.loads(Path(__file__).with_name("assumptions.toml").read_text(encoding="utf-8"))
NOT_GIVEN = "not given"


def inputs_of(readings: list[Reading]) -> tuple[dict[str, Input], dict[str, object], list[str]]:
    """Return a group's inputs, and what it stated, two dicts by quantity; and what is wrong.

    Contact times become times on one line. With the inputs are what nobody reads, and stand-ins
    for what the group did not read (`assumptions.toml`). What cannot be used is left out, and a
    sentence says so.
    """
    rows, stated, sets, problems = {}, {}, {}, []
    for reading in _on_one_line(readings, problems):
        if QUANTITIES[reading.quantity].measured:
            rows.setdefault(reading.quantity, []).append(reading)
        elif reading.value != stated.setdefault(reading.quantity, reading.value):
            differ = (
                f"{label_of(reading.quantity)} is stated in different ways; the first one counts"
            )
            problems += [] if differ in problems else [differ]
    for name, of_name in rows.items():
        try:
            sets[name] = u.Quantity([reading.value for reading in of_name])
        except u.UnitConversionError:
            problems.append(
                f"{label_of(name)} has readings in px and in a length; accepted is one of them"
            )
    inputs = _made(sets, rows, problems)
    assumed = {
        name: assumption(name)
        for name, row in ASSUMED.items()
        if name not in inputs and ("of" not in row or row["of"] in inputs)
    }
    return inputs | assumed, stated, problems


def _on_one_line(readings, problems):
    """Return the readings with contacts as times on one line, or without where they make none."""
    contacts = [r for name in CONTACTS for r in readings if r.quantity == name]
    others = [reading for reading in readings if reading.quantity not in CONTACTS]
    if not contacts:
        return others
    try:
        line = clocks.place([reading.value for reading in contacts])
        span = (max(line) - min(line)).to(u.h)
        long = f"the umbral contacts span {span:.1f}, but those of one eclipse at most 4 h: look "
        require(span <= 6 * u.h, long + "at the dates, zones and hours")
    except Impossible as error:
        problems.append(str(error))
        return others
    return others + [replace(r, value=time) for r, time in zip(contacts, line, strict=True)]


def _made(sets, rows, problems):
    """Return the input that each set of readings makes."""
    given = {name: _given(rows[name], values.unit) for name, values in sets.items()}
    typical = {name: typical_scatter(name, sets) for name in sets}
    pooled = _pooled({name: sets[name] for name in sets if given[name] is None}, typical)
    inputs = {}
    for name, values in sets.items():
        total = _seen_to_be_total(name, values)
        step = None if total else max(row.resolution for row in rows[name])
        made = from_readings(name, values, given[name], step, typical[name], pooled.get(name))
        inputs[name] = made
        if made.grounds == "misfit":
            problems.append(
                f"the readings of {label_of(name)} scatter by {values.std(ddof=1):.3g}, far more "
                "than the uncertainty stated for them; their scatter was used"
            )
    return inputs


@cache  # the same for every group, with its draws and quantiles
def assumption(name: str) -> Input:
    """Return the input for what nobody reads, or the stand-in for what a group did not read.

    Parameters: a name in `assumptions.toml`, which says where its size comes from.
    """
    row = ASSUMED[name]
    grounds, origin = row.get("grounds", "assumption"), row.get("origin")
    # A stand-in does not have the draws of the reading that it stands for.
    draws = f"{name} ({grounds})" if grounds == NOT_GIVEN else name
    made_of, spread = (normal, "standard") if "standard" in row else (rectangular, "half_width")
    made = made_of(draws, u.Quantity(row["value"]), u.Quantity(row[spread]), grounds)
    return replace(made, origin=origin and Origin(origin))


def limits_of(name: str) -> tuple[u.Quantity, u.Quantity]:
    """Return the least and the greatest value of what `assumption` limits."""
    value, half_width = (u.Quantity(ASSUMED[name][key]) for key in ("value", "half_width"))
    return value - half_width, value + half_width


def typical_scatter(name: str, sets: Mapping[str, u.Quantity]) -> u.Quantity:
    """Return how far readings of a quantity usually scatter, as a standard deviation.

    Parameters: the quantity, and the readings of all quantities by name.
    """
    term, values = QUANTITIES[name], sets[name]
    if _seen_to_be_total(name, values):
        return 0 * u.one
    if term.typical.unit == u.percent:
        return term.typical.to_value(u.one) * abs(values.mean())
    if term.kind != "length" or term.typical.unit != u.deg:
        return term.typical.to(values.unit)
    # A shadow's blur is an angle: from a gnomon of height h it spreads over h / cos(z)^2 of it.
    height = sets.get(name.replace("shadow_length", "gnomon_height"), values).mean()
    return (term.typical.to_value(u.rad) * (height + values.mean() ** 2 / height)).to(values.unit)


def _seen_to_be_total(name, values):
    """Whether all say that an eclipse is total, which is seen and not estimated."""
    return QUANTITIES[name].kind == "part" and np.all(values == 1)


def _given(readings, unit):
    """Return the stated uncertainties; a row without one is as good as the others, if any has."""
    given = [np.nan if r.uncertainty is None else r.uncertainty.to_value(unit) for r in readings]
    if np.isnan(given).all():
        return None
    return np.where(np.isnan(given), np.sqrt(np.nanmean(np.square(given))), given) * unit


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
