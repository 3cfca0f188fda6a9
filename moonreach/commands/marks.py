"""`moonreach marks`: from the groups' folders to tables of their exercises."""

import sys
from pathlib import Path

from moonreach.commands import counted, csv_of, opened
from moonreach.exercises import marks
from moonreach.lessons.refuse import require
from moonreach.sheet import writing


def run(arguments):
    """Write the tables; return 0, 1 when something was skipped, 2 when nothing was written."""
    out, folders = Path(arguments.out), opened(arguments.folder)
    right = out.suffix.lower() == ".csv"
    require(right, "--out {}: the name of a table ends in .csv", str(out))
    groups, problems = marks.groups_in(folders)
    for problem in problems if folders else [f"no folder matches {arguments.folder[0]}"]:
        print(f"moonreach marks: {problem}", file=sys.stderr)
    if not groups:
        print("moonreach marks: nothing was written", file=sys.stderr)
        return 2
    tables = (
        {out: marks.grade_rows}
        if arguments.summary
        else {
            out: marks.lesson_rows,
            out.with_stem(f"{out.stem}_exercises"): marks.exercise_rows,
        }
    )
    for path, rows_of in tables.items():
        writing.replace(path, csv_of(rows_of(groups)))
    print(f"{' and '.join(map(str, tables))}: {counted(len(groups))}")
    for name, of_group in groups.items():
        print(f"  {name}: {marks.in_words(of_group)}")
    return 1 if problems else 0
