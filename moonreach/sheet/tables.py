"""The class sheet: read, check, write. The only room that knows the file format.

A table of text with the columns group, quantity, value, unit, uncertainty and note, in any order.
It is read line by line, so that a damaged line can never swallow its neighbours. Nothing is
guessed: what cannot be read for certain is reported and left out, and the rest goes on.
"""

import csv
import io
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from moonreach.sheet import shared, writing
from moonreach.sheet.cells import CellError
from moonreach.sheet.origin import Origin
from moonreach.sheet.reading import COLUMNS, ORIGIN, Reading, reading_of, row_of
from moonreach.sheet.repeats import without_repeats

_NEEDED = frozenset(COLUMNS[:4])


class SheetError(ValueError):
    """A file that is no class sheet at all."""


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
    """What was read from one or more files."""

    readings: list = field(default_factory=list)
    problems: list = field(default_factory=list)

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


def read(*paths: Path | str) -> Sheet:
    """Return the `Sheet` of one or more files; a file that is no sheet becomes a problem.

    Blocks of rows that repeat earlier ones count once, which is a problem too. Raises `SheetError`,
    with one sentence a file, when none of them is a sheet, and for a file that is named twice.
    """
    sheet, refused = Sheet(), []
    whole = [Path(path).resolve() for path in paths]
    if twice := [path for path, one in zip(paths, whole, strict=True) if whole.count(one) > 1]:
        raise SheetError(f"{twice[0]}: the same file is named twice; name it once")
    for path in paths:
        try:
            _read_file(path, sheet)
        except SheetError as error:
            refused.append(str(error))
            name, _, message = str(error).partition(": ")
            sheet.problems.append(Problem(name, None, None, message))
    if len(refused) == len(paths):
        raise SheetError("; ".join(refused))
    sheet.readings, remarks = without_repeats(sheet.readings)
    sheet.problems += [Problem(row.file, row.row, None, text) for row, text in remarks]
    return sheet


def write(path: Path | str, rows: list, comments: Sequence[str] = ()) -> None:
    """Write rows as a class sheet, atomically.

    Parameters: the path; `Reading`s, or sequences of texts in the order of `COLUMNS`; comments,
    each of which becomes a line that starts with `#` and is passed over by `read`. The origin of
    readings is written where one of them is not a group's own.
    """
    text = io.StringIO()
    text.writelines(f"# {comment}\n" for comment in comments)
    text.write(_text_of(rows))
    writing.replace(path, text.getvalue())


def of_rows(rows: list) -> Sheet:
    """Return the `Sheet` that rows, as `write` takes them, make without a file."""
    sheet = Sheet()
    _read_lines(_text_of(rows).splitlines(), "rows", sheet)
    return sheet


def _text_of(rows):
    readings = [row for row in rows if isinstance(row, Reading)]
    foreign = any(reading.origin != Origin.OWN for reading in readings)
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow([*COLUMNS, ORIGIN] if foreign else COLUMNS)
    for row in rows:
        if isinstance(row, Reading):
            row = [*row_of(row), *([row.origin] if foreign else [])]
        table.writerow(row)
    return text.getvalue()


def table(lines: Iterable[str], name: str) -> Iterator[tuple[int, str, str, list[str]]]:
    """Yield the number, text, separator and columns of each line of the table among the lines.

    Raises `SheetError`, naming the file, where there is none.
    """
    header = None
    for row, line in enumerate(lines, start=1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        if header is None:
            header = header_of(line)
            if header is None and row >= 20:  # before that it may be a title above the table
                break
            continue
        yield row, line, *header
    if header is None:
        raise SheetError(
            f"{name}: no table with the columns group, quantity, value and unit was found in it; "
            "accepted is a text file separated by commas, semicolons or tabs"
        )


def _read_file(path, sheet):
    name = str(path)
    _read_lines(_lines(path, name), name, sheet)


def _read_lines(lines, name, sheet):
    for row, line, separator, columns in table(lines, name):
        try:
            reading = reading_of(line, separator, columns, name, row)
        except CellError as error:
            sheet.problems.append(Problem(name, row, error.column, str(error)))
        else:
            if reading:
                sheet.readings.append(reading)


def _lines(path, name):
    try:
        data = Path(path).read_bytes()
    except OSError as error:
        raise SheetError(f"{name}: cannot be read ({error.strerror})") from None
    if not data.strip():
        raise SheetError(f"{name}: the file is empty; accepted is a class sheet")
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        data = data.decode("utf-16", errors="replace").encode()
    return [text_of(line) for line in re.split(b"\r\n|\r|\n", data.removeprefix(b"\xef\xbb\xbf"))]


def text_of(line: bytes) -> str:
    """Return the text of one line of bytes."""
    # Line by line: one stray byte must not change how the other lines are understood.
    try:
        return line.decode("utf-8")
    except UnicodeDecodeError:
        return line.decode("cp1252", errors="replace")


def header_of(line: str) -> tuple[str, list[str]] | None:
    """Return the separator and the columns' names of a header line, or nothing."""
    for separator in ",;\t":
        try:
            names = next(csv.reader([line], delimiter=separator, strict=True))
        except csv.Error:
            continue
        names = [name.strip().casefold() for name in names]
        known = [name for name in names if name in (*COLUMNS, ORIGIN)]
        if set(known) >= _NEEDED and len(set(known)) == len(known):
            return separator, names
    return None
