"""A drawing for lesson 5: Earth, Moon and the way between them to true scale."""

import numpy as np
from astropy import units as u

from moonreach.figures import style
from moonreach.figures.circles import GAP, disc
from moonreach.figures.drawing import Drawing, Slider, signed, thousands
from moonreach.lessons import moon_distance, today


def month_range():
    """Return the least and greatest distance of the Moon, from its largest and smallest size."""
    sizes = (today.MOON_GREATEST_DIAMETER, today.MOON_LEAST_DIAMETER)
    moon = 2 * today.MOON_RADIUS
    return [moon_distance.distance_in_moon_diameters(size) * moon for size in sizes]


class ToScale(Drawing):
    """Earth and Moon, and all that lies between, to one scale."""

    title = "Earth and Moon to true scale"
    caption = (
        "Nothing is enlarged in the upper strip: this is how small, and how far. The rod measures "
        "from where you stand, the distance is counted from Earth's centre. Raise the Moon from "
        "the horizon overhead: you are up to one Earth radius nearer to it."
    )
    alternative = (
        "A strip with the Earth at the left and the small Moon far at the right, thirty Earths "
        "between them, the Moon's range over the months and its mean. Below, the Earth enlarged, "
        "with the place where the class stands."
    )
    sliders = (
        Slider("angle", "Moon's angle, seen", 29.4, 34, 30.5, 0.1, "′"),
        Slider("moons", "Earth in Moons", 3.3, 4, 3.67, 0.01, "", ".2f"),
        Slider("earth", "Earth's diameter", 11000, 14500, 12750, 50, "km", ".0f"),
        Slider("altitude", "Moon's altitude", 0, 90, 40, 1, "°", ".0f"),
    )
    left, y, px_per_km = 40, 320, 0.00140

    def build(self):
        """Make the strip to scale above and the enlarged Earth below."""
        stage = self.stage()
        stage.text(20, 398, "one scale for sizes and distances", color=style.FAINT, size=9)
        least, mean, greatest = (
            self.left + self.px_per_km * each.to_value(u.km)
            for each in (month_range()[0], today.MOON_DISTANCE, month_range()[1])
        )
        low, high = self.y - 26, self.y + 26
        stage.fill(
            [least, greatest, greatest, least], [low, low, high, high], fc=style.TODAY, alpha=0.15
        )
        stage.plot([mean, mean], [low, high], color=style.TODAY, ls=style.DASHED)
        stage.text(mean, high + 6, "over the months", ha="center", color=style.TODAY_WORDS, size=9)
        self.between = self.line(stage, style.PALE, lw=0.8)
        self.globe = self.area(stage, style.EARTH)
        self.moon = self.area(stage, style.MOON, edgecolor=style.INK, lw=0.6)
        self.own = self.line(stage, style.OWN, lw=1.4)
        self.own_words = self.words(stage, 0, low - 20, ha="center", color=style.OWN_WORDS)
        centre = self.centre = np.array([130, 140])
        stage.fill(*disc(*centre, 90).T, fc=style.EARTH, alpha=0.35, ec=style.SHADOW_EDGE)
        stage.text(20, 20, "the Earth, enlarged", color=style.FAINT, size=9)
        stage.plot(*centre, color=style.INK, marker="o", ms=4)
        stage.plot([centre[0], 400], [centre[1]] * 2, color=style.OWN, lw=1.2)
        stage.text(400, centre[1] - 6, "to the Moon", ha="right", va="top", size=9)
        self.sight = self.line(stage, style.MOON, lw=1.4)
        self.place = self.line(stage, style.INK, marker="o", ms=6, ls="")
        self.you = self.words(stage, text="you", ha="center", va="center", size=9)
        self.horizon = self.line(stage, style.SHADOW_EDGE, lw=1, ls=":")
        self.nearer = self.line(stage, style.DROPPED, lw=5, solid_capstyle="butt")
        rows = (
            "Moon diameters from you",
            "Earth diameters from you",
            "From you",
            "From Earth's centre",
            "Forgetting where you stand costs",
        )
        self.cells = []
        for y, text in zip((210, 182, 154, 126, 82), rows, strict=True):
            stage.text(430, y, text)
            self.cells.append(self.words(stage, 790, y, ha="right", weight="bold"))
        self.cells[3].set_color(style.OWN_WORDS)
        self.cells[4].set_color(style.DROPPED_WORDS)

    def update(self, angle, moons, earth, altitude):
        """Find the distance from the place and from Earth's centre, and set the Moon there."""
        theta, up = angle * u.arcmin, altitude * u.deg
        in_moons = float(moon_distance.distance_in_moon_diameters(theta))
        in_earths = float(moon_distance.distance_in_earth_diameters(theta, moons))
        here = in_earths * earth
        centre = float(moon_distance.geocentric_distance(here, up, earth / 2))
        radius = earth * self.px_per_km / 2
        x = self.left + centre * self.px_per_km
        self.globe.set_xy(disc(self.left, self.y, radius))
        steps = np.arange(1, int(centre / earth))
        rings = [np.vstack([disc(self.left + 2 * radius * i, self.y, radius), GAP]) for i in steps]
        self.between.set_data(*np.vstack(rings).T)
        self.moon.set_xy(disc(x, self.y, radius / moons))
        self.own.set_data([x, x], [self.y - 30, self.y - 8])
        self.own_words.set_x(x)
        self.own_words.set_text(f"{thousands(round(centre, -2))} km")
        tilt = np.pi / 2 - up.to_value(u.rad)  # from the direction of the Moon to the zenith
        zenith = np.array([np.cos(tilt), np.sin(tilt)])
        place = self.centre + 90 * zenith
        level = 34 * np.array([-zenith[1], zenith[0]])
        self.place.set_data(*place[:, None])
        self.you.set_position(place + 18 * zenith + (0, 10))
        self.horizon.set_data(*np.array([place - level, place + level]).T)
        self.sight.set_data([place[0], 400], [place[1]] * 2)
        self.nearer.set_data([self.centre[0], place[0]], [self.centre[1]] * 2)
        texts = (
            f"{in_moons:.1f}",
            f"{in_earths:.2f}",
            f"{thousands(round(here, -2))} km",
            f"{thousands(round(centre, -2))} km",
            f"{signed(100 * (here / centre - 1))} %",
        )
        for cell, text in zip(self.cells, texts, strict=True):
            cell.set_text(text)
