"""A drawing for lesson 7: one solar eclipse, seen from two places on one meridian."""

import numpy as np
from astropy import units as u

from moonreach.figures import style
from moonreach.figures.circles import disc
from moonreach.figures.drawing import Drawing, Slider, strokes
from moonreach.lessons import other_ways, today

EARTH, RADIUS, AWAY = np.array([120.0, 215.0]), 100, 200  # px: centre, radius, place to Moon
SUN_PX = 76
VIEWS = (np.array([600.0, 330.0]), np.array([600.0, 145.0]))
SUN_ANGLE = 2 * today.SUN_SEMIDIAMETER


class EclipseFromTwoPlaces(Drawing):
    """Earth, the two places, the Moon, and what each place sees of the Sun."""

    title = "One eclipse, two places"
    caption = (
        "At the northern place the Moon stands before the middle of the Sun. The southern place "
        "sees the Moon from elsewhere, and a part of the Sun comes out behind it. Bring the Moon "
        "nearer, or the places farther apart, and more of it comes out. The Sun's rays are "
        "parallel, as it is so far away."
    )
    alternative = (
        "At the left the Earth with two places on it and a Moon to the right of it, with the "
        "parallel rays of the Sun. At the right two pictures of the Sun: at the northern place "
        "wholly covered by the Moon, at the southern place partly."
    )
    sliders = (
        Slider("latitude", "Northern latitude", 20, 60, 41, 1, "°", ".0f"),
        Slider("apart", "Places apart by", 2, 25, 10, 0.5, "°"),
        Slider("sun", "Sun above the equator by", -23, 23, -3, 1, "°", ".0f"),
        Slider("away", "Moon away, Earth radii", 40, 90, 60.3, 0.1),
    )

    def build(self):
        """Make the Earth at the left, both views at the right, the numbers below."""
        stage = self.stage()
        note = f"Moon drawn about {60 * RADIUS / AWAY:.0f} times too near and too large"
        stage.text(20, 398, note, color=style.FAINT, size=9)
        stage.fill(*disc(*EARTH, RADIUS).T, fc=style.EARTH, ec=style.SHADOW_EDGE, lw=0.8)
        self.rays = self.line(stage, style.SUN, lw=1.6)
        self.sights = self.line(stage, style.INK, lw=1.2)
        self.places = self.line(stage, style.INK, marker="o", ms=6, ls="")
        self.moon = self.area(stage, style.MOON, edgecolor=style.SHADOW_EDGE, lw=0.8)
        looks = {"size": 10, "ha": "right", "va": "center"}
        self.names = [self.words(stage, text=text, weight="bold", **looks) for text in "NS"]
        self.toward = self.words(stage, text="to the Sun →", color=style.SUN, size=9, ha="left")
        for view, name in zip(VIEWS, ("northern place", "southern place"), strict=True):
            stage.text(view[0] + SUN_PX / 2 + 14, view[1], name, va="center")
            stage.fill(*disc(*view, SUN_PX / 2).T, fc=style.SUN, ec="none")
        stage.fill(*disc(*VIEWS[0], SUN_PX / 2).T, fc=style.MOON, ec=style.SHADOW_EDGE, lw=0.8)
        self.before = self.area(stage, style.MOON, edgecolor=style.SHADOW_EDGE, lw=0.8)
        heads = (
            (20, "Sun's altitude, N"),
            (190, "shift of the Moon"),
            (365, "covered at S"),
            (560, "1/100 less covered makes"),
        )
        looks = (style.INK, style.OWN_WORDS, style.INK, style.DROPPED_WORDS)
        self.cells = []
        for (x, text), color in zip(heads, looks, strict=True):
            stage.text(x, 44, text, color=style.FAINT, size=9)
            self.cells.append(self.words(stage, x, 18, weight="bold", size=12, color=color))

    def update(self, latitude, apart, sun, away):
        """Set places, Moon and Sun, and shift the Moon before the southern place's Sun."""
        zenith = (latitude - sun) * u.deg
        shift = other_ways.shift_at(away, apart * u.deg, zenith)
        part = (shift / SUN_ANGLE).to_value(u.one)
        turn = np.radians([latitude, latitude - apart])
        places = EARTH + RADIUS * np.column_stack([np.cos(turn), np.sin(turn)])
        out = np.array([np.cos(np.radians(sun)), np.sin(np.radians(sun))])
        moon = places[0] + AWAY * away / 60.3 * out
        self.places.set_data(*places.T)
        for name, place, side in zip(self.names, places, (7, -7), strict=True):
            name.set_position((place[0] - 8, place[1] + side))
        ends = [place + (480 - place[0]) / out[0] * out for place in places]
        self.rays.set_data(*strokes(zip(places, ends, strict=True)))
        below = 22 + 90 * max(out[1] / out[0], 0)
        self.toward.set_position((ends[1][0] - 90, ends[1][1] - below))
        self.sights.set_data(*strokes([(places[1], moon)]))
        self.moon.set_xy(disc(*moon, 9))
        self.before.set_xy(disc(VIEWS[1][0], VIEWS[1][1] + min(part, 1.3) * SUN_PX, SUN_PX / 2))
        covered = max(1 - part, 0)
        texts = [
            f"{90 - abs(latitude - sun):.0f}°",
            f"{shift.to_value(u.arcmin):.1f}′",
            f"{covered:.2f} of the Sun",
            "none is left",
        ]
        if covered > 0.01:
            more = shift + 0.01 * SUN_ANGLE
            found = other_ways.distance_in_earth_radii(more, apart * u.deg, zenith)
            texts[3] = f"distance {100 * (float(found) / away - 1):+.0f} %".replace("-", "−")
        else:
            texts[2] = "no eclipse there"
        for cell, text in zip(self.cells, texts, strict=True):
            cell.set_text(text)
