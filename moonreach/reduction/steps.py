"""A table of steps from readings to results, and the one loop that works them out.

Each row says what it finds, what it needs, and which lesson function does it. Several rows may
find the same thing: the first whose needs are there is taken. The loop does not care what the
values are: single numbers for a page, clouds for an interval. `chain` has the rows of the five
lessons, `further` those of the two further ones.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from astropy import units as u

from moonreach.lessons.refuse import Impossible

Values = dict[str, object]


@dataclass(frozen=True)
class Step:
    """One step: what it finds, the values it needs, and the function that takes them in this order.

    Without a function it takes the one value it needs as it is. `options` are values that the
    function takes by keyword where they are there; `unit` is the result's; `when` says of the
    values whether the row serves; `about` says in a refusal what it was about.
    """

    finds: str
    needs: tuple[str, ...]
    function: Callable[..., object] = lambda value: value
    unit: u.UnitBase | None = None
    options: Mapping[str, str] = field(default_factory=dict)
    when: Callable[[Values], bool] = lambda values: True
    about: str = ""


def about(what: str, *steps: Step) -> tuple[Step, ...]:
    """Return steps that all serve one thing, which a refusal names."""
    return tuple(replace(step, about=what) for step in steps)


@dataclass
class Found:
    """What the loop found on its way, beside the values themselves.

    `refused` has a sentence by the name of each result that cannot be; `behind` the names of all
    readings and earlier results behind each result, and its own.
    """

    refused: dict[str, str] = field(default_factory=dict)
    behind: dict[str, set[str]] = field(default_factory=dict)


def work_out(
    steps: Iterable[Step], values: Values, keep: Callable[[str, object], None] | None = None
) -> Found:
    """Work out all that the values lead to, step by step down the table, into the values.

    Parameters: the steps; a dict of values by name, which the results join; a function that gets
    each name and result before it counts, and may refuse it by raising `Impossible`.
    """
    found = Found()
    for step in steps:
        known = step.finds in found.behind or step.finds in found.refused
        if known or not all(name in values for name in step.needs) or not step.when(values):
            continue
        options = {key: name for key, name in step.options.items() if name in values}
        taken = {key: values[name] for key, name in options.items()}
        try:
            with np.errstate(divide="ignore", invalid="ignore"):
                result = step.function(*(values[name] for name in step.needs), **taken)
            result = result.to(step.unit) if step.unit else result
            if keep:
                keep(step.finds, result)
        except Impossible as error:
            found.refused[step.finds] = f"{step.about}: {error}"
        else:
            sources = (found.behind.get(name, {name}) for name in (*step.needs, *options.values()))
            found.behind[step.finds] = {step.finds}.union(*sources)
            values[step.finds] = result
    return found
