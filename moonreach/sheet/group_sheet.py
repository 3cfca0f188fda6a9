"""One group's own sheet, changed row by row: every other line stays byte for byte as it was."""

import contextlib
import csv
import itertools
import re
import unicodedata
from dataclasses import dataclass
from pathlib import Path

from moonreach.lessons.refuse import Impossible, require
from moonreach.sheet import files, layout, tables, writing
from moonreach.sheet.cells import CellError, folded
from moonreach.sheet.columns import COLUMNS, ORIGIN
from moonreach.sheet.conventions import Conventions
from moonreach.sheet.quantities import QUANTITIES, quantity_of
from moonreach.sheet.reading import reading_of

ROW = ("value", "unit", "uncertainty", "note")
# Names that no file may have on Windows.
_DEVICES = re.compile("(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])", re.IGNORECASE)


@dataclass
class Row:
    """One row of a quantity: its cells as typed, and the line that holds it (None: not yet).

    A cell `origin` says that it is not the group's own; the sheet gets that column then.
    """

    quantity: str
    cells: dict
    line: bytes | None = None


def plain_name(name: str) -> str:
    """Return a group's name with single spaces; raise `Impossible` for one that cannot be."""
    name = " ".join(unicodedata.normalize("NFC", name).split())
    require(
        re.match(r"\w", name) and len(name) <= 40 and name.isprintable(),
        "found {!r} as the group's name; accepted are at most 40 characters, a letter or a digit "
        "first",
        name,
    )
    return name


def file_stem(name: str) -> str:
    """Return a group's name as a file name: safe everywhere, and another one for another name.

    Letter case does not count, as it does not in a sheet.

    >>> file_stem("Night Owls"), file_stem("a/../b"), file_stem("con")
    ('night_owls', 'a~2f~2e~2e~2fb', 'con~')
    """
    name = unicodedata.normalize("NFC", plain_name(name).casefold())
    stem = "".join(
        letter
        if letter.isalnum() or letter == "-"
        else "_"
        if letter == " "
        else f"~{ord(letter):x}"
        for letter in name
    )
    return no_device(stem)


def no_device(stem: str) -> str:
    """Return a file's stem, changed where Windows would take it for a device."""
    return f"{stem}~" if _DEVICES.fullmatch(stem) else stem


class GroupSheet:
    """A group's sheet in the work folder, in the format of the class sheet."""

    def __init__(self, folder, group, path=None):
        """Open or begin the sheet of a group; raise `Impossible` where the file is another's.

        A file that is no sheet is set aside; `notes` says so. A path that is given is taken in
        place of the folder's own name for the group, and may hold other groups too.
        """
        self.group, self.notes, self._read = plain_name(group), [], (None, [])
        self.path = Path(path) if path else Path(folder) / f"{file_stem(self.group)}.csv"
        with writing.alone(self.path):
            self._open(path)

    def _open(self, path):
        if self.path.exists() and self.path.read_bytes().strip():
            try:
                groups = list(tables.read(self.path).groups())
            except tables.SheetError as error:
                kept = writing.set_aside(self.path)
                self.notes.append(f"{error}. It was kept as {kept}, and a new sheet was begun.")
            else:
                mine = [name for name in groups if self._mine(name)]
                require(
                    mine or path or not groups,
                    "{} holds the readings of {}: choose another name for the group, so that the "
                    "two keep apart",
                    str(self.path),
                    " and ".join(groups),
                )
                self.group = mine[0] if mine else self.group
                self._complete_header()
                return
        self._begin()

    def readings(self):
        """Return the group's readings, as far as they can be read.

        Every part of a page asks for them after each change: an unchanged file is read once.
        """
        data = self.path.read_bytes() if self.path.exists() else None
        if data is None or data != self._read[0]:
            rows = [r for r in tables.read(self.path).readings if self._mine(r.group)]
            self._read = data, rows
        return [*self._read[1]]

    def problems(self):
        """Return each line that cannot be read, with its `tables.Problem`."""
        try:
            problems = tables.read(self.path).problems
        except tables.SheetError:
            return []  # said when it is written to
        lines = self.path.read_bytes().splitlines(keepends=True)
        # Between the two looks another device may have taken lines out.
        return [(lines[one.row - 1], one) for one in problems if one.row <= len(lines)]

    def rows(self, quantities):
        """Return the group's `Row`s of these quantities as typed, readable or not."""
        found = []
        for line, cells in self._table():
            quantity = quantity_of(cells.get("quantity", ""))
            if quantity in quantities and self._mine(cells["group"]):
                typed = {name: cells.get(name, "") for name in ROW}
                found.append(Row(quantity, typed, line))
        return found

    def store(self, row, shown=None):
        """Put a row into the file, in place of the line it had; without any text, take it out.

        What others wrote meanwhile stays; this change replaces theirs of the same reading (`shown`:
        the lines its writer sees). Raises OSError, or `Impossible` for what is no sheet any more.
        """
        with writing.alone(self.path):
            self._store(row, shown)

    def _store(self, row, shown):
        if not self.path.exists():
            self._begin()
        if ORIGIN in row.cells:
            self._complete_header((*COLUMNS, ORIGIN))
        lines = self.path.read_bytes().splitlines(keepends=True)
        header = self._header(lines)
        empty = not any(row.cells[name].strip() for name in ("value", "uncertainty", "note"))
        line = row.line
        if shown and line not in lines and (line or not QUANTITIES[row.quantity].measured):
            rows = self.rows([row.quantity])  # another device may have put one in its place
            line = next((one.line for one in rows if one.line not in shown), None)
        place = lines.index(line) if line in lines else None
        old = [] if place is None else self._cells(lines[place], header)
        new = None if empty else self._line(row, old, header)
        if place is not None:
            lines[place : place + 1] = [new] if new else []
        elif new:
            if lines and not lines[-1].endswith((b"\n", b"\r")):
                lines[-1] += b"\n"
            lines.append(new)
        writing.replace(self.path, b"".join(lines))
        row.line = new

    def made_otherwise(self, quantities, made_by):
        """Return the `Row`s of these quantities whose notes do not begin with ``made_by``."""
        return [r for r in self.rows(quantities) if not r.cells["note"].startswith(made_by)]

    def put(self, quantity, cells, made_by):
        """Store cells in place of a quantity's rows whose notes begin with ``made_by``.

        Without cells these rows are taken out; all others stay. Errors as `store`.
        """
        rows = [r for r in self.rows((quantity,)) if r.cells["note"].startswith(made_by)]
        for row in rows or [Row(quantity, {})]:
            row.cells, cells = dict.fromkeys(ROW, "") | cells, {}
            self.store(row)

    def reading_of(self, row):
        """Return the `Reading` of a row, or raise `CellError`."""
        header = layout.header_of(",".join(COLUMNS))
        line = self._line(row, [], header).decode().rstrip("\n")
        (cells,) = header.readings(header.split(line))
        return reading_of(cells, Conventions(comma_separated=True), "", 0)

    def _begin(self):
        self.path.parent.mkdir(parents=True, exist_ok=True)
        tables.write(self.path, [], ["moonreach: one group's readings"])

    def _mine(self, name):
        return folded(name) == folded(self.group)

    def _table(self):
        lines = self.path.read_bytes().splitlines(keepends=True)
        header, below = layout.table(self._texts(lines), str(self.path))
        for number, text in below:
            with contextlib.suppress(CellError):  # what cannot be split stays where it is
                for cells in header.readings(header.split(text)):
                    yield lines[number - 1], cells

    def _header(self, lines):
        with contextlib.suppress(tables.SheetError):
            header, _ = layout.table(self._texts(lines), str(self.path))
            if not header.wide:
                return header
        raise Impossible(f"{self.path} is no class sheet any more; nothing was written to it")

    def _complete_header(self, columns=COLUMNS):
        data = self.path.read_bytes()
        if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
            data = data.decode("utf-16").encode()
        lines = data.splitlines(keepends=True)
        header = self._header(lines)
        place = header.row - 1
        if missing := [name for name in columns if name not in header.names()]:
            text = files.text_of(lines[place].rstrip(b"\r\n"))
            lines[place] = header.separator.join([text, *missing]).encode() + b"\n"
        if (whole := b"".join(lines)) != self.path.read_bytes():
            writing.replace(self.path, whole)

    @staticmethod
    def _texts(lines):
        texts = [files.text_of(line.rstrip(b"\r\n")) for line in lines]
        return [text.removeprefix("\ufeff") for text in texts]

    def _cells(self, line, header):
        text = self._texts([line])[0]
        return next(csv.reader([text], delimiter=header.separator))

    def _line(self, row, old, header):
        names = header.names()
        values = {"group": self.group, "quantity": row.quantity, **row.cells}
        cells = [
            re.sub(r"[^\x20-\x7e\xa0-\u2027\u202a-\ufffc\U00010000-\U0010ffff]+", " ", values[name])
            if name in values
            else cell
            for name, cell in itertools.zip_longest(names, old[: len(names)], fillvalue="")
        ]
        return writing.csv_of([cells], header.separator).encode()
