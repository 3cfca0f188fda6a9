"""An exercise at a desk in words, as its answer box asks and replies."""

from moonreach.lessons.refuse import Impossible, sentence
from moonreach.notebook.asked import Asked


def ask(desk, key):
    """Return the question, with whose readings it stands on."""
    return "\n".join(filter(None, Asked(desk, key).question()))


def check(desk, key, answer):
    """Hand in an answer, and return what is said of it."""
    try:
        return Asked(desk, key).verdict(str(answer)).text
    except Impossible as error:
        return sentence(error)


def show(desk, key):
    """Return the right answer and the way to it, or why it is not shown yet."""
    return "\n".join(Asked(desk, key).right_answer())
