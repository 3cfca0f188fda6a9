"""One line of the measuring form: a box for each cell of a reading, and what is wrong with it."""

import html
from functools import partial

import ipywidgets as widgets

from moonreach.figures import style
from moonreach.lessons.refuse import capital
from moonreach.sheet.cells import KINDS
from moonreach.sheet.group_sheet import ROW, Row
from moonreach.sheet.quantities import QUANTITIES
from moonreach.sheet.reading import apart

MENUS = {kind: names for kind, (_, names, _) in KINDS.items() if names}
MENUS |= {"clock": ("s", "min"), "part": ("", "%")}  # a clock's unit is that of its ±
# A sign alone is a speck, a name alone is not what stands in a table.
_SIGNS = {"deg": "° deg", "arcmin": "′ arcmin", "arcsec": "″ arcsec", "": "of 1"}
_WIDTHS = {"value": "10em", "unit": "6.5em", "uncertainty": "4.5em", "note": "8em"}
_EXAMPLES = {"clock": "22:41:30", "moment": "2029-06-21 12:35", "date": "2029-06-26"}
_HINTS = {
    "value": "what was read",
    "unit": "the unit",
    "uncertainty": "one standard uncertainty, in the same unit, if you know it",
    "note": "a note",
}
# Colour is never alone: what cannot be used and what is unlikely have a mark of their own.
WRONG, UNLIKELY = ("✗", style.OWN_WORDS), ("⚠", "#7a5200")


class Line(widgets.HBox):
    """One reading: a box for each of its cells, and beside them what is wrong with it."""

    def __init__(self, row: Row, field):
        """Show a row of a `Field`'s quantity; every change is stored by the field's form."""
        self._field = field
        self.boxes = {name: _box(row.quantity, name) for name in cells_of(row.quantity)}
        self.show(row)
        # Its height never grows: what it says may hang over the free place below.
        self.problem = widgets.HTML(
            layout={"flex": "1 1 8em", "height": "32px", "overflow": "visible"}
        )
        for name, box in self.boxes.items():
            box.observe(partial(self._typed, name), "value")
        self.which = widgets.Label(layout={"width": "1.2em"})
        self.repeat, self.remove = (
            widgets.Button(description=words, tooltip=more, layout={"width": "max-content"})
            for words, more in (
                ("repeat", "add a second reading of this"),
                ("×", "take this reading out"),
            )
        )
        self.repeat.on_click(lambda _: field.add_line())
        self.remove.on_click(self._take_out)
        buttons = [self.repeat, self.remove] if QUANTITIES[row.quantity].measured else []
        super().__init__([self.which, *self.boxes.values(), *buttons, self.problem])
        self.layout.flex_flow = "row wrap"
        self.layout.overflow = "visible"

    def show(self, row: Row):
        """Show a row of the same quantity in the boxes that are there."""
        self.row, self._moving = row, True
        for name, box in self.boxes.items():
            if isinstance(box, widgets.Dropdown):
                options = _options(row, name)
                if box.options != options:
                    box.options = options
            box.value = row.cells[name]
        self._moving = False

    def say(self, mark: tuple[str, str], problems: list[str], column: str = ""):
        """Show what is wrong or unlikely in this reading, or that nothing is.

        Parameters: the sign and the colour; the sentences; the cell that is at fault, if one is.
        """
        for name, box in self.boxes.items():
            (box.add_class if name == column else box.remove_class)("at-fault")
        text = html.escape(capital("; ".join(problems)))
        sign, colour = mark
        look = f"color: {colour}; border-left: 3px solid {colour}"
        shown = f'<div role="status" class="problem" style="{look}">{sign} {text}</div>'
        self.problem.value = shown if text else ""

    def _typed(self, name, change):
        if self._moving:
            return
        self.row.cells[name] = change.new
        if name == "value":
            term = QUANTITIES[self.row.quantity]
            self.row.cells |= apart(self.row.cells, term, MENUS.get(term.kind, ()))
            self.show(self.row)
        self._field.form.store(self)

    def _take_out(self, _):
        typed, self.row.cells = self.row.cells, dict.fromkeys(ROW, "")
        if self._field.form.store(self):
            self._field.drop(self)
        else:  # the boxes still show it
            self.row.cells = typed


def complaint(text: str) -> str:
    """Return a refusal as it stands on the page: with a mark, as colour is never alone."""
    sign, colour = WRONG
    shown = f'<div role="status" style="color: {colour}">{sign} {html.escape(text)}</div>'
    return shown if text else ""


def unit_in_menu(name: str) -> str:
    """Return a unit's name as menus have it: behind its sign, if it has one."""
    return _SIGNS.get(name, name)


def cells_of(quantity: str) -> tuple[str, ...]:
    """Return the cells that a row of a quantity fills: what is stated has no uncertainty."""
    term = QUANTITIES[quantity]
    if term.kind == "clock" and term.measured:  # the unit is that of the uncertainty
        return ("value", "uncertainty", "unit", "note")
    if term.measured:
        return ROW
    return ("value", "unit", "note") if term.kind == "angle" else ("value", "note")


def _box(quantity, name):
    """Return the widget for one cell of a quantity's rows, without what is in it."""
    term = QUANTITIES[quantity]
    choice = term.kind == "choice" and name == "value"
    layout = {"width": "14em" if choice else _WIDTHS[name]}
    about = {"tooltip": f"{term.label}: {_HINTS[name]}", "layout": layout}
    if choice or name == "unit":
        return widgets.Dropdown(**about)
    kind = "moment" if term.kind == "clock" and not term.measured else term.kind
    example = {"value": _EXAMPLES.get(kind, "number"), "uncertainty": "±"}.get(name, name)
    return widgets.Text(placeholder=example, continuous_update=False, **about)


def _options(row, name):
    """Return the options of a cell's menu; what else stands in the sheet is one more."""
    term, typed = QUANTITIES[row.quantity], row.cells[name]
    if name == "unit":
        options = {unit_in_menu(unit): unit for unit in MENUS[term.kind]}
    else:
        options = {"not stated": "", **{word.replace("_", " "): word for word in term.words}}
    options = options if typed in options.values() else options | {typed: typed}
    return tuple(options.items())
