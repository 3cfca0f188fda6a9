"""`moonreach collect`: the groups' sheets of a shared folder, joined into one table."""

import sys
from pathlib import Path

from moonreach.commands import named, opened
from moonreach.lessons.refuse import counted, require
from moonreach.sheet import collecting, copies, writing


def run(arguments):
    """Write the table; return 0, 1 when something was left out, 2 when nothing was written."""
    out, folders = named(arguments.out, ".csv"), opened(arguments.folder)
    for folder in folders:
        require(Path(folder).is_dir(), "{} is no folder", folder)
    before = out.read_text(encoding="utf-8") if out.exists() else ""
    ours = not before or before.startswith(",".join(collecting.HEADER))
    require(ours, "{} is no table that collect wrote; nothing was written", str(out))
    found = collecting.collect(folders, before, out)
    for problem in found.problems:
        print(f"moonreach collect: {problem}", file=sys.stderr)
    require(
        bool(found.rows), "no readings were found in {}; nothing was written", " and ".join(folders)
    )
    kept = copies.lay(out, found.text().encode()) if found.gone else None
    if not found.gone:
        writing.replace(out, found.text())
    groups = len({row[0].casefold() for row in found.rows})
    print(f"{out}: {len(found.rows)} readings of {counted(groups, 'group')}")
    for file in dict.fromkeys([*found.new, *found.gone]):
        new = counted(found.new[file], "new row")
        print(f"  {file}: {new}, {found.gone[file]} gone")
    if not (found.new or found.gone):
        print("  nothing has changed since the last time")
    if kept:
        print(f"  the table before, with the rows that are gone, was kept as {kept}")
    return 1 if found.problems else 0
