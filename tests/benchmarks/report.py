"""How often is a planted mistake named, and how often is a group without one accused?

    python tests/benchmarks/report.py [classes] [seed]

Invented classes of eight under invented nights, in each of which one group makes one mistake, each
mistake of the list in turn. A mistake shows if it makes a result impossible or moves it by three
of the standard uncertainties with which the group is held against its class: one that does not is
within what careful readings scatter. Where phases are written in hours wrongly, three other groups
write them so rightly. A row beyond its limits is refused when it is read, by name, and no search is
needed.
"""

import sys
import time
from collections import Counter, defaultdict
from dataclasses import replace

import numpy as np
from astropy import units as u

from moonreach.exercises import deviations, mistakes
from moonreach.lessons.refuse import Impossible
from moonreach.practice import invented
from moonreach.practice.slips import SLIPS
from moonreach.reduction.summary import ClassSummary
from moonreach.sheet import tables
from moonreach.sheet.quantities import CONTACTS

SIZE = 8
SEEN = "shows", "hidden", "refused"
OF_PHASES = ("totality for entry time", "hours for minutes")
OF_HOURS = ("minutes as decimal hours",)


def random_truth(generator):
    """Return the truth of an invented night."""
    return invented.Truth(
        distance=generator.uniform(357e3, 406e3) * u.km,
        ratio=generator.uniform(2.62, 2.77),
        offset=generator.uniform(0, 0.5),
        altitude=generator.uniform(15, 70) * u.deg,
        south_zenith_distance=generator.uniform(15, 50) * u.deg,
    )


def with_phases(rows, unit=u.min, decimals=0):
    """Return a group's readings with both phases in place of its contacts, rounded as told."""
    times = {row.quantity: row for row in rows if row.quantity in CONTACTS}
    u1, u2, u3, u4 = (times[name].value.seconds / 60 for name in CONTACTS)
    kept = [row for row in rows if row.quantity not in CONTACTS]
    entry = ((u2 - u1) % 1440 + (u4 - u3) % 1440) / 2
    for name, minutes in (("partial_phase", entry), ("total_phase", (u3 - u2) % 1440)):
        value = round((minutes * u.min).to(unit), decimals)
        step = 0.5 * 10**-decimals * unit
        lasts = {"value": value, "resolution": step, "uncertainty": None}
        kept.append(replace(times[CONTACTS[0]], quantity=name, **lasts))
    return kept


def with_hours(rows):
    """Return readings of groups, three of which have both phases in decimal hours."""
    groups = {}
    for row in rows:
        groups.setdefault(row.group, []).append(row)
    timed = [name for name, mine in groups.items() if set(CONTACTS) <= {r.quantity for r in mine}]
    groups |= {name: with_phases(groups[name], u.h, 2) for name in timed[:3]}
    return [row for mine in groups.values() for row in mine]


def planted_class(generator, name):
    """Return rows of a class, those with a mistake in one of its groups, and that group's name."""
    rows = invented.practice_class([random_truth(generator)] * SIZE, int(generator.integers(1e9)))
    for place in generator.permutation(SIZE):
        group = invented.group_name(int(place))
        mine = [row for row in rows if row.group == group]
        mine = with_phases(mine) if name in OF_PHASES else mine
        made = SLIPS[name].made(mine)
        others = [row for row in rows if row.group != group]
        others = with_hours(others) if name in OF_HOURS else others
        if made != mine and len({row.quantity for row in mine}) > SIZE:
            return others + mine, others + made, group
    raise Impossible(f"no group has readings for {name}")


def shows(finder, group, right):
    """Return whether a mistake moves a part of a group by more than readings scatter."""
    expected, judged = finder.expected(group), finder.judged(group)
    before, after = (found.deviations(expected, judged) for found in (right, finder.parts[group]))
    return any(
        np.isfinite(before[part]) and abs(end - before[part]) > 3
        for part, end in after.items()
        if part in before
    )


def count(classes, seed):
    """Return the counts by mistake, and how many groups without one were accused and not."""
    generator, met, told = np.random.default_rng(seed), defaultdict(Counter), Counter()
    for number in range(classes):
        name = list(SLIPS)[number % len(SLIPS)]
        rows, wrong, group = planted_class(generator, name)
        sheet = tables.of_rows(wrong)
        finder = mistakes.Finder(ClassSummary(sheet))
        right = deviations.parts_of(tables.of_rows(rows).groups()[group])
        for one in finder.rows:
            likely = finder.likely(one)
            found = likely.name if likely else "missed"
            if one != group:
                told["accused" if likely else "clean"] += 1
                continue
            seen = "shows" if shows(finder, group, right) else "hidden"
            seen = "refused" if sheet.problems else seen
            met[name][seen, "named" if found == name else found] += 1
    return met, told


def main(classes=200, seed=1):
    """Print the counts."""
    start = time.perf_counter()
    met, told = count(int(classes), int(seed))
    total = Counter()
    print("named and planted where it shows, where not, where a limit refuses it; else found")
    for name in SLIPS:
        parts = []
        for seen in SEEN:
            planted = sum(n for (one, _), n in met[name].items() if one == seen)
            named = met[name][seen, "named"]
            total[seen, "named"] += named
            total[seen, "planted"] += planted
            parts.append(f"{named:>3} of {planted:>3}")
        rest = {" ".join(case): n for case, n in met[name].items() if case[1] != "named"}
        print(f"{name:<32} {'   '.join(parts)}   {rest or ''}")
    for seen in SEEN:
        print(f"named first, {seen}: {total[seen, 'named']} of {total[seen, 'planted']}")
    print(f"all: {sum(total[seen, 'named'] for seen in SEEN) / int(classes):.1%} (80 %)")
    print(f"accused {told['accused']} of {told.total()} groups without a mistake (5 %)")
    print(f"in {time.perf_counter() - start:.0f} s")


if __name__ == "__main__":
    main(*sys.argv[1:])
