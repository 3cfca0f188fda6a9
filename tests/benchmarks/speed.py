"""How fast is the main job? Run from the project's folder: python tests/benchmarks/speed.py

Prints each figure with its bar: the command line on the practice class against the bare imports,
1 000 groups against 100, and one chain on 100 000 draws against the same formula in bare numpy.
"""

import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from astropy import units as u
from astropy.uncertainty import Distribution

from moonreach.lessons import moon_distance, shadow_cone, sighting_angle
from moonreach.practice.invented import Truth, practice_class
from moonreach.sheet import tables

IMPORTS = "import astropy.units, astropy.uncertainty, numpy"
PRACTICE = Path(__file__).parents[2] / "data" / "practice_class.csv"


def fastest(action, times=5):
    """Return the least seconds of several runs."""
    seconds = []
    for _ in range(times):
        start = time.perf_counter()
        action()
        seconds.append(time.perf_counter() - start)
    return min(seconds)


def command(*words):
    """Run Python with the words, its output thrown away."""
    subprocess.run([sys.executable, *map(str, words)], stdout=subprocess.DEVNULL, check=False)


def command_line():
    """Compare `reduce` on the practice class with the imports that it cannot do without."""
    bare = fastest(lambda: command("-c", IMPORTS))
    whole = fastest(lambda: command("-m", "moonreach", "reduce", PRACTICE))
    print(f"reduce, practice class  {whole:6.2f} s   (bar {2.5 * bare + 1:.2f} s)")


def many_groups():
    """Compare 1 000 groups with 100."""
    with tempfile.TemporaryDirectory() as folder:
        seconds = {}
        for count in (100, 1000):
            path = Path(folder) / f"{count}.csv"
            tables.write(path, practice_class([Truth()] * count, seed=1))
            words = ("-m", "moonreach", "reduce", path)
            seconds[count] = fastest(lambda words=words: command(*words), times=2)
    ratio = seconds[1000] / seconds[100]
    print(f"1000 groups             {seconds[1000]:6.2f} s   (bar 15 s)")
    print(f"1000 groups / 100       {ratio:6.2f}     (bar 11)")


def one_chain():
    """Compare the lesson functions on a cloud with the same formula on bare arrays."""
    generator = np.random.default_rng(1)
    raw = [
        centre + width * generator.standard_normal(100_000)
        for centre, width in ((14, 0.1), (1430, 15), (1650, 15), (2.7, 0.1), (35, 2))
    ]
    units = (u.mm, u.mm, u.mm, u.one, u.deg)
    clouds = [Distribution(numbers * unit) for numbers, unit in zip(raw, units, strict=True)]

    def ours():
        disc, vanish, rim, x, altitude = clouds
        angle = sighting_angle.bracketed_angular_diameter(disc, vanish, rim)
        near = moon_distance.distance_in_earth_diameters(angle, shadow_cone.earth_in_moons(x))
        return moon_distance.geocentric_distance(near, altitude, 0.5)

    def bare():
        disc, vanish, rim, x, altitude = raw
        angle = 2 * np.arctan(disc / (vanish + rim))
        near = 0.5 / np.sin(angle / 2) / (1 + x)
        return np.sqrt(near**2 + 0.25 + near * np.sin(np.radians(altitude)))

    assert np.allclose(ours().distribution.value, bare())
    ratio = fastest(ours, 20) / fastest(bare, 20)
    print(f"chain / bare numpy      {ratio:6.2f}     (bar 4)")


if __name__ == "__main__":
    command_line()
    many_groups()
    one_chain()
