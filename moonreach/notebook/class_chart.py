"""The class's chart on a lesson page: the group's distance among those of the other groups.

The class are the groups whose sheets lie in the same folder, if at least two others of them have a
distance; else the invented class that is shipped.
"""

import asyncio
import html
from base64 import b64encode
from functools import lru_cache

import ipywidgets as widgets

from moonreach.figures import class_result
from moonreach.notebook.page_parts import PagePart
from moonreach.notebook.shipped import folder
from moonreach.reduction.summary import ClassSummary
from moonreach.reduction.words import zeta_words
from moonreach.sheet import tables
from moonreach.sheet.group_sheet import GroupSheet, known_groups

FEWEST = 2  # other groups with a distance, to be a class with them
_AFTERWARDS = 0.1  # s: a class takes longer than an answer's reply may wait
AFTER = "moon_distance"  # the exercise whose answer the chart would tell


class ClassChart(PagePart):
    """The class's distances with the group's among them, once the group has found its own."""

    def __init__(self, desk):
        """Sit beside a `Desk` of the lesson on the Moon's distance."""
        self.said, self.picture, self._drawn = widgets.HTML(), widgets.HTML(), None
        super().__init__(desk, [self.said, self.picture])
        self.layout.max_width = "100%"

    def follow(self):
        """Draw the class anew where any reading has changed, after all else has followed."""
        try:
            asyncio.get_running_loop().call_later(_AFTERWARDS, self.draw)
        except RuntimeError:  # outside a kernel nothing waits
            self.draw()

    def draw(self):
        """Draw the class of now."""
        summary = self._summary()
        self.said.value = html.escape(self.as_text())
        if summary is self._drawn:
            return
        self._drawn = summary
        self.picture.value = ""
        if summary:
            drawn = class_result.svg(summary, self._desk.readings().group).encode()
            data = "data:image/svg+xml;base64," + b64encode(drawn).decode("ascii")
            name = html.escape(class_result.alternative(summary), quote=True)
            self.picture.value = f'<img src="{data}" alt="{name}" style="width: min(100%, 640px)">'

    def as_text(self):
        """Return in words who the class is, and how the group stands in it."""
        summary = self._summary()
        if not summary:
            return "The class's chart comes here after answer 4, in section 5."
        group = self._desk.readings().group
        others = "the groups whose sheets are in your folder"
        if not self._others():
            others = "an invented practice class"
        zeta = summary.zeta.get(group)
        stands = "" if zeta is None else f" {group}: {zeta_words(zeta)}."
        return f"The arrow marks {group}. The others are {others}.{stands}"

    def _summary(self):
        desk = self._desk
        own = desk.readings()
        if not desk.answers.settled(AFTER) or not own.outcome(class_result.DISTANCE):
            return None
        return _summary_of(tuple(own.rows), self._others() or _practice_class(own.group))

    def _others(self):
        """Return the rows of the folder's other groups; none where these are no class."""
        work = self._desk.work
        names = [name for name in known_groups(work) if name != self._desk.group]
        return _with_distance(tuple(row for n in names for row in GroupSheet(work, n).readings()))


@lru_cache(maxsize=8)
def _with_distance(rows):
    groups = ClassSummary(tables.of_rows(rows)).groups if rows else []
    found = [group for group in groups if group.outcome(class_result.DISTANCE)]
    return tuple(row for group in found for row in group.rows) if len(found) >= FEWEST else ()


@lru_cache(maxsize=8)
def _practice_class(without):
    groups = tables.read(folder("data") / "practice_class.csv").groups()
    kept = [rows for name, rows in groups.items() if name.casefold() != without.casefold()]
    return tuple(row for rows in kept for row in rows)


@lru_cache(maxsize=8)
def _summary_of(own, others):
    return ClassSummary(tables.of_rows([*others, *own]))
