"""The sheets of a class's groups: those in one folder, or those anywhere, joined into one table."""

import contextlib
import csv
import io
import unicodedata
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from functools import lru_cache
from pathlib import Path

from moonreach.lessons.refuse import Impossible
from moonreach.sheet import files, layout, tables
from moonreach.sheet.columns import COLUMNS, ORIGIN
from moonreach.sheet.group_sheet import file_stem
from moonreach.sheet.tables import Problem
from moonreach.sheet.writing import csv_of, written

HEADER = (*COLUMNS, ORIGIN, "file", "row", "time")
_KINDS = (".csv", ".xlsx", ".ods", ".xls")


@dataclass
class Collected:
    """The joined table's rows, what was wrong, and how many rows of each file are new or gone."""

    rows: list = field(default_factory=list)
    problems: list = field(default_factory=list)
    new: Counter = field(default_factory=Counter)
    gone: Counter = field(default_factory=Counter)

    def text(self) -> str:
        """Return the table as text; each row has its file, its row there and the file's time."""
        return csv_of([HEADER, *self.rows])


def class_in(folder: Path | str) -> tables.Sheet:
    """Return what the groups with a sheet of their own in a folder have read, as one `Sheet`.

    What a sheet holds of other groups than its own does not count. A wall and thirty pages ask
    again and again: each writing of a sheet is read once.
    """
    whole = tables.Sheet()
    for path in sorted(Path(folder).glob("*.csv")):
        with contextlib.suppress(tables.SheetError, Impossible):
            whole.readings += _own_readings(path, written(path))
    return whole


@lru_cache(maxsize=200)
def _own_readings(path, _written):
    groups = tables.read(path).groups().items()
    own = unicodedata.normalize("NFC", path.stem)  # as some systems write names
    return [one for name, rows in groups if file_stem(name) == own for one in rows]


def collect(folders: Iterable[Path | str], before: str, out: Path | str) -> Collected:
    """Return what the sheets in folders, and in folders therein, hold together, cells as typed.

    Parameters: the folders; the text of the table that was joined the last time, if any; the file
    where that stands, which is passed over. Nothing is changed.
    """
    found = Collected()
    paths = (path for folder in folders for path in sorted(Path(folder).rglob("*")))
    for path in dict.fromkeys(paths):
        if path.suffix.lower() in _KINDS and not _is_of(path, Path(out)):
            try:
                found.rows += _rows(path, found.problems)
            except files.SheetError as error:
                found.problems.append(str(error))
    old, new = Counter(_keys([*csv.reader(io.StringIO(before))][1:])), Counter(_keys(found.rows))
    found.new.update(key[-2] for key in (new - old).elements())
    found.gone.update(key[-2] for key in (old - new).elements())
    return found


def _is_of(path, out):
    """Return whether a path is the joined table itself, one kept of it, or a hidden file."""
    ours = path.name == out.name or path.name.startswith(f"{out.stem}.kept-")
    return (ours and path.parent.resolve() == out.parent.resolve()) or path.name.startswith(".")


def _keys(rows):
    return (tuple(map(str, row[:-1])) for row in rows)  # the time of a file changes nothing


def _rows(path, problems):
    time = datetime.fromtimestamp(path.stat().st_mtime).isoformat(" ", "seconds")
    rows = []
    for title, lines in files.sheets_of(path).items():
        if not title.startswith("#"):
            table = layout.rows_of(lines, str(path), title)
            wrong = [Problem(str(path), row, one.column, str(one)) for row, one in table.errors]
            problems += map(str, wrong)
            for row, cell in table.cells:
                texts = [cell.get(name, "") for name in HEADER[:-3]]
                rows.append([*texts, str(path), row, time])
    return rows
