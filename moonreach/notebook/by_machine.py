"""The machine's circles beside those laid by hand, and how far apart the two see the edge.

The machine is the command `moonreach photo`, in a process of its own: there its matrices use one
thread, which is several times faster on a shared computer, and a kernel cannot change that any
more once numpy is loaded.
"""

import json
import os
import subprocess
import sys
from base64 import b64encode
from functools import cache
from pathlib import Path

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from moonreach.figures import style
from moonreach.figures.overlay import png_of
from moonreach.figures.photograph import draw_circles
from moonreach.lessons.refuse import Impossible, capital, require, sentence
from moonreach.notebook.overlay import PICTURE, Overlay, photograph, shipped
from moonreach.notebook.said import Said
from moonreach.photo import Interval, Photograph
from moonreach.photo.by_hand import TRIES, Marks, together
from moonreach.photo.edge_by_eye import edge_points

INVENTED = "three invented people"
POINTS = 6  # of each on each circle


def beside(desk, night=()):
    """Return `Beside` for a `Desk`: by hand and by machine, on the photograph shown last.

    Parameters: the desk; paths of the photographs of that night. By hand are the group's three
    tries; without a group three invented people's, who click on the edge that the eye sees. A
    sentence comes back while a group has fewer tries, or where the picture cannot be measured.
    """
    try:
        return _beside(desk, night)
    except (Impossible, OSError) as error:
        return Said(sentence(error))


def _beside(desk, night):
    overlay = list(desk.overlays.values())[-1] if desk.overlays else photograph(desk)
    require(isinstance(overlay, Overlay), "{}", overlay)
    tries = overlay.marks.tries
    require(
        len(tries) >= TRIES or not desk.sheet,
        "first keep {} tries of your own (so far {}); then the machine shows its circles",
        TRIES,
        len(tries),
    )
    if not night and overlay.path == shipped(PICTURE):
        night = sorted(overlay.path.parent.glob("*.jpg"))
    others = [path for path in map(Path, night) if path.resolve() != overlay.path.resolve()]
    found = measured((str(overlay.path), *map(str, others)))
    one, joint = found["photographs"][0], found["joint"] if others else None
    require(one["shadow"] is not None, "the machine on {}: {}", one["file"], one["message"])
    whose = "by hand"
    if len(tries) < TRIES:
        light, careful = overlay.view.light, overlay.marks.careful
        tries, whose = clicked(light, one["moon"], one["shadow"], careful), INVENTED
    return Beside(overlay.path, one, joint, tries, whose)


@cache
def measured(paths):
    """Return what `moonreach photo --json` finds in photographs of one night.

    Parameters: their paths, as a tuple. Raises `Impossible` with its own words where it fails.
    """
    home = str(Path(__file__).parents[2])
    ways = os.pathsep.join(filter(None, [home, os.environ.get("PYTHONPATH")]))
    done = subprocess.run(
        [sys.executable, "-P", "-m", "moonreach", "photo", "--json", *paths],
        capture_output=True,
        encoding="utf-8",
        env=os.environ | {"OPENBLAS_NUM_THREADS": "1", "PYTHONPATH": ways, "PYTHONUTF8": "1"},
        check=False,
    )
    try:
        return json.loads(done.stdout)
    except json.JSONDecodeError:
        lines = done.stderr.strip().splitlines() or ["it says nothing"]
        raise Impossible(f"the machine did not get through: {lines[-1]}") from None


def clicked(light, moon, shadow, scatter, seed=7):
    """Return three tries of three invented people, as a `Marks` keeps them.

    Each clicks six points on the bright limb and six on the edge that the eye sees. Parameters:
    the picture's linear light; where the Moon and the shadow are, dictionaries x, y, radius; how
    far clicks scatter in either direction; all in px.
    """
    random = np.random.default_rng(seed)
    marks = Marks(careful=scatter)
    away = np.arctan2(moon["y"] - shadow["y"], moon["x"] - shadow["x"])
    turn = away + np.radians(np.linspace(-75, 75, POINTS))
    limb = [moon["x"], moon["y"]] + moon["radius"] * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    for _ in range(TRIES):
        for name, points in (("moon", limb), ("shadow", edge_points(light, moon, shadow, POINTS))):
            for x, y in points + random.normal(0, scatter, points.shape):
                marks.add(name, float(x), float(y))
        marks.keep()
    return marks.tries


def outside(circle, moon, shadow):
    """Return how far a circle's edge lies outside another's, as a share of the other's radius.

    Parameters: the circle, a `Laid`, and dictionaries x, y, radius of the Moon and of the other.
    Taken on the line through both centres, where the Moon's disc shows the edge.
    """
    middle = np.array([shadow["x"], shadow["y"]])
    towards = np.array([moon["x"], moon["y"]]) - middle
    towards = towards / np.hypot(*towards)
    back = middle - [circle.x, circle.y]
    along = back @ towards
    root = along**2 - back @ back + circle.radius**2
    return float((np.sqrt(max(root, 0)) - along) / shadow["radius"] - 1)


class Beside:
    """By hand and by machine: a picture with both pairs of circles, and what they say in words."""

    def __init__(self, path, one, joint, tries, whose):
        """Compare tries with what the machine found in one picture, and in its whole night."""
        self.path, self.one, self.joint, self.tries, self.whose = path, one, joint, tries, whose
        self.hand = together(tries)
        shifts = [outside(shadow, one["moon"], one["shadow"]) for _, shadow in tries]
        self.shift, self.shift_spread = float(np.mean(shifts)), float(np.std(shifts, ddof=1))

    def __repr__(self):
        ratio = self.one["shadow_ratio"]
        where = "outside" if self.shift >= 0 else "inside"
        shift, spread = 100 * abs(self.shift), 100 * self.shift_spread
        lines = [
            f"Shadow / Moon, {self.whose}: {self.hand.ratio}.",
            f"By machine, the same picture: {_said(ratio)}.",
            *(
                [f"By machine, that night's pictures together: {_said(self.joint)}."]
                * bool(self.joint)
            ),
            f"Across the Moon's middle the edge by hand lies {shift:.1f} % of the "
            f"shadow's radius {where} the machine's (from try to try ±{spread:.1f} %).",
        ]
        if (truth := self.path.with_suffix(".truth.json")).is_file():
            made = json.loads(truth.read_text(encoding="utf-8"))["shadow_ratio"]
            lines.append(f"The picture is rendered: its geometric x is {made:.2f}.")
        return "\n".join(lines)

    def png(self):
        """Return both pictures side by side as the bytes of a PNG."""
        moon, shadow = (_mean(circles) for circles in zip(*self.tries, strict=True))
        hand, machine = (Photograph(self.one["file"]) for _ in range(2))
        hand.moon, hand.shadow, hand.ratio = moon, shadow, self.hand.ratio
        machine.moon, machine.shadow = self.one["moon"], self.one["shadow"]
        machine.ratio = Interval(**self.one["shadow_ratio"], sd=np.nan)
        with style.look():
            figure = Figure(figsize=(8, 4.4), dpi=style.DPI, layout="constrained")
            canvas = FigureCanvasAgg(figure)
            for place, (whose, laid) in enumerate(
                ((capital(self.whose), hand), ("By machine", machine)), start=1
            ):
                axes = figure.add_subplot(1, 2, place)
                laid.file = f"{whose}, {self.one['file']}"
                draw_circles(axes, self.path, laid)
            canvas.draw()
        return png_of(canvas)

    def _repr_mimebundle_(self, **kwargs):
        data = {"text/plain": repr(self), "image/png": b64encode(self.png()).decode("ascii")}
        return data, {"image/png": {"alt": repr(self)}}

    def _ipython_display_(self):
        from IPython.display import display

        data, about = self._repr_mimebundle_()
        display(
            {"image/png": data["image/png"], "text/plain": data["text/plain"]},
            metadata=about,
            raw=True,
        )
        print(self)


def _mean(circles):
    return {
        name: float(np.mean([getattr(c, name) for c in circles])) for name in ("x", "y", "radius")
    }


def _said(ratio):
    return (
        f"{ratio['value']:.2f} (95 %: {ratio['low']:.2f} to {ratio['high']:.2f})"
        if ratio
        else "no ratio"
    )
