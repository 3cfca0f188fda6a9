"""Numbers and results in words, as every page, report and command says them."""

import math
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from astropy import units as u

from moonreach.lessons import today
from moonreach.lessons.refuse import written
from moonreach.reduction.chain import METHODS
from moonreach.reduction.inputs import ASSUMED
from moonreach.reduction.propagation import Outcome
from moonreach.sheet.origin import Origin
from moonreach.sheet.quantities import label_of

if TYPE_CHECKING:
    from moonreach.reduction.group import GroupResult
    from moonreach.reduction.summary import ClassSummary

_FINEST = 4  # decimals: what is finer than this is nothing, but for the computer's own rounding
# What is true on every night, and on average over all, in the units of the results.
_ALWAYS = {
    "earth_diameter": today.EARTH_DIAMETER.to_value(u.km),
    "earth_in_moons": (today.EARTH_RADIUS / today.MOON_RADIUS).to_value(u.one),
}
_MEAN = {
    "distance_earth_diameters": (today.MOON_DISTANCE / today.EARTH_DIAMETER).to_value(u.one),
    "distance_km": today.MOON_DISTANCE.to_value(u.km),
}
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
    decimals = f",.{max(digits, 0)}f"
    return tuple(
        written(round(number, digits), decimals) if math.isfinite(number) else "no limit"
        for number in (value, low, high)
    )


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
    return written(number, ",.0f")


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
        return "farther from the class than its interval explains"
    return "far from the class: look for a mistake together"


def input_label(name: str) -> str:
    """Return the printed name of an input, a quantity or an assumption."""
    return ASSUMED.get(name, {}).get("label") or label_of(name)


def held_against(groups: Iterable["GroupResult"]) -> tuple[str, dict[str, float]]:
    """Return what the results of groups are held against: in words, and by the results' names.

    That is the truth of the night where all groups that name one name the same; today's else.
    The numbers are in the results' units.
    """
    nights = {round(g.true_values["distance_km"]): g.true_values for g in groups if g.true_values}
    of_night = next(iter(nights.values())) if len(nights) == 1 else _MEAN
    label = "today, mean" if of_night is _MEAN else "true that night"
    ratios = dict.fromkeys((f"ratio_{method}" for method in METHODS), of_night.get("ratio"))
    return label, _ALWAYS | of_night | ratios


def true_text(name: str, true: Mapping[str, float | None], unit: str = "") -> str:
    """Return what a result is held against as text, empty where nothing is known of it.

    >>> true_text("distance_km", {"distance_km": 384399.0}, " km"), true_text("angle", {})
    ('384 399 km', '')
    """
    number = true.get(name)
    if not number:
        return ""
    digits = 0 if number > 1000 else 3 if name == "earth_in_moons" else 2
    return written(number, f",.{digits}f") + unit


def to_check(summary: "ClassSummary", mistakes: Mapping[str, str]) -> dict[str, str]:
    """Return by group why it should be checked together: its likely mistake, or how far it is off.

    Parameters: the summary, and by group what its likely mistake is, in words.
    """
    checks = {name: f"it looks as if {told}" for name, told in mistakes.items()}
    enough = len(summary.zeta) - len(mistakes) >= 2  # of whom nothing else is known
    for name, zeta in summary.zeta.items():
        if enough and name not in checks and zeta is not None and abs(zeta) > _FAR[0]:
            checks[name] = f"{zeta_words(zeta)} (zeta score {written(zeta, '+.1f')})"
    return checks
