"""Does the class's interval hold the truth where groups share readings?

`python tests/benchmarks/shared_readings.py [CLASSES]`: classes of eight groups, each class in a
world of its own (as in `interval_coverage.py`), with nothing shared, with one partner class and
road, and with one set of contacts besides. A fair 95 % interval holds 93 to 98 % of the truths.
"""

import sys
from dataclasses import replace

import numpy as np
from astropy import units as u
from interval_coverage import random_truth, some_hands

from moonreach.practice.invented import group_rows
from moonreach.reduction.summary import ClassSummary
from moonreach.sheet.quantities import CONTACTS
from moonreach.sheet.tables import Sheet

ROAD = ("north_south_distance", "south_gnomon_height", "south_shadow_length")
SHARED = {"nothing": (), "road and south": ROAD, "contacts too": (*ROAD, *CONTACTS)}
SIZE = 8


def class_of(generator, names):
    """Return the truth of a class and its sheet, in which groups share these readings."""
    truth, readings, first = random_truth(generator), [], []
    for number in range(SIZE):
        hole = generator.uniform(0.5, 2) * u.mm
        group = f"G{number}"
        rows = group_rows(group, truth, some_hands(generator), generator, hole, "both", False)
        first = first or rows
        own = [row for row in rows if row.quantity not in names]
        readings += own + [replace(row, group=group) for row in first if row.quantity in names]
    return truth, Sheet(readings)


def simulate(count, names, seed=5):
    """Return how often the class's intervals held: of Earth, of diameters, of kilometres."""
    generator, held = np.random.default_rng(seed), []
    for _ in range(count):
        truth, sheet = class_of(generator, names)
        results = ClassSummary(sheet).results
        right = {
            "earth_diameter": truth.earth_diameter.to_value(u.km),
            "distance_earth_diameters": (truth.distance / truth.earth_diameter).to_value(u.one),
            "distance_km": truth.distance.to_value(u.km),
        }
        held.append(
            [results[key].low <= value <= results[key].high for key, value in right.items()]
        )
    return np.mean(held, axis=0)


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    for words, names in SHARED.items():
        earth, diameters, km = simulate(count, names)
        print(f"{words:<15} Earth {earth:.1%}, diameters {diameters:.1%}, kilometres {km:.1%}")
