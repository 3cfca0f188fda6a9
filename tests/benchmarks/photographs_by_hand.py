"""How circles that people lay on rendered pictures by clicks fare.

    python tests/benchmarks/photographs_by_hand.py [--count 200]

prints error and coverage of three people's circles, and how often the clicks' own interval holds.
"""

import argparse
import json
from tempfile import TemporaryDirectory

import numpy as np
from photographs import random_night, report

from moonreach.figures.overlay import HEIGHT, ROOM
from moonreach.lessons.refuse import Impossible
from moonreach.notebook.by_machine import clicked
from moonreach.photo import Circle, read_picture, visible_edge
from moonreach.photo.circle import fit_circle
from moonreach.photo.clicks import CAREFUL, Circles, together

FIRST = 5000


def clicks(count):
    """Fit three people's clicks, six points with 2 px of scatter, on the edge of a visible arc."""
    held = []
    for seed in range(FIRST, FIRST + count):
        random = np.random.default_rng(seed)
        angle = np.tile(np.linspace(-0.36, 0.36, 6), 3)
        points = 270 * np.stack([np.cos(angle), np.sin(angle)], axis=1)
        fit = fit_circle(points + random.normal(0, 2, points.shape))
        held.append(fit.interval.low <= 270 <= fit.interval.high)
    print(
        f"clicks: the interval holds the radius of the visible edge in {100 * np.mean(held):.0f} %"
    )


def by_hand(count):
    """Let three people lay circles on rendered pictures, on the edge that the eye sees.

    Clicks scatter by 2 px of the screen; 30 to 70 % of the Moon are in shadow. The truth is the
    visible edge of the same picture without plains.
    """
    found = {"visible": [], "geometric": []}
    for seed in range(FIRST, FIRST + count):
        share = np.random.default_rng([seed, 3]).uniform(0.3, 0.7)
        with TemporaryDirectory() as folder:
            paths, ratio = random_night(folder, seed, [share], largest=200)
            truth = json.loads(paths[0].with_suffix(".truth.json").read_text(encoding="utf-8"))
            light = read_picture(paths[0]).light
        camera, radius = truth["camera"], truth["moon"]["radius"]
        scatter = CAREFUL * 2 * ROOM * radius / HEIGHT
        try:
            circles = Circles(*(Circle(**truth[name]) for name in ("moon", "shadow")))
            tries = clicked(light, circles, scatter, seed)
        except Impossible:
            continue
        hand = together(tries).ratio
        seen = visible_edge(
            ratio,
            truth["scene"]["sun_ratio"],
            camera["exposure"],
            truth["scene"]["glow"],
            camera["blur"] / radius,
        )
        for name, true in (("visible", seen), ("geometric", ratio)):
            found[name].append((hand.value, hand.low, hand.high, true))
    for name, results in found.items():
        report(f"three people by hand, {name} edge", results, count)


def main():
    """Run the benchmark."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=200, help="pictures")
    count = parser.parse_args().count
    clicks(count * 5)
    by_hand(count)


if __name__ == "__main__":
    main()
