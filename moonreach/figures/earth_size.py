"""Drawings for lesson 1: two gnomons on a round Earth, what mistakes cost there, a flat Earth."""

import datetime

import numpy as np
from astropy import units as u

from moonreach.figures.drawing import Drawing
from moonreach.figures.shapes import arc, disc, outwards, rows, strokes
from moonreach.lessons import earth_size, noon, today

GNOMON = 1 * u.m
WHOLE = today.EARTH_DIAMETER * np.pi
PX_PER_KM = 290 / today.EARTH_RADIUS.to_value(u.km)
UP = np.pi / 2
LATITUDE = 15 * u.deg  # of the southern of two gnomons: there the Sun passes overhead twice a year
YEAR = datetime.date(2000, 1, 1)  # in which days are counted


class TwoGnomons(Drawing):
    """Parallel rays upon a round Earth, two gnomons and their noon shadows."""

    foot = np.array([360, 270])  # of the southern gnomon
    feet = rows(715, (312, 150))  # of both in the close-ups
    grounds = strokes(rows(530, feet[:, 1]), rows(790, feet[:, 1]))
    light_from = rows((60, 120, 180, 240, 420, 480), 335)

    def work_out(self, road, earth, day):
        """Stand the gnomons on this Earth, cast their shadows, and find the Earth from them."""
        sun = LATITUDE - noon.sun_declination((day - 1) * u.day)
        span, slope = 2 * np.pi * road / earth, sun.to_value(u.rad)
        radius, tall = PX_PER_KM * earth / (2 * np.pi), PX_PER_KM * 1000
        centre = self.foot - [0, radius]
        tilts = np.array([span, 0])  # of the northern gnomon and the southern one
        shadows = np.tan(slope + tilts) * GNOMON
        angles = earth_size.zenith_distance(GNOMON, abs(shadows))
        sunward = np.sign(shadows.value) * angles.to_value(u.rad)
        side = "opposite_sides" if shadows[0] * shadows[1] < 0 else "same_side"
        found = earth_size.arc(*angles, shadows=side)
        north, south = zip(abs(shadows).to_value(u.cm), angles.to_value(u.deg), strict=True)
        mark = max(70, radius - 170)
        return {
            "date": day_and_month(day),
            "globe": (*centre, radius),
            "rim": disc(*centre, radius),
            "road": arc(UP, UP + span, centre, radius),
            "light": strokes(self.light_from, self.light_from + 52 * outwards(UP - slope)),
            "radii": [centre + radius * outwards(UP + span), centre, self.foot],
            "wedge": arc(UP, UP + span, centre, mark),
            "arc_at": np.add(centre, (8, mark + 4)),
            **cast("far", centre + radius * outwards(UP + tilts), tilts, tall, slope + tilts),
            **cast("near", self.feet, 0, 75, sunward),
            **dict(zip(("north_shadow", "north_angle"), north, strict=True)),
            **dict(zip(("south_shadow", "south_angle"), south, strict=True)),
            "arc": found.to_value(u.deg),
            "circumference": earth_size.circumference(found, road * u.km).to_value(u.km),
        }


def day_and_month(day):
    """Return a day of the year in words.

    >>> day_and_month(80.0)
    '20 March'
    """
    then = YEAR + datetime.timedelta(days=day - 1)
    return f"{then.day} {then:%B}"


def cast(place, feet, tilts, tall, angles):
    """Return the strokes of gnomons by name; above each the Sun stands at an angle from its top."""
    tops = feet + tall * outwards(UP + tilts)
    ends = feet + tall * np.tan(angles)[:, None] * outwards(np.pi + tilts)
    sky = tops + 0.8 * tall * outwards(UP + tilts - angles)
    parts = {"rays": (ends, sky), "shadows": (feet, ends), "gnomons": (feet, tops)}
    return {f"{place}_{name}": strokes(*each) for name, each in parts.items()}


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
    round_earth = rows(away, round_shadow(away))

    def work_out(self, height, second, third):
        """Move the near Sun, the gnomons, and what each Earth says about their shadows."""
        places = np.array([0, second, third])
        read, flat = round_shadow(places), flat_shadow(places, height)
        tall, low = 600 * self.px_per_km, self.low
        feet = rows(60 + places * self.px_per_km, low)
        # Gnomons so tall in the drawing stand nearer to the Sun.
        ends = feet + rows(tall * flat_shadow(places, height - 600) / 100, 0)
        sun = (60, low + height * self.px_per_km)
        values = {
            "sun": sun,
            "sun_words": (95, sun[1]),
            "height": height,
            "rays": strokes(sun, ends),
            "gnomons": strokes(feet, np.add(feet, (0, tall))),
            "shadows": strokes(feet, ends),
            "flat": [(away, flat_shadow(away, height)) for away in (0, 6000)],
            "readings": rows(places, read)[1:],
        }
        for place, reads, says in zip(("second", "third"), read[1:], flat[1:], strict=True):
            numbers = {"reads": reads, "says": says, "differs": says - reads}
            values |= {f"{place}_{name}": number for name, number in numbers.items()}
        return values
