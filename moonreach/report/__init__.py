"""The class report: one page for the class, then half a page for each group."""

from pathlib import Path

from moonreach.lessons.refuse import Impossible, require
from moonreach.report.content import Report, report_of
from moonreach.sheet import tables, writing

__all__ = ["ENDINGS", "Report", "report_of", "write"]

ENDINGS = (".html", ".pdf")


def write(paths, out):
    """Write the report of class sheets to files, and return the `Report`.

    Parameters: the sheets' paths, and the files to write, each ending in .html or .pdf. Raises
    `Impossible`, before anything is written, for another ending, for a file that is a sheet, and
    where no reading leads to a result; `tables.SheetError` where none is a sheet.
    """
    out = [Path(path) for path in out]
    for path in out:
        accepted = "accepted are names that end in .html or .pdf"
        require(path.suffix.lower() in ENDINGS, "found {!r} to write to; " + accepted, str(path))
        require(path.parent.is_dir(), "the folder of {} does not exist", str(path))
        sheet = any(path.resolve() == Path(read).resolve() for read in paths)
        require(not sheet, "{} is the sheet itself: name another file to write to", str(path))
    report = report_of(tables.read(*paths), paths)
    if not any(group.anything for group in report.summary.groups):
        why = f" ({report.problems[0]})" if report.problems else ""
        raise Impossible(f"no reading leads to a result, so nothing was written{why}")
    for path in out:
        writing.replace(path, _made(report, path.suffix.lower()))
    return report


def _made(report, ending):
    if ending == ".pdf":
        from moonreach.report import paper  # each only when it is wanted

        return paper.pdf(report)
    from moonreach.report import page

    return page.html(report)
