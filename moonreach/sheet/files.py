"""From a file to its lines: a text file is one sheet of texts, a spreadsheet several of cells."""

import re
from pathlib import Path

from moonreach.sheet import workbook

_NO_TABLES = {
    b"%PDF": "a PDF",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
    b"GIF8": "a picture",
}


class SheetError(ValueError):
    """A file that is no class sheet at all."""


def sheets_of(path: Path | str) -> dict[str, list]:
    """Return a file's sheets by their names; a text file's has no name and holds lines of text.

    A spreadsheet's sheets hold rows of texts.

    Raises `SheetError`, in one sentence, for a file that cannot be read or holds no text.
    """
    if Path(path).is_dir():
        raise SheetError(
            f"{path}: this is a folder; accepted is a class sheet, and collect makes one of the "
            "sheets in a folder"
        )
    try:
        data = Path(path).read_bytes()
    except OSError as error:
        raise SheetError(f"{path}: cannot be read ({error.strerror})") from None
    if not data.strip():
        raise SheetError(f"{path}: the file is empty; accepted is a class sheet")
    if kind := next((kind for mark, kind in _NO_TABLES.items() if data.startswith(mark)), None):
        raise SheetError(
            f"{path}: no table can be read from {kind}; open the table where it was made and save "
            "it as .xlsx, .ods or CSV"
        )
    try:
        return workbook.rows_of(data) if workbook.is_workbook(data) else {"": _lines(data)}
    except ValueError as error:
        raise SheetError(f"{path}: this spreadsheet cannot be read; {error}") from None


def _lines(data):
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        data = data.decode("utf-16", errors="replace").encode()
    data = data.removeprefix(b"\xef\xbb\xbf")
    return [text_of(line) for line in re.split(b"\r\n|\r|\n", data)]


def text_of(line: bytes) -> str:
    """Return the text of one line of bytes."""
    # Line by line: one stray byte must not change how the other lines are understood.
    try:
        return line.decode("utf-8")
    except UnicodeDecodeError:
        return line.decode("cp1252", errors="replace")
