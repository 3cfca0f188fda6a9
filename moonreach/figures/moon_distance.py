"""A drawing for lesson 5: the whole chain, its interval, and what each reading weighs."""

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
from moonreach.figures.drawing import Drawing, Slider, thousands
from moonreach.figures.to_scale import month_range

GNOMON, ROD_DISC = 1 * u.m, 14 * u.mm
DRAWS = 1000
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
DOUBTS = (
    "standard uncertainties: shadows 0.2 cm, road 5 km,\n"
    "phases 1 and 1.5 min, rod 2 cm each, altitude 2°"
)


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
                stage.text(x + 121, 367, "›", ha="center", va="center", size=14)
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
        stage.text(30, 295, "95 % interval")
        self.found_words = self.words(stage, 390, 295, ha="right", weight="bold")
        self.found_words.set_color(style.OWN_WORDS)
        stage.text(420, 24, DOUBTS, size=9, color=style.FAINT)
        stage.text(420, 295, "Share in the doubt of the distance", weight="bold")
        colors = [style.OWN] * len(self.names)
        self.bars = Bars(self, stage, self.names, 540, 266, 28, 1.9, (0, 100), colors, 420)
        draws = np.random.default_rng(20).standard_normal((len(UNCERTAIN), DRAWS))
        # Row 0 lets no reading vary, row 1 all of them, each further row one alone.
        vary = np.vstack([np.zeros(8), np.ones(8), np.eye(8)])
        self.scatter = dict(zip(UNCERTAIN, vary.T[:, :, None] * draws[:, None, :], strict=True))

    def update(self, doubt, **readings):
        """Send the readings and their clouds through the lessons, all in one go."""
        clouds = {}
        for name, value in readings.items():
            unit, uncertain = UNCERTAIN[name]
            cloud = value + doubt * uncertain * self.scatter[name]
            if unit == u.cm:  # a shadow shorter than nothing is no reading
                cloud = np.maximum(cloud, 0)
            clouds[name] = Distribution(cloud * unit)
        stages = chain(**clouds)
        earth, x, moons, angle, earths, km = (each[0].distribution[0] for each in stages)
        for box, text in zip(
            self.boxes,
            (
                f"{thousands(earth.to_value(u.km))} km",
                f"{x:.2f}",
                f"{moons:.2f}",
                f"{angle.to_value(u.arcmin):.1f}′",
                f"{earths:.1f}",
                f"{thousands(round(km.value, -3))} km",
            ),
            strict=True,
        ):
            box.set_text(text)
        draws = stages[-1].distribution.to_value(u.km) / 1000
        low, high = np.percentile(draws[1], [2.5, 97.5])
        self.interval.set_data([low, high], [4, 4])
        self.found.set_data([np.clip(km.value / 1000, 250, 550)], [4])
        self.found_words.set_text(f"{low:.0f} 000 to {high:.0f} 000 km")
        spread = np.var(draws, axis=1)
        self.bars.set(100 * spread[2:] / spread[1], "{:.0f} %".format)
