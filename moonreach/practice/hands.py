"""How people read: how far their readings scatter, and who writes them down."""

from dataclasses import dataclass, field

import numpy as np
from astropy import units as u

from moonreach.sheet.origin import Origin
from moonreach.sheet.reading import Reading

SECONDS = 0.5 * u.s  # half the step of a clock that is read to seconds


@dataclass(frozen=True)
class Hands:
    """How far people's readings scatter: standard deviations of one reading.

    Common practice, no source, but for the contact times: 20 to 30 s (Sinnott, Sky & Telescope,
    "Measuring Earth's Shadow") for practised observers; beginners are somewhat worse.
    """

    gnomon: float = 0.002
    shadow: u.Quantity = 0.15 * u.deg  # of the angle: the Sun's blur is one
    road: u.Quantity = 8 * u.km
    contact: u.Quantity = 35 * u.s
    sighting: float = 0.015
    setup: u.Quantity = 0.1 * u.deg  # of a gnomon from the plumb line, of its ground from level
    vanish_call: u.Quantity = 0.95 * u.mm  # limits, in mm of the hole: one habit for each group
    rim_call: u.Quantity = 0.6 * u.mm
    disc: u.Quantity = 0.05 * u.mm
    hole: u.Quantity = 0.05 * u.mm
    altitude: u.Quantity = 2 * u.deg
    photo_shadow: float = 0.04
    photo_moon: float = 0.01
    # Of the further lessons: a half Moon judged by eye, a plumb line on a protractor of 15 cm, a
    # part of the Sun read from its projected image.
    half: u.Quantity = 2 * u.deg
    protractor: u.Quantity = 1 * u.deg
    azimuth: u.Quantity = 2 * u.deg
    zenith: u.Quantity = 0.4 * u.deg
    part: float = 0.02
    half_readings: int = 5
    zenith_readings: int = 4
    shadow_readings: int = 5
    sighting_readings: int = 6


@dataclass
class Scribe:
    """Writes down an invented group's readings, which scatter as a generator has it."""

    group: str
    generator: np.random.Generator
    readings: list[Reading] = field(default_factory=list)

    def state(self, quantity, value, resolution=None, uncertainty=None):
        """Write a value as it stands."""
        stated = value, uncertainty, resolution, "", "practice", 0, Origin.PRACTICE
        self.readings.append(Reading(self.group, quantity, *stated))

    def scattered(self, true, scatter):
        """Return what a hand reads of a true value."""
        if scatter is None:
            return true
        return true + scatter * self.generator.standard_normal()

    def read(self, quantity, true, scatter, decimals, stated=False, count=1):
        """Read a true value, in its own unit, to some decimals; state its uncertainty or do not."""
        given = float(f"{scatter.to_value(true.unit):g}") * true.unit if stated else None
        for _ in range(count):
            value = round(self.scattered(true, scatter).value, decimals) * true.unit
            self.state(quantity, value, 0.5 * 10.0**-decimals * true.unit, given)
