"""Refuse what cannot be: one sentence that says what is impossible and why."""

import numpy as np


class Impossible(ValueError):
    """A reading, or several together, that no Earth, Moon or instrument could give."""


def mostly(holds):
    """Return whether a condition holds: for a cloud, whether it does for most of its draws."""
    draws = getattr(holds, "distribution", None)
    return holds if draws is None else np.mean(draws, axis=-1) > 0.5


def require(holds, sentence, *found):
    """Raise `Impossible` with the sentence unless the condition holds for every element.

    A condition on a cloud must hold for most of its draws: a far tail beyond what is possible
    does not make a possible value wrong. What was found fills the sentence's braces.
    """
    if not np.all(mostly(holds)):
        raise Impossible(sentence.format(*map(_shown, found)))


def require_positive(**readings):
    """Raise `Impossible` unless each named reading is finite and greater than zero."""
    for name, value in readings.items():
        draws = getattr(value, "distribution", value)
        number = np.asarray(getattr(draws, "value", draws))  # bare, as this runs at every step
        positive = (number > 0) & (number < np.inf)
        if draws is not value:
            positive = positive.mean(axis=-1) > 0.5
        name = name.replace("_", " ")
        require(positive, f"the {name} must be greater than zero and finite, found {{}}", value)


def _shown(value):
    middle = value.pdf_median() if hasattr(value, "pdf_median") else value
    return str(middle) if np.size(middle) != 1 or isinstance(middle, str) else f"{middle:.6g}"
