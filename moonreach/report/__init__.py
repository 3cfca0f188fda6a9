"""The class report: a page for the class, half a page for each group, and a page for the wall."""

from collections.abc import Sequence
from pathlib import Path

from moonreach.lessons.refuse import Impossible, require
from moonreach.report import page, paper
from moonreach.report.content import Report, report_of
from moonreach.sheet import tables, writing

__all__ = ["Report", "report_of", "write"]

_WRITERS = {".html": page.html, ".pdf": paper.pdf}


def write(
    paths: Sequence[Path | str],
    out: Sequence[Path | str],
    table: str | None = None,
    on: str = "a4",
    for_wall: bool = False,
) -> Report:
    """Write the report of class sheets to files, and return the `Report`.

    Parameters: the sheets' paths; the files to write, each ending in .html or .pdf; the one sheet
    to read of a spreadsheet; the paper, a key of `paper.PAPERS`; whether to write the page for the
    wall, in HTML alone. Raises `Impossible`, before anything is written, for another ending, for a
    file that is a sheet, and where no reading leads to what is to be shown; `tables.SheetError`
    where none is a sheet.
    """
    sheets, out = [Path(path).resolve() for path in paths], [Path(path) for path in out]
    endings = [".html"] if for_wall else list(_WRITERS)
    for path in out:
        name = str(path)
        accepted = "found {!r} to write to; accepted are names that end in {}"
        require(path.suffix.lower() in endings, accepted, name, " or ".join(endings))
        require(path.parent.is_dir(), "the folder of {} does not exist", name)
        is_sheet = path.resolve() in sheets
        require(not is_sheet, "{} is the sheet itself: name another file to write to", name)
    report = report_of(tables.read(*paths, table=table), paths)
    if not any(group.anything for group in report.summary.groups):
        why = f" ({report.problems[0]})" if report.problems else ""
        raise Impossible(f"no reading leads to a result, so nothing was written{why}")
    nobody = "no group has reached the Moon yet, so there is nothing to show on the wall"
    require(not for_wall or report.summary.diameters, nobody)
    for path in out:
        made = page.wall(report) if for_wall else _WRITERS[path.suffix.lower()](report, on)
        writing.replace(path, made)
    return report
