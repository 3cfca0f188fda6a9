"""`moonreach sheet`: write the table that a class fills in."""

from pathlib import Path

from moonreach.lessons.refuse import counted, require
from moonreach.practice.invented import Truth, practice_class
from moonreach.sheet import tables, template, writing

CHOICES = {"--layout": ("rows", "sheets")}


def run(arguments):
    """Write the table; return 0."""
    out, kind = arguments.out, Path(arguments.out).suffix.lower()
    require(kind in (".xlsx", ".csv"), "--out {}: the name of the table ends in .xlsx or .csv", out)
    sheets = arguments.layout == "sheets"
    require(kind == ".xlsx" or not sheets, "--layout sheets needs a name that ends in .xlsx")
    there = Path(out).exists() and not arguments.replace
    require(not there, "{} is there already; nothing was written (--replace replaces it)", out)
    example = tables.of_rows(practice_class([Truth()], seed=7)).readings
    names = template.quantities(arguments.all)
    if kind == ".csv":
        content = template.text(template.rows(names, arguments.groups, example))
    else:
        content = template.workbook(names, arguments.groups, example, sheets)
    writing.replace(out, content)
    groups = counted(arguments.groups, "group")
    print(f"{out}: a table for {groups} to fill in; then moonreach reduce {out}")
    return 0
