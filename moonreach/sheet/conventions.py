"""How the people who filled a table write, as its clear cells tell; what was understood so."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from moonreach.sheet import cells
from moonreach.sheet.cells import CellError
from moonreach.sheet.quantities import QUANTITIES, nearest, quantity_meant, quantity_of

_DAY_AND_MONTH = re.compile(r"(?<![0-9])([0-9]{1,2})[./-]([0-9]{1,2})[./-][0-9]{4}(?![0-9])")
_NUMBERS = ("length", "angle", "duration", "picture", "part")
_TABLE = ""  # in place of a group's name: all groups


@dataclass
class Conventions:
    """The decimal signs of each group, the order of dates, and sentences on what was understood.

    Where cells are separated by commas, a comma in a number may also separate thousands.
    """

    comma_separated: bool = False
    day_first: bool | None = None
    _signs: dict = field(default_factory=dict)
    _understood: dict = field(default_factory=dict)

    def learn(self, rows: Iterable[Mapping[str, str]]) -> None:
        """Take decimal signs and the order of dates from cells that can be read in one way only."""
        orders = set()
        for cell in rows:
            text = cell.get("value", "")
            for first, second in _DAY_AND_MONTH.findall(text):
                if (int(first) > 12) != (int(second) > 12):
                    orders.add(int(first) > 12)
            number, _ = cells.number_and_unit(text)
            found = re.search(r"[0-9]([.,])[0-9]", number)
            if found and _is_number(cell) and not cells.may_be_thousands(number):
                for group in (cell.get("group", "").casefold(), _TABLE):
                    self._signs.setdefault(group, set()).add(found[1])
        self.day_first = orders.pop() if len(orders) == 1 else None

    def foreign_sign(self, group: str, number: str) -> str | None:
        """Return the decimal sign that a group uses, where the sign in a number is another one."""
        signs = self._signs.get(group.casefold()) or self._signs.get(_TABLE, set())
        return next(iter(signs)) if signs and not any(sign in number for sign in signs) else None

    def quantity(self, text: str, row: int) -> str:
        """Return the quantity that a text names; raise `CellError` with the three nearest."""
        if quantity := quantity_of(text):
            return quantity
        if not (meant := quantity_meant(text)):
            near = nearest(text) if text else [next(iter(QUANTITIES))]
            labels = ", ".join(QUANTITIES[name].label for name in near)
            raise CellError("quantity", text, f"a quantity, such as {labels}")
        sentence = f"“{text}” was read as {QUANTITIES[meant].label}"
        self.understand(text.casefold(), row, sentence)
        return meant

    def understand(self, kind: str, row: int, sentence: str) -> None:
        """Keep a sentence on what was understood and not literally written, one of each kind."""
        self._understood.setdefault(kind, []).append(f"row {row}: {sentence}")

    def notes(self) -> list[str]:
        """Return what was understood, one sentence for each kind."""
        return [
            first + (f", and {len(rest)} more in this way" if rest else "")
            for first, *rest in self._understood.values()
        ]


def _is_number(cell):
    quantity = quantity_of(cell.get("quantity", ""))
    return quantity is not None and QUANTITIES[quantity].kind in _NUMBERS
