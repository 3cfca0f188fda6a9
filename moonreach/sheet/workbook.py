"""Spreadsheets (.xlsx, .ods, .xls): each of their sheets as rows of texts.

They are opened in a process of their own, with little memory: a damaged file or one made to fill
the machine ends that process and nothing else. This file is also what runs there.
"""

import contextlib
import datetime
import functools
import io
import json
import posixpath
import subprocess
import sys
import zipfile
from xml.etree import ElementTree

_ZIP, _OLD = b"PK\x03\x04", b"\xd0\xcf\x11\xe0"  # .xlsx and .ods are zip files
_MEMORY = 2 * 1024**3  # bytes
_MOST_CELLS = 5_000_000
_SECONDS = 120
_DAMAGED = "it is damaged, or holds more than a class can have measured"


def is_workbook(data: bytes) -> bool:
    """Return whether bytes are those of a spreadsheet, whatever the file is called."""
    return data.startswith((_ZIP, _OLD))


def rows_of(data: bytes) -> dict[str, list[list[str]]]:
    """Return a spreadsheet's sheets, by name, as rows of texts; raise ValueError with a reason."""
    try:
        done = subprocess.run(
            [sys.executable, "-P", __file__], input=data, capture_output=True, timeout=_SECONDS
        )
        found = json.loads(done.stdout)
    except (subprocess.TimeoutExpired, ValueError):
        raise ValueError(_DAMAGED) from None
    if "refused" in found:
        raise ValueError(found["refused"])
    return found["sheets"]


def text_of(value: object) -> str:
    """Return the text of one cell as the spreadsheet holds it.

    >>> text_of(77.6), text_of(1.376), text_of(datetime.time(21, 40, 10))
    ('77.6', '1.376e0', '21:40:10')
    """
    if isinstance(value, float):
        text = f"{value:.15g}"
        # A number's point is no sign between thousands, which 1.376 alone would leave open.
        decimals = text.partition(".")[2]
        return f"{text}e0" if len(decimals) == 3 and decimals.isdigit() else text
    if isinstance(value, datetime.timedelta):  # beyond midnight: 24:09
        seconds = round(value.total_seconds())
        return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}"
    if isinstance(value, datetime.datetime) and value.time() == datetime.time():
        value = value.date()
    return value.isoformat() if hasattr(value, "isoformat") else " ".join(str(value).splitlines())


def sheets_in(data: bytes) -> dict:
    """Return the sheets' rows of texts, or why there are none. Runs in the other process."""
    import python_calamine

    try:
        with python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(data)) as book:
            found = {}
            for name in book.sheet_names:
                sheet = book.get_sheet_by_name(name)
                if (sheet.total_height + 1) * (sheet.total_width + 1) > _MOST_CELLS:
                    return {"refused": _DAMAGED}
                rows = sheet.to_python(skip_empty_area=False)
                found[name] = [[text_of(cell) for cell in row] for row in rows]
            with contextlib.suppress(Exception):  # one that is built otherwise is read without
                for name, place, text in _errors(data):
                    row, column = _place(place)
                    found[name][row][column] = text
            return {"sheets": found}
    except python_calamine.PasswordError:
        return {"refused": "it has a password; save it without one"}


def _errors(data):
    """Yield the sheet, the place and the text of each cell of an .xlsx that holds an error.

    Such as #DIV/0!, which the reader leaves empty, as if nobody had measured that.
    """
    with zipfile.ZipFile(io.BytesIO(data)) as file:
        if "xl/workbook.xml" not in file.namelist():
            return
        parts = {}
        for one in ElementTree.fromstring(file.read("xl/_rels/workbook.xml.rels")):
            parts[one.get("Id")] = posixpath.normpath(posixpath.join("/xl", one.get("Target")))[1:]
        for sheet in ElementTree.fromstring(file.read("xl/workbook.xml")).iterfind(".//{*}sheet"):
            part = parts[next(value for key, value in sheet.items() if key.endswith("}id"))]
            for cell in ElementTree.fromstring(file.read(part)).iterfind(".//{*}c"):
                if cell.get("t") == "e":
                    yield sheet.get("name"), cell.get("r"), cell.findtext("{*}v")


def _place(name):
    """Return the row and the column of a cell, from 0, by its name in a spreadsheet.

    >>> _place("AB3")
    (2, 27)
    """
    letters = name.rstrip("0123456789")
    column = functools.reduce(lambda so_far, one: 26 * so_far + ord(one) - 64, letters, 0)
    return int(name[len(letters) :]) - 1, column - 1


if __name__ == "__main__":
    # Not every system can, or lets one.
    with contextlib.suppress(ImportError, ValueError, OSError):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (_MEMORY, _MEMORY))
    json.dump(sheets_in(sys.stdin.buffer.read()), sys.stdout)
