"""Numbers and results in words, as every page, report and command says them."""

import math
from typing import TYPE_CHECKING

from moonreach.lessons import today
from moonreach.reduction.inputs import ASSUMED
from moonreach.reduction.propagation import Outcome
from moonreach.sheet.origin import Origin
from moonreach.sheet.quantities import label_of

if TYPE_CHECKING:
    from moonreach.reduction.summary import ClassSummary

_FINEST = 4  # decimals: what is finer than this is nothing, but for the computer's own rounding
_FAR = (2.0, 3.0)  # zeta scores from which a group is questioned, and flagged (ISO 13528)


def rounded(value: float, low: float, high: float) -> tuple[str, str, str]:
    """Return a value and its interval as text, to two digits of the interval's half-width.

    >>> rounded(30.1449, 28.6012, 31.7)
    ('30.1', '28.6', '31.7')
    >>> rounded(1e-8, 0.0, 1.5e-8)
    ('0.0000', '0.0000', '0.0000')
    """
    half = (high - low) / 2
    digits = min(1 - math.floor(math.log10(half)), _FINEST) if 0 < half < math.inf else 2
    texts = []
    for number in (value, low, high):
        text = f"{round(number, digits):,.{max(digits, 0)}f}" if math.isfinite(number) else "no end"
        texts.append(text.replace(",", " "))
    return tuple(texts)


def in_words(outcome: Outcome, unit: str = "") -> tuple[str, str]:
    """Return a result's value and its 95 % interval as text, each with the unit where it stands.

    >>> in_words(Outcome(30.1449, 28.6012, 31.7, {}), " Earth diameters")
    ('30.1 Earth diameters', '28.6 to 31.7')
    >>> in_words(Outcome(50.0, 20.0, math.inf, {}), " Moon distances")
    ('at least 20 Moon distances', 'no upper limit')
    """
    if not math.isfinite(outcome.high):
        low = rounded(outcome.low, outcome.low, 3 * outcome.low)[0]
        return f"at least {low}{unit}", "no upper limit"
    value, low, high = rounded(outcome.value, outcome.low, outcome.high)
    return f"{value}{unit}", f"{low} to {high}"


def spaced(number: float) -> str:
    """Return a whole number with spaces between its thousands.

    >>> spaced(384399.2)
    '384 399'
    """
    return f"{number:,.0f}".replace(",", " ")


def whose(name: str, origin: Origin) -> str:
    """Return in brackets whose a result is, where it is not the group's own.

    >>> whose("angle", Origin.PRACTICE), whose("distance_km", Origin.TODAY), whose("angle", "own")
    ('(practice)', "(with today's Earth)", '')
    """
    if origin == Origin.OWN:
        return ""
    if origin != Origin.TODAY:
        return f"({origin})"
    brought = {"distance_km": "Earth", "sun_in_earths": "shadow ratio"}
    return f"(with today's {brought.get(name, 'Sun')})"


def zeta_words(zeta: float) -> str:
    """Return in words how a group's zeta score stands to the class: flagged is not thrown out.

    >>> zeta_words(-0.4)
    'agrees with the class'
    """
    if abs(zeta) <= _FAR[0]:
        return "agrees with the class"
    if abs(zeta) <= _FAR[1]:
        return "farther from the class than its interval explains: check this together"
    return "far from the class: look for a mistake together"


def input_label(name: str) -> str:
    """Return the printed name of an input, a quantity or an assumption."""
    return ASSUMED.get(name, {}).get("label") or label_of(name)


def to_hold_against(summary: "ClassSummary") -> tuple[str, float, float]:
    """Return what the class's distance is held against: in words, in Earth diameters, in km.

    That is the truth of the night where all groups that name one name the same.
    """
    nights = {round(g.truth.distance.to_value("km")): g.truth for g in summary.groups if g.truth}
    if len(nights) == 1:
        ((km, truth),) = nights.items()
        return "true that night", float(truth.distance_earth_diameters), km
    mean = today.MOON_DISTANCE
    return "today, mean", float(mean / today.EARTH_DIAMETER), mean.value
