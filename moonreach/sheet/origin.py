"""Whose a value is: it travels with the value from the sheet to the picture."""

from collections.abc import Iterable
from enum import StrEnum


class Origin(StrEnum):
    """Whose a value is, the group's own first, the least its own last."""

    OWN = "own"  # this group read it
    SHARED = "shared"  # the class or a partner class read it
    TODAY = "today"  # a published value
    PRACTICE = "practice"  # invented


def least_own(origins: Iterable[Origin]) -> Origin:
    """Return the origin of what was made of several values: that of the one least one's own.

    >>> least_own([Origin.OWN, Origin.PRACTICE, Origin.TODAY])
    <Origin.PRACTICE: 'practice'>
    """
    order = list(Origin)
    return max(origins, key=order.index, default=Origin.OWN)
