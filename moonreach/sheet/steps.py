"""The steps in which a spreadsheet's numbers were read: it keeps no zeros at their end."""

from dataclasses import replace

from astropy import units as u

from moonreach.sheet.cells import Clock
from moonreach.sheet.reading import Reading

_MOST_DIGITS = 1e6  # a number of more digits was worked out, and says nothing of its neighbours


def steps_found(readings: list[Reading]) -> list[Reading]:
    """Return a spreadsheet's readings, each to the finest step of its quantity and unit.

    77.0 is kept as 77 there, and 21:40 as 21:40:00.
    """
    finest = {}
    for reading in readings:
        if (step := _own_step(reading)) is not None:
            key = _key(reading)
            finest[key] = min(step, finest.get(key, step))
    return [
        replace(reading, resolution=finest.get(_key(reading), reading.resolution))
        for reading in readings
    ]


def _key(reading):
    return reading.quantity, getattr(reading.value, "unit", None)


def _own_step(reading):
    """Return half the step that a reading shows; nothing where it shows none."""
    if isinstance(reading.value, Clock):
        return (0.5 if reading.value.seconds % 60 else 30.0) * u.s
    if reading.resolution is None or abs(reading.value) > _MOST_DIGITS * reading.resolution:
        return None
    return reading.resolution
