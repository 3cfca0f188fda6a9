"""Drawings for lesson 5: the guess, and Earth, Moon and the way between them to true scale."""

import numpy as np
from astropy import units as u

from moonreach.figures import style
from moonreach.figures.circles import disc
from moonreach.figures.drawing import Drawing, Slider
from moonreach.figures.parts import PERCENT, joined, worded
from moonreach.lessons import moon_distance, today

MOON = float(today.MOON_RADIUS / today.EARTH_RADIUS)
RIM = {"edgecolor": style.INK, "lw": 0.6}


def month_range():
    """Return the least and greatest distance of the Moon, from its largest and smallest size."""
    sizes = (today.MOON_GREATEST_DIAMETER, today.MOON_LEAST_DIAMETER)
    moon = 2 * today.MOON_RADIUS
    return [moon_distance.distance_in_moon_diameters(size) * moon for size in sizes]


class HowFar(Drawing):
    """Earth and Moon in their true sizes; the gap between them is the guess."""

    sliders = (Slider("earths", "Your gap, Earth diameters", 2, 80, 4, 0.5),)
    left, right, y = 40, 760, 240
    globe = 0.3  # m: one that a class may have

    def build(self):
        """Make the two bodies, the line between them and its length in words."""
        stage = self.pane()
        stage.note("one scale for sizes and distance")
        stage.line("way", style.OWN, lw=1.2)
        stage.disc("earth", style.EARTH)
        stage.disc("moon", style.MOON, **RIM)
        # Only the numbers move: long words drawn anew at every step would take most of its time.
        look = {"color": style.OWN_WORDS, "weight": "bold", "size": 12}
        stage.words(250, 70, "Earth diameters from centre to centre", **look)
        stage.number("earths", "{:.1f}", 240, 70, ha="right", **look)
        globe = 100 * self.globe
        model = f"beside a globe of {globe:.0f} cm: a ball of {globe * MOON:.0f} cm, away by"
        stage.words(550, 40, model, ha="right")
        stage.number("model", "{:.1f} m", 558, 40)

    def work_out(self, earths):
        """Scale the picture to the gap and set the bodies at its ends."""
        scale = (self.right - self.left) / (earths + 0.5 + MOON / 2)  # px an Earth diameter
        x = self.left + scale / 2
        return {
            "earth": (x, self.y, scale / 2),
            "moon": (x + earths * scale, self.y, MOON * scale / 2),
            "way": [(x, self.y), (x + earths * scale, self.y)],
            "earths": earths,
            "model": earths * self.globe,
        }


class ToScale(Drawing):
    """Earth and Moon, and all that lies between, to one scale."""

    sliders = (
        Slider("angle", "Moon's angle, seen", 29.4, 34, 30.5, 0.1, "′"),
        Slider("moons", "Earth in Moons", 3.3, 4, 3.67, 0.01, "", ".2f"),
        Slider("earth", "Earth's diameter", 11000, 14500, 12750, 50, "km", ".0f"),
        Slider("altitude", "Moon's altitude", 0, 90, 40, 1, "°", ".0f"),
    )
    left, y, px_per_km = 40, 320, 0.00140
    middle, away_x = np.array([130, 140]), 400  # of the Earth enlarged; where its sights end

    def build(self):
        """Make the strip to scale above and the enlarged Earth below."""
        stage = self.pane()
        stage.note("one scale for sizes and distances")
        least, mean, greatest = (
            self.left + self.px_per_km * each.to_value(u.km)
            for each in (month_range()[0], today.MOON_DISTANCE, month_range()[1])
        )
        low, high = self.y - 26, self.y + 26
        band = [(least, low), (greatest, low), (greatest, high), (least, high)]
        stage.area(band, style.TODAY, alpha=0.15, edgecolor=None)
        stage.line([(mean, low), (mean, high)], style.TODAY, ls=style.DASHED)
        stage.note("over the months", mean, high + 6, ha="center", color=style.TODAY_WORDS)
        stage.line("between", style.PALE, lw=0.8)
        stage.disc("globe", style.EARTH)
        stage.disc("moon", style.MOON, **RIM)
        stage.line("own", style.OWN, lw=1.4)
        stage.words(feed="own_words", ha="center", color=style.OWN_WORDS)
        stage.disc((*self.middle, 90), style.EARTH, alpha=0.35, edgecolor=style.SHADOW_EDGE)
        stage.note("the Earth, enlarged", y=20)
        stage.line([self.middle], marker="o", ms=4)
        stage.line([self.middle, (self.away_x, self.middle[1])], style.OWN, lw=1.2)
        stage.words(self.away_x, self.middle[1] - 6, "to the Moon", ha="right", va="top", size=9)
        stage.line("sight", style.MOON, lw=1.4)
        stage.dots("place", style.INK, 6)
        stage.words(text="you", feed="you", ha="center", va="center", size=9)
        stage.line("horizon", style.SHADOW_EDGE, lw=1, ls=":")
        stage.bar_line("nearer", style.DROPPED, 5)
        rows = (
            (210, "Moon diameters from you", "in_moons", "{:.1f}", style.INK),
            (182, "Earth diameters from you", "in_earths", "{:.2f}", style.INK),
            (154, "From you", "here", "{:,.0f} km", style.INK),
            (126, "From Earth's centre", "centre", "{:,.0f} km", style.OWN_WORDS),
            (82, "Forgetting where you stand costs", "costs", PERCENT, style.DROPPED_WORDS),
        )
        stage.table(430, 790, rows)

    def work_out(self, angle, moons, earth, altitude):
        """Find the distance from the place and from Earth's centre, and set the Moon there."""
        theta, up = angle * u.arcmin, altitude * u.deg
        in_earths = float(moon_distance.distance_in_earth_diameters(theta, moons))
        here = in_earths * earth
        centre = float(moon_distance.geocentric_distance(here, up, earth / 2))
        radius, x = earth * self.px_per_km / 2, self.left + centre * self.px_per_km
        steps = range(1, int(centre / earth))
        tilt = np.pi / 2 - up.to_value(u.rad)  # from the direction of the Moon to the zenith
        zenith = np.array([np.cos(tilt), np.sin(tilt)])
        place = self.middle + 90 * zenith
        level = 34 * np.array([-zenith[1], zenith[0]])
        return {
            "globe": (self.left, self.y, radius),
            "between": joined(*(disc(self.left + 2 * radius * i, self.y, radius) for i in steps)),
            "moon": (x, self.y, radius / moons),
            "own": [(x, self.y - 30), (x, self.y - 8)],
            "own_words": (x, self.y - 46, worded("{:,.0f} km", round(centre, -2))),
            "place": [place],
            "you": place + 18 * zenith + np.array([0, 10]),
            "horizon": (place - level, place + level),
            "sight": (place, (self.away_x, place[1])),
            "nearer": (self.middle, (place[0], self.middle[1])),
            "in_moons": float(moon_distance.distance_in_moon_diameters(theta)),
            "in_earths": in_earths,
            "here": round(here, -2),
            "centre": round(centre, -2),
            "costs": 100 * (here / centre - 1),
        }
