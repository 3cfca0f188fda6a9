"""How long photographs of 12 megapixels take, and how much memory.

    python tests/benchmarks/photographs_time.py [--times 5] [--folder FOLDER]

renders five, unless the folder has them, and prints beside their bars the time of one and of five
together, of their command in a process of its own and of the measuring alone.
"""

import argparse
import subprocess
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory

from moonreach.photo.rendered import Camera, Scene, offset_for, render, save_photograph

SIZE = (4000, 3000)
SHARES = (0.25, 0.4, 0.5, 0.6, 0.75)  # of the Moon in shadow
BARS = {1: 2.5, 5: 8.0}  # pictures: seconds of the measuring on two cores
MEASURE = """
import sys, time
from pathlib import Path
from moonreach.__main__ import main
from moonreach.photo import measure
whole = measure.measure_photographs
def timed(*given):
    start = time.perf_counter()
    found = whole(*given)
    print(time.perf_counter() - start, file=sys.stderr)
    return found
import moonreach.photo
moonreach.photo.measure_photographs = timed
main(["photo", *sys.argv[1:]])
status = Path("/proc/self/status").read_text(encoding="utf-8").splitlines()
print(*[line.split()[1] for line in status if line.startswith("VmHWM")], file=sys.stderr)
"""


def lay(folder):
    """Render the pictures into a folder unless they are there; return their paths."""
    paths = [Path(folder) / f"large_{number}.jpg" for number in range(len(SHARES))]
    for path, share in zip(paths, SHARES, strict=True):
        if not path.is_file():
            scene = Scene(offset=offset_for(2.7, share), plains_seed=3)
            save_photograph(path, *render(scene, Camera(), 0.3 * SIZE[1], SIZE))
    return paths


def measured(paths):
    """Return the seconds of the measuring, those of the whole command, and its memory in MB."""
    start = time.perf_counter()
    command = [sys.executable, "-c", MEASURE, *map(str, paths)]
    told = subprocess.run(command, check=False, capture_output=True, text=True)
    took = time.perf_counter() - start
    seconds, memory = map(float, told.stderr.split())
    return seconds, took, memory / 1000


def main():
    """Run the benchmark."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--times", type=int, default=5, help="how often each is measured")
    parser.add_argument("--folder", type=Path, help="of the pictures, kept there")
    arguments = parser.parse_args()
    with TemporaryDirectory() as folder:
        paths = lay(arguments.folder or folder)
        for count, bar in BARS.items():
            runs = [measured(paths[:count]) for _ in range(arguments.times)]
            seconds, whole, memory = zip(*runs, strict=True)
            verdict = "kept" if max(seconds) <= bar else "MISSED"
            print(
                f"{count} of 12 megapixels: {min(seconds):.1f} to {max(seconds):.1f} s (at most "
                f"{bar} s: {verdict}), with the program's start {min(whole):.1f} to "
                f"{max(whole):.1f} s, {max(memory):.0f} MB",
                flush=True,
            )


if __name__ == "__main__":
    main()
