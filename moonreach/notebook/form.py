"""The measuring form: a lesson's readings, kept in the group's sheet at every change.

What is typed goes to the sheet as it was typed, whatever it is; what is wrong with it stands
beside it.
"""

import html
from dataclasses import replace

import ipywidgets as widgets

from moonreach.exercises import doubts as plausible
from moonreach.lessons.refuse import Impossible, capital
from moonreach.notebook.form_line import MENUS, UNLIKELY, WRONG, Line, cells_of
from moonreach.notebook.together import seated
from moonreach.sheet.cells import CellError
from moonreach.sheet.collecting import class_in
from moonreach.sheet.group_sheet import ROW, Row
from moonreach.sheet.quantities import CONTACTS, QUANTITIES, label_of
from moonreach.sheet.reading import row_of

_HOW = "A line for each reading: value, unit, ± one standard uncertainty if you know it, a note."


class Field(widgets.VBox):
    """One quantity of the form: what it is, and a line for each of its readings."""

    def __init__(self, form, quantity: str):
        """Show an empty line for a quantity of a `Form`."""
        self.form, self.quantity, self.lines = form, quantity, ()
        term = QUANTITIES[quantity]
        self._place = widgets.VBox(layout={"overflow": "visible"})
        self.show([])
        sign = f"{term.label}: " if quantity in CONTACTS else ""  # U1: the Moon begins …
        label = widgets.HTML(f"<b>{html.escape(capital(sign + term.meaning))}</b>")
        look = {"margin": "0 0 0.4em 0", "overflow": "visible"}
        super().__init__([label, self._place], layout=look)

    def drop(self, line: Line):
        """Take a line out; an empty one stays."""
        others = [other for other in self.lines if other is not line]
        self._show(others) if others else self.show([])

    def show(self, rows: list[Row]):
        """Show these rows, or an empty line, in the lines that are there and as many more."""
        rows = rows or [self._empty_row()]
        for line, row in zip(self.lines, rows, strict=False):
            line.show(row)
        more = [Line(row, self) for row in rows[len(self.lines) :]]
        self._show([*self.lines[: len(rows)], *more])

    def add_line(self):
        """Add an empty line, in the unit of the last."""
        unit = self.lines[-1].row.cells["unit"]
        self._show([*self.lines, Line(self._empty_row(unit), self)])

    def _show(self, lines):
        self.lines = self._place.children = lines
        for number, line in enumerate(lines, start=1):
            line.which.value = f"{number}." if lines[1:] else ""

    def _empty_row(self, unit=None):
        term = QUANTITIES[self.quantity]
        if unit is None and "unit" in cells_of(self.quantity):
            unit = term.unit or MENUS[term.kind][0]
        return Row(self.quantity, dict.fromkeys(ROW, "") | {"unit": unit or ""})


class Form(widgets.VBox):
    """One lesson's form, as a widget; on paper, the readings as lines of text."""

    def __init__(self, desk, measured, optional=()):
        """Show the quantities of a `Desk`'s group, and those that only some need."""
        self._desk, self._names, self._unkept = desk, (*measured, *optional), set()
        self.fields = [Field(self, name) for name in self._names]
        first, others = self.fields[: len(measured)], self.fields[len(measured) :]
        titles = ("Only if you need them",)
        fold = [widgets.Accordion([widgets.VBox(others)], titles=titles)] if others else []
        self._parts = *first, *fold
        words = {"placeholder": "your group's name", "description": "Group"}
        self.group = widgets.Combobox(continuous_update=False, **words)
        self.group.observe(self._take_group, "value")
        self.remark = widgets.HTML(layout={"min_height": "4.5em"})
        self._table = widgets.VBox(layout={"overflow": "visible"})
        super().__init__([self.group, self.remark, self._table])
        self._begin()
        desk.listeners.append(self.follow)

    @property
    def lines(self) -> list[Line]:
        """All lines of the form; there are none before there is a sheet."""
        fields = self.fields if self._desk.sheet else ()
        return [line for field in fields for line in field.lines]

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
                sheet.store(each.row, {other.row.line for other in self.lines})
        except (OSError, Impossible) as error:
            why = getattr(error, "strerror", None) or error
            self._unkept.add(line)
            self._tell(f"Not kept ({why}): change it once more when the sheet can be written.")
            return False
        self._unkept.discard(line)
        self._look_for_problems()
        self._tell("")
        self._desk.changed()
        return True

    def follow(self):
        """Show the readings that another device, or the photograph, has put into the sheet.

        Where something typed could not be kept it stays as it is. Another sheet begins the form
        anew.
        """
        if self._of != (self._desk.sheet, seated()):
            self._begin()
        if not self._desk.sheet or not self._desk.sheet.path.exists():
            return
        for field in self.fields:
            if any(line in self._unkept for line in field.lines):
                continue
            rows = self._desk.sheet.rows([field.quantity])
            shown = [line.row.line for line in field.lines if line.row.line is not None]
            if shown != [row.line for row in rows]:
                field.show(rows)
        self._look_for_problems()

    def _take_group(self, change):
        if change.new.strip() and change.new != self._desk.group:
            self._tell(self._desk.choose(change.new))
        self._name_groups()

    def _name_groups(self):
        self.group.value = self._desk.group or ""
        self.group.options = () if seated() else tuple(class_in(self._desk.work).groups())
        self.group.disabled = bool(seated())  # in a class it is chosen at the door

    def _begin(self):
        """Begin the form with the sheet of now."""
        self._of = self._desk.sheet, seated()
        self._name_groups()
        self._unkept.clear()
        self._table.children = self._parts if self._desk.sheet else ()
        if self._desk.sheet:
            rows = self._desk.sheet.rows(self._names)
            for field in self.fields:
                field.show([row for row in rows if row.quantity == field.quantity])
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
                problems[number] = WRONG, [str(error)], error.column
        for doubt in plausible.doubts(readings):
            problems.setdefault(doubt.reading.row, (UNLIKELY, []))[1].append(doubt.sentence)
        for number, line in enumerate(lines):
            line.say(*problems.get(number, (UNLIKELY, [])))

    def _tell(self, remark):
        if self._desk.sheet:
            kept = f"Every change is kept in {self._desk.sheet.path}."
            lines = [remark, _HOW, kept, *self._hidden()]
        else:
            lines = [remark, f"{self._desk} Write your group's name to fill in your own."]
        self.remark.value = "<br>".join(html.escape(capital(line)) for line in lines if line)

    def _hidden(self):
        """Return what is wrong in lines of the sheet that this form does not show."""
        shown = {line.row.line for line in self.lines}
        problems = [problem for line, problem in self._desk.sheet.problems() if line not in shown]
        kept = [f"In {problem} (the line stays as it is)" for problem in problems[:3]]
        return [*kept, *(["…"] if problems[3:] else [])]


def _in_words(value, unit, uncertainty="", note="", whose=""):
    """Return a row's cells as a reader expects them: a clock time has no unit, its ± has one."""
    known = f"± {uncertainty} {unit}" if uncertainty else ""
    return " ".join(filter(None, [value, "" if ":" in value else unit, known, note, whose]))
