"""`moonreach reduce`: class sheets in, each group's distance of the Moon out."""

import csv
import io
import json
from pathlib import Path

from moonreach.reduction import summary
from moonreach.sheet import tables, writing


def add_arguments(parser):
    """Declare what the command takes."""
    parser.add_argument("sheet", nargs="+", metavar="SHEET", help="a class sheet (CSV)")
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    parser.add_argument("--out", metavar="DIR", help="write results.csv and results.json there")


def run(arguments):
    """Reduce the sheets; return 0, or 1 when rows or groups had problems."""
    found = summary.ClassSummary(tables.read(*arguments.sheet))
    encoded = json.dumps(summary.as_object(found), indent=1, ensure_ascii=False)
    if arguments.out:
        folder = Path(arguments.out)
        folder.mkdir(parents=True, exist_ok=True)
        table = io.StringIO()
        csv.writer(table, lineterminator="\n").writerows(summary.as_rows(found))
        writing.replace(folder / "results.csv", table.getvalue())
        writing.replace(folder / "results.json", encoded + "\n")
    print(encoded if arguments.json else summary.as_text(found))
    if not any(group.anything for group in found.groups):
        return 2
    return 1 if found.problems else 0
