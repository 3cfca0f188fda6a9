"""Drawings for lesson 2: the Moon's path through the umbra, and what a path offset costs."""

import numpy as np
from astropy import units as u

from moonreach.figures.drawing import Drawing
from moonreach.figures.shapes import arc, covered_fraction, disc, joined, overlap, rows, strokes
from moonreach.lessons import eclipse_timing, today


class MoonPath(Drawing):
    """The Moon's path through the umbra, the four contacts, and the light that is left."""

    middle_x, middle_y, px = 280, 282, 2.45  # the umbra's middle, and pixels for one arcminute

    def work_out(self, offset, ratio, moon, moment):
        """Let this Moon take this path, time its contacts, and find the shadow ratio again."""
        s = moon * u.arcmin
        rate = eclipse_timing.scaled_rate(s)
        t_in, t_tot = eclipse_timing.expected_phases(ratio, offset, s, rate)
        central = float(eclipse_timing.ratio_through_middle(t_in, t_tot))
        chord = float(eclipse_timing.ratio_off_centre(t_in, t_tot, s, rate))
        entry, total = t_in.to_value(u.min), t_tot.to_value(u.min)
        contacts = np.array([-total / 2 - entry, -total / 2, total / 2, total / 2 + entry])
        rate = rate.to_value(u.arcmin / u.min)
        radius, size = ratio * moon * self.px, moon * self.px
        y = self.middle_y + offset * radius
        x = self.middle_x + contacts * rate * self.px
        minutes = np.append(np.linspace(-150, 150, 121), moment)
        apart = np.hypot(minutes * rate, offset * ratio * moon)
        light = 100 * (1 - covered_fraction(moon, ratio * moon, apart))
        curve = rows(minutes, light)
        umbra = self.middle_x, self.middle_y, radius
        now = self.middle_x + moment * rate * self.px, y, size
        return {
            "umbra": umbra,
            "rim": disc(*umbra),
            "path": [(5, y), (555, y)],
            "contacts_at": joined(*(disc(a, y, size) for a in x)),
            "disc": now,
            "reddened": overlap(now, umbra),
            **{f"U{i}": (a, y + size + 3) for i, a in enumerate(x, start=1)},
            "light": curve[:-1],
            "now": curve[-1:],
            "contacts": strokes(rows(contacts, 0), rows(contacts, 110)),
            "t_in": entry,
            "t_tot": total,
            "central": central,
            "chord": chord,
            "off": float(eclipse_timing.path_offset(chord, t_in, t_tot)),
            "wrong": 100 * (central / chord - 1),
        }


class PathCost(Drawing):
    """How wrong each formula is, against how far from the middle the Moon passed."""

    def work_out(self, offset, ratio, moon):
        """Time the contacts on every path and find x with each formula."""
        s = moon * u.arcmin
        true_rate = eclipse_timing.scaled_rate(s)
        mean_rate = eclipse_timing.scaled_rate(today.MOON_SEMIDIAMETER)
        offsets = np.append(np.linspace(0, 0.5, 51), offset)
        t_in, t_tot = eclipse_timing.expected_phases(ratio, offsets, s, true_rate)
        ratios = {
            "central": eclipse_timing.ratio_through_middle(t_in, t_tot),
            "mean": eclipse_timing.ratio_off_centre(t_in, t_tot, s, mean_rate),
            "scaled": eclipse_timing.ratio_off_centre(t_in, t_tot, s, true_rate),
        }
        errors = {name: 100 * (np.asarray(found) / ratio - 1) for name, found in ratios.items()}
        return {
            **{name: rows(offsets, error)[:-1] for name, error in errors.items()},
            **{f"{name}_now": error[-1] for name, error in errors.items()},
            "here": [(offset, -40), (offset, 30)],
            "dots": [(offset, error[-1]) for error in errors.values()],
        }


class TwoTriangles(Drawing):
    """Shadow, path and the Moon at U3 and U4: two right triangles with one side in common."""

    middle, px = np.array([60, 135]), 88  # of the shadow; pixels for one semidiameter of the Moon
    ways = 75, 35  # heights of the ways along the path

    def work_out(self, offset, ratio):
        """Put the Moon at its two contacts on this path, and square the sides."""
        b, short, long = offset * ratio, ratio - 1, ratio + 1
        short_way, long_way = short**2 - b**2, long**2 - b**2
        left, low = self.middle
        y = low + b * self.px
        x = left + np.sqrt([short_way, long_way]) * self.px
        moons, ends = rows(x, y), rows(x, self.ways)
        return {
            "slants": strokes(self.middle, moons),
            "along": strokes(rows(left, self.ways), ends),
            "drops": strokes(moons, ends),
            "U3": moons[0] + (0, 6),
            "U4": moons[1] + (0, 6),
            "way_U3": ends[0] + (6, 0),
            "way_U4": ends[1] + (6, 0),
            "umbra": [self.middle, *arc(0, np.pi / 2, self.middle, ratio * self.px)],
            "moons": joined(*(disc(*moon, self.px) for moon in moons)),
            "path": [(5, y), (555, y)],
            "upright": [self.middle, (left, y)],
            "b_at": (left - 8, (low + y) / 2),
            "b": "b" if b > 0.1 else "",
            "slant_U3": 0.3 * self.middle + 0.7 * moons[0] + (-6, 3),
            "room": "S − s" if short_way > 1 else "",
            "slant_U4": 0.54 * self.middle + 0.46 * moons[1] + (6, -3),
            "long": long**2,
            "short": short**2,
            "common": b**2,
            "long_way": long_way,
            "short_way": short_way,
            "difference": long_way - short_way,
            "product": 4 * ratio,
        }
