"""Drawings for lesson 4: the sighting rod before the Moon, and what the hole does to the angle."""

import numpy as np
from astropy import units as u

from moonreach.figures.drawing import Drawing
from moonreach.figures.parts import worded
from moonreach.figures.shapes import both_sides, box, covered_fraction, rows, strokes
from moonreach.lessons import sighting_angle, today


class Rod(Drawing):
    """The disc between hole and Moon, and what is seen through the hole."""

    hole_x, axis_y, edge_x = 70, 165, 790
    px_per_m, px_per_mm = 220, 6
    view = (np.arange(150) - 74.5) / 3  # across what is seen through the hole, in arcminutes
    apart = np.hypot(*np.meshgrid(view, view))
    times = 1000 * px_per_mm / px_per_m
    metres = hole_x, 52, px_per_m, np.arange(0.6, 2.41, 0.2)

    def work_out(self, distance, disc, hole, angle):
        """Stop the beams at the disc, mark both readings, and look through the hole."""
        d, theta = disc * u.mm, angle * u.arcmin
        vanish, rim = readings = both_readings(d, theta, hole * u.mm).to_value(u.m)
        marks = self.hole_x + readings * self.px_per_m
        x, y = self.hole_x + distance * self.px_per_m, self.axis_y
        half_hole, half_disc = hole * self.px_per_mm / 2, disc * self.px_per_mm / 2
        slope = np.tan(theta.to_value(u.rad) / 2) * 1000 * self.px_per_mm / self.px_per_m
        at_disc, at_edge = slope * (x - self.hole_x), slope * (self.edge_x - self.hole_x)
        lowest = np.clip(half_disc - at_disc, -half_hole, half_hole)  # in the hole
        stopped = beam(self.edge_x, at_edge, x, at_disc, -half_hole, half_hole)
        passing = beam(self.hole_x, 0, x, at_disc, lowest, half_hole)
        sides, above = {"upper": (1, 1), "lower": (1, -1)}, np.array((0, y))
        state = "a dim ring"
        if distance <= vanish:
            state = "the Moon is gone"
        elif distance >= rim:
            state = "a bright ring all round"
        return {
            **{f"{side}_beam": stopped * flip + above for side, flip in sides.items()},
            **{f"{side}_passing": passing * flip + above for side, flip in sides.items()},
            "wall": both_sides(y, [(self.hole_x, 60), (self.hole_x, half_hole)]),
            "disc": [(x, y - half_disc), (x, y + half_disc)],
            "post": [(x, 52), (x, y - half_disc)],
            "marks": rows(marks, 58),
            "vanish_at": (marks[0] - 8, 60),
            "rim_at": (marks[1] + 8, 60),
            "vanish": vanish,
            "rim": rim,
            "point": sighting_angle.angular_diameter(d, distance * u.m).to_value(u.arcmin),
            "state": state,
            "seen": self.through_hole(distance, disc, hole, angle),
        }

    def through_hole(self, distance, disc, hole, angle):
        """Return the picture: the Moon, dimmed where only part of the hole sees past the disc."""
        steps = np.linspace(0, angle / 2, 60)
        aside = np.radians(steps / 60) * distance * 1000  # where that ray meets the disc, in mm
        light = 1 - covered_fraction(hole / 2, disc / 2, aside)
        grey = np.interp(self.apart, steps, 40 + 190 * light)
        grey[self.apart > angle / 2] = 20
        return np.repeat(grey.astype(np.uint8)[:, :, None], 3, axis=2)


def beam(x, y, end_x, end_y, low, high):
    """Return the corners of light that goes from one point to another, so far about either."""
    return np.array([(x, y + low), (x, y + high), (end_x, end_y + high), (end_x, end_y + low)])


class HoleCost(Drawing):
    """The angle from one reading taken for a point eye's, and from both readings."""

    least = today.MOON_LEAST_DIAMETER.to_value(u.arcmin)
    greatest = today.MOON_GREATEST_DIAMETER.to_value(u.arcmin)
    months = box(0, least, 3, greatest)
    month_edges = strokes(rows(0, (least, greatest)), rows(3, (least, greatest)))
    month_words = f"- - the Moon's own range,\n      {least:.1f}′ to {greatest:.1f}′"

    def work_out(self, hole, disc, angle):
        """Take both readings through holes of every width, and find the angle three ways."""
        d, theta = disc * u.mm, angle * u.arcmin
        holes = np.append(np.linspace(0, 3, 31), hole)
        vanish, rim = both_readings(d, theta, holes * u.mm)
        found = {
            "vanish": sighting_angle.angular_diameter(d, vanish),
            "rim": sighting_angle.angular_diameter(d, rim),
            "both": sighting_angle.bracketed_angular_diameter(d, vanish, rim),
        }
        numbers = {"here": [(hole, 20), (hole, 50)], "dots": []}
        for name, angles in found.items():
            angles = angles.to_value(u.arcmin)
            off = worded("{:+.1f} %", 100 * (angles[-1] / angle - 1))
            numbers[name] = f"{angles[-1]:.1f}′  ({off})"
            numbers[f"{name}_curve"] = rows(holes, angles)[:-1]
            numbers["dots"].append((hole, angles[-1]))
        return numbers


def both_readings(disc, angle, hole):
    """Return where a disc is read that vanishes the Moon, and where its rim shows, as one."""
    readings = (
        sighting_angle.expected_reading(disc, angle, hole, seen) for seen in ("vanish", "rim")
    )
    return u.Quantity(list(readings))
