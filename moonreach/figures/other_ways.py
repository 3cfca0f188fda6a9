"""Drawings for lesson 7: one solar eclipse and one Moon, each seen from two places."""

import numpy as np
from astropy import units as u

from moonreach.figures.drawing import Drawing
from moonreach.figures.parts import worded
from moonreach.figures.shapes import arc, disc, joined, outwards, strokes
from moonreach.lessons import other_ways, today

SUN_ANGLE = 2 * today.SUN_SEMIDIAMETER
RADIUS = 100  # px, of the Earth


class EclipseFromTwoPlaces(Drawing):
    """Earth, the two places, the Moon, and what each place sees of the Sun."""

    middle, away_px, sun_px = np.array([120.0, 215.0]), 200, 76
    times = 60 * RADIUS / away_px
    earth = (*middle, RADIUS)
    sun_north = before_north = 600, 330, sun_px / 2
    sun_south = 600, 145, sun_px / 2

    def work_out(self, latitude, apart, sun, away):
        """Set places, Moon and Sun, and shift the Moon before the southern place's Sun."""
        zenith = (latitude - sun) * u.deg
        shift = other_ways.shift_at(away, apart * u.deg, zenith)
        part = (shift / SUN_ANGLE).to_value(u.one)
        out = outwards(np.radians(sun))
        ups = outwards(np.radians([latitude, latitude - apart]))
        north, south = places = self.middle + RADIUS * ups
        moon = north + self.away_px * away / 60.3 * out
        ends = places + (540 - places[:, :1]) / out[0] * out
        covered, less = "no eclipse there", "none is left"
        if 1 - part > 0.01:
            more = shift + 0.01 * SUN_ANGLE
            less = float(other_ways.distance_in_earth_radii(more, apart * u.deg, zenith))
            covered, less = 1 - part, 100 * (less / away - 1)
        return {
            "rays": strokes(places, ends),
            "sight": (south, moon),
            "places": places,
            "moon": (*moon, 9),
            "N": np.add(north, (-8, 7)),
            "S": np.add(south, (-8, -7)),
            "toward": ends[1] - (150, 22 + 150 * max(out[1] / out[0], 0)),
            "before_south": np.add(self.sun_south, (0, min(part, 1.3) * self.sun_px, 0)),
            "altitude": 90 - abs(latitude - sun),
            "covered": covered,
            "less": less,
        }


class BeforeTheStars(Drawing):
    """The Moon among the stars at one moment, as either of two places sees it."""

    middle, px_per_degree = np.array([270.0, 225.0]), 145
    moon_px = px_per_degree * today.MOON_SEMIDIAMETER.to_value(u.deg)
    stars, bright = (
        np.random.default_rng(n).uniform((10, 65), (530, 360), (n, 2)) for n in (60, 9)
    )

    def work_out(self, apart, away, school):
        """Set the Moon where the school sees it: from the north it stands farther south."""
        zenith = topocentric(apart / 2 * u.deg, away)  # the Moon half-way between the zeniths
        shift = other_ways.shift_at(away, apart * u.deg, zenith).to_value(u.deg)
        half = np.array((0, shift * self.px_per_degree / 2))
        seen, other = (self.middle - half, self.middle + half)[:: 1 if school < 0.5 else -1]
        return {
            "moon": (*seen, self.moon_px),
            "other": disc(*other, self.moon_px),
            "place": ("Seen from the north", "Seen from the south")[round(school)],
            "shift": shift,
            "moons": shift / (2 * self.moon_px / self.px_per_degree),
        }


class TwoPlaces(Drawing):
    """Two plumb lines, two lines to the Moon, and the angle between these."""

    middle, away_px = np.array([160.0, 225.0]), 400
    times = 60 * RADIUS / away_px
    earth = (*middle, RADIUS)

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
        begins = np.radians([north, south])
        ups, towards = outwards(begins), outwards(np.radians(moon))
        places = self.middle + RADIUS * ups
        at = self.middle + self.away_px * towards * (1, 0.62)  # kept in the picture
        ends = np.arctan2(*(at - places).T[::-1])
        names, angles = places - 14 * ups, places + 50 * outwards((begins + ends) / 2)
        return {
            "plumbs": strokes(places, places + 62 * ups),
            "sights": strokes(places, at),
            "arcs": joined(*(arc(*sweep, 34) for sweep in zip(begins, ends, places, strict=True))),
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


def topocentric(zenith, away):
    """Return the zenith distance at a place of a Moon whose one from Earth's centre is given."""
    return np.arctan2(np.sin(zenith), np.cos(zenith) - 1 / away).to(u.deg)


def with_side(zenith):
    """Return a zenith distance in words, with the side on which the Moon stands."""
    degrees = zenith.to_value(u.deg)
    if abs(degrees) > 90:
        return "below the horizon"
    return worded("{:.2f}°", abs(degrees)) + (" south" if degrees >= 0 else " north")
