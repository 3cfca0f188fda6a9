"""The Moon's distances by all ways, as a part of a page that follows the desk."""

import ipywidgets as widgets

from moonreach.exercises import number_of
from moonreach.figures.all_ways import CAPTION, AllWays
from moonreach.notebook.page_parts import PagePart
from moonreach.notebook.told import image


class Ways(PagePart):
    """The Moon's distances by all ways, as a picture; a way that is still asked for comes later."""

    widest = "100%"

    def __init__(self, desk):
        self.picture, self.said, self._drawn = widgets.HTML(), widgets.HTML(), None
        super().__init__(desk, [self.picture, self.said])

    def follow(self):
        """Draw the distances anew where one has changed."""
        own, _ = self._desk.own()
        still_open = self._desk.still_open()
        ways = AllWays(*filter(None, (own, self._desk.practice)), still_open=still_open)
        if repr(ways) != self._drawn:
            self.ways, self._drawn = ways, repr(ways)
            self.picture.value = image(ways.png(), repr(ways))[0]
        later = " and ".join(f"answer {number_of(key)}" for key in still_open.values())
        more = f" What this lesson gives comes here after {later}." if later else ""
        self.said.value = f"<i>{CAPTION}{more}</i>"

    def as_text(self):
        """Return the distances in words."""
        return repr(self.ways)

    def _repr_mimebundle_(self, **kwargs):
        picture, about = self.ways._repr_mimebundle_()
        return super()._repr_mimebundle_(**kwargs) | picture, about
