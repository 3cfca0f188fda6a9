"""Half Moon called by eye: a rendered Moon, a slider, and what each call was worth.

    desk.half_moon()

Each call is told at once how far it was from the true half. With a group chosen it is kept in the
group's sheet, as one reading of the elongation.
"""

import html
from dataclasses import dataclass

import ipywidgets as widgets
import numpy as np

from moonreach.figures.half_moon_face import HALF, STEPS, HalfMoonFace
from moonreach.figures.live import LiveFigure
from moonreach.lessons.refuse import Impossible
from moonreach.reduction.group import reduce_group
from moonreach.reduction.words import in_words
from moonreach.sheet import tables
from moonreach.sheet.group_sheet import Row
from moonreach.sheet.origin import Origin

QUANTITY = "half_moon_elongation"
MADE_BY = "called half on the rendered Moon"
_RATE = 360 / 29.53 / 24  # degrees of elongation an hour, for the mean Moon


@dataclass(frozen=True)
class Call:
    """One call of half: the elongation at that moment, in degrees, and whether the Moon waxed."""

    elongation: float
    waxing: bool

    @property
    def hours_late(self):
        """By how many hours the call came after true half; negative when before it."""
        return (self.elongation - HALF) / _RATE * (1 if self.waxing else -1)

    def __str__(self):
        hours = self.hours_late
        when = f"{abs(hours):.1f} h too {'late' if hours > 0 else 'early'}"
        light = "growing" if self.waxing else "waning"
        return f"{light} light: you called half at an elongation of {self.elongation:.1f}°, {when}"


class MoonToCall(LiveFigure):
    """The Moon with its slider and a button for "now it is half"; below it what was called."""

    def __init__(self, desk):
        """Sit before a `Desk`'s Moon; the calls made there stay when the cell runs again."""
        super().__init__(HalfMoonFace())
        self._desk = desk
        words = {"description": "Now it is half", "tooltip": "Take this moment for half Moon"}
        self.call = widgets.Button(**words, layout={"width": "160px"})
        self.call.on_click(lambda _: self._called())
        self.said = widgets.HTML()
        self.children += (widgets.HBox([self.call]), self.said)
        self._next()
        self._tell("")

    def as_text(self):
        """Return the calls and what follows from them, as lines of text."""
        calls = self._desk.half_moon_calls
        if not calls:
            return "Pull the slider to where the Moon looks half, then press the button."
        lines = [f"{number}. {call}" for number, call in enumerate(calls, start=1)]
        return "\n".join([*lines, *_together(calls)])

    def _called(self):
        self.settle()
        drawing = self.drawing
        call = Call(round(drawing.elongation(self.values["later"]), 1), drawing.waxing)
        self._desk.half_moon_calls.append(call)
        self._tell(self._kept(call))
        self._desk.changed()
        self._next()

    def _kept(self, call):
        sheet = self._desk.sheet
        if sheet is None:
            return "Choose a group in the form, and your calls are kept in its sheet."
        cells = {"value": f"{call.elongation:.1f}", "unit": "deg", "uncertainty": ""}
        note = f"{MADE_BY}, {'waxing' if call.waxing else 'waning'}"
        try:
            sheet.store(Row(QUANTITY, cells | {"note": note, "origin": Origin.PRACTICE}))
        except (OSError, Impossible) as error:
            why = getattr(error, "strerror", None) or error
            return f"Not kept ({why}): write it down, and into the form when it can be written."
        return f"Kept in {sheet.path}."

    def _next(self):
        """Begin the next try: another lean, another place of half, the light growing or waning."""
        number = len(self._desk.half_moon_calls)
        random = np.random.default_rng([6, number])
        drawing = self.drawing
        drawing.waxing = number % 2 == 0
        drawing.hidden = int(random.integers(STEPS // 4, 3 * STEPS // 4))
        drawing.tilt = float(random.uniform(-35, 35))
        self.reset()
        self._draw()

    def _tell(self, kept):
        lines = [*self.as_text().splitlines(), kept]
        self.said.value = "<br>".join(html.escape(line) for line in lines if line)

    def _repr_mimebundle_(self, **kwargs):
        bundle, about = super()._repr_mimebundle_(**kwargs)
        bundle["text/plain"] = f"{self.drawing.alternative}\n{self.as_text()}"
        return bundle, about


def _together(calls):
    """Return lines on several calls: their mean and scatter, and the Sun's distance from them."""
    if len(calls) < 2:
        return
    angles = [call.elongation for call in calls]
    yield (
        f"Mean {np.mean(angles):.1f}° on this practice Moon, scatter "
        f"{np.std(angles, ddof=1):.1f}°; the true half is at {HALF:.2f}°."
    )
    rows = [["calls", QUANTITY, f"{angle:.1f}", "deg", "", ""] for angle in angles]
    result = reduce_group("calls", tables.of_rows(rows).readings)
    found = result.outcome("sun_distance_ratio")
    if found is None:
        yield "All of its interval lies at 90° or more, where the lines to the Sun never meet."
    else:
        value, interval = in_words(found, " Moon distances")
        yield f"So on this practice Moon the Sun is {value} away (95 %: {interval})."
