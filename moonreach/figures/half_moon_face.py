"""A rendered Moon about half phase: its light falls off towards the terminator as on the real one.

The plains are an invented pattern.
"""

import numpy as np
from astropy import units as u

from moonreach.figures.drawing import Drawing
from moonreach.figures.shapes import outwards
from moonreach.figures.sun_distance import HALF
from moonreach.lessons import moon_phase, today
from moonreach.photo.rendered import invented_plains

SIZE, RADIUS = 300, 140  # px
STEP = 0.12  # degrees of elongation for one step of the slider
SEED = 4  # of the plains
_EARTHSHINE = 0.001


class HalfMoonFace(Drawing):
    """The Moon in the course of some days; where the true half lies is not told.

    `hidden` is the step of true half phase, `waxing` whether the light grows, `tilt` how the Moon
    leans, in degrees.
    """

    hidden, waxing, tilt = 96, True, 12.0

    def __init__(self):
        """Make what of the Moon's face does not change."""
        across = (np.arange(SIZE) + 0.5 - SIZE / 2) / RADIUS
        self.x, self.y = np.meshgrid(across, across)
        inside = self.x**2 + self.y**2 < 1
        self.shine = np.where(inside, _EARTHSHINE, 0)
        self.z = np.sqrt(np.where(inside, 1 - self.x**2 - self.y**2, np.nan))
        self.ground = invented_plains(*np.where(inside, (self.x, self.y), 0), seed=SEED, depth=0.5)
        super().__init__()

    def elongation(self, later):
        """Return the elongation at a step of the slider, in degrees."""
        return HALF + STEP * (later - self.hidden) * (1 if self.waxing else -1)

    def work_out(self, later):
        """Light the face from where the Sun stands at this elongation."""
        elongation = self.elongation(later) * u.deg
        ratio = today.SUN_MOON_DISTANCE_RATIO
        at_moon = moon_phase.phase_angle(elongation, ratio).to_value(u.rad)
        lean = np.radians(self.tilt + (0 if self.waxing else 180))
        sun = np.sin(at_moon) * outwards(lean)
        height = self.x * sun[0] + self.y * sun[1] + self.z * np.cos(at_moon)
        # Lommel and Seeliger's law, which dusty ground follows (from memory).
        light = np.where(height > 0, height / (height + self.z), 0) * self.ground
        grey = 255 * np.clip(0.9 * light + self.shine, 0, 1) ** (1 / 2.2)
        way = "the light grows" if self.waxing else "the light wanes"
        return {"face": np.repeat(grey.astype(np.uint8)[:, :, None], 3, axis=2), "way": way}


STEPS = HalfMoonFace.sliders[0].greatest
