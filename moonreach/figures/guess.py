"""A drawing for the guess of lesson 5: Earth and Moon, as far apart as one believes."""

from moonreach.figures import style
from moonreach.figures.circles import disc
from moonreach.figures.drawing import Drawing, Slider
from moonreach.lessons import today

_GLOBE = 0.3  # m: a globe that a class may have
_MOON = float(today.MOON_RADIUS / today.EARTH_RADIUS)


class HowFar(Drawing):
    """Earth and Moon in their true sizes; the gap between them is the guess."""

    title = "How far away does it belong?"
    caption = (
        "The sizes are right, the gap is yours: pull the Moon to where you believe it belongs. "
        "The picture shrinks so that both always fit in it."
    )
    alternative = (
        "The Earth at the left and the Moon at the right in one scale, with a line between their "
        "centres and its length in Earth diameters, as the reader sets it."
    )
    sliders = (Slider("earths", "Your gap, Earth diameters", 2, 80, 4, 0.5),)
    left, right, y = 40, 760, 240

    def build(self):
        """Make the two bodies, the line between them and its length in words."""
        stage = self.stage()
        stage.text(20, 398, "one scale for sizes and distance", color=style.FAINT, size=9)
        self.way = self.line(stage, style.OWN, lw=1.2)
        self.earth = self.area(stage, style.EARTH)
        self.moon = self.area(stage, style.MOON, edgecolor=style.INK, lw=0.6)
        # Only the numbers move: long words drawn anew at every step would take most of its time.
        look = {"color": style.OWN_WORDS, "weight": "bold", "size": 12}
        stage.text(250, 70, "Earth diameters from centre to centre", **look)
        self.length = self.words(stage, 240, 70, ha="right", **look)
        moon = 100 * _GLOBE * _MOON
        stage.text(
            550, 40, f"beside a globe of {100 * _GLOBE:.0f} cm: a ball of {moon:.0f} cm, away by",
            ha="right",
        )  # fmt: skip
        self.model = self.words(stage, 558, 40)

    def update(self, earths):
        """Scale the picture to the gap and set the bodies at its ends."""
        scale = (self.right - self.left) / (earths + 0.5 + _MOON / 2)  # px an Earth diameter
        x = self.left + scale / 2
        self.earth.set_xy(disc(x, self.y, scale / 2))
        self.moon.set_xy(disc(x + earths * scale, self.y, _MOON * scale / 2))
        self.way.set_data([x, x + earths * scale], [self.y, self.y])
        self.length.set_text(f"{earths:.1f}")
        self.model.set_text(f"{earths * _GLOBE:.1f} m")
