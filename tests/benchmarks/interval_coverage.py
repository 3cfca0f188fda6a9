"""How often do the 95 % intervals hold the truth? `python tests/benchmarks/interval_coverage.py`

Each simulated group lives in a world of its own: shadow ratio 2.6 to 2.8, path offset 0 to 0.6
shadow radii, distance 356 000 to 407 000 km, sight hole 0.5 to 2 mm, hands steadier than the usual
ones or less steady, habits of their own with the rod, and departures from the chain's assumptions
drawn from their stated uncertainties. A fair interval holds 93 to 97 %.
"""

import sys
import tempfile
from dataclasses import replace
from pathlib import Path

import numpy as np
from astropy import units as u

from moonreach.practice.hands import Hands
from moonreach.practice.invented import Truth, group_rows
from moonreach.reduction import chain
from moonreach.reduction.group import reduce_group
from moonreach.reduction.inputs import assumption
from moonreach.sheet import tables
from moonreach.sheet.quantities import PRIOR


def random_truth(generator):
    """Return a world drawn from the ranges in which the intervals must be fair."""

    def departure(name):
        assumed = assumption(name)
        return (assumed.value + assumed.cloud.pdf_std() * generator.standard_normal()).value

    return Truth(
        distance=generator.uniform(356_000, 407_000) * u.km,
        ratio=generator.uniform(2.6, 2.8),
        offset=generator.uniform(0, 0.6),
        altitude=generator.uniform(10, 60) * u.deg,
        meridian=generator.uniform(0.995, 1.005),
        cone=departure(chain.CONE_AND_RATE),
        enlargement=departure(chain.SHARP_EDGE),
        rate_factor=departure(chain.MOON_RATE) ** 0.5,
    )


def some_hands(generator, usual=None):
    """Return the hands of some group: steadier than the usual ones, or less steady.

    As much so as the weight of what is usual leaves open (`quantities.PRIOR`).
    """
    usual = usual or Hands()
    shadow, sighting = np.sqrt(PRIOR / generator.chisquare(PRIOR, 2))
    return replace(usual, shadow=shadow * usual.shadow, sighting=sighting * usual.sighting)


def simulate(count, sightings, seed=1, hands=None, calibrated=False):
    """Return, for each result, the list of whether each group's interval holds the truth."""
    generator = np.random.default_rng(seed)
    truths, rows = {}, []
    for index in range(count):
        name, truth = f"G{index}", random_truth(generator)
        truths[name] = truth
        hole = generator.uniform(0.5, 2) * u.mm
        some = some_hands(generator, hands)
        rows += group_rows(name, truth, some, generator, hole, sightings, False, calibrated)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "sheet.csv"
        tables.write(path, rows)
        groups = tables.read(path).groups()
    held = {"earth": [], "ratio": [], "angle": [], "diameters": [], "kilometres": []}
    widths = []
    for name, readings in groups.items():
        found, truth = reduce_group(name, readings), truths[name]
        pairs = (
            ("earth", found.outcome("earth_diameter"), truth.earth_diameter.to_value(u.km)),
            ("ratio", found.outcome("ratio"), truth.ratio),
            ("angle", found.outcome("angle"), truth.angle.to_value(u.arcmin)),
            (
                "diameters",
                found.outcome("distance_earth_diameters"),
                (truth.distance / truth.earth_diameter).to_value(u.one),
            ),
            ("kilometres", found.outcome("distance_km"), truth.distance.to_value(u.km)),
        )
        for key, outcome, true in pairs:
            held[key].append(outcome.low <= true <= outcome.high)
        widths.append(
            found.outcome("distance_earth_diameters").standard
            / found.outcome("distance_earth_diameters").value
        )
    return held, float(np.median(widths))


def main(count):
    """Print how often intervals hold, by how often things were read and how the rod was used."""
    for calibrated in (True, False):
        for sightings in ("both", "vanish"):
            for number in (1, 2, 3, 6):
                hands = Hands(shadow_readings=number, sighting_readings=number)
                held, width = simulate(count, sightings, 3, hands, calibrated)
                rates = ", ".join(f"{key} {np.mean(hits):.1%}" for key, hits in held.items())
                tried = "tried on a target" if calibrated else "not tried"
                print(f"rod {tried}, {sightings}, {number} readings: {rates}; D/2R ±{width:.1%}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
