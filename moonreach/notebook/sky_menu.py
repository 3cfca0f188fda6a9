"""The menu of real nights for the practice group, as a widget; on paper, one line."""

import html

import ipywidgets as widgets

from moonreach.notebook.practice_night import USUAL, nights


def _choices():
    """Return all nights in words, by date, the usual one first."""
    return {USUAL: "the usual invented night"} | nights()


class SkyMenu(widgets.VBox):
    """A list of total eclipses; the one that is chosen becomes the practice group's night."""

    def __init__(self, desk):
        """Show the nights to a `Desk`, the one it stands at chosen."""
        self._desk = desk
        self.choice = widgets.Dropdown(
            options=[(words, date) for date, words in _choices().items()],
            value=desk.night.date,
            description="Practice sky",
            style={"description_width": "initial"},
            layout={"width": "100%", "max_width": "42em"},
        )
        self.said = widgets.HTML()
        self.choice.observe(self._chosen, "value")
        super().__init__([self.choice, self.said])
        desk.listeners.append(self.follow)

    def follow(self):
        """Show the night that the desk stands at."""
        self.choice.value = self._desk.night.date

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        dates, now = list(nights()), _choices()[self._desk.night.date]
        line = f"The practice group's night: {now}. "
        line += f"The menu has {len(dates)} real ones, from {dates[0]} to {dates[-1]}."
        return bundle | {"text/plain": line}

    def _chosen(self, change):
        if change.new != self._desk.night.date:
            self.said.value = html.escape(self._desk.practise(change.new))
