"""Refuse what cannot be: one sentence that says what is impossible and why."""

import numpy as np


class Impossible(ValueError):
    """A reading, or several together, that no Earth, Moon or instrument could give."""


def central(value):
    """Return what a value is taken to be: a cloud's median, anything else as it stands."""
    return value.pdf_median() if hasattr(value, "pdf_median") else value


def require(holds, sentence):
    """Raise `Impossible` with the sentence unless the condition holds everywhere.

    Conditions are written on `central` values: a cloud whose far tail reaches beyond what is
    possible is still a cloud about a possible value.
    """
    if not np.all(holds):
        raise Impossible(sentence)


def require_positive(**lengths):
    """Raise `Impossible` unless each named quantity is finite and greater than zero."""
    for name, value in lengths.items():
        require(
            (central(value) > 0) & np.isfinite(central(value)),
            f"{name.replace('_', ' ')} must be greater than zero, found {central(value):.6g}",
        )
