"""The measuring form: a lesson's readings, kept in the group's sheet at every change.

What is typed goes to the sheet as it was typed, whatever it is; what is wrong with it stands
beside it.
"""

import html
import tomllib
from dataclasses import replace
from functools import partial
from pathlib import Path

import ipywidgets as widgets

from moonreach.exercises import doubts as plausible
from moonreach.lessons.refuse import Impossible, capital
from moonreach.sheet.cells import CellError
from moonreach.sheet.group_sheet import ROW, Row, known_groups
from moonreach.sheet.quantities import QUANTITIES, label_of
from moonreach.sheet.reading import row_of

_TABLE = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
_UNITS, _WIDTHS, _EXAMPLES = _TABLE["units"], _TABLE["widths"], _TABLE["examples"]


class Line(widgets.HBox):
    """One reading: a box for each of its cells, and beside them what is wrong with it."""

    def __init__(self, row: Row, field):
        """Show a row of a `Field`'s quantity; every change is stored by the field's form."""
        self.row, self._field = row, field
        self.boxes = {name: _box(row, name) for name in cells_of(row.quantity)}
        self.problem = widgets.HTML()
        for name, box in self.boxes.items():
            box.observe(partial(self._typed, name), "value")
        self.remove = widgets.Button(
            description="remove", tooltip="take this reading out", layout={"width": "5.5em"}
        )
        self.remove.on_click(self._take_out)
        buttons = [self.remove] if QUANTITIES[row.quantity].measured else []
        super().__init__([*self.boxes.values(), *buttons, self.problem])
        self.layout.flex_flow = "row wrap"

    def say(self, problems: list[str]):
        """Show what is wrong or doubtful in this reading, or that nothing is."""
        text = html.escape(capital("; ".join(problems)))
        self.problem.value = f"<i>{text}</i>" if text else ""

    def _typed(self, name, change):
        self.row.cells[name] = change.new
        self._field.form.store(self)

    def _take_out(self, _):
        typed, self.row.cells = self.row.cells, dict.fromkeys(ROW, "")
        if self._field.form.store(self):
            self._field.drop(self)
        else:  # the boxes still show it
            self.row.cells = typed


class Field(widgets.VBox):
    """One quantity of the form: what it is, and a line for each of its readings."""

    def __init__(self, form, quantity: str, rows: list[Row]):
        """Show the rows that a `Form`'s sheet has of a quantity, or an empty line."""
        self.form, self.quantity = form, quantity
        term = QUANTITIES[quantity]
        self.lines = [Line(row, self) for row in rows or [self._empty_row()]]
        self._place = widgets.VBox(self.lines)
        self.add = widgets.Button(description="add a reading", layout={"width": "9em"})
        self.add.on_click(self._add_line)
        label = widgets.HTML(f"<b>{html.escape(capital(term.meaning))}</b>")
        head = widgets.HBox([label, self.add] if term.measured else [label])
        super().__init__([head, self._place], layout={"margin": "0 0 0.4em 0"})

    def drop(self, line: Line):
        """Take a line out; an empty one stays."""
        self.lines = [other for other in self.lines if other is not line]
        self._show(self.lines or [Line(self._empty_row(), self)])

    def _add_line(self, _):
        unit = self.lines[-1].row.cells["unit"]
        self._show([*self.lines, Line(self._empty_row(unit), self)])

    def _show(self, lines):
        self.lines = self._place.children = lines

    def _empty_row(self, unit=None):
        if unit is None and "unit" in cells_of(self.quantity):
            unit = _UNITS.get(self.quantity) or _UNITS.get(QUANTITIES[self.quantity].kind)
        return Row(self.quantity, dict.fromkeys(ROW, "") | {"unit": unit or ""})


class Form(widgets.VBox):
    """One lesson's form, as a widget; on paper, the readings as lines of text."""

    def __init__(self, desk, measured, optional=()):
        """Show the quantities of a `Desk`'s group, and those that only some need."""
        self._desk, self._names, self._first = desk, (*measured, *optional), len(measured)
        self.fields = []
        self.group = widgets.Combobox(
            placeholder="your group's name",
            value=desk.group or "",
            options=tuple(known_groups(desk.work)),
            continuous_update=False,
            description="Group",
        )
        self.group.observe(self._take_group, "value")
        self.remark, self._table = widgets.HTML(), widgets.VBox()
        super().__init__([self.group, self.remark, self._table])
        self._build()

    @property
    def lines(self) -> list[Line]:
        """All lines of the form."""
        return [line for field in self.fields for line in field.lines]

    def _repr_mimebundle_(self, **kwargs):
        return super()._repr_mimebundle_(**kwargs) | {"text/plain": self.as_text()}

    def as_text(self) -> str:
        """Return the readings as lines of text."""
        names = self._names
        if self._desk.sheet:
            rows = [(row.quantity, row.cells.values()) for row in self._desk.sheet.rows(names)]
        else:
            cells = map(row_of, self._desk.practice.rows)
            rows = [(name, [*texts, "(practice)"]) for _, name, *texts in cells if name in names]
        lines = [f"  {label_of(name)}: {_in_words(*texts)}" for name, texts in rows]
        return "\n".join([repr(self._desk), *lines])

    def store(self, line: Line) -> bool:
        """Write a line's row into the sheet; return whether that could be done.

        A sheet that somebody has deleted meanwhile is begun again with all that the form shows.
        """
        sheet = self._desk.sheet
        try:
            for each in [line] if sheet.path.exists() else self.lines:
                sheet.store(each.row)
        except (OSError, Impossible) as error:
            why = getattr(error, "strerror", None) or error
            self._tell(f"Not kept ({why}): change it once more when the sheet can be written.")
            return False
        self._look_for_problems()
        self._tell("")
        self._desk.changed()
        return True

    def _take_group(self, change):
        if change.new.strip() and change.new != self._desk.group:
            remark = self._desk.choose(change.new)
            self._build()
            self._tell(remark)
        self.group.value = self._desk.group or ""
        self.group.options = tuple(known_groups(self._desk.work))

    def _build(self):
        self.fields = self._table.children = []
        if self._desk.sheet:
            rows = self._desk.sheet.rows(self._names)
            self.fields = [
                Field(self, name, [row for row in rows if row.quantity == name])
                for name in self._names
            ]
            children, rest = self.fields[: self._first], self.fields[self._first :]
            if rest:
                fold = widgets.Accordion([widgets.VBox(rest)], titles=("Only if you need them",))
                children.append(fold)
            self._table.children = children
            self._look_for_problems()
        self._tell("")

    def _look_for_problems(self):
        """Show beside each line what is wrong or doubtful in it."""
        lines, readings, problems = self.lines, [], {}
        for number, line in enumerate(lines):
            try:
                if line.row.line is not None:
                    reading = self._desk.sheet.reading_of(line.row)
                    readings.append(replace(reading, row=number))
            except CellError as error:
                problems[number] = [str(error)]
        for doubt in plausible.doubts(readings):
            problems.setdefault(doubt.reading.row, []).append(doubt.sentence)
        for number, line in enumerate(lines):
            line.say(problems.get(number, []))

    def _tell(self, remark):
        if self._desk.sheet:
            lines = [remark, f"Every change is kept in {self._desk.sheet.path}.", *self._hidden()]
        else:
            lines = [remark, f"{self._desk} Write your group's name to fill in your own."]
        self.remark.value = "<br>".join(html.escape(capital(line)) for line in lines if line)

    def _hidden(self):
        """Return what is wrong in lines of the sheet that this form does not show."""
        shown = {line.row.line for line in self.lines}
        problems = [problem for line, problem in self._desk.sheet.problems() if line not in shown]
        kept = [f"{problem} (the line stays as it is)" for problem in problems[:3]]
        return [*kept, *(["…"] if problems[3:] else [])]


def cells_of(quantity: str) -> tuple[str, ...]:
    """Return the cells that a row of a quantity fills: what is stated has no uncertainty."""
    term = QUANTITIES[quantity]
    if term.measured:
        return ROW
    return ("value", "unit", "note") if term.kind == "angle" else ("value", "note")


def _box(row, name):
    """Return the widget for one cell of a row."""
    term, typed = QUANTITIES[row.quantity], row.cells[name]
    if term.kind == "choice" and name == "value":
        options = [("not stated", ""), *((word.replace("_", " "), word) for word in term.words)]
        if typed not in ("", *term.words):
            options.append((typed, typed))
        return widgets.Dropdown(options=options, value=typed, layout={"width": "14em"})
    kind = "moment" if term.kind == "clock" and not term.measured else term.kind
    example = _EXAMPLES.get(kind, _EXAMPLES["value"]) if name == "value" else _EXAMPLES[name]
    return widgets.Text(
        value=typed,
        placeholder=example,
        continuous_update=False,
        layout={"width": _WIDTHS[name]},
    )


def _in_words(value, unit, uncertainty="", note="", whose=""):
    """Return a row's cells as a reader expects them: a clock time has no unit, its ± has one."""
    known = f"± {uncertainty} {unit}" if uncertainty else ""
    return " ".join(filter(None, [value, "" if ":" in value else unit, known, note, whose]))
