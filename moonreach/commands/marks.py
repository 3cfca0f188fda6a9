"""`moonreach marks`: from the groups' folders to a table of their exercises."""

import sys

from moonreach.commands import counted, csv_of, opened
from moonreach.exercises import marks
from moonreach.lessons.refuse import require
from moonreach.sheet import writing


def run(arguments):
    """Write the table; return 0, 1 when something was skipped, 2 when nothing was written."""
    out, folders = arguments.out, opened(arguments.folder)
    require(out.lower().endswith(".csv"), "--out {}: the name of a table ends in .csv", out)
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
    writing.replace(out, csv_of(rows))
    lines = [f"  {name}: {tried} tried, {solved} right" for name, (tried, solved) in groups.items()]
    print(f"{out}: {counted(len(groups))}", *lines, sep="\n")
    return 1 if problems else 0
