"""The class report: one page for the class, then half a page for each group."""

from collections.abc import Sequence
from pathlib import Path

from moonreach.lessons.refuse import Impossible, require
from moonreach.report import page, paper
from moonreach.report.content import Report, report_of
from moonreach.sheet import tables, writing

__all__ = ["Report", "report_of", "write"]

_WRITERS = {".html": page.html, ".pdf": paper.pdf}


def write(paths: Sequence[Path | str], out: Sequence[Path | str]) -> Report:
    """Write the report of class sheets to files, and return the `Report`.

    Parameters: the sheets' paths, and the files to write, each ending in .html or .pdf. Raises
    `Impossible`, before anything is written, for another ending, for a file that is a sheet, and
    where no reading leads to a result; `tables.SheetError` where none is a sheet.
    """
    sheets, out = [Path(path).resolve() for path in paths], [Path(path) for path in out]
    accepted = "accepted are names that end in .html or .pdf"
    for path in out:
        name = str(path)
        require(path.suffix.lower() in _WRITERS, "found {!r} to write to; " + accepted, name)
        require(path.parent.is_dir(), "the folder of {} does not exist", name)
        is_sheet = path.resolve() in sheets
        require(not is_sheet, "{} is the sheet itself: name another file to write to", name)
    report = report_of(tables.read(*paths), paths)
    if not any(group.anything for group in report.summary.groups):
        why = f" ({report.problems[0]})" if report.problems else ""
        raise Impossible(f"no reading leads to a result, so nothing was written{why}")
    for path in out:
        writing.replace(path, _WRITERS[path.suffix.lower()](report))
    return report
