"""Drawings for lesson 3: shadows that narrow alike, what each assumption costs, and the halves."""

import numpy as np
from astropy import units as u

from moonreach.figures.drawing import Drawing
from moonreach.figures.shapes import arc, both_sides, disc, rows, strokes
from moonreach.lessons import moon_distance, shadow_cone, today

MOONS_AWAY = moon_distance.distance_in_moon_diameters(2 * today.MOON_SEMIDIAMETER).value


class DiscShadow(Drawing):
    """A disc that faces the Sun, its umbra and its penumbra, and a card that catches them."""

    disc_x, axis_y, px_per_cm, px_per_m, edge_x = 90, 197, 12, 48, 790
    sun_seen = 725, 370, 26  # from the middle of the card

    times = 100 * px_per_cm / px_per_m
    lights = axis_y + np.arange(-40, 41, 20)
    sunlight = strokes(rows(20, lights), rows(disc_x - 12, lights))
    metres = disc_x, 52, px_per_m, range(0, 13, 2)
    sun_rim = disc(*sun_seen)

    def work_out(self, disc, card):
        """Let the two shadows run to the picture's edge, and put the card across them."""
        sun = today.SUN_RADIUS, today.SUN_DISTANCE
        end = shadow_cone.umbra_length(disc / 2 * u.cm, *sun).to_value(u.m)
        half, left = disc / 2 * self.px_per_cm, max(1 - card / end, 0)
        far = (self.edge_x - self.disc_x) / self.px_per_m
        slope = half / end / self.px_per_m
        stop, x = (self.disc_x + min(each, far) * self.px_per_m for each in (end, card))
        return {
            "umbra": wedge(self.disc_x, self.axis_y, half, slope, stop),
            "penumbra": wedge(self.disc_x, self.axis_y, half, -slope, self.edge_x),
            "disc": both_sides(self.axis_y, [(self.disc_x, 0), (self.disc_x, half)]),
            "card": [(x, 60), (x, self.axis_y + 115)],
            "patch": both_sides(self.axis_y, [(x, 0), (x, half * left or np.nan)]),
            "width": disc * left if left else "none, a ring of the Sun is left",
            "narrower": disc * (1 - left) if left else "its whole width",
            "end": end,
            # Of the Sun's width, and not beyond the picture.
            "before_sun": (*self.sun_seen[:2], min(self.sun_seen[2] * end / card, 44)),
        }


class Cones(Drawing):
    """Earth's shadow and the Moon's own, which narrow alike."""

    moon_px, step_px = 44, 230  # one Moon upwards, one Moon distance along
    earth_x, axis_y = 390, 225
    new_x, full_x = earth_x - step_px, earth_x + step_px

    new, full = (new_x, axis_y, moon_px / 2), (full_x, axis_y, moon_px / 2)
    times = MOONS_AWAY * moon_px / step_px

    def work_out(self, sun, ratio, discs):
        """Draw both cones from Earth's size in Moons, found by the exact formula."""
        earth = float(shadow_cone.earth_in_moons(ratio, discs, sun))
        half_earth, half_shadow, half_moon = np.array([earth, ratio, 1]) * self.moon_px / 2
        slope = (half_earth - half_shadow) / self.step_px
        # Nearer the Sun by one Moon distance, the Moon's own shadow narrows a little faster.
        own = half_moon * (discs * sun - 1) / (sun - 1) / self.step_px
        end = min(795, self.earth_x + half_earth / slope) if slope > 0 else 795
        tip = min(self.new_x + half_moon / own, self.earth_x)
        edge = half_earth + slope * (self.earth_x - 40)
        earth_light = [(40, edge), (self.earth_x, half_earth)]
        moon_light = [(40, half_moon + own * (self.new_x - 40)), (self.new_x, half_moon)]
        y, full, turn = self.axis_y, self.full_x, np.linspace(-1, 1, 41)
        return {
            "umbra": wedge(self.earth_x, y, half_earth, slope, end),
            "own_umbra": wedge(self.new_x, y, half_moon, own, tip),
            "globe": (self.earth_x, y, half_earth),
            "rays": both_sides(y, earth_light, moon_light),
            "sun_disc": rows(40 * np.cos(turn * np.pi / 2), y + edge * turn),
            "strips": both_sides(y, [(full, half_shadow), (full, half_earth)]),
            "level": both_sides(y, [(self.earth_x, half_earth), (full + 8, half_earth)]),
            "above": (full, y + half_earth + 4),
            "below": (full, y - half_earth - 4),
            "narrower": (earth - ratio) / 2,
            "earth": earth,
            "ratio": ratio,
            "narrows": earth - ratio,
            "wrong": 100 * (float(shadow_cone.earth_in_moons(ratio)) / earth - 1),
        }


class ConeCosts(Drawing):
    """What each assumption about the cones costs as the Sun comes nearer."""

    away = np.geomspace(3, 400, 60)  # the cost is the same for every x
    cost = shadow_cone.earth_in_moons(1) / shadow_cone.earth_in_moons(1, 1, away) - 1
    curve = rows(away, 100 * cost)

    def work_out(self, sun, ratio, discs, air):
        """Drop each assumption's care in turn, and compare with nothing left out."""
        bare = shadow_cone.without_air(ratio, air / 100)
        exact = float(shadow_cone.earth_in_moons(bare, discs, sun))
        rough = (
            shadow_cone.earth_in_moons(bare, discs),
            shadow_cone.earth_in_moons(bare, 1.0, sun),
            shadow_cone.earth_in_moons(ratio, discs, sun),
            shadow_cone.earth_in_moons(ratio),
        )
        costs = [100 * (float(each) / exact - 1) for each in rough]
        return {"costs": costs, "exact": exact, "dot": (sun, costs[0])}


def half(width):
    """Return the outline of half a Moon, as many times as wide as that of the mean Moon."""
    return (215, 195) + arc(-np.pi / 2, np.pi / 2, radius=140) * (width, abs(width))


class MoonHalves(Drawing):
    """Two halves of the Moon: at its mean distance, and nearer or farther by some per cent."""

    mean = half(-1)

    def work_out(self, away, altitude):
        """Make the right half as large as its distance from the place tells."""
        up = altitude * u.deg
        centre = today.MOON_DISTANCE * (1 + away / 100)
        seen = moon_distance.topocentric_distance(centre, up, today.EARTH_RADIUS)
        # Angles so small are as the distances, upside down.
        wider = (today.MOON_DISTANCE / seen).to_value(u.one)
        return {
            "half": half(wider),
            "seen": 100 * (1 / wider - 1),
            "wider": 100 * (wider - 1),
        }


def wedge(x, y, half, slope, end):
    """Return the outline of a shadow, so far up and down at x, that narrows along its axis."""
    left = max(half - slope * (end - x), 0)
    return [(x, y - half), (x, y + half), (end, y + left), (end, y - left)]
