"""A drawing for lesson 5: the whole chain, its interval, and what each reading weighs."""

import numpy as np
from astropy import units as u
from astropy.uncertainty import Distribution

from moonreach.figures.drawing import Drawing
from moonreach.figures.shapes import box, joined
from moonreach.figures.to_scale import month_range
from moonreach.lessons import shadow_cone
from moonreach.reduction import chain, sighting
from moonreach.reduction.inputs import assumption, typical_scatter
from moonreach.reduction.propagation import interval
from moonreach.reduction.steps import work_out

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

    least, mean_x, greatest = month_range() / 1000
    months, mean, mean_at = box(least, 0, greatest, 8), [(mean_x, 0), (mean_x, 8)], (mean_x, 8.3)
    boxes = joined(*(box(left, 335, left + 118, 395) for left in range(13, 793, 130)))

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
            "found": (np.clip(km[0] / 1000, 250, 550), 4),
            "ends": f"{low:.0f}\u2009000 to {high:.0f}\u2009000 km",
            "shares": 100 * parts / parts.sum(),
        }


UNITS = {slider.name: u.Unit(slider.unit) for slider in WholeChain.sliders if slider.unit}
