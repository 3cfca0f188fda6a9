"""One step of each live figure against the usual way.

Run: python tests/benchmarks/sliders.py

A step moves the artists, draws what moves over the picture of what stands still, and encodes
it. The usual way is what a notebook does when the whole figure is made anew at each step: build
it, and write a PNG, with and without cutting the margins as a notebook's inline figures do.
The fastest of several rounds counts, as a busy machine only adds.
Bars: a step under 17 ms, and at most 1/6 of the usual way (inline figures have cut margins).
"""

import io
import sys
import time
from pathlib import Path

from moonreach.figures import style

sys.path.append(str(Path(__file__).parents[1]))
from drawings import ALL

ROUNDS = 12


def milliseconds(work):
    """Return how long one call takes."""
    start = time.perf_counter()
    work()
    return 1000 * (time.perf_counter() - start)


def made_anew(kind, values, **how):
    """Build the drawing and write it as a PNG."""
    drawing = kind()
    drawing.set(**values)
    with style.look():
        drawing.figure.savefig(io.BytesIO(), format="png", **how)


def main():
    """Print a line for each end of each slider of each drawing."""
    print(f"{'drawing':22}{'slider':22}{'value':>8}{'step':>7}{'anew':>8}{'ratio':>7}{'cut':>8}")
    worst_step = worst_ratio = worst_cut = 0
    for kind in ALL:
        drawing = kind()
        drawing.jpeg()
        for slider in drawing.sliders:
            for value in (slider.least, slider.greatest):
                values = {slider.name: value}
                steps, anew, cut = [], [], []
                for _ in range(ROUNDS):  # side by side, so that a busy machine slows all alike
                    drawing.jpeg()
                    steps.append(milliseconds(lambda d=drawing, v=values: d.jpeg(**v)))
                    if len(anew) < ROUNDS // 3:
                        anew.append(milliseconds(lambda k=kind, v=values: made_anew(k, v)))
                        cut.append(
                            milliseconds(
                                lambda k=kind, v=values: made_anew(k, v, bbox_inches="tight")
                            )
                        )
                step, usual, tight = map(min, (steps, anew, cut))
                worst_step = max(worst_step, step)
                worst_ratio = max(worst_ratio, step / usual)
                worst_cut = max(worst_cut, step / tight)
                print(
                    f"{kind.__name__:22}{slider.name:22}{value:8g}{step:7.1f}{usual:8.1f}"
                    f"{step / usual:7.3f}{step / tight:8.3f}"
                )
    print(
        f"slowest step {worst_step:.1f} ms (bar 17); largest ratio {worst_ratio:.3f}, against "
        f"figures with cut margins {worst_cut:.3f} (bar {1 / 6:.3f})"
    )


if __name__ == "__main__":
    main()
