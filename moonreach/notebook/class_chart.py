"""The class's chart on a lesson page: the group's distance among those of the other groups.

The class are the groups whose sheets lie in the same folder, if at least two others of them have a
distance; else the invented class that is shipped.
"""

import asyncio
import html
from functools import lru_cache

import ipywidgets as widgets

from moonreach.figures import class_result
from moonreach.notebook.page_parts import PagePart
from moonreach.notebook.shipped import folder
from moonreach.notebook.told import image
from moonreach.reduction.summary import ClassSummary
from moonreach.reduction.words import zeta_words
from moonreach.sheet import tables
from moonreach.sheet.collecting import class_in
from moonreach.sheet.reading import Reading

FEWEST = 2  # other groups with a distance, to be a class with them
_AFTERWARDS = 0.1  # s: a class takes longer than an answer's reply may wait
_INVENTED = "an invented practice class"
AFTER = "moon_distance"  # the exercise whose answer the chart would tell


class ClassChart(PagePart):
    """The class's distances with the group's among them, once the group has found its own."""

    widest = "100%"

    def __init__(self, desk):
        """Sit beside a `Desk` of the lesson on the Moon's distance."""
        self.said, self.picture, self._drawn = widgets.HTML(), widgets.HTML(), None
        super().__init__(desk, [self.said, self.picture])

    def follow(self):
        """Draw the class anew where any reading has changed, after all else has followed."""
        try:
            asyncio.get_running_loop().call_later(_AFTERWARDS, self.draw)
        except RuntimeError:  # outside a kernel nothing waits
            self.draw()

    def draw(self):
        """Draw the class of now."""
        summary, others = self._now()
        self.said.value = html.escape(self._told(summary, others))
        if summary is self._drawn:
            return
        self._drawn = summary
        self.picture.value = ""
        if summary:
            drawn = class_result.svg(summary, self._desk.readings().group).encode()
            words = class_result.alternative(summary)
            self.picture.value = image(drawn, words, "svg+xml", "width: min(100%, 640px)")[0]

    def as_text(self):
        """Return in words who the class is, and how the group stands in it."""
        return self._told(*self._now())

    def _told(self, summary, others):
        if not summary:
            return "The class's chart comes here after answer 4, in section 5."
        group = self._desk.readings().group
        whose = "the groups whose sheets are in your folder" if others else _INVENTED
        zeta = summary.zeta.get(group)
        stands = "" if zeta is None else f" {group}: {zeta_words(zeta)}."
        return f"The arrow marks {group}. The others are {whose}.{stands}"

    def _now(self):
        """Return the `ClassSummary` of now, if any, and the rows of the folder's other groups."""
        desk = self._desk
        own = desk.readings()
        if not desk.settled(AFTER) or not own.outcome(class_result.DISTANCE):
            return None, ()
        others = self._others()
        return summary_of((*(others or _practice_class(own.group)), *own.rows)), others

    def _others(self):
        """Return the rows of the folder's other groups; none where these are no class."""
        rows = class_in(self._desk.work).readings
        groups = summary_of(tuple(r for r in rows if r.group != self._desk.group)).groups
        found = [group for group in groups if group.outcome(class_result.DISTANCE)]
        return tuple(row for group in found for row in group.rows) if len(found) >= FEWEST else ()


@lru_cache(maxsize=8)
def _practice_class(without):
    groups = tables.read(folder("data") / "practice_class.csv").groups()
    kept = [rows for name, rows in groups.items() if name.casefold() != without.casefold()]
    return tuple(row for rows in kept for row in rows)


@lru_cache(maxsize=16)
def summary_of(readings: tuple[Reading, ...]) -> ClassSummary:
    """Return the `ClassSummary` of readings; the same ones are reduced once."""
    return ClassSummary(tables.Sheet([*readings]))
