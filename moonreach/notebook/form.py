"""The measuring form: a lesson's readings, kept in the group's sheet at every change.

What is typed goes to the sheet as it was typed, whatever it is; what is wrong with it is said
beside it.
"""

import html

import ipywidgets as widgets

from moonreach.exercises import doubts as plausible
from moonreach.lessons.refuse import Impossible, capital
from moonreach.sheet.cells import CellError
from moonreach.sheet.group_sheet import ROW, Row, known_groups
from moonreach.sheet.quantities import QUANTITIES

_UNITS = {"length": "cm", "angle": "deg", "duration": "min", "picture": "px", "clock": "s"}
_OTHER_UNITS = {
    "north_south_distance": "km",
    "road_distance": "km",
    "disc_diameter": "mm",
    "hole_diameter": "mm",
}
_WIDTHS = {"value": "10em", "unit": "5em", "uncertainty": "7em", "note": "16em"}


class Form(widgets.VBox):
    """One lesson's form, as a widget; on paper, the readings as lines of text."""

    def __init__(self, desk, quantities, more=()):
        """Show the quantities of a `Desk`'s group, and those that only some need."""
        super().__init__()
        self._desk, self._quantities, self._more = desk, quantities, more
        self._lines = {}
        self._group = widgets.Combobox(
            placeholder="your group's name",
            value=desk.group or "",
            options=tuple(known_groups(desk.work)),
            continuous_update=False,
            description="Group",
        )
        self._group.observe(self._take_group, "value")
        self._said = widgets.HTML()
        self._table = widgets.VBox()
        self.children = [self._group, self._said, self._table]
        self._build()

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        return bundle | {"text/plain": self.as_text()}

    def as_text(self):
        """Return the readings as lines of text."""
        names = (*self._quantities, *self._more)
        if self._desk.sheet:
            rows = [
                (row.quantity, " ".join(filter(None, row.cells.values())))
                for row in self._desk.sheet.rows(names)
            ]
        else:
            known = self._desk.practice
            rows = [(name, known.text(name)) for name in names if name in known]
        return "\n".join(
            [repr(self._desk), *(f"  {name.replace('_', ' ')}: {text}" for name, text in rows)]
        )

    def _take_group(self, change):
        if change.new.strip() and change.new != self._desk.group:
            said = self._desk.choose(change.new)
            self._build()
            self._tell(said)
        self._group.value = self._desk.group or ""
        self._group.options = tuple(known_groups(self._desk.work))

    def _build(self):
        self._lines = {}
        if not self._desk.sheet:
            self._table.children = []
            self._tell("")
            return
        names = (*self._quantities, *self._more)
        rows = self._desk.sheet.rows(names)
        boxes = {name: self._box(name, [r for r in rows if r.quantity == name]) for name in names}
        children = [boxes[name] for name in self._quantities]
        if self._more:
            extra = widgets.VBox([boxes[name] for name in self._more])
            children.append(widgets.Accordion([extra], titles=("Only if you need them",)))
        self._table.children = children
        self._doubt()
        self._tell("")

    def _box(self, name, rows):
        label = widgets.HTML(f"<b>{html.escape(capital(QUANTITIES[name].meaning))}</b>")
        lines = widgets.VBox()
        for row in rows or [self._new(name)]:
            self._add(lines, row)
        head = [label]
        if _measured(name):
            more = widgets.Button(description="add a reading", layout={"width": "9em"})
            more.on_click(lambda _: self._add(lines, self._new(name)))
            head.append(more)
        gap = {"margin": "0 0 0.4em 0"}
        return widgets.VBox([widgets.HBox(head), lines], layout=gap)

    def _new(self, name):
        unit = _OTHER_UNITS.get(name) or _UNITS.get(QUANTITIES[name].kind, "")
        unit = unit if "unit" in _boxes(name) else ""
        before = [row.cells["unit"] for row, _ in self._lines.values() if row.quantity == name]
        cells = {"value": "", "unit": [unit, *before][-1], "uncertainty": "", "note": ""}
        return Row(name, cells)

    def _add(self, lines, row):
        term = QUANTITIES[row.quantity]
        problem = widgets.HTML()
        if term.kind == "choice":
            boxes = {"value": _choice(term.words, row.cells["value"])}
        else:
            examples = {"uncertainty": "± (standard)", "value": _example(row.quantity)}
            boxes = {
                name: widgets.Text(
                    value=row.cells[name],
                    placeholder=examples.get(name, name),
                    continuous_update=False,
                    layout={"width": _WIDTHS[name]},
                )
                for name in _boxes(row.quantity)
            }
        line = widgets.HBox([*boxes.values()], layout={"flex_flow": "row wrap"})
        for name, box in boxes.items():
            box.observe(lambda change, name=name: self._change(row, name, change.new), "value")
        if _measured(row.quantity):
            remove = widgets.Button(
                description="remove", tooltip="take this reading out", layout={"width": "5.5em"}
            )
            remove.on_click(lambda _: self._remove(lines, line, row))
            line.children += (remove,)
        line.children += (problem,)
        self._lines[id(row)] = row, problem
        lines.children += (line,)

    def _change(self, row, name, text):
        row.cells[name] = text
        self._store(row)

    def _remove(self, lines, line, row):
        row.cells = dict.fromkeys(ROW, "")
        if self._store(row):
            del self._lines[id(row)]
            lines.children = tuple(child for child in lines.children if child is not line)
            if not lines.children:
                self._add(lines, self._new(row.quantity))

    def _store(self, row):
        sheet = self._desk.sheet
        try:
            missing = not sheet.path.exists()
            for each in [known for known, _ in self._lines.values()] if missing else [row]:
                sheet.store(each)
        except (OSError, Impossible) as error:
            why = getattr(error, "strerror", None) or error
            self._tell(f"Not kept ({why}): change it once more when the sheet can be written.")
            return False
        self._doubt()
        self._tell("")
        return True

    def _doubt(self):
        """Say beside each row what is wrong or doubtful in it."""
        readings, owners, sentences = [], {}, {}
        for key, (row, _) in self._lines.items():
            if row.line is None:
                continue
            try:
                reading = self._desk.sheet.reading_of(row)
            except CellError as error:
                sentences[key] = [str(error)]
                continue
            readings.append(reading)
            owners[id(reading)] = key
        for doubt in plausible.doubts(readings):
            sentences.setdefault(owners[id(doubt.reading)], []).append(doubt.sentence)
        for key, (_, problem) in self._lines.items():
            text = "; ".join(sentences.get(key, ()))
            problem.value = f"<i>{html.escape(capital(text))}</i>" if text else ""

    def _tell(self, said):
        if self._desk.sheet:
            lines = [said, f"Every change is kept in {self._desk.sheet.path}.", *self._elsewhere()]
        else:
            lines = [said, f"{self._desk} Write your group's name to fill in your own."]
        self._said.value = "<br>".join(html.escape(capital(line)) for line in lines if line)

    def _elsewhere(self):
        """Return what is wrong in lines of the sheet that this form does not show."""
        held = {row.line for row, _ in self._lines.values()}
        problems = [found for line, found in self._desk.sheet.problems() if line not in held]
        kept = [f"{problem} (the line stays as it is)" for problem in problems[:3]]
        return [*kept, *(["…"] if problems[3:] else [])]


def _boxes(name):
    """The cells that a row of a quantity fills: those that are said have no uncertainty."""
    if _measured(name):
        return ROW
    return ("value", "unit", "note") if QUANTITIES[name].kind == "angle" else ("value", "note")


def _measured(name):
    """Return whether a quantity is read with an uncertainty, unlike a word, a date or a noon."""
    return QUANTITIES[name].measured


def _example(name):
    kind = QUANTITIES[name].kind
    if kind == "clock":
        return "22:41:30" if _measured(name) else "2029-06-21T12:35"
    return "2029-06-26" if kind == "date" else "value"


def _choice(words, typed):
    options = [("not stated", ""), *((word.replace("_", " "), word) for word in words)]
    if typed and typed not in words:
        options.append((typed, typed))
    return widgets.Dropdown(options=options, value=typed, layout={"width": "14em"})
