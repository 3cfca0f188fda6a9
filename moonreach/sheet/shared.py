"""What the groups of a class share: rows marked so, and readings that stand with several groups.

A class usually has one partner class, one road and often one set of contacts. Whoever counted them
once for each group would believe the class's result surer than it is.
"""

import re
from collections.abc import Iterable
from dataclasses import replace

from astropy import units as u

from moonreach.sheet.origin import Origin
from moonreach.sheet.quantities import QUANTITIES, label_of
from moonreach.sheet.reading import Reading

EVERY_GROUP = "shared"  # in place of a group's name: a row for all groups that have none of it
_DISTANCES = ("north_south_distance", "road_distance")

Groups = dict[str, list[Reading]]


def hand_out(groups: Groups) -> Groups:
    """Return the groups with the rows of `EVERY_GROUP` given to each that has none of its own.

    Parameters: the readings by the groups' names. Where there is no group but that, it is one.
    """
    common = {name: rows for name, rows in groups.items() if name.casefold() == EVERY_GROUP}
    if not common or len(common) == len(groups):
        return groups
    handed = {}
    for name, rows in groups.items():
        if name not in common:
            own = {row.quantity for row in rows}
            given = [row for some in common.values() for row in some if row.quantity not in own]
            handed[name] = rows + [_shared(row, group=name) for row in given]
    return handed


def mark(groups: Groups) -> Groups:
    """Return the groups with those readings marked as shared that stand with several of them.

    Parameters: the readings by the groups' names. One length or clock time alone may agree by
    chance, as that of a stick of 100 cm does, and is left as the group's own.
    """
    alike = sharers(groups)
    proved = {
        (name, quantity)
        for quantity, sets in alike.items()
        for names in sets
        if _proves(quantity, names, groups, alike)
        for name in names
    }
    return {
        name: [_shared(row) if (name, row.quantity) in proved else row for row in rows]
        for name, rows in groups.items()
    }


def sharers(groups: Groups) -> dict[str, list[list[str]]]:
    """Return by quantity the sets of groups whose readings of it are the same, two or more.

    That a coarse value may be the same by chance is no matter here: to take it as shared is the
    cautious choice.
    """
    found = {}
    for name, rows in groups.items():
        by_quantity = {}
        for row in rows:
            if QUANTITIES[row.quantity].measured:
                by_quantity.setdefault(row.quantity, []).append(_as_read(row))
        for quantity, read in by_quantity.items():
            found.setdefault(quantity, {}).setdefault(tuple(read), []).append(name)
    several = {q: [names for names in sets.values() if len(names) > 1] for q, sets in found.items()}
    return {quantity: sets for quantity, sets in several.items() if sets}


def in_words(groups: Groups) -> list[str]:
    """Return what the groups share, one sentence for each set of groups."""
    by_groups, perhaps, alike = {}, [], sharers(groups)
    for quantity, sets in alike.items():
        for names in sets:
            if _proves(quantity, names, groups, alike):
                by_groups.setdefault(tuple(names), []).append(label_of(quantity))
            else:
                perhaps.append(f"{label_of(quantity)} ({_listed(names)})")
    lines = [
        f"{_listed(names) if len(names) < len(groups) else 'all groups'} have the same readings of "
        f"{_listed(labels)}: these count as shared, and do not average out"
        for names, labels in by_groups.items()
    ]
    if perhaps:
        lines.append(f"alike, and taken as shared to be cautious: {', '.join(perhaps)}")
    return lines


def names_alike(names: Iterable[str]) -> list[str]:
    """Return a question for each set of groups whose names are all but the same.

    >>> names_alike(["Eagle", "Group 1", "Eagles", "1", "Heron"])
    ['Eagle and Eagles: the same group? They were kept apart', 'Group 1 and 1: the same group? \
They were kept apart']
    """
    alike = {}
    for name in {name.casefold(): name for name in reversed([*names])}.values():
        plain = re.sub(r"(the|group|team)(?=[\W_]|[0-9])|[\W_]", "", name.casefold())
        alike.setdefault(plain.removesuffix("s") or name, []).insert(0, name)
    sets = [names for names in reversed(alike.values()) if len(names) > 1]
    return [f"{_listed(names)}: the same group? They were kept apart" for names in sets]


def _listed(words: Iterable[str]) -> str:
    *first, last = words
    return f"{', '.join(first)} and {last}" if first else last


def _shared(row, **changes):
    origin = Origin.SHARED if row.origin == Origin.OWN else row.origin
    return replace(row, origin=origin, **changes)


def _proves(quantity, names, groups, alike):
    """Whether readings that are the same can hardly be so by chance."""
    several = sum(row.quantity == quantity for row in groups[names[0]]) > 1
    clocks = [one for one, sets in alike.items() if names in sets and _is_clock(one)]
    return several or quantity in _DISTANCES or (_is_clock(quantity) and len(clocks) > 1)


def _is_clock(quantity):
    return QUANTITIES[quantity].kind == "clock"


def _as_read(row):
    """Return what two readings have alike when they are the same."""
    value, given = row.value, row.uncertainty
    text = f"{value.decompose():.9g}" if isinstance(value, u.Quantity) else str(value)
    return text, None if given is None else f"{given.decompose():.9g}"
