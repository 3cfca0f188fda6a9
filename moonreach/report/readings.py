"""A group's readings as the report writes them: what was read and whose, and the numbers."""

import numpy as np
from astropy import units as u

from moonreach.reduction.results import FURTHER_QUANTITIES
from moonreach.reduction.words import whose
from moonreach.sheet.origin import Origin
from moonreach.sheet.quantities import QUANTITIES, label_of
from moonreach.sheet.reading import Reading

MANY = 6  # readings of one quantity that are written out


def in_rows(rows: list[Reading]) -> list[tuple[str, str]]:
    """Return a group's readings in the order of the five lessons: quantity and whose, readings."""
    alike = {}
    for row in rows:
        alike.setdefault((row.quantity, row.origin), []).append(row)
    return [
        (f"{label_of(name)} {whose(name, origin)}".strip(), _listed(alike[name, origin]))
        for name in QUANTITIES
        for origin in Origin
        if (name, origin) in alike and name not in FURTHER_QUANTITIES
    ]


def _listed(rows):
    texts = [_number(row) for row in rows]
    units = {row.value.unit for row in rows if isinstance(row.value, u.Quantity)}
    unit = ""
    if len(units) == 1:
        unit = _sign(units.pop())
    elif units:
        texts = [f"{t}{_sign(r.value.unit)}" for t, r in zip(texts, rows, strict=True)]
    if len(texts) > MANY:
        ends = min(rows, key=_size), max(rows, key=_size)
        return f"{len(texts)} readings, {_number(ends[0])} to {_number(ends[1])}{unit}"
    stated = [row.uncertainty for row in rows if row.uncertainty is not None]
    given = {f"{part.value:.2g}{_sign(part.unit)}" for part in stated}
    stated = f" (± {given.pop()})" if len(given) == 1 else ""
    return f"{', '.join(texts)}{unit}{stated}"


def _number(row):
    value = row.value
    if isinstance(value, u.Quantity):
        half_step = row.resolution.to_value(value.unit)
        return f"{value.value:.{max(0, round(-np.log10(2 * half_step)))}f}".replace("-", "−")
    if hasattr(value, "seconds"):
        moment = round(value.seconds) % 86_400
        text = f"{moment // 3600:02}:{moment // 60 % 60:02}"
        text += f":{moment % 60:02}" if row.resolution < 30 * u.s else ""
        if value.offset is not None:
            sign, minutes = "−" if value.offset < 0 else "+", round(abs(value.offset) / 60)
            text += f" UTC{sign}{minutes // 60}:{minutes % 60:02}" if minutes else " UTC"
        return f"{value.day} {text}" if value.day else text
    return str(value).replace("_", " ")


def _size(row):
    return row.value.si.value if isinstance(row.value, u.Quantity) else 0


def _sign(unit):
    return {u.pix: " px", u.deg: "°", u.arcmin: "′", u.arcsec: "″"}.get(unit, f" {unit}")
