"""Refuse what cannot be: one sentence that says what is impossible and why."""

import string

import numpy as np

_ENDS = (".", "?", "!", ".)", "?)", "!)")


class Impossible(ValueError):
    """A reading, or several together, that no Earth, Moon or instrument could give."""


def capital(text: object) -> str:
    """Return a text with its first letter as a capital.

    Parameters
    ----------
    text
        A text, or an error whose message is meant.

    Returns
    -------
    str
        The text; letters after the first stay as they are.

    Examples
    --------
    >>> capital("a disc of the ISS")
    'A disc of the ISS'
    """
    text = str(text)
    return text[:1].upper() + text[1:]


def sentence(text: object) -> str:
    """Return a remark as a whole sentence: a capital first, a full stop last.

    Parameters
    ----------
    text
        A text, or an error whose message is meant. One that ends as a sentence does keeps its end.

    Returns
    -------
    str
        The sentence.

    Examples
    --------
    >>> sentence("no group is chosen")
    'No group is chosen.'
    >>> sentence("which edge did you see?")
    'Which edge did you see?'
    """
    text = capital(text)
    return text if text.endswith(_ENDS) else f"{text}."


def counted(number: int, thing: str) -> str:
    """Return how many things there are, in words.

    Parameters
    ----------
    number
        A whole number.
    thing
        The name of one of them, whose plural takes an s.

    Returns
    -------
    str
        Number and name.

    Examples
    --------
    >>> counted(1, "group"), counted(0, "new row")
    ('1 group', '0 new rows')
    """
    return f"{number} {thing}{'s' * (number != 1)}"


def written(number: float, how: str) -> str:
    """Return a number as a person reads it: a true minus sign, spaces between thousands.

    Parameters
    ----------
    number
        The number.
    how
        Python's format specification; a comma there stands for the spaces.

    Returns
    -------
    str
        The text.

    Examples
    --------
    >>> written(-12741.98, ",.0f"), written(-2.31, "+.1f")
    ('−12 742', '−2.3')
    """
    return f"{number:{how}}".replace("-", "−").replace(",", " ")


class _Writer(string.Formatter):
    """Puts values into a sentence, numbers as a person reads them."""

    def format_field(self, value, how):
        return super().format_field(value, how) if isinstance(value, str) else written(value, how)


def filled(sentence: str, *values: object, **named: object) -> str:
    """Return a sentence with values in its braces, as `str.format`, but with `written` numbers.

    Parameters
    ----------
    sentence
        The sentence.
    values, named
        Texts, numbers or quantities.

    Returns
    -------
    str
        The whole sentence.

    Examples
    --------
    >>> filled("the {} is {:+.1f} % off", "north-south distance", -2.31)
    'the north-south distance is −2.3 % off'
    """
    return _Writer().format(sentence, *values, **named)


def mostly(holds: object) -> object:
    """Return whether a condition holds; for a cloud, whether it does for most of its draws.

    Parameters
    ----------
    holds
        A condition: scalar, array or Distribution of truth values.

    Returns
    -------
    bool or array of bool
        A Distribution's draws are counted along its last axis.

    Examples
    --------
    >>> mostly(True)
    True
    """
    draws = getattr(holds, "distribution", None)
    return holds if draws is None else np.mean(draws, axis=-1) > 0.5


def require(holds: object, refusal: str, *readings: object) -> None:
    """Raise `Impossible` with a sentence unless a condition holds for every element.

    Parameters
    ----------
    holds
        The condition: scalar, array or Distribution of truth values. On a Distribution it must
        hold for most of the draws; see `mostly`.
    refusal
        The sentence, with a pair of braces for each reading.
    readings
        Scalars, arrays or Distributions, shown in the braces.

    Raises
    ------
    Impossible
        Where the condition does not hold.

    Examples
    --------
    >>> require(2 < 1, "{} is not less than 1", 2)
    Traceback (most recent call last):
    moonreach.lessons.refuse.Impossible: 2 is not less than 1
    """
    if not np.all(mostly(holds)):
        raise Impossible(refusal.format(*map(_shown, readings)))


def require_positive(**readings: object) -> None:
    """Raise `Impossible` unless each named reading is finite and greater than zero.

    Parameters
    ----------
    readings
        Scalars, arrays or Distributions by name; the name, with spaces, stands in the refusal.

    Raises
    ------
    Impossible
        Where a reading, or most draws of a Distribution, are zero, less or without end.

    Examples
    --------
    >>> require_positive(gnomon_height=-1.0)
    Traceback (most recent call last):
    moonreach.lessons.refuse.Impossible: the gnomon height must be greater than zero and finite,
    found −1
    """
    for name, value in readings.items():
        draws = getattr(value, "distribution", value)
        number = np.asarray(getattr(draws, "value", draws))  # bare, as this runs at every step
        positive = (number > 0) & (number < np.inf)
        if draws is not value:
            positive = positive.mean(axis=-1) > 0.5
        name = name.replace("_", " ")
        require(positive, f"the {name} must be greater than zero and finite, found {{}}", value)


def require_one_of(accepted: tuple[str, ...] | dict[str, object], **chosen: str) -> None:
    """Raise `Impossible` unless each named word is an accepted one.

    Parameters
    ----------
    accepted
        The accepted words.
    chosen
        Words by the name of the argument that holds them.

    Raises
    ------
    Impossible
        For a word that is not accepted.

    Examples
    --------
    >>> require_one_of(("vanish", "rim"), seen="half")
    Traceback (most recent call last):
    moonreach.lessons.refuse.Impossible: seen 'half' is not known; accepted are 'vanish', 'rim'
    """
    for name, word in chosen.items():
        known = ", ".join(map(repr, accepted))
        require(word in accepted, f"{name} {{!r}} is not known; accepted are {known}", word)


def _shown(value):
    middle = value.pdf_median() if hasattr(value, "pdf_median") else value
    return (
        str(middle) if np.size(middle) != 1 or isinstance(middle, str) else written(middle, ".6g")
    )
