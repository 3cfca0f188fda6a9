"""Drawings for lesson 7: one solar eclipse and one Moon, each seen from two places."""

import numpy as np
from astropy import units as u

from moonreach.figures import style
from moonreach.figures.drawing import Drawing, Slider
from moonreach.figures.parts import joined, worded
from moonreach.lessons import other_ways, today

SUN_ANGLE = 2 * today.SUN_SEMIDIAMETER
RADIUS = 100  # px, of the Earth
RIM = {"edgecolor": style.SHADOW_EDGE, "lw": 0.8}


class EclipseFromTwoPlaces(Drawing):
    """Earth, the two places, the Moon, and what each place sees of the Sun."""

    sliders = (
        Slider("latitude", "Northern latitude", 20, 60, 41, 1, "°", ".0f"),
        Slider("apart", "Places apart by", 2, 25, 10, 0.5, "°"),
        Slider("sun", "Sun above the equator by", -23, 23, -3, 1, "°", ".0f"),
        Slider("away", "Moon away, Earth radii", 40, 90, 60.3, 0.1),
    )
    earth, away_px, sun_px = np.array([120.0, 215.0]), 200, 76
    view_x, north_y, south_y = 600, 330, 145

    def build(self):
        """Make the Earth at the left, both views at the right, the numbers below."""
        stage = self.pane()
        stage.note(
            f"Moon drawn about {60 * RADIUS / self.away_px:.0f} times too near and too large"
        )
        stage.disc((*self.earth, RADIUS), style.EARTH, **RIM)
        stage.line("rays", style.SUN)
        stage.line("sight", lw=1.2)
        stage.dots("places", style.INK, 6)
        stage.disc("moon", style.MOON, **RIM)
        for name in "NS":
            stage.words(text=name, feed=name, weight="bold", ha="right", va="center")
        stage.words(text="to the Sun →", feed="toward", color=style.SUN, size=9)
        half = self.sun_px / 2
        for y, name in ((self.north_y, "northern place"), (self.south_y, "southern place")):
            stage.words(self.view_x + half + 14, y, name, va="center")
            stage.disc((self.view_x, y, half), style.SUN)
        stage.disc((self.view_x, self.north_y, half), style.MOON, **RIM)
        stage.disc("before", style.MOON, **RIM)
        cells = (
            (20, "Sun's altitude, N", "altitude", "{:.0f}°", style.INK),
            (190, "shift of the Moon", "shift", "{:.1f}′", style.OWN_WORDS),
            (365, "covered at S", "covered", "{:.2f} of the Sun", style.INK),
            (560, "1/100 less covered makes", "less", "distance {:+.0f} %", style.DROPPED_WORDS),
        )
        stage.heads(cells)

    def work_out(self, latitude, apart, sun, away):
        """Set places, Moon and Sun, and shift the Moon before the southern place's Sun."""
        zenith = (latitude - sun) * u.deg
        shift = other_ways.shift_at(away, apart * u.deg, zenith)
        part = (shift / SUN_ANGLE).to_value(u.one)
        north, south = places = self.earth + RADIUS * outwards(latitude, latitude - apart)
        (out,) = outwards(sun)
        moon = north + self.away_px * away / 60.3 * out
        ends = [place + (480 - place[0]) / out[0] * out for place in places]
        covered, less = "no eclipse there", "none is left"
        if 1 - part > 0.01:
            more = shift + 0.01 * SUN_ANGLE
            less = float(other_ways.distance_in_earth_radii(more, apart * u.deg, zenith))
            covered, less = 1 - part, 100 * (less / away - 1)
        middle = self.south_y + min(part, 1.3) * self.sun_px
        return {
            "rays": joined(*zip(places, ends, strict=True)),
            "sight": (south, moon),
            "places": places,
            "moon": (*moon, 9),
            "N": np.add(north, (-8, 7)),
            "S": np.add(south, (-8, -7)),
            "toward": ends[1] - (90, 22 + 90 * max(out[1] / out[0], 0)),
            "before": (self.view_x, middle, self.sun_px / 2),
            "altitude": 90 - abs(latitude - sun),
            "shift": shift.to_value(u.arcmin),
            "covered": covered,
            "less": less,
        }


class TwoPlaces(Drawing):
    """Two plumb lines, two lines to the Moon, and the angle between these."""

    sliders = (
        Slider("north", "Northern latitude", 20, 65, 50, 1, "°", ".0f"),
        Slider("south", "Southern latitude", -60, 10, -30, 1, "°", ".0f"),
        Slider("moon", "Moon above the equator by", -28, 28, 9, 1, "°", ".0f"),
        Slider("away", "Moon away, Earth radii", 55.9, 63.8, 60.3, 0.1),
        Slider("off_north", "Northern reading wrong by", -1, 1, 0, 0.05, "°", ".2f"),
        Slider("off_south", "Southern reading wrong by", -1, 1, 0, 0.05, "°", ".2f"),
    )
    earth, away_px = np.array([160.0, 225.0]), 400

    def build(self):
        """Make the Earth at the left, the Moon at the right, the numbers below."""
        stage = self.pane()
        near = 60 * RADIUS / self.away_px
        stage.note(f"the Moon is drawn {near:.0f} times too near, so that the shift is too large")
        stage.disc((*self.earth, RADIUS), style.EARTH, **RIM)
        stage.line("plumbs", style.SHADOW_EDGE, lw=1, ls=(0, (4, 3)))
        stage.line("sights", lw=1.4)
        stage.line("arcs", style.OWN, lw=1.8)
        stage.dots("places", style.INK, 6)
        stage.disc("moon", style.MOON, **RIM)
        for name in "NS":
            look = {"ha": "center", "va": "center"}
            stage.words(text=name, feed=name, weight="bold", **look)
            stage.words(text=f"z{name}", feed=f"z{name}", color=style.OWN_WORDS, **look)
        right = self.pane(610, 0, 190)
        for y, text, feed, form, color in (
            (330, "zenith distance, N", "zenith_north", "{}", style.INK),
            (280, "zenith distance, S", "zenith_south", "{}", style.INK),
            (230, "latitudes apart", "apart", "{:.0f}°", style.INK),
            (180, "shift as read", "shift", "{:.2f}°", style.OWN_WORDS),
            (130, "distance from it", "found", "{:.1f} Earth radii", style.OWN_WORDS),
            (80, "true distance", "away", "{:.1f} Earth radii", style.TODAY_WORDS),
        ):
            right.note(text, 625, y)
            right.number(feed, form, 625, y - 20, weight="bold", color=color)

    def work_out(self, north, south, moon, away, off_north, off_south):
        """Turn plumb lines and sights, and work the distance out from the wrong readings."""
        apart = (north - south) * u.deg
        true_north = topocentric((north - moon) * u.deg, away)
        shift = other_ways.shift_at(away, apart, true_north)
        readings = true_north + off_north * u.deg, true_north - apart - shift - off_south * u.deg
        read = other_ways.shift_from_zenith_distances(apart, *readings)
        found = "never meet"
        if read > 0 * u.deg:
            found = float(other_ways.distance_in_earth_radii(read, apart, readings[0]))
            found = found if found < 1000 else "beyond all measure"
        outs = outwards(north, south)
        places = self.earth + RADIUS * outs
        at = self.earth + self.away_px * outwards(moon)[0] * (1, 0.62)  # kept in the picture
        begins = np.array([north, south])
        ends = np.degrees(np.arctan2(*(at - places).T[::-1]))
        sweeps = np.linspace(begins, ends, 20).T
        arcs = [p + 34 * outwards(*sweep) for p, sweep in zip(places, sweeps, strict=True)]
        names, angles = places - 14 * outs, places + 50 * outwards(*(begins + ends) / 2)
        return {
            "plumbs": joined(*zip(places, places + 62 * outs, strict=True)),
            "sights": joined(*((place, at) for place in places)),
            "arcs": joined(*arcs),
            "places": places,
            "moon": (*at, 11),
            **dict(zip(("N", "S", "zN", "zS"), (*names, *angles), strict=True)),
            "zenith_north": with_side(readings[0]),
            "zenith_south": with_side(readings[1]),
            "apart": apart.value,
            "shift": read.to_value(u.deg),
            "found": found,
            "away": away,
        }


def outwards(*degrees):
    """Return a row of x and y, one long, for each direction in degrees from the right upwards."""
    turn = np.radians(degrees)
    return np.column_stack([np.cos(turn), np.sin(turn)])


def topocentric(zenith, away):
    """Return the zenith distance at a place of a Moon whose one from Earth's centre is given."""
    return np.arctan2(np.sin(zenith), np.cos(zenith) - 1 / away).to(u.deg)


def with_side(zenith):
    """Return a zenith distance in words, with the side on which the Moon stands."""
    degrees = zenith.to_value(u.deg)
    if abs(degrees) > 90:
        return "below the horizon"
    return worded("{:.2f}°", abs(degrees)) + (" south" if degrees >= 0 else " north")
