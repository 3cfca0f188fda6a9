"""How often is a planted mistake named, and how often is a group without one accused?

    python tests/benchmarks/report.py [slips] [seed]

Invented classes of ten under invented nights, in each of which two groups make a slip; at last
the time and size of reports of 30 and of 300 groups.
"""

import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

import numpy as np
from astropy import units as u

from moonreach.exercises.mistakes import Finder
from moonreach.practice import invented
from moonreach.practice.slips import SLIPS
from moonreach.reduction.summary import ClassSummary
from moonreach.sheet import tables

SIZE = 10
OF_BOTH = ("readings swapped", "forgot the hole", "rim called too early")  # need both readings
OF_PHASES = ("totality for entry time", "hours for minutes")  # no invented group has any


def random_class(generator, planted):
    """Return the sheet of an invented class, and the slip of each group that made one.

    Parameters: a numpy generator and the names of slips to plant.
    """
    truth = invented.Truth(
        distance=generator.uniform(357e3, 406e3) * u.km,
        ratio=generator.uniform(2.62, 2.77),
        offset=generator.uniform(0, 0.5),
        altitude=generator.uniform(15, 70) * u.deg,
        south_zenith_distance=generator.uniform(15, 50) * u.deg,
    )
    places = generator.permutation([i for i in range(SIZE) if i % 5 != 4])  # all lessons done
    slips = {}
    for name in planted:
        photograph = name in ("diameter for radius", "circles swapped")
        fit = [i for i in places if i not in slips and (i % 3 == 0 or not photograph)]
        fit = [i for i in fit if i % 4 != 2 or name not in OF_BOTH]
        slips[int(fit[0])] = name
    rows = invented.practice_class([truth] * SIZE, int(generator.integers(1e9)), slips=slips)
    return tables.of_rows(rows), {invented.group_name(i): name for i, name in slips.items()}


def count(total, seed):
    """Return how often each planted slip was named, missed or mistaken, and the accused."""
    generator, met, told = np.random.default_rng(seed), Counter(), Counter()
    names = [name for name in SLIPS if name not in OF_PHASES]
    for start in range(0, total, 2):
        sheet, slips = random_class(generator, [names[(start + i) % len(names)] for i in (0, 1)])
        finder = Finder(ClassSummary(sheet))
        for group in sheet.groups():
            likely, planted = finder.likely(group), slips.get(group)
            found = likely.name if likely else None
            if planted:
                met["named" if found == planted else "mistaken" if found else "missed"] += 1
                if found != planted:
                    told[planted, found] += 1
            else:
                met["accused" if found else "clean"] += 1
                told["ACCUSED", found] += bool(found)
    return met, told


def main(total=200, seed=1):
    """Print the counts, and what a report takes."""
    start = time.perf_counter()
    met, told = count(int(total), int(seed))
    planted = met["named"] + met["mistaken"] + met["missed"]
    clean = met["accused"] + met["clean"]
    print(f"named first  {met['named']:>4} of {planted}: {met['named'] / planted:.1%} (80 %)")
    print(f"accused      {met['accused']:>4} of {clean}: {met['accused'] / clean:.2%} (5 %)")
    print(f"in {time.perf_counter() - start:.1f} s")
    for case, number in told.most_common():
        if number:
            print(f"  {number:>3}  {case}")
    from moonreach import report

    with tempfile.TemporaryDirectory() as folder:
        for groups in (30, 300):
            sheet = Path(folder) / f"{groups}.csv"
            tables.write(sheet, invented.practice_class([invented.Truth()] * groups, 7))
            for out in (sheet.with_suffix(".html"), sheet.with_suffix(".pdf")):
                start = time.perf_counter()
                report.write([sheet], [out])
                seconds = time.perf_counter() - start
                megabytes = out.stat().st_size / 1e6
                print(f"{groups:>4} groups, {out.suffix}: {seconds:.1f} s, {megabytes:.2f} MB")


if __name__ == "__main__":
    main(*sys.argv[1:])
