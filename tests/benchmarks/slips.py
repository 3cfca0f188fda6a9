"""How often is a slip called by its name? For invented groups under invented nights.

    python tests/benchmarks/slips.py [groups] [seed]

Each slip's answer, to three digits, is handed in as a student's; so is each right answer.
"""

import sys
import time
from collections import Counter

import numpy as np
from astropy import units as u

from moonreach import exercises
from moonreach.exercises.checking import in_unit
from moonreach.lessons.refuse import Impossible
from moonreach.practice import invented as practice
from moonreach.practice.further import further_rows
from moonreach.sheet import tables


def random_readings(generator):
    """Return the `Readings` of an invented group under an invented night."""
    truth = practice.Truth(
        distance=generator.uniform(357e3, 406e3) * u.km,
        ratio=generator.uniform(2.62, 2.77),
        offset=generator.uniform(0, 0.55),
        altitude=generator.uniform(15, 70) * u.deg,
        south_zenith_distance=generator.uniform(2, 55) * u.deg,
        north_south_distance=generator.uniform(400, 1500) * u.km,
    )
    rows = practice.group_rows("Heron", truth, practice.Hands(), generator)
    rows += further_rows("Heron", generator, truth.distance)
    return exercises.Readings("Heron", tables.of_rows(rows).readings, invented=True)


def wrong_answers(exercise, readings):
    """Yield each slip of an exercise with each answer it gives, to three digits."""
    for slip in exercise.wrong_ways:
        try:
            with np.errstate(all="ignore"):
                found = np.atleast_1d(in_unit(slip.value(readings), exercise.unit))
        except Impossible:
            continue
        for value in found[np.isfinite(found) & (found != 0)]:
            yield slip, float(f"{value:.3g}")


def count(groups, seed):
    """Return how the answers were met, in all and for the cases that were not named."""
    generator, met, unnamed = np.random.default_rng(seed), Counter(), Counter()
    for _ in range(groups):
        readings = random_readings(generator)
        for exercise in exercises.EXERCISES.values():
            try:
                right = float(f"{in_unit(exercise.answer(readings), exercise.unit):.3g}")
            except Impossible:  # a half Moon or a pair whose lines never meet
                met["without an answer"] += 1
                continue
            verdict = exercises.judge(exercise, readings, str(right))
            met["right accepted" if verdict.state == "right" else "RIGHT REFUSED"] += 1
            for slip, answer in wrong_answers(exercise, readings):
                verdict = exercises.judge(exercise, readings, str(answer))
                if verdict.state == "right":
                    met["slip as good as right"] += 1
                elif verdict.slip == slip.name:
                    met["slip named"] += 1
                else:
                    met["slip taken for another" if verdict.slip else "slip not accused"] += 1
                    unnamed[exercise.key, slip.name, verdict.slip] += 1
    return met, unnamed


def main(groups=200, seed=1):
    """Print the counts."""
    start = time.perf_counter()
    met, unnamed = count(int(groups), int(seed))
    seconds = time.perf_counter() - start
    for name, number in met.most_common():
        print(f"{name:<24} {number:>7}")
    wrong = met["slip named"] + met["slip not accused"] + met["slip taken for another"]
    answers = sum(met.values())
    print(f"named, of the wrong ones {met['slip named'] / wrong:7.2%}")
    print(f"{answers} answers in {seconds:.1f} s: {seconds / answers * 1000:.2f} ms each")
    for case, number in unnamed.most_common(10):
        print(f"  {number:>4}  {case}")


if __name__ == "__main__":
    main(*sys.argv[1:])
