"""The class sheet: read, check, write. The only room that knows the file format.

A table of text with the columns group, quantity, value, unit, uncertainty and note, in any order,
or with one row for each group; a spreadsheet's sheet is such a text with tabs. It is read line by
line, so that a damaged line can never swallow its neighbours. Nothing is guessed: what cannot be
read for certain is reported and left out, what was understood is noted, and the rest goes on.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from astropy import units as u

from moonreach.sheet import files, layout, shared, writing
from moonreach.sheet.cells import CellError
from moonreach.sheet.clocks import Clock
from moonreach.sheet.columns import COLUMNS, ORIGIN
from moonreach.sheet.conventions import Conventions
from moonreach.sheet.files import SheetError
from moonreach.sheet.origin import Origin
from moonreach.sheet.quantities import QUANTITIES, label_of
from moonreach.sheet.reading import Reading, reading_of, row_of
from moonreach.sheet.repeats import without_repeats

_COARSE = 0.1  # of a reading: a half step beyond that is told, as it outweighs all else
_MOST_DIGITS = 1e6  # a number of more digits was worked out, and says nothing of its neighbours


@dataclass(frozen=True)
class Problem:
    """One thing that was wrong: where, what was found and what is accepted."""

    file: str
    row: int | None
    column: str | None
    message: str

    def __str__(self):
        row = f", row {self.row}" if self.row else ""
        column = f", column {self.column}" if self.column else ""
        return f"{self.file}{row}{column}: {self.message}"


@dataclass
class Sheet:
    """What was read from one or more files; notes say what was understood, not literally read."""

    readings: list = field(default_factory=list)
    problems: list = field(default_factory=list)
    notes: list = field(default_factory=list)

    def groups(self):
        """Return each group's readings, in the order in which groups first appear.

        A group's name is the same in any letter case, and shown as it was first written. Rows of
        the group "shared" are handed to all that have none of their own, and readings that stand
        with several groups are marked as shared.
        """
        found = {}
        for reading in self.readings:
            found.setdefault(reading.group.casefold(), []).append(reading)
        return shared.mark(
            shared.hand_out({readings[0].group: readings for readings in found.values()})
        )


def read(*paths: Path | str, table: str | None = None) -> Sheet:
    """Return the `Sheet` of one or more files; a file that is no sheet becomes a problem.

    Parameters: the paths, of CSV files or spreadsheets; the name of the one sheet to read of a
    spreadsheet, otherwise all are read that fit. Blocks of rows that repeat earlier ones count
    once, which is a problem too. Raises `SheetError`, with one sentence a file, when none of them
    is a sheet, and for a file that is named twice.
    """
    sheet, refused = Sheet(), []
    whole = [Path(path).resolve() for path in paths]
    if twice := [path for path, one in zip(paths, whole, strict=True) if whole.count(one) > 1]:
        raise SheetError(f"{twice[0]}: the same file is named twice; name it once")
    for path in paths:
        try:
            _read_file(path, sheet, table)
        except SheetError as error:
            refused.append(str(error))
            name, _, message = str(error).partition(": ")
            sheet.problems.append(Problem(name, None, None, message))
    if len(refused) == len(paths):
        raise SheetError("; ".join(refused))
    sheet.readings, remarks = without_repeats(sheet.readings)
    sheet.problems += [Problem(row.file, row.row, None, text) for row, text in remarks]
    sheet.notes += shared.names_alike(reading.group for reading in sheet.readings)
    sheet.notes += _coarse(sheet.readings)
    return sheet


def _coarse(readings):
    """Return a note on each quantity that is so coarse that most of its uncertainty is its step."""
    rows = {}
    for one in readings:
        term = QUANTITIES[one.quantity]
        plain = term.measured and term.kind not in ("clock", "part") and one.uncertainty is None
        if plain and one.resolution > _COARSE * abs(one.value) and one.value != 0 * one.value.unit:
            rows.setdefault(one.quantity, []).append(one)
    notes = []
    for name, (first, *rest) in rows.items():
        place, more = f"{first.file}, row {first.row}", f" ({len(rest)} more in this way)"
        notes.append(
            f"{place}: {label_of(name)} of {first.value:g} counts as known to "
            f"±{first.resolution:g} only, half its last digit; write the zeros that were read"
            f"{more if rest else ''}"
        )
    return notes


def write(path: Path | str, rows: list, comments: Sequence[str] = ()) -> None:
    """Write rows as a class sheet, atomically.

    Parameters: the path; `Reading`s, or sequences of texts in the order of `COLUMNS`; comments,
    each of which becomes a line that starts with `#` and is passed over by `read`. The origin of
    readings is written where one of them is not a group's own.
    """
    head = "".join(f"# {comment}\n" for comment in comments)
    writing.replace(path, head + _text_of(rows))


def of_rows(rows: list) -> Sheet:
    """Return the `Sheet` that rows, as `write` takes them, make without a file."""
    return _part(_text_of(rows).splitlines(), "rows")


def _text_of(rows):
    readings = [row for row in rows if isinstance(row, Reading)]
    foreign = any(reading.origin != Origin.OWN for reading in readings)
    table = [[*COLUMNS, ORIGIN] if foreign else COLUMNS]
    for row in rows:
        if isinstance(row, Reading):
            row = [*row_of(row), *([row.origin] if foreign else [])]
        table.append(row)
    return writing.csv_of(table)


def _read_file(path, sheet, wanted):
    """Add what a file holds; of a spreadsheet's sheets all that are tables, or the wanted one."""
    sheets = files.sheets_of(path)
    if wanted is not None and "" in sheets:
        sheet.notes.append(f"{path}: a text file is one table, so --table {wanted} changed nothing")
    elif wanted is not None and wanted not in sheets:
        raise SheetError(f"{path}: no sheet is called {wanted}; there are {', '.join(sheets)}")
    # A sheet whose name starts with # does not count, as a line that does so.
    titles = [wanted] if wanted in sheets else [one for one in sheets if not one.startswith("#")]
    parts, errors = {}, []
    for title in titles:
        name = f"{path}, sheet {title}" if len(sheets) > 1 else str(path)
        try:
            parts[title] = _part(sheets[title], name, title)
        except SheetError as error:
            errors.append(error)
    if not parts:
        raise (
            errors[0] if errors else SheetError(f"{path}: the names of all its sheets start with #")
        )
    _refuse_twice(path, parts)
    for part in parts.values():
        sheet.problems += part.problems
        sheet.notes += part.notes
    readings = [reading for part in parts.values() for reading in part.readings]
    sheet.readings += readings if "" in parts else _to_finest_steps(readings)


def _refuse_twice(path, parts):
    holders = {}
    for title, part in parts.items():
        for group in {reading.group.casefold() for reading in part.readings} - {shared.EVERY_GROUP}:
            first = holders.setdefault(group, title)
            if first != title:
                raise SheetError(
                    f"{path}: the sheets {first} and {title} both hold the group {group}; name "
                    f"the one that counts: --table {first!r}"
                )


def _part(lines, name, group=""):
    """Return the `Sheet` of one table's lines."""
    rows, part = layout.rows_of(lines, name, group), Sheet()
    conventions = Conventions(rows.comma_separated)
    conventions.learn(cells for _, cells in rows.cells)
    for row, cells in rows.cells:
        try:
            reading = reading_of(cells, conventions, name, row)
        except CellError as error:
            error.column = cells.get("column", error.column)
            rows.errors.append((row, error))
        else:
            if reading:
                part.readings.append(reading)
    rows.errors.sort(key=lambda found: found[0] or 0)
    part.problems = [Problem(name, row, error.column, str(error)) for row, error in rows.errors]
    left_out = [f"left out, as no reading: {', '.join(rows.left_out)}"] if rows.left_out else []
    twice = [f"{one} and count as one group; two groups need two names" for one in rows.twice]
    part.notes = [f"{name}: {note}" for note in [*left_out, *twice, *conventions.notes()]]
    return part


def _to_finest_steps(readings):
    """Return a spreadsheet's readings, each to the finest step of its quantity and unit.

    77.0 is kept as 77 there, and 21:40 as 21:40:00.
    """
    finest = {}
    for reading in readings:
        if (step := _own_step(reading)) is not None:
            key = _column(reading)
            finest[key] = min(step, finest.get(key, step))
    return [
        replace(reading, resolution=finest.get(_column(reading), reading.resolution))
        for reading in readings
    ]


def _column(reading):
    return reading.quantity, getattr(reading.value, "unit", None)


def _own_step(reading):
    """Return half the step that a reading shows; nothing where it shows none."""
    if isinstance(reading.value, Clock):
        return (0.5 if reading.value.seconds % 60 else 30.0) * u.s
    if reading.resolution is None or abs(reading.value) > _MOST_DIGITS * reading.resolution:
        return None
    return reading.resolution
