"""A drawing for lesson 7: the Moon seen from two places at one moment, and what errors do."""

import numpy as np
from astropy import units as u

from moonreach.figures import style
from moonreach.figures.circles import disc
from moonreach.figures.drawing import Drawing, Slider, strokes
from moonreach.lessons import other_ways

EARTH, RADIUS, MOON_X = np.array([160.0, 225.0]), 100, 560
_NAMES = "NS"


class TwoPlaces(Drawing):
    """Two plumb lines, two lines to the Moon, and the angle between these."""

    title = "One Moon, two plumb lines"
    caption = (
        "The dashed lines are the two plumb lines, as far apart as the latitudes are. The lines to "
        "the Moon are not quite parallel: their small angle is the shift, and it is all that tells "
        "the distance. Let one of the two readings be wrong by half a degree, and see what becomes "
        "of the distance; then choose places that lie nearer to each other."
    )
    alternative = (
        "The Earth at the left with two places; from each a dashed line to its zenith and a line "
        "to the Moon at the right. The numbers below give both zenith distances, the shift and the "
        "distance that follows from the readings."
    )
    sliders = (
        Slider("north", "Northern latitude", 20, 65, 50, 1, "°", ".0f"),
        Slider("south", "Southern latitude", -60, 10, -30, 1, "°", ".0f"),
        Slider("moon", "Moon above the equator by", -28, 28, 9, 1, "°", ".0f"),
        Slider("away", "Moon away, Earth radii", 55.9, 63.8, 60.3, 0.1),
        Slider("off_north", "Northern reading wrong by", -1, 1, 0, 0.05, "°", ".2f"),
        Slider("off_south", "Southern reading wrong by", -1, 1, 0, 0.05, "°", ".2f"),
    )

    def build(self):
        """Make the Earth at the left, the Moon at the right, the numbers below."""
        stage = self.stage()
        near = 60 * RADIUS / (MOON_X - EARTH[0])
        note = f"the Moon is drawn {near:.0f} times too near, so that the shift is too large"
        stage.text(20, 398, note, color=style.FAINT, size=9)
        stage.fill(*disc(*EARTH, RADIUS).T, fc=style.EARTH, ec=style.SHADOW_EDGE, lw=0.8)
        self.plumbs = self.line(stage, style.SHADOW_EDGE, lw=1, ls=(0, (4, 3)))
        self.sights = self.line(stage, style.INK, lw=1.4)
        self.arcs = self.line(stage, style.OWN, lw=1.8)
        self.places = self.line(stage, style.INK, marker="o", ms=6, ls="")
        self.moon = self.area(stage, style.MOON, edgecolor=style.SHADOW_EDGE, lw=0.8)
        self.names = [
            self.words(stage, text=name, weight="bold", ha="center", va="center") for name in _NAMES
        ]
        self.angles = [
            self.words(stage, text=f"z{name}", color=style.OWN_WORDS, ha="center", va="center")
            for name in _NAMES
        ]
        right = self.stage(610, 0, 190)
        rows = (
            (330, "zenith distance, N", style.INK),
            (280, "zenith distance, S", style.INK),
            (230, "latitudes apart", style.INK),
            (180, "shift as read", style.OWN_WORDS),
            (130, "distance from it", style.OWN_WORDS),
            (80, "true distance", style.TODAY_WORDS),
        )
        self.cells = []
        for y, text, color in rows:
            right.text(625, y, text, color=style.FAINT, size=9)
            self.cells.append(self.words(right, 625, y - 20, weight="bold", color=color))

    def update(self, north, south, moon, away, off_north, off_south):
        """Turn plumb lines and sights, and work the distance out from the wrong readings."""
        apart = (north - south) * u.deg
        true_north = _topocentric((north - moon) * u.deg, away)
        shift = other_ways.shift_at(away, apart, true_north)
        readings = true_north + off_north * u.deg, true_north - apart - shift - off_south * u.deg
        read = other_ways.shift_from_zenith_distances(apart, *readings)
        turn = np.radians([north, south])
        outs = np.column_stack([np.cos(turn), np.sin(turn)])
        places = EARTH + RADIUS * outs
        lean = np.radians(moon)
        far = MOON_X - EARTH[0]
        at = EARTH + far * np.array([np.cos(lean), np.sin(lean)]) * (1, 0.62)  # kept in the picture
        zeniths = places + 62 * outs
        self.plumbs.set_data(*strokes(zip(places, zeniths, strict=True)))
        self.sights.set_data(*strokes([(place, at) for place in places]))
        self.places.set_data(*places.T)
        self.moon.set_xy(disc(*at, 11))
        arcs = []
        for place, start, name, word in zip(places, turn, self.names, self.angles, strict=True):
            end = np.arctan2(*(at - place)[::-1])
            sweep = np.linspace(start, end, 20)
            arcs.append(place + 34 * np.column_stack([np.cos(sweep), np.sin(sweep)]))
            middle = (start + end) / 2
            word.set_position(place + 50 * np.array([np.cos(middle), np.sin(middle)]))
            name.set_position(place - 14 * np.array([np.cos(start), np.sin(start)]))
        gap = [(np.nan, np.nan)]
        self.arcs.set_data(*np.vstack([arcs[0], gap, arcs[1]]).T)
        if read > 0 * u.deg:
            found = float(other_ways.distance_in_earth_radii(read, apart, readings[0]))
            told = f"{found:.1f} Earth radii" if found < 1000 else "beyond all measure"
        else:
            told = "never meet"
        texts = (
            *(_side(reading) for reading in readings),
            f"{apart.value:.0f}°",
            f"{read.to_value(u.deg):.2f}°".replace("-", "−"),
            told,
            f"{away:.1f} Earth radii",
        )
        for cell, text in zip(self.cells, texts, strict=True):
            cell.set_text(text)


def _topocentric(zenith, away):
    """Return the zenith distance at a place of a Moon whose one from Earth's centre is given."""
    return np.arctan2(np.sin(zenith), np.cos(zenith) - 1 / away).to(u.deg)


def _side(zenith):
    """Return a zenith distance with the side on which the Moon stands."""
    degrees = zenith.to_value(u.deg)
    if abs(degrees) > 90:
        return "below the horizon"
    return f"{abs(degrees):.2f}° {'south' if degrees >= 0 else 'north'}"
