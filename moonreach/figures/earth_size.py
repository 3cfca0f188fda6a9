"""Drawings for lesson 1: two gnomons on a round Earth, what mistakes cost there, a flat Earth."""

import numpy as np
from astropy import units as u

from moonreach.figures.drawing import Drawing
from moonreach.figures.shapes import arc, disc, joined, outwards
from moonreach.lessons import earth_size, noon, today

GNOMON = 1 * u.m
WHOLE = today.EARTH_DIAMETER * np.pi
PX_PER_KM = 290 / today.EARTH_RADIUS.to_value(u.km)
UP = np.pi / 2


class TwoGnomons(Drawing):
    """Parallel rays upon a round Earth, two gnomons and their noon shadows."""

    foot = np.array([360, 270])  # of the southern gnomon
    north_y, south_y = 312, 150  # px: the grounds of the close-ups

    grounds = joined([(530, north_y), (790, north_y)], [(530, south_y), (790, south_y)])

    def work_out(self, road, earth, sun):
        """Stand the gnomons on this Earth, cast their shadows, and find the Earth from them."""
        span, slope = 2 * np.pi * road / earth, np.radians(sun)
        radius, tall = PX_PER_KM * earth / (2 * np.pi), PX_PER_KM * 1000
        centre = self.foot - [0, radius]
        tilts = {"north": span, "south": 0}
        shadows = {name: np.tan(slope + tilt) * GNOMON for name, tilt in tilts.items()}
        angles = {n: earth_size.zenith_distance(GNOMON, abs(each)) for n, each in shadows.items()}
        far, near = [], []
        for y, (name, tilt) in zip((self.north_y, self.south_y), tilts.items(), strict=True):
            sunward = np.sign(shadows[name].value) * angles[name].to_value(u.rad)
            far.append(cast(centre + radius * outwards(UP + tilt), tilt, tall, slope + tilt))
            near.append(cast(np.array([715, y]), 0, 75, sunward))
        side = "opposite_sides" if shadows["north"] * shadows["south"] < 0 else "same_side"
        found = earth_size.arc(*angles.values(), shadows=side)
        mark = max(70, radius - 170)
        low = np.array([(x, 335) for x in (60, 120, 180, 240, 420, 480)])
        return {
            "globe": (*centre, radius),
            "rim": disc(*centre, radius),
            "road": arc(UP, UP + span, centre, radius),
            "light": joined(*zip(low, low + 52 * outwards(UP - slope), strict=True)),
            "radii": [centre + radius * outwards(UP + span), centre, self.foot],
            "wedge": arc(UP, UP + span, centre, mark),
            "arc_at": np.add(centre, (8, mark + 4)),
            **{f"far_{part}": joined(*(each[part] for each in far)) for part in far[0]},
            **{f"near_{part}": joined(*(each[part] for each in near)) for part in near[0]},
            **{f"{name}_shadow": abs(each).to_value(u.cm) for name, each in shadows.items()},
            **{f"{name}_angle": each.to_value(u.deg) for name, each in angles.items()},
            "arc": found.to_value(u.deg),
            "circumference": earth_size.circumference(found, road * u.km).to_value(u.km),
        }


def cast(foot, tilt, tall, angle):
    """Return the strokes of one gnomon by name, the Sun standing at an angle from its top."""
    top = foot + tall * outwards(UP + tilt)
    end = foot + tall * np.tan(angle) * outwards(np.pi + tilt)
    ray = [end, top + 0.8 * tall * outwards(UP + tilt - angle)]
    return {"rays": ray, "shadows": [foot, end], "gnomons": [foot, top]}


class EarthCosts(Drawing):
    """What a slanting road, different days and a wrong edge cost, alone and together."""

    def work_out(self, road, bearing, days, date, edge):
        """Take the same two readings with each mistake, and with all."""
        road = road * u.km
        north_south = earth_size.north_south_distance(road, bearing * u.deg)
        arc = (north_south / WHOLE * 360).to_value(u.one) * u.deg
        start = (date - 1) * u.day  # counted in the year 2000
        sun = noon.sun_declination(start)
        change = noon.sun_declination(start + days * u.day) - sun
        blur = edge / 100 * today.SUN_SEMIDIAMETER
        none, south = 0 * u.deg, 60 * u.deg  # any south: it falls out of the difference

        def cost(distance, later, unseen):
            measured = earth_size.arc(south + arc - later - unseen, south)
            return (earth_size.circumference(measured, distance) / WHOLE - 1).to_value(u.percent)

        costs = (
            cost(road, none, none),
            cost(north_south, change, none),
            cost(north_south, none, blur),
            cost(road, change, blur),
        )
        return {"costs": costs, "arc": arc.value, "sun_change": change.to_value(u.arcmin)}


def round_shadow(away):
    """Return the shadow of 1 m in cm on the round Earth, km away from the place under the Sun."""
    return 100 * np.tan((away * u.km / WHOLE * 360 * u.deg).to_value(u.rad))


def flat_shadow(away, height):
    """Return the shadow of 1 m in cm on a flat Earth, as under a lamp at that height in km."""
    return 100 * np.tan(earth_size.zenith_distance(height * u.km, away * u.km).to_value(u.rad))


class NearSun(Drawing):
    """A flat Earth under a near Sun fits two shadows; a third place decides."""

    low, px_per_km = 70, 0.034  # of the left part
    ground = (20, low), (320, low)
    away = np.linspace(0, 6000, 100)
    round_earth = np.column_stack([away, round_shadow(away)])

    def work_out(self, height, second, third):
        """Move the near Sun, the gnomons, and what each Earth says about their shadows."""
        places = np.array([0, second, third])
        read, flat = round_shadow(places), flat_shadow(places, height)
        tall, low = 600 * self.px_per_km, self.low
        feet = [(60 + away * self.px_per_km, low) for away in places]
        # Gnomons so tall in the drawing stand nearer to the Sun.
        ends = np.add(feet, [(tall * s / 100, 0) for s in flat_shadow(places, height - 600)])
        sun = (60, low + height * self.px_per_km)
        values = {
            "sun": sun,
            "sun_words": (95, sun[1]),
            "height": height,
            "rays": joined(*((sun, end) for end in ends)),
            "gnomons": joined(*((foot, np.add(foot, (0, tall))) for foot in feet)),
            "shadows": joined(*zip(feet, ends, strict=True)),
            "flat": [(away, flat_shadow(away, height)) for away in (0, 6000)],
            "readings": np.column_stack([places, read])[1:],
        }
        for place, reads, says in zip(("second", "third"), read[1:], flat[1:], strict=True):
            numbers = {"reads": reads, "says": says, "differs": says - reads}
            values |= {f"{place}_{name}": number for name, number in numbers.items()}
        return values
