"""From a group's rows to inputs, one a measured quantity, and to what the group stated."""

from dataclasses import replace
from functools import cache

import numpy as np
from astropy import units as u

from moonreach.lessons import today
from moonreach.lessons.refuse import Impossible
from moonreach.reduction import chain, further
from moonreach.reduction.uncertainty import Input, from_readings, normal, pool, rectangular
from moonreach.sheet import timeline
from moonreach.sheet.origin import Origin, least_own
from moonreach.sheet.quantities import CONTACTS, QUANTITIES, label_of
from moonreach.sheet.reading import Reading

NOT_GIVEN = "not given"
STAND_INS = ("moon_altitude", "hole_diameter", "sun_angle", further.USUAL_RATIO)


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
    pooled = _pooled({name: values for name, values in sets.items() if given[name] is None})
    inputs = {}
    for name, values in sets.items():
        term = QUANTITIES[name]
        made = from_readings(
            name,
            values,
            given[name],
            _resolution(term, values, rows[name]),
            _typical(term, values),
            pooled.get(term.family),
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

    The Sun is 31.46' wide in July and 32.53' in January; the shadow ratio is 2.62 to 2.77 over the
    eclipses of a century. The other two limits are common practice, no source.
    """
    value, half_width, origin = {
        "moon_altitude": (35 * u.deg, 25 * u.deg, None),
        "hole_diameter": (1 * u.mm, 1 * u.mm, None),
        "sun_angle": (2 * today.SUN_SEMIDIAMETER, 0.54 * u.arcmin, Origin.TODAY),
        further.USUAL_RATIO: (2.7 * u.one, 0.1 * u.one, Origin.TODAY),
    }[name]
    made = rectangular(f"{name} ({NOT_GIVEN})", value, half_width, NOT_GIVEN)
    return replace(made, origin=origin)


@cache
def assumption(name: str) -> Input:
    """Return the input for an assumption, whose size was measured on the real sky.

    The first four with exact readings of the 85 total eclipses of 2001 to 2100
    (tests/benchmarks/assumptions.py; root mean square): the distance by the cone argument alone
    1.5 %; with the chord formula only 0.56 %, as a near Moon, which looks larger than the Sun, is
    also faster than its size tells, and the two errors all but cancel; that formula's ratio
    1.45 %. Where the eye puts the soft edge varies by 0.8 % (SD of one observer's umbral
    enlargements of 1968 April 13, as reduced by B. Soulsby).

    The others (tests/benchmarks/further.py): what a globe does to the parallax, and what a solar
    eclipse that is taken plainly does to the shift, with discs of one size, one in front of the
    middle of the other where it is total, and a Moon that goes by at right angles to the meridian
    (in Sun diameters; the true shift is mostly the larger). Where the eye puts a half Moon's soft
    terminator: within a degree of the elongation; common practice, no source.
    """
    if name == further.TERMINATOR:
        return rectangular(name, 0 * u.deg, 1 * u.deg, "assumption")
    value, standard = {
        chain.CONE: (1, 0.015),
        chain.CONE_AND_RATE: (1, 0.0056),
        chain.MOON_RATE: (1, 0.0145),
        chain.SHARP_EDGE: (0, 0.008),
        further.GLOBE: (1, 0.004),
        further.PLAIN_ECLIPSE: (0, 0.058),
    }[name]
    return normal(name, value * u.one, standard * u.one, "assumption")


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


def _typical(term, values):
    if not isinstance(term.typical, u.Quantity):  # a fraction of the reading
        return term.typical * abs(values.mean())
    return 0 * u.one if _seen_to_be_total(term, values) else term.typical


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


def _pooled(sets):
    families = {}
    for name, values in sets.items():
        if family := QUANTITIES[name].family:
            families.setdefault(family, []).append(values)
    return {family: (family, *pool(members)) for family, members in families.items()}
