"""Figures the photograph part must reach, on rendered pictures with invented plains.

    python tests/benchmarks/photographs.py --count 200 [--phone] [--first 40000] [--keep FILE]

prints, beside their bars, error and coverage of single pictures, of five of one night, of one with
a full Moon, and of nights of eight timed pictures. Intervals were set on seeds below 1000, and on
some from 5000 and 20000 on; what docs/accuracy.md tells was found on seeds from 40000 on, never
used before. A single picture takes some 2 s of one core, five take 9 s, a night of eight 20 s. With
``--keep`` a run that was broken off goes on where it was, and tells of all that it has.
"""

import argparse
import json
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from moonreach import sky
from moonreach.photo import measure_photographs
from moonreach.photo.phones import Phone
from moonreach.photo.rendered import Camera, Scene, offset_for, render, save_photograph
from moonreach.practice.photographs import photographs_of

HOLDS = 90, 98  # % of the intervals
BARS = {1: (6, 15), 5: (4, None), 8: (3, None)}  # pictures: % of median and 90th percentile


def random_camera(random, phone=False):
    """Return a camera within the ranges stated for the benchmark, a phone's if asked."""
    return Camera(
        phone=Phone.at_random(random) if phone else None,
        exposure=float(np.exp(random.uniform(-0.4, 1.0))),
        gamma=float(random.uniform(0.85, 1.18)),
        shoulder=float(random.choice([0, 0, 0.4])),
        noise=float(random.uniform(0.003, 0.02)),
        blur=float(random.uniform(0.5, 2)),
        halo=float(random.choice([0, 0, 0.02, 0.05])),
    )


def random_night(folder, seed, shares, full=False, largest=900, phone=False):
    """Render pictures of one night with those shares in shadow; return their paths and the ratio.

    Umbra 2.60 to 2.79 Moon radii, as on all dates of a century; the Moon passes at random.
    """
    random = np.random.default_rng([seed, 1])
    ratio, nearest = random.uniform(2.60, 2.79), random.uniform(0, 0.9)
    face = {
        "sun_ratio": random.uniform(0.95, 1.09),
        "glow": float(np.exp(random.uniform(-9, -5))),
        "plains_seed": seed,
        "plains_depth": random.uniform(0.15, 0.45),
    }
    direction, radius = random.uniform(0, 360), np.exp(random.uniform(np.log(60), np.log(largest)))
    nearest = min(nearest * ratio, ratio - 0.2)
    paths, camera = [], random_camera(random, phone=phone)
    for k, share in enumerate(shares):
        offset = max(offset_for(ratio, share), nearest + 1e-3)
        side = random.choice([-1, 1]) * np.degrees(np.arccos(nearest / offset))
        scene = Scene(ratio, offset, direction + side, **face)
        size = float(np.clip(radius * random.uniform(0.85, 1.15), 60, 900))
        shot = random_camera(random)
        if phone:  # one phone works all pictures of a night over alike; only the exposure differs
            shot = replace(camera, exposure=shot.exposure)
        made = render(scene, shot, size, rotation=random.uniform(0, 360), seed=seed * 10 + k)
        paths.append(Path(folder) / f"{seed}_{k}.jpg")
        save_photograph(paths[-1], *made, quality=int(random.integers(80, 96)))
    if full:
        scene = Scene(ratio, 20.0, 0.0, **face)
        shot = replace(camera if phone else random_camera(random), exposure=0.75)
        made = render(scene, shot, min(radius, 300.0), rotation=random.uniform(0, 360), seed=seed)
        paths.append(Path(folder) / f"{seed}_full.jpg")
        save_photograph(paths[-1], *made)
    return paths, ratio


def verdict(value, bar):
    """Return a figure's bar in words, and whether the figure keeps to it."""
    return f"(at most {bar} %: {'kept' if value <= bar else 'MISSED'})" if bar else ""


def report(name, results, asked, bars=(None, None), holds=None):
    """Print median and 90th percentile of the errors, coverage, and how many could not say.

    Parameters: rows of value, low, high and truth; how many were asked for; the most that both
    errors may be, and the least and most share of intervals that may hold the truth, in %.
    """
    if not results:
        print(f"{name}: none of {asked} could say")
        return
    value, low, high, truth = np.array(results).T
    error, inside = 100 * (value / truth - 1), (low <= truth) & (truth <= high)
    median, most = np.median(np.abs(error)), np.quantile(np.abs(error), 0.9)
    held = 100 * inside.mean()
    bar = ""
    if holds:
        kept = "kept" if holds[0] <= held <= holds[1] else "MISSED"
        bar = f" ({holds[0]} to {holds[1]} %: {kept})"
    print(
        f"{name}: {len(error)} of {asked} measured\n"
        f"   median |error| {median:.1f} % {verdict(median, bars[0])}\n"
        f"   90 % under {most:.1f} % {verdict(most, bars[1])}\n"
        f"   truth held in {inside.sum()} of {len(inside)}, {held:.1f} %{bar}\n"
        f"   half-width {50 * np.median((high - low) / value):.1f} %, "
        f"bias {np.median(error):+.1f} %, worst {np.abs(error).max():.1f} %",
        flush=True,
    )


class Kept:
    """What was found of each part and seed, in a file of JSON lines if one is given."""

    def __init__(self, path=None):
        self.path, self.found = path, {}
        if path and path.is_file():
            lines = map(json.loads, path.read_text(encoding="utf-8").splitlines())
            self.found = {(part, seed): result for part, seed, result in lines}

    def of(self, part, seeds, work):
        """Return what ``work`` finds of each seed, found before or now."""
        for seed in seeds:
            if (part, seed) not in self.found:
                self.found[part, seed] = work(seed)
                if self.path:
                    with self.path.open("a", encoding="utf-8") as file:
                        print(json.dumps([part, seed, self.found[part, seed]]), file=file)
        return [self.found[part, seed] for seed in seeds]


def row(ratio, truth):
    """Return value, low and high of an `Interval`, or None, and the truth as a row."""
    return ratio and [ratio.value, ratio.low, ratio.high, truth]


def pictures_of(seed, pictures, **how):
    """Measure that many pictures of one random night; return its row, or why there is none."""
    shares = np.random.default_rng([seed, 2]).uniform(0.15, 0.85, pictures)
    with TemporaryDirectory() as folder:
        paths, truth = random_night(folder, seed, shares, **how)
        measured = measure_photographs(paths)
    return row(measured.joint, truth) or measured.photographs[0].message


def many(name, kept, seeds, pictures, **how):
    """Measure random nights of that many pictures, and report."""
    part = f"{name}{', phones' * how['phone']}"
    found = kept.of(part, seeds, lambda seed: pictures_of(seed, pictures, **how))
    rows = [each for each in found if not isinstance(each, str)]
    report(part, rows, len(seeds), BARS[pictures], HOLDS)
    for seed, each in zip(seeds, found, strict=True):
        if isinstance(each, str):
            print("   could not say:", seed, each)


def night_of(dates, seed, pictures=8):
    """Measure timed pictures of both sides of a total eclipse, through one phone.

    The sky is that of the night; the Moon's size is known as by a rod, to 1 %. Returns the rows of
    motion and of curvature alone, and of each contact its error and standard uncertainty in s.
    """
    random = np.random.default_rng([seed, 4])
    eclipse = sky.eclipse_on(str(random.choice(dates))[:10])
    moon = eclipse.moon_semidiameter * random.normal(1, 0.01), 0.01 * eclipse.moon_semidiameter
    with TemporaryDirectory() as folder:
        date = str(eclipse.greatest)[:10]
        paths = photographs_of(date, pictures, seed, Path(folder), phone=True)[:pictures]
        measured = measure_photographs(paths, moon=moon)
    truth, night = float(eclipse.shadow_ratio), measured.night
    contacts = [
        (float((moment - eclipse.contacts[int(name[1])]) / np.timedelta64(1, "s")), float(sd))
        for name, (moment, sd) in (night.contacts if night else {}).items()
    ]
    return row(night and night.ratio, truth), row(measured.joint, truth), contacts


def nights(kept, seeds):
    """Measure timed nights of the total eclipses of a century, and report."""
    every = sky.lunar_eclipses("2001-01-01", "2100-12-31")
    dates = every.greatest[every.kind == "total"]
    found = kept.of("nights", seeds, lambda seed: night_of(dates, seed))
    motion, curvature, contacts = zip(*found, strict=True)
    name = "eight timed pictures of one night, phones"
    report(name, list(filter(None, motion)), len(seeds), BARS[8], HOLDS)
    report("   the same by curvature alone", list(filter(None, curvature)), len(seeds))
    late, sd = np.abs([contact for night in contacts for contact in night]).T
    print(
        f"   contacts: median |error| {np.median(late):.0f} s, 90 % under "
        f"{np.quantile(late, 0.9):.0f} s, held in {100 * np.mean(late < 1.96 * sd):.1f} %",
        flush=True,
    )


def main():
    """Run the benchmark."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=200, help="of each part")
    parser.add_argument("--only", choices=["single", "joint", "full", "nights"])
    parser.add_argument("--phone", action="store_true", help="through invented phones")
    parser.add_argument("--first", type=int, default=5000, help="the first seed")
    parser.add_argument("--largest", type=float, default=900.0, help="radius of a Moon in px")
    parser.add_argument("--keep", type=Path, metavar="FILE", help="of what was found so far")
    arguments = parser.parse_args()
    only, kept, first = arguments.only, Kept(arguments.keep), arguments.first
    single, joint, full, timed = (
        range(start, start + arguments.count) for start in range(first, first + 4000, 1000)
    )
    how = {"phone": arguments.phone, "largest": arguments.largest}
    if only in (None, "single"):
        many("single pictures", kept, single, 1, **how)
    how["largest"] = min(arguments.largest, 400.0)
    if only in (None, "joint"):
        many("five of one night", kept, joint, 5, **how)
    if only in (None, "full"):
        many("one with a full Moon", kept, full, 1, full=True, **how)
    if only in (None, "nights"):
        nights(kept, timed)


if __name__ == "__main__":
    main()
