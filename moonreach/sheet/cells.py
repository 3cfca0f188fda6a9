"""What one cell of a class sheet says: a number, a unit or a word; see `clocks` for the rest."""

import contextlib
import functools
import math
import re
from collections.abc import Iterable

from astropy import units as u

_NUMBER = re.compile(r"[+-]?([0-9]+[.,]?[0-9]*|[.,][0-9]+)([eE][+-]?[0-9]{1,3})?")
_AMOUNT = re.compile(rf"(?P<number>{_NUMBER.pattern})\s*(?P<unit>[^0-9.,_]+\.?)?")
PLUS_MINUS = re.compile(r"±|\+/?[-−]")
_TWO = re.compile(
    rf"(?P<large>[0-9]{{1,9}})\s*(?P<unit>[^0-9.,_\s]+)\.?\s*(?P<rest>{_NUMBER.pattern})\s*"
    r"(?P<smaller>[^0-9.,_\s]+)\.?"
)
_SPACES = re.compile(r"(?<=[0-9])[ \u00a0\u2009\u202f](?=[0-9]{3}(?![0-9]))")  # 1 050
_MOST_PLACES = 99  # before or behind the point; beyond some 300 a computer's numbers end
_THOUSANDS = re.compile(r"[+-]?[1-9][0-9]{0,2}[.,][0-9]{3}")

_SIGNS = {
    "'": u.arcmin, "′": u.arcmin, '"': u.arcsec, "″": u.arcsec, "°": u.deg, "px": u.pix,
    "in": u.imperial.inch, "inch": u.imperial.inch, "ft": u.imperial.foot,
    "yd": u.imperial.yard, "%": u.percent, "mi": u.imperial.mile, "mile": u.imperial.mile,
    "inche": u.imperial.inch, "feet": u.imperial.foot, "foot": u.imperial.foot,
    "yard": u.imperial.yard, "sec": u.s, "percent": u.percent,
}  # fmt: skip
_FEET = {"'": "ft", "′": "ft", '"': "inch", "″": "inch"}  # of a length, not of an angle
# Of each kind of number: its first unit, those that a table offers, and what is accepted.
KINDS = {
    "length": (
        u.m,
        ("mm", "cm", "m", "km", "inch", "ft", "mile"),
        "mm, cm, m, km, inch, ft, yd or mile",
    ),
    "angle": (u.deg, ("deg", "arcmin", "arcsec"), "deg, arcmin, arcsec, rad, °, ′ or ″"),
    "duration": (u.s, ("s", "min", "h"), "s, min or h"),
    "picture": (u.pix, ("px",), "px, or a length such as mm on a print"),
    "part": (u.one, (), "an empty cell, or %"),
    "clock": (u.s, (), "an empty cell, UTC, or the uncertainty's unit: s or min"),
}


class CellError(ValueError):
    """A cell, or without a column a row, that cannot be used: what was found and is accepted."""

    def __init__(self, column, found, accepted):
        shown = f"found “{found}”" if found else f"there is no {column}"
        super().__init__(f"{shown}; accepted: {accepted}")
        self.column = column


def number(text: str, column: str, comma_separated: bool) -> tuple[float, float]:
    """Return a cell's number and the half-width of its last written digit.

    Decimal point and decimal comma are both read. Raises `CellError` for anything else, and
    where a comma may as well separate thousands.
    """
    plain = _joined(text)
    if not _NUMBER.fullmatch(plain):
        raise CellError(column, text, "one number, such as 102.5 or 102,5")
    if comma_separated and "," in plain and may_be_thousands(plain):
        point = plain.replace(",", ".")
        either = f"{point} or {point.replace('.', '')}, as the comma may mean either here"
        raise CellError(column, text, either)
    mantissa, _, exponent = plain.replace(",", ".").lower().partition("e")
    decimals = len(mantissa.partition(".")[2])
    value, last = float(f"{mantissa}e{exponent or 0}"), int(exponent or 0) - decimals
    if math.isinf(value) or abs(last) > _MOST_PLACES:
        raise CellError(column, text, "a number of usual size")
    return value, 0.5 * 10.0**last


def _joined(text):
    """Return a cell's text with a plain minus, and thousands without spaces between them."""
    return _SPACES.sub("", text.replace("−", "-").strip())


def may_be_thousands(text: str) -> bool:
    """Return whether the sign in a number may separate thousands as well as decimals.

    >>> may_be_thousands("1.112"), may_be_thousands("0.112"), may_be_thousands("1.12")
    (True, False, False)
    """
    return bool(_THOUSANDS.fullmatch(text.strip()))


def number_and_unit(text: str, kind: str = "") -> tuple[str, str]:
    """Return the number and the unit that a cell holds together, as text.

    Parameters: the cell, and the kind of its quantity where "5 ft 3 in" is one amount too.

    >>> number_and_unit("77,6 cm"), number_and_unit("77.6"), number_and_unit("some")
    (('77,6', 'cm'), ('77.6', ''), ('some', ''))
    >>> number_and_unit("5 ft 3 in", "length"), number_and_unit("1 h 5.5 min", "duration")
    (('63', 'in'), ('65.5', 'min'))
    """
    plain = _joined(text)
    if found := _AMOUNT.fullmatch(plain):
        return found["number"], (found["unit"] or "").strip()
    if kind in KINDS and (two := _TWO.fullmatch(plain)):
        with contextlib.suppress(CellError):
            ratio = unit(two["unit"], kind).to(unit(two["smaller"], kind))
            rest, step = number(two["rest"], "value", False)
            if 0 <= rest < ratio:
                decimals = max(0, round(-math.log10(2 * step)))
                if kind == "angle":  # the next one is typed in degrees again
                    whole = int(two["large"]) + rest / ratio
                    return f"{whole:.{decimals + 3}f}", two["unit"]
                return f"{int(two['large']) * ratio + rest:.{decimals}f}", two["smaller"]
    return text, ""


def has_unit(text: str) -> bool:
    """Return whether a cell holds a unit beside its number, or beside its uncertainty.

    >>> has_unit("77,6 cm"), has_unit("806 ± 8 km"), has_unit("77.6"), has_unit("20:45")
    (True, True, False, False)
    """
    return any(number_and_unit(part)[1] for part in PLUS_MINUS.split(text))


@functools.cache
def units(text: str, kind: str) -> tuple[u.UnitBase, ...]:
    """Return the units that a cell may mean for a kind of quantity, the literal one first.

    Letter case, plural and the written-out name are all understood: "Mm" may be millimetres, for
    a reading that megametres do not fit. Raises `CellError` where there is none.
    """
    if kind not in KINDS:
        raise CellError("unit", text, "an empty cell, as this has no unit")
    base, _, accepted = KINDS[kind]
    text = _FEET.get(text, text) if kind == "length" else text
    if not text and kind in ("clock", "picture", "part"):
        return (base,)
    small = text.casefold().strip(" .").replace("metre", "meter")
    if kind == "duration" and small == "m":
        small = "min"
    fitting = (base, u.m) if kind == "picture" else (base,)
    named = [_named(form) for form in (text, small, small.removesuffix("s"))]
    found = [one for one in named if one and any(one.is_equivalent(other) for other in fitting)]
    if not found:
        raise CellError("unit", text, accepted)
    return tuple(dict.fromkeys(found))


def unit(text: str, kind: str) -> u.UnitBase:
    """Return a cell's unit for a kind of quantity, or raise `CellError`."""
    return units(text, kind)[0]


def _named(text):
    found = _SIGNS.get(text)
    if found is None and re.fullmatch(r"[A-Za-zµμÅ]+", text):
        with contextlib.suppress(ValueError):
            found = u.Unit(text)
    return found


def length(text: str | None, option: str) -> u.Quantity | None:
    """Return the length written in an option such as 20mm, None where it is not given."""
    if text is None:
        return None
    digits, sign = re.fullmatch(r"\s*([^a-zA-Zµ\"'′″]*)(.*?)\s*", text).groups()
    try:
        value = number(digits, "number", False)[0] * unit(sign, "length")
    except CellError as error:
        raise ValueError(f"{option}: {error}") from None
    if value <= 0 * u.m:
        raise ValueError(f"{option} must be longer than nothing, found {text}")
    return value


def folded(name: str) -> str:
    """Return a group's name as it is compared: in any letter case, with single spaces."""
    return " ".join(name.split()).casefold()


def word(text: str, words: Iterable[str], column: str = "value") -> str:
    """Return which of the words a cell says, in any letter case, or raise `CellError`."""
    said = re.sub(r"[\s_-]+", "_", text.strip().casefold())
    if said not in words:
        raise CellError(column, text, " or ".join(words).replace("_", " "))
    return said
