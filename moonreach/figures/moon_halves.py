"""A drawing for lesson 4: half the mean Moon beside half of tonight's, to one scale."""

import numpy as np
from astropy import units as u

from moonreach.figures import style
from moonreach.figures.drawing import Drawing, Slider, signed, thousands
from moonreach.lessons import moon_distance, today

X, Y, MEAN_PX = 215, 195, 140


class MoonHalves(Drawing):
    """Two halves of the Moon: at its mean distance, and as far as the sliders say."""

    title = "Two halves of the Moon, to one scale"
    caption = (
        "On the left half of a Moon at its mean distance, on the right half of one as far away as "
        "the slider says, seen from where you stand. A month moves it between nearest and "
        "farthest; a night moves it between horizon and overhead, and that is hardly to be seen."
    )
    alternative = (
        "Two half Moons side by side whose straight edges touch. The left one is always the same, "
        "the right one is larger or smaller with the Moon's distance and its altitude. Beside "
        "them, by how many per cent."
    )
    sliders = (
        Slider("away", "Distance, in 1000 km", 356, 407, 356, 1, "", ".0f"),
        Slider("altitude", "Moon's altitude", 0, 90, 40, 1, "°", ".0f"),
    )

    def build(self):
        """Make the left half, which stands still, and the words beside both."""
        stage = self.stage()
        self.turn = np.linspace(-np.pi / 2, np.pi / 2, 61)
        # Both have a face of plain grey: this is about size alone.
        left = self.half(MEAN_PX) * (-1, 1) + np.array([X, Y])
        stage.fill(*left.T, fc=style.PALE, ec=style.SHADOW_EDGE, lw=0.8)
        self.right = self.area(stage, style.MOON, edgecolor=style.SHADOW_EDGE, lw=0.8)
        stage.text(X - 12, Y, "mean Moon", ha="right", va="center")
        self.words(stage, X + 12, Y, "this Moon", va="center")
        self.cells = []
        for y, text in (
            (290, "Distance from Earth's centre"),
            (230, "Distance from you"),
            (170, "It looks wider than the mean Moon by"),
        ):
            stage.text(430, y, text, color=style.FAINT)
            self.cells.append(self.words(stage, 430, y - 26, weight="bold", size=12))
        self.cells[-1].set_color(style.OWN_WORDS)

    def half(self, radius):
        """Return the outline of a right half disc about the origin."""
        return radius * np.column_stack([np.cos(self.turn), np.sin(self.turn)])

    def update(self, away, altitude):
        """Make the right half as large as its distance from the place tells."""
        geocentric = away * 1000 * u.km
        seen = moon_distance.topocentric_distance(geocentric, altitude * u.deg, today.EARTH_RADIUS)
        # Angles so small are as the distances, upside down.
        wider = (today.MOON_DISTANCE / seen).to_value(u.one)
        self.right.set_xy(self.half(MEAN_PX * wider) + np.array([X, Y]))
        texts = [f"{thousands(round(each.to_value(u.km), -2))} km" for each in (geocentric, seen)]
        for cell, text in zip(self.cells, (*texts, f"{signed(100 * (wider - 1))} %"), strict=True):
            cell.set_text(text)
