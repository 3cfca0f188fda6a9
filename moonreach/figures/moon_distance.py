"""A drawing for lesson 5: the whole chain, its interval, and what each reading weighs."""

import numpy as np
from astropy import units as u
from astropy.uncertainty import Distribution

from moonreach.figures import style
from moonreach.figures.bars import Bars
from moonreach.figures.drawing import Drawing, Slider, thousands
from moonreach.figures.to_scale import month_range
from moonreach.lessons import shadow_cone, today
from moonreach.reduction import chain
from moonreach.reduction.inputs import assumption
from moonreach.reduction.steps import work_out
from moonreach.reduction.uncertainty import interval
from moonreach.sheet.quantities import QUANTITIES

UNITS = {
    "north_shadow_length": u.cm,
    "south_shadow_length": u.cm,
    "north_south_distance": u.km,
    "partial_phase": u.min,
    "total_phase": u.min,
    "vanish_distance": u.m,
    "rim_distance": u.m,
    "moon_altitude": u.deg,
}
ASSUMPTIONS = (chain.CONE_AND_RATE, chain.CONE, chain.SHARP_EDGE)
EXACT = {
    "north_gnomon_height": 1 * u.m,
    "south_gnomon_height": 1 * u.m,
    "disc_diameter": 14 * u.mm,
    chain.MOON_RATE: 1 * u.one,  # on the way to the distance it is part of the cone's assumption
}
DRAWS = 2000
WAY = (*chain.EARTH, *chain.SIGHTING, *chain.TIMING, *chain.DISTANCE)
FOUND = ("ratio_chord", "angle", "distance_earth_diameters")


class WholeChain(Drawing):
    """All readings of the lessons, the distance they give, and what each one weighs."""

    title = "From eight readings to the Moon"
    caption = (
        "Move any reading and follow it along the strip to the distance. The bar is the 95 % "
        "interval. On the right is each reading's share of the distance's variance, so you see "
        "which one to take again; the last three are assumptions, which no reading mends. The "
        "green band is the Moon's own range over the months, the dashed line its mean."
    )
    alternative = (
        "A strip of boxes: Earth's diameter, shadow ratio, Earth in Moons, the Moon's angle, the "
        "distance in Earth diameters and in kilometres. Below, the distance with its interval on "
        "a scale, and bars with the share of eight readings and three assumptions."
    )
    sliders = (
        Slider("north_shadow_length", "Shadow of 1 m, north", 14, 20, 16.8, 0.1, "cm"),
        Slider("south_shadow_length", "Shadow of 1 m, south", 3, 6.5, 4, 0.1, "cm"),
        Slider("north_south_distance", "Road, due north", 500, 1000, 825, 5, "km", ".0f"),
        Slider("partial_phase", "Partial phase t1", 55, 75, 65, 0.5, "min"),
        Slider("total_phase", "Total phase t2", 45, 110, 91, 0.5, "min"),
        Slider("vanish_distance", "Moon vanishes at", 1.3, 1.6, 1.44, 0.01, "m", ".2f"),
        Slider("rim_distance", "Its rim shows at", 1.5, 1.8, 1.64, 0.01, "m", ".2f"),
        Slider("moon_altitude", "Moon's altitude", 5, 85, 40, 1, "°", ".0f"),
        Slider("doubt", "All uncertainties ×", 0.25, 4, 1, np.log10(4) / 12, "", ".2f", log=True),
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
        "Cone and rate",
        "Cone alone",
        "Edge and air",
    )

    def build(self):
        """Make the strip above, the scale below at the left, the budget at the right."""
        stage = self.stage()
        self.boxes = []
        for i, name in enumerate(self.stages):
            x, last = 16 + 130 * i, i == len(self.stages) - 1
            corners = [x, x + 112, x + 112, x], [335, 335, 395, 395]
            stage.fill(*corners, fc="white", ec=style.FAINT, lw=1)
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
        mean = today.MOON_DISTANCE.to_value(u.km) / 1000
        scale.axvspan(least, greatest, ymax=0.8, color=style.TODAY, alpha=0.15, lw=0)
        scale.plot([mean, mean], [0, 8], color=style.TODAY, ls=style.DASHED)
        scale.text(mean, 8.3, "the Moon over the months", color=style.TODAY_WORDS, ha="center")
        self.interval = self.line(scale, style.OWN, lw=6, alpha=0.55, solid_capstyle="butt")
        self.found = self.line(scale, style.OWN, marker="o", ms=9, ls="")
        stage.text(30, 295, "95 % interval")
        self.found_words = self.words(stage, 390, 295, ha="right", weight="bold")
        self.found_words.set_color(style.OWN_WORDS)
        stage.text(420, 295, "Share in the doubt of the distance, in %", weight="bold")
        colors = [style.OWN] * len(UNITS) + [style.DROPPED] * len(ASSUMPTIONS)
        self.bars = Bars(self, stage, self.names, 540, 270, 22, 1.9, (0, 100), colors, 420)
        note = "uncertainties: those of one careful reading by a beginner"
        stage.text(420, 14, note, size=9, color=style.FAINT)
        count = len(UNITS) + len(ASSUMPTIONS)
        # First all rest; then each in turn stands one standard uncertainty higher, then lower;
        # then all of them vary at once, by the same draws at every step.
        draws = np.random.default_rng(22).standard_normal((DRAWS // 2, count))
        rest, one = np.zeros(count), np.eye(count)
        self.vary = np.vstack([rest, one, -one, draws, -draws]).T
        self.assumed = {
            name: (assumption(name).value, assumption(name).cloud.pdf_std()) for name in ASSUMPTIONS
        }

    def update(self, doubt, **readings):
        """Send the readings through the chain, and each of them a little higher and lower."""
        inputs = {name: (readings[name] * unit, None) for name, unit in UNITS.items()}
        for name, (value, _) in inputs.items():
            typical = QUANTITIES[name].typical
            inputs[name] = value, typical if hasattr(typical, "unit") else typical * value
        inputs |= self.assumed
        values = dict(EXACT)
        for (name, (value, standard)), offsets in zip(inputs.items(), self.vary, strict=True):
            values[name] = Distribution(value + doubt * standard * offsets)
        work_out(WAY, values)
        found = {name: values[name].distribution[0] for name in FOUND}
        km = values["distance_km"].distribution.value
        texts = (
            f"{thousands(km[0] / found['distance_earth_diameters'])} km",
            f"{found['ratio_chord']:.2f}",
            f"{shadow_cone.earth_in_moons(found['ratio_chord']):.2f}",
            f"{found['angle'].value:.1f}′",
            f"{found['distance_earth_diameters']:.1f}",
            f"{thousands(round(km[0], -3))} km",
        )
        for box, text in zip(self.boxes, texts, strict=True):
            box.set_text(text)
        higher, lower = km[1:-DRAWS].reshape(2, -1)
        parts = np.square(higher - lower)
        low, high = (end.value / 1000 for end in interval(Distribution(km[-DRAWS:] * u.km)))
        self.interval.set_data([low, high], [4, 4])
        self.found.set_data([np.clip(km[0] / 1000, 250, 550)], [4])
        self.found_words.set_text(f"{low:.0f}\u2009000 to {high:.0f}\u2009000 km")
        self.bars.set(100 * parts / parts.sum(), "{:.0f}".format)
