"""What a phone's own processing does to a rendered picture: six invented ways, strengths at random.

Nothing here is measured on a real phone. That such steps are taken, and in about this order, is
common practice, no source.
"""

import tomllib
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from scipy import ndimage

from moonreach.photo.picture import to_linear, to_tone

WAYS = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))


@dataclass(frozen=True)
class Phone:
    """How strongly a phone works a picture over.

    way: which of the invented ones. bloom: share of the light beyond white that spills over.
    denoise: 0 none to 1, fine grain gone. power, reach, floor: light is multiplied by (local mean
    + floor) to minus that power, the mean over a Gaussian of that many Moon radii. contrast: of an
    S-shaped tone curve, below 0 is flat. sharpness: an unsharp mask's. colour: saturation, 1 is as
    it was.
    """

    way: str
    bloom: float
    denoise: float
    power: float
    reach: float
    floor: float
    contrast: float
    sharpness: float
    colour: float

    @classmethod
    def at_random(cls, random):
        """Return one of the ways with strengths drawn by a numpy generator."""
        way = str(random.choice(list(WAYS)))
        return cls(way, **{name: float(random.uniform(*ends)) for name, ends in WAYS[way].items()})

    def spilled(self, light, moon_radius):
        """Return linear light with what is beyond white spilled over its surroundings."""
        beyond = np.maximum(light - 1, 0)
        return light + self.bloom * sum(wide_blur(beyond, k * moon_radius) for k in (0.05, 0.3))

    def developed(self, light, moon_radius):
        """Return the sensor's linear light as the phone hands it out, still linear.

        Parameters: height x width x 3, noise in it; the Moon's radius in px.
        """
        light = np.clip(light, 0, 1)
        smooth = ndimage.gaussian_filter(light, (1.5, 1.5, 0))
        # Only what looks like grain is smoothed, not an edge.
        grain = self.denoise * np.exp(-(((light - smooth) / 0.05) ** 2))
        light = light + grain * (smooth - light)
        mean = self.floor + wide_blur(light, self.reach * moon_radius).mean(axis=-1, keepdims=True)
        tone = to_tone(light * (mean / mean.max()) ** -self.power)
        tone = tone + self.contrast * tone * (1 - tone) * (2 * tone - 1)
        soft = ndimage.gaussian_filter(tone, (2.0, 2.0, 0))
        tone = tone + self.sharpness * (tone - soft)
        grey = tone.mean(axis=-1, keepdims=True)
        return to_linear(np.clip(grey + self.colour * (tone - grey), 0, 1))


def wide_blur(planes, sigma):
    """Blur height x width x colours widely, at a fraction of the resolution for speed."""
    step = max(1, int(sigma / 4))
    small = ndimage.zoom(planes, (1 / step, 1 / step, 1), order=1)
    small = ndimage.gaussian_filter(small, (sigma / step, sigma / step, 0))
    return ndimage.zoom(small, np.divide(planes.shape, small.shape), order=1)
