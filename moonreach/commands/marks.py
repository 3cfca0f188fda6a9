"""`moonreach marks`: from the groups' folders to tables of their exercises."""

import sys

from moonreach.commands import named, opened
from moonreach.exercises import marks
from moonreach.lessons.refuse import counted, require
from moonreach.sheet import writing


def run(arguments):
    """Write the tables; return 0, 1 when something was skipped, 2 when nothing was written."""
    out = named(arguments.out, ".csv")
    groups, problems = marks.groups_in(opened(arguments.folder))
    for problem in problems:
        print(f"moonreach marks: {problem}", file=sys.stderr)
    require(bool(groups), "nothing was written")
    tables = {out: marks.grade_rows if arguments.summary else marks.lesson_rows}
    if not arguments.summary:
        tables[out.with_stem(f"{out.stem}_exercises")] = marks.exercise_rows
    for path, rows_of in tables.items():
        writing.replace(path, writing.csv_of(rows_of(groups)))
    print(f"{' and '.join(map(str, tables))}: {counted(len(groups), 'group')}")
    for name, of_group in groups.items():
        print(f"  {name}: {marks.in_words(of_group)}")
    return 1 if problems else 0
