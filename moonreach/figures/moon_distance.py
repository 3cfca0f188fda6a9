"""A drawing for lesson 5: the whole chain, its interval, and what each reading weighs."""

import numpy as np
from astropy import units as u
from astropy.uncertainty import Distribution

from moonreach.figures import style
from moonreach.figures.drawing import Drawing, Slider
from moonreach.figures.to_scale import month_range
from moonreach.lessons import shadow_cone, today
from moonreach.reduction import chain, sighting
from moonreach.reduction.inputs import assumption, typical_scatter
from moonreach.reduction.propagation import interval
from moonreach.reduction.steps import work_out

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
ASSUMPTIONS = (chain.CONE_AND_RATE, chain.SHARP_EDGE)
EXACT = {
    "north_gnomon_height": 1 * u.m,
    "south_gnomon_height": 1 * u.m,
    "disc_diameter": 15 * u.mm,
    "hole_diameter": 1.5 * u.mm,
    **dict.fromkeys(sighting.CALLS, 0 * u.mm),  # a rod that was tried on a target
    **dict.fromkeys(chain.SETUP, 0 * u.deg),
    chain.MERIDIAN: 1 * u.one,
    chain.MOON_RATE: 1 * u.one,  # on the way to the distance it is part of the cone's assumption
}
DRAWS = 2000
WAY = (*chain.EARTH, *sighting.SIGHTING, *chain.TIMING, *chain.DISTANCE)


class WholeChain(Drawing):
    """All readings of the lessons, the distance they give, and what each one weighs."""

    sliders = (
        Slider("north_shadow_length", "Shadow of 1 m, north", 14, 20, 16.8, 0.1, "cm"),
        Slider("south_shadow_length", "Shadow of 1 m, south", 3, 6.5, 4, 0.1, "cm"),
        Slider("north_south_distance", "Road, due north", 500, 1000, 825, 5, "km", ".0f"),
        Slider("partial_phase", "Entry time t_in", 55, 75, 65, 0.5, "min"),
        Slider("total_phase", "Totality t_tot", 45, 110, 91, 0.5, "min"),
        Slider("vanish_distance", "Moon vanishes at", 1.35, 1.65, 1.49, 0.01, "m", ".2f"),
        Slider("rim_distance", "Its ring fades at", 1.65, 2.0, 1.82, 0.01, "m", ".2f"),
        Slider("moon_altitude", "Moon's altitude", 5, 85, 40, 1, "°", ".0f"),
        Slider("factor", "All uncertainties ×", 0.25, 4, 1, np.log10(4) / 12, "", ".2f", log=True),
    )
    strip = (
        ("Earth", "earth", "{:,.0f} km"),
        ("shadow ratio (x)", "ratio", "{:.2f}"),
        ("Earth in Moons", "moons", "{:.2f}"),
        ("Moon's angle", "angle", "{:.1f}′"),
        ("Earths away", "earths", "{:.1f}"),
        ("distance", "distance", "{:,.0f} km"),
    )
    names = (
        "Shadow north",
        "Shadow south",
        "Road",
        "Entry time",
        "Totality",
        "Moon vanishes",
        "Ring fades",
        "Altitude",
        "Cone and rate",
        "Edge and air",
    )

    def __init__(self):
        """Fix the draws, the same at every step.

        First all rest; then each in turn stands one standard uncertainty higher, then lower; then
        all of them vary at once.
        """
        count = len(UNITS) + len(ASSUMPTIONS)
        draws = np.random.default_rng(22).standard_normal((DRAWS // 2, count))
        rest, one = np.zeros(count), np.eye(count)
        self.vary = np.vstack([rest, one, -one, draws, -draws]).T
        assumed = {name: assumption(name) for name in ASSUMPTIONS}
        self.assumed = {name: (one.value, one.cloud.pdf_std()) for name, one in assumed.items()}
        super().__init__()

    def build(self):
        """Make the strip above, the scale below at the left, the budget at the right."""
        stage = self.pane()
        for i, (name, feed, form) in enumerate(self.strip):
            x, last = 16 + 130 * i, i == len(self.strip) - 1
            corners = [(x, 335), (x + 112, 335), (x + 112, 395), (x, 395)]
            stage.area(corners, "white", edgecolor=style.FAINT, lw=1)
            look = {"ha": "center", "va": "center"}
            stage.words(x + 121, 367, "" if last else "›", size=14, **look)
            stage.note(name, x + 56, 378, **look)
            look |= {"weight": "bold", "color": style.OWN_WORDS if last else style.INK}
            stage.number(feed, form, x + 56, 352, size=11, **look)
        look = {"xlim": (250, 550), "ylim": (0, 10), "yticks": []}
        scale = self.graph(30, 70, 360, 200, **look)
        scale.axes.grid(False)
        scale.axes.spines["left"].set_visible(False)
        scale.axes.set_xlabel("distance of the Moon, in thousand km")
        least, greatest = (each.to_value(u.km) / 1000 for each in month_range())
        mean = today.MOON_DISTANCE.to_value(u.km) / 1000
        scale.axes.axvspan(least, greatest, ymax=0.8, color=style.TODAY, alpha=0.15, lw=0)
        scale.line([(mean, 0), (mean, 8)], style.TODAY, ls=style.DASHED)
        scale.words(mean, 8.3, "the Moon over the months", color=style.TODAY_WORDS, ha="center")
        self.interval = scale.line("interval", style.OWN, lw=6, alpha=0.55, solid_capstyle="butt")
        scale.line("found", style.OWN, marker="o", ms=9, ls="")
        stage.words(30, 295, "95 % interval")
        look = {"ha": "right", "weight": "bold", "color": style.OWN_WORDS}
        stage.number("ends", "{}", 390, 295, **look)
        stage.words(420, 295, "Uncertainty budget of the distance, in %", weight="bold")
        colors = [style.OWN] * len(UNITS) + [style.DROPPED] * len(ASSUMPTIONS)
        stage.bars("shares", self.names, 540, 270, 22, 1.9, (0, 100), colors, 420, "{:.0f}")
        stage.note("uncertainties: those of one careful reading by a beginner", 420, 14)

    def work_out(self, factor, **readings):
        """Send the readings through the chain, and each of them a little higher and lower."""
        inputs = {}
        for name, unit in UNITS.items():
            value = readings[name] * unit
            inputs[name] = value, typical_scatter(name, {**EXACT, name: value})
        inputs |= self.assumed
        values = dict(EXACT)
        for (name, (value, standard)), offsets in zip(inputs.items(), self.vary, strict=True):
            values[name] = Distribution(value + factor * standard * offsets)
        work_out(WAY, values)
        ratio, angle, earths, km = (
            getattr(values[name].distribution, "value", values[name].distribution)
            for name in ("ratio_chord", "angle", "distance_earth_diameters", "distance_km")
        )
        higher, lower = km[1:-DRAWS].reshape(2, -1)
        parts = np.square(higher - lower)
        low, high = (end.value / 1000 for end in interval(Distribution(km[-DRAWS:] * u.km)))
        return {
            "earth": km[0] / earths[0],
            "ratio": ratio[0],
            "moons": float(shadow_cone.earth_in_moons(ratio[0])),
            "angle": angle[0],
            "earths": earths[0],
            "distance": round(km[0], -3),
            "interval": [(low, 4), (high, 4)],
            "found": [(np.clip(km[0] / 1000, 250, 550), 4)],
            "ends": f"{low:.0f}\u2009000 to {high:.0f}\u2009000 km",
            "shares": 100 * parts / parts.sum(),
        }
