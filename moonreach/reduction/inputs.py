"""From a group's rows to the inputs of the chain, one a quantity, and to the words it chose."""

from functools import cache

import numpy as np
from astropy import units as u

from moonreach.lessons.refuse import Impossible
from moonreach.reduction import chain
from moonreach.reduction.uncertainty import from_readings, normal, pool, rectangular
from moonreach.sheet import timeline
from moonreach.sheet.quantities import CONTACTS, QUANTITIES


def inputs_of(readings, problems):
    """Return a group's inputs and words: two dicts by quantity.

    Parameters: the group's readings, and a list that takes a sentence for each problem. Contact
    times become times on one line. What cannot be used is left out.
    """
    rows, words = {}, {}
    for reading in readings:
        rows.setdefault(reading.quantity, []).append(reading)
    for name in [name for name in rows if QUANTITIES[name].typical is None]:
        values = [reading.value for reading in rows.pop(name)]
        words[name] = values[0]
        if any(value != values[0] for value in values):
            problems.append(f"{name} is stated in different ways; the first one counts")
    values = {name: [reading.value for reading in of_name] for name, of_name in rows.items()}
    values.update(_contact_times(values, problems))
    made = {}
    sets = {}
    for name, of_name in values.items():
        try:
            sets[name] = u.Quantity(of_name)
        except u.UnitConversionError:
            problems.append(f"{name} has readings in px and in a length; accepted is one of them")
    stated = {name: _stated(rows[name], values.unit) for name, values in sets.items()}
    pooled = _pooled({name: values for name, values in sets.items() if stated[name] is None})
    for name, values in sets.items():
        term = QUANTITIES[name]
        made[name] = from_readings(
            name,
            values,
            stated[name],
            _resolution(term, values, rows[name]),
            _typical(term, values),
            pooled.get(term.family),
        )
        if made[name].grounds == "misfit":
            problems.append(
                f"the readings of {name} scatter by {values.std(ddof=1):.3g}, far more than the "
                "uncertainty stated for them; their scatter was used"
            )
    return made, words


@cache  # the same for every group, with its draws and quantiles
def stand_in(name):
    """Return the input for something the chain needs but no reading gives.

    What the assumptions cost was measured with exact readings of the 85 total eclipses of 2001 to
    2100 (tests/benchmarks/assumptions.py; root mean square): the distance by the cone argument
    alone 1.5 %; with the off-centre formula only 0.56 %, as a near Moon, which looks larger than
    the Sun, is also faster than its size tells, and the two errors all but cancel; that formula's
    ratio 1.45 %. Where the eye puts the soft edge varies by 0.8 % (SD of one observer's umbral
    enlargements of 1968 April 13, as reduced by B. Soulsby).
    """
    if name == chain.ALTITUDE_NOT_GIVEN:
        return rectangular(name, 35 * u.deg, 25 * u.deg)
    if name == chain.HOLE_NOT_GIVEN:
        return rectangular(name, 1 * u.mm, 1 * u.mm)
    value, standard = {
        chain.CONE: (1, 0.015),
        chain.CONE_AND_RATE: (1, 0.0056),
        chain.MOON_RATE: (1, 0.0145),
        chain.SHARP_EDGE: (0, 0.008),
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


def _stated(readings, unit):
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
