"""Drawings for lesson 5: the whole chain with its interval, and the distance to true scale."""

import numpy as np
from astropy import units as u
from astropy.uncertainty import Distribution

from moonreach import (
    earth_size,
    eclipse_timing,
    modern,
    moon_distance,
    shadow_cone,
    sighting_angle,
)
from moonreach.figures import style
from moonreach.figures.bars import Bars
from moonreach.figures.drawing import Drawing, Slider, signed, thousands

GNOMON, ROD_DISC = 1 * u.m, 14 * u.mm
DRAWS = 2000
# Each reading with the standard uncertainty of one careful group, in the unit of its slider:
# a blurred shadow's end, a road off a map, a soft edge timed by eye, two readings of a rod.
UNCERTAIN = {
    "north": (u.cm, 0.2),
    "south": (u.cm, 0.2),
    "road": (u.km, 5),
    "partial": (u.min, 1),
    "total": (u.min, 1.5),
    "vanish": (u.m, 0.02),
    "rim": (u.m, 0.02),
    "altitude": (u.deg, 2),
}


def month_range():
    """Return the least and greatest distance of the Moon, from its largest and smallest size."""
    sizes = (modern.MOON_GREATEST_DIAMETER, modern.MOON_LEAST_DIAMETER)
    moon = 2 * modern.MOON_RADIUS
    return [moon_distance.distance_in_moon_diameters(size) * moon for size in sizes]


def chain(north, south, road, partial, total, vanish, rim, altitude):
    """Return every stage from the readings to the distance from Earth's centre.

    Parameters: the two noon shadows of a gnomon of 1 m, the road between them, the partial and
    the total phase, vanish and rim position of a disc of 14 mm, the Moon's altitude. Returns
    Earth's diameter, x, R/r, the angular diameter from Earth's centre, the distance in Earth
    diameters, the distance.
    """
    arc = earth_size.arc(
        earth_size.zenith_distance(GNOMON, north), earth_size.zenith_distance(GNOMON, south)
    )
    earth = earth_size.diameter(arc, road)
    seen = sighting_angle.bracketed_angular_diameter(ROD_DISC, vanish, rim)
    angle = seen
    for _ in range(2):  # the geocentric angle needs R/r, and R/r the angle: once more is enough
        s = angle / 2
        rate = eclipse_timing.scaled_rate(s)
        x = eclipse_timing.ratio_off_centre(partial, total, s, rate)
        moons = shadow_cone.earth_in_moons(x)
        angle = moon_distance.geocentric_angle(seen, altitude, moons)
    earths = moon_distance.distance_in_earth_diameters(angle, moons)
    return earth, x, moons, angle, earths, (earths * earth).to(u.km)


class Chain(Drawing):
    """All readings of the four lessons, the distance they give, and what each one weighs."""

    title = "From eight readings to the Moon"
    caption = (
        "Move any reading and follow it along the strip to the distance. The bar is the 95 % "
        "interval. On the right: the share of the distance's variance that each reading alone "
        "would cause, so you see which one to take again. The green band is the Moon's own range "
        "over the months, and the dashed line its mean."
    )
    alternative = (
        "A strip of boxes: Earth's diameter, shadow ratio, Earth in Moons, the Moon's angle, the "
        "distance in Earth diameters and in kilometres. Below, the distance with its interval on "
        "a scale, and bars with the share of each of the eight readings."
    )
    sliders = (
        Slider("north", "Shadow of 1 m, north", 10, 16, 12.6, 0.1, "cm"),
        Slider("south", "Shadow of 1 m, south", 0.5, 3, 0.5, 0.1, "cm"),
        Slider("road", "Road, due north", 500, 1000, 765, 5, "km", ".0f"),
        Slider("partial", "Partial phase t1", 55, 75, 65, 0.5, "min"),
        Slider("total", "Total phase t2", 45, 110, 91, 0.5, "min"),
        Slider("vanish", "Moon vanishes at", 1.3, 1.6, 1.44, 0.01, "m", ".2f"),
        Slider("rim", "Its rim shows at", 1.5, 1.8, 1.64, 0.01, "m", ".2f"),
        Slider("altitude", "Moon's altitude", 5, 85, 40, 1, "°", ".0f"),
        Slider("doubt", "All uncertainties, times", 0.3, 3, 1, 0.05, "", ".2f", log=True),
    )
    stages = ("Earth", "shadow (x)", "Earth in Moons", "Moon's angle", "Earths away", "distance")
    names = (
        "Shadow north",
        "Shadow south",
        "Road",
        "Partial phase",
        "Total phase",
        "Moon vanishes",
        "Rim shows",
        "Altitude",
    )

    def build(self):
        """Make the strip above, the scale below at the left, the budget at the right."""
        stage = self.stage()
        self.boxes = []
        for i, name in enumerate(self.stages):
            x = 16 + 130 * i
            last = i == len(self.stages) - 1
            stage.fill(
                [x, x + 112, x + 112, x], [335, 335, 395, 395], fc="white", ec=style.FAINT, lw=1
            )
            if not last:
                stage.text(x + 121, 365, "›", ha="center", va="center", size=14)
            stage.text(x + 56, 378, name, ha="center", va="center", size=9, color=style.FAINT)
            look = {"weight": "bold", "color": style.OWN_WORDS if last else style.INK}
            box = self.words(stage, x + 56, 352, ha="center", va="center", size=11, **look)
            self.boxes.append(box)
        scale = self.chart(30, 70, 360, 200, xlim=(250, 550), ylim=(0, 10), yticks=[])
        scale.spines["left"].set_visible(False)
        scale.set_xlabel("distance of the Moon, in thousand km")
        least, greatest = (each.to_value(u.km) / 1000 for each in month_range())
        mean = modern.MOON_DISTANCE.to_value(u.km) / 1000
        scale.axvspan(least, greatest, ymax=0.8, color=style.TODAY, alpha=0.15, lw=0)
        scale.plot([mean, mean], [0, 8], color=style.TODAY, ls=style.DASHED)
        scale.text(mean, 8.3, "the Moon over the months", color=style.TODAY_WORDS, ha="center")
        self.interval = self.line(scale, style.OWN, lw=6, alpha=0.55, solid_capstyle="butt")
        self.found = self.line(scale, style.OWN, marker="o", ms=9, ls="")
        self.found_words = self.words(stage, 210, 125, color=style.OWN_WORDS, ha="center")
        stage.text(420, 295, "Share in the doubt of the distance", weight="bold")
        colors = [style.OWN] * len(self.names)
        self.bars = Bars(self, stage, self.names, 540, 266, 28, 1.9, (0, 100), colors, 420)
        draws = np.random.default_rng(20).standard_normal((len(UNCERTAIN), DRAWS))
        # Row 0 lets all readings vary, each further row one reading alone.
        vary = np.vstack([np.ones(len(UNCERTAIN)), np.eye(len(UNCERTAIN))])
        self.scatter = dict(zip(UNCERTAIN, vary.T[:, :, None] * draws[:, None, :], strict=True))

    def update(self, doubt, **readings):
        """Send the readings and their clouds through the lessons."""
        exact = {name: value * UNCERTAIN[name][0] for name, value in readings.items()}
        earth, x, moons, angle, earths, distance = chain(**exact)
        texts = (
            f"{thousands(earth.to_value(u.km))} km",
            f"{x:.2f}",
            f"{moons:.2f}",
            f"{angle.to_value(u.arcmin):.1f}′",
            f"{earths:.1f}",
            f"{thousands(distance.value)} km",
        )
        for box, text in zip(self.boxes, texts, strict=True):
            box.set_text(text)
        clouds = {}
        for name, value in readings.items():
            unit, uncertain = UNCERTAIN[name]
            cloud = value + doubt * uncertain * self.scatter[name]
            # A shadow shorter than nothing is no reading.
            clouds[name] = Distribution((np.maximum(cloud, 0) if unit == u.cm else cloud) * unit)
        draws = chain(**clouds)[-1].distribution.to_value(u.km) / 1000
        low, high = np.percentile(draws[0], [2.5, 97.5])
        self.interval.set_data([low, high], [4, 4])
        self.found.set_data([distance.value / 1000], [4])
        half = (high - low) / 2
        self.found_words.set_text(
            f"{distance.value / 1000:.0f} (95 %: {low:.0f} to {high:.0f}), "
            f"± {100 * half / (distance.value / 1000):.0f} %"
        )
        spread = np.var(draws, axis=1)
        self.bars.set(100 * spread[1:] / spread[0], "{} %")


class ToScale(Drawing):
    """Earth and Moon, and all that lies between, to one scale."""

    title = "Earth and Moon to true scale"
    caption = (
        "Nothing is enlarged in the upper strip: this is how small, and how far. The rod measures "
        "from where you stand, the distance is counted from Earth's centre. Raise the Moon from "
        "the horizon overhead: you are up to one Earth radius nearer to it."
    )
    alternative = (
        "A strip with the Earth at the left and the small Moon far at the right, thirty Earths "
        "between them, the Moon's range over the months and its mean. Below, the Earth enlarged, "
        "with the place where the class stands."
    )
    sliders = (
        Slider("angle", "Moon's angle, seen", 29.4, 34, 31.4, 0.1, "′"),
        Slider("moons", "Earth in Moons", 3.3, 4, 3.67, 0.01, "", ".2f"),
        Slider("earth", "Earth's diameter", 11000, 14500, 12742, 50, "km", ".0f"),
        Slider("altitude", "Moon's altitude", 0, 90, 40, 1, "°", ".0f"),
    )
    left, y, px_per_km = 40, 320, 0.00140

    def build(self):
        """Make the strip to scale above and the enlarged Earth below."""
        stage = self.stage()
        stage.text(20, 398, "one scale for sizes and distances", color=style.FAINT, size=9)
        least, mean, greatest = (
            self.left + self.px_per_km * each.to_value(u.km)
            for each in (month_range()[0], modern.MOON_DISTANCE, month_range()[1])
        )
        low, high = self.y - 26, self.y + 26
        stage.fill(
            [least, greatest, greatest, least], [low, low, high, high], fc=style.TODAY, alpha=0.15
        )
        stage.plot([mean, mean], [low, high], color=style.TODAY, ls=style.DASHED)
        stage.text(mean, high + 6, "over the months", ha="center", color=style.TODAY_WORDS, size=9)
        self.between = self.line(stage, style.PALE, lw=0.8)
        self.globe = self.area(stage, style.EARTH)
        self.moon = self.area(stage, style.MOON, edgecolor=style.INK, lw=0.6)
        self.own = self.line(stage, style.OWN, lw=1.4)
        self.own_words = self.words(stage, 0, low - 20, ha="center", color=style.OWN_WORDS)
        centre = self.centre = np.array([130, 140])
        stage.fill(*disc(*centre, 90).T, fc=style.EARTH, alpha=0.35, ec=style.SHADOW_EDGE)
        stage.text(20, 20, "the Earth, enlarged", color=style.FAINT, size=9)
        stage.plot(*centre, color=style.INK, marker="o", ms=4)
        stage.plot([centre[0], 400], [centre[1]] * 2, color=style.OWN, lw=1.2)
        stage.text(400, centre[1] - 6, "to the Moon", ha="right", va="top", size=9)
        self.sight = self.line(stage, style.MOON, lw=1.4)
        self.place = self.line(stage, style.INK, marker="o", ms=6, ls="")
        self.horizon = self.line(stage, style.SHADOW_EDGE, lw=1, ls=":")
        self.nearer = self.line(stage, style.DROPPED, lw=5, solid_capstyle="butt")
        rows = (
            "Moon diameters from you",
            "Earth diameters from you",
            "From you",
            "From Earth's centre",
            "Forgetting where you stand costs",
        )
        self.cells = []
        for y, text in zip((210, 182, 154, 126, 82), rows, strict=True):
            stage.text(430, y, text)
            self.cells.append(self.words(stage, 790, y, ha="right", weight="bold"))
        self.cells[3].set_color(style.OWN_WORDS)
        self.cells[4].set_color(style.DROPPED_WORDS)

    def update(self, angle, moons, earth, altitude):
        """Find the distance from the place and from Earth's centre, and set the Moon there."""
        theta, up = angle * u.arcmin, altitude * u.deg
        in_moons = float(moon_distance.distance_in_moon_diameters(theta))
        in_earths = float(moon_distance.distance_in_earth_diameters(theta, moons))
        here = in_earths * earth
        centre = float(moon_distance.geocentric_distance(here, up, earth / 2))
        radius = earth * self.px_per_km / 2
        x = self.left + centre * self.px_per_km
        self.globe.set_xy(disc(self.left, self.y, radius))
        steps = np.arange(1, int(centre / earth))
        rings = [np.vstack([disc(self.left + 2 * radius * i, self.y, radius), GAP]) for i in steps]
        self.between.set_data(*np.vstack(rings).T)
        self.moon.set_xy(disc(x, self.y, radius / moons))
        self.own.set_data([x, x], [self.y - 30, self.y - 8])
        self.own_words.set_x(x)
        self.own_words.set_text(f"{thousands(centre)} km")
        tilt = np.pi / 2 - up.to_value(u.rad)  # from the direction of the Moon to the zenith
        zenith = np.array([np.cos(tilt), np.sin(tilt)])
        place = self.centre + 90 * zenith
        level = 34 * np.array([-zenith[1], zenith[0]])
        self.place.set_data(*place[:, None])
        self.horizon.set_data(*np.array([place - level, place + level]).T)
        self.sight.set_data([place[0], 400], [place[1]] * 2)
        self.nearer.set_data([self.centre[0], place[0]], [self.centre[1]] * 2)
        texts = (
            f"{in_moons:.1f}",
            f"{in_earths:.2f}",
            f"{thousands(here)} km",
            f"{thousands(centre)} km",
            f"{signed(100 * (here / centre - 1))} %",
        )
        for cell, text in zip(self.cells, texts, strict=True):
            cell.set_text(text)


GAP = [(np.nan, np.nan)]


def disc(x, y, radius):
    """Return the outline of a disc."""
    turn = np.linspace(0, 2 * np.pi, 37)
    return np.column_stack([x + radius * np.cos(turn), y + radius * np.sin(turn)])
