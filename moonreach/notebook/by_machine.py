"""The machine's circles beside those laid by hand, and how far apart the two see the edge."""

import json
from base64 import b64encode
from dataclasses import replace

import ipywidgets as widgets
import numpy as np
from IPython.display import display
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from moonreach.figures import pictures, style
from moonreach.figures.photograph import draw_circles
from moonreach.lessons.refuse import Impossible, capital, require, sentence
from moonreach.notebook.form_line import complaint
from moonreach.notebook.later import waited_for
from moonreach.notebook.one_night import begin
from moonreach.notebook.overlay import WORDS, Overlay, into_the_sheet, named
from moonreach.notebook.own_photograph import photograph
from moonreach.notebook.told import Said
from moonreach.photo.clicks import TRIES, Clicks, together
from moonreach.photo.penumbra import edge_points
from moonreach.reduction.photographs import write_contacts
from moonreach.sheet.origin import Origin

INVENTED = "three invented people"
POINTS = 6  # of each on each circle


def compare(desk, night=()):
    """Return the `Comparison` for a `Desk`, on the photograph shown last, or a sentence why not.

    Parameters: the desk; paths of the photographs of that night. By hand are the group's three
    tries; without a group three invented people's, who click on the edge that the eye sees.
    """
    try:
        overlay = list(desk.overlays.values())[-1] if desk.overlays else photograph(desk)
        require(isinstance(overlay, Overlay), "{}", overlay)
        tries = overlay.clicks.tries
        require(
            len(tries) >= TRIES or not desk.sheet,
            "first keep {} tries of your own (so far {}); then the machine shows its circles",
            TRIES,
            len(tries),
        )
        measured = waited_for(begin(desk, overlay.path, night))
        one = measured.photographs[0]
        require(one.shadow is not None, "the machine on {}: {}", one.file, one.message)
    except (Impossible, OSError) as error:
        return Said(sentence(error))
    whose = "by hand"
    if len(tries) < TRIES:
        tries, whose = clicked(overlay.view.light, one, overlay.clicks.careful), INVENTED
    compared = Comparison(overlay.path, measured, tries, whose, overlay.origin)
    rendered = any(each.rendered for each in measured.photographs)
    if desk.sheet and not rendered and measured.night and measured.night.contacts:
        compared.below = [WriteContacts(desk, measured.night)]
    return compared


def clicked(light, truth, scatter, seed=7):
    """Return three tries of three invented people, as `Clicks` keeps them.

    Each clicks six points on the bright limb and six on the edge that the eye sees. Parameters:
    the picture's linear light; what has the circles ``moon`` and ``shadow``; how far clicks
    scatter in either direction; all in px.
    """
    random = np.random.default_rng(seed)
    clicks, moon, shadow = Clicks(careful=scatter), truth.moon, truth.shadow
    limb = moon.at(shadow.towards(moon)[1] + np.radians(np.linspace(-75, 75, POINTS)))
    for _ in range(TRIES):
        for name, points in (("moon", limb), ("shadow", edge_points(light, moon, shadow, POINTS))):
            for x, y in points + random.normal(0, scatter, points.shape):
                clicks.take(name, float(x), float(y))
        clicks.keep()
    return clicks.tries


def outside(circle, moon, shadow):
    """Return how far a circle's edge lies outside another's, as a share of the other's radius.

    Parameters: the `Circle`, and those of the Moon and of the other. Taken on the line through
    both centres, where the Moon's disc shows the edge.
    """
    apart, direction = circle.towards(shadow)
    turn = direction - shadow.towards(moon)[1]
    root = circle.radius**2 - (apart * np.sin(turn)) ** 2
    return float((np.sqrt(max(root, 0)) - apart * np.cos(turn)) / shadow.radius - 1)


class WriteContacts(widgets.VBox):
    """The button that writes a night's contacts into the sheet of the group that it is shown to."""

    def __init__(self, desk, night):
        """Take the `Desk` with its group's sheet, and the `Night` of the group's own pictures."""
        self._desk, self._sheet, self._night = desk, desk.sheet, night
        words, more = WORDS["contacts"]
        self.button = widgets.Button(description=words, tooltip=more)
        self.button.layout.width = "max-content"
        self.button.on_click(self._write)
        self.said = widgets.HTML()
        super().__init__([self.button, self.said])

    def _write(self, _):
        try:
            told = into_the_sheet(write_contacts, self._night, self._sheet)
        except Impossible as refusal:
            self.said.value = complaint(sentence(refusal))
        else:
            self.said.value = Said(sentence(told))._repr_html_()
            self._desk.changed()


class Comparison:
    """By hand and by machine: a picture with both pairs of circles, and what they say in words.

    below: widgets that stand under the words.
    """

    below = ()

    def __init__(self, path, measured, tries, whose, origin):
        """Compare tries with a `Measurement` of their picture, the first, and its whole night."""
        self.path, self.measured, self.tries, self.whose = path, measured, tries, whose
        self.origin = origin  # of the picture
        self.one, self.hand = measured.photographs[0], together(tries)
        one = self.one
        shifts = [outside(shadow, one.moon, one.shadow) for _, shadow in tries]
        self.shift, self.shift_spread = float(np.mean(shifts)), float(np.std(shifts, ddof=1))

    def __repr__(self):
        where = "outside" if self.shift >= 0 else "inside"
        shift, spread = 100 * abs(self.shift), 100 * self.shift_spread
        lines = [
            f"Shadow ratio, {self.whose}: {self.hand.ratio}.",
            f"By machine, the same picture: {self.one.ratio}.",
        ]
        if len(self.measured.photographs) > 1:
            joint = self.measured.joint or self.measured.note or "no ratio"
            lines.append(f"By machine, that night's pictures together: {joint}.")
        if night := self.measured.night:
            lines += [f"By machine, {name}: {what}." for name, what in night.told().items()]
            lines += [sentence(night.message)] * bool(night.message)
        elif len(self.measured.photographs) > 1 and self.origin is Origin.OWN:
            lines.append(WORDS["own"]["no_times"])
        lines.append(
            f"Across the Moon's middle the edge by hand lies {shift:.1f} % of the "
            f"shadow's radius {where} the machine's (from try to try ±{spread:.1f} %)."
        )
        lines.append(self.one.response())
        lines += [f"{p.file}: {p.message}." for p in self.measured.photographs if p.message]
        if (truth := self.path.with_suffix(".truth.json")).is_file():
            made = json.loads(truth.read_text(encoding="utf-8"))["shadow_ratio"]
            lines.append(f"The picture is rendered: its geometric x is {made:.2f}.")
        return "\n".join(named(lines, self.origin))

    def png(self):
        """Return both pictures side by side as the bytes of a PNG."""
        by_hand = self.hand._asdict() | {"ratio": self.hand.ratio}
        pair = {capital(self.whose): by_hand, "By machine": {}}
        file = "practice " * (self.origin is Origin.PRACTICE) + self.one.file
        with style.look():
            figure = Figure(figsize=(8, 4.5), dpi=style.DPI, layout="constrained")
            canvas = FigureCanvasAgg(figure)
            for axes, (whose, circles) in zip(figure.subplots(1, 2), pair.items(), strict=True):
                laid = replace(self.one, file=f"{whose}, {file}", **circles)
                draw_circles(axes, self.path, laid)
            return pictures.drawn(canvas)

    def _repr_mimebundle_(self, **kwargs):
        data = {"text/plain": repr(self), "image/png": b64encode(self.png()).decode("ascii")}
        return data, {"image/png": {"alt": repr(self)}}

    def _ipython_display_(self):
        data, about = self._repr_mimebundle_()
        display(data, metadata=about, raw=True)
        print(self)
        display(*self.below)
