"""Drawings for lesson 5: the guess, and Earth, Moon and the way between them to true scale."""

import numpy as np
from astropy import units as u

from moonreach.figures.drawing import Drawing
from moonreach.figures.shapes import box, disc, joined, outwards
from moonreach.lessons import moon_distance, today

MOON = float(today.MOON_RADIUS / today.EARTH_RADIUS)


def month_range():
    """Return the Moon's least, mean and greatest distance in km, from its sizes in the sky."""
    least, greatest = (
        moon_distance.distance_in_moon_diameters(size) * 2 * today.MOON_RADIUS
        for size in (today.MOON_GREATEST_DIAMETER, today.MOON_LEAST_DIAMETER)
    )
    return u.Quantity([least, today.MOON_DISTANCE, greatest]).to_value(u.km)


class HowFar(Drawing):
    """Earth and Moon in their true sizes; the gap between them is the guess."""

    left, right, y = 40, 760, 240
    globe = 0.3  # m: one that a class may have
    ball = 100 * globe * MOON  # cm

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

    left, y, px_per_km = 40, 320, 0.00140
    middle, away_x = np.array([130, 140]), 400  # of the Earth enlarged; where its sights end
    enlarged, to_moon = (*middle, 90), (middle, (away_x, middle[1]))
    least, mean_x, greatest = left + px_per_km * month_range()
    months = box(least, y - 26, greatest, y + 26)
    mean, mean_at = [(mean_x, y - 26), (mean_x, y + 26)], (mean_x, y + 32)

    def work_out(self, angle, moons, earth, altitude):
        """Find the distance from the place and from Earth's centre, and set the Moon there."""
        theta, up = angle * u.arcmin, altitude * u.deg
        in_earths = float(moon_distance.distance_in_earth_diameters(theta, moons))
        here = in_earths * earth
        centre = float(moon_distance.geocentric_distance(here, up, earth / 2))
        radius, x = earth * self.px_per_km / 2, self.left + centre * self.px_per_km
        steps = range(1, int(centre / earth))
        tilt = np.pi / 2 - up.to_value(u.rad)  # from the direction of the Moon to the zenith
        zenith = outwards(tilt)
        place = self.middle + 90 * zenith
        level = 34 * outwards(tilt + np.pi / 2)
        return {
            "globe": (self.left, self.y, radius),
            "between": joined(*(disc(self.left + 2 * radius * i, self.y, radius) for i in steps)),
            "moon": (x, self.y, radius / moons),
            "own": [(x, self.y - 30), (x, self.y - 8)],
            "own_at": (x, self.y - 46),
            "place": place,
            "you": place + 18 * zenith + (0, 10),
            "horizon": (place - level, place + level),
            "sight": (place, (self.away_x, place[1])),
            "nearer": (self.middle, (place[0], self.middle[1])),
            "in_moons": float(moon_distance.distance_in_moon_diameters(theta)),
            "in_earths": in_earths,
            "here": round(here, -2),
            "centre": round(centre, -2),
            "costs": 100 * (here / centre - 1),
        }
