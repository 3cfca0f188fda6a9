"""`moonreach marks`: from the groups' folders to a table of their exercises."""

import csv
import glob
import io
import sys
from pathlib import Path

from moonreach.exercises import marks
from moonreach.sheet import writing


def add_arguments(parser):
    """Declare what the command takes."""
    text = "a group's folder, as work/heron; work/*/ for all"
    parser.add_argument("folder", nargs="+", metavar="FOLDER", help=text)
    parser.add_argument("--out", required=True, metavar="TABLE", help="the table to write (CSV)")


def run(arguments):
    """Write the table; return 0, 1 when something was skipped, 2 when nothing was written."""
    if not arguments.out.lower().endswith(".csv"):
        raise ValueError(f"--out {arguments.out}: the name of a table ends in .csv")
    folders = []
    for folder in arguments.folder:  # not every console opens the star
        opened = glob.has_magic(folder) and not Path(folder).exists()
        folders += sorted(glob.glob(folder)) if opened else [folder]  # noqa: PTH207, takes */
    rows, problems = marks.rows_of(folders)
    for problem in problems or [] if folders else [f"no folder matches {arguments.folder[0]}"]:
        print(f"moonreach marks: {problem}", file=sys.stderr)
    groups = {}
    for group, _, _, attempts, right, _ in rows[1:]:
        tried, solved = groups.get(group, (0, 0))
        groups[group] = tried + (attempts > 0), solved + (right == "yes")
    if not groups:
        print("moonreach marks: nothing was written", file=sys.stderr)
        return 2
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(rows)
    writing.replace(arguments.out, text.getvalue())
    lines = [f"  {name}: {tried} tried, {solved} right" for name, (tried, solved) in groups.items()]
    print(f"{arguments.out}: {len(groups)} group{'s' * (len(groups) != 1)}", *lines, sep="\n")
    return 1 if problems else 0
