"""`moonreach report`: class sheets in, the class report out."""

from moonreach import report
from moonreach.commands import listed, opened
from moonreach.lessons.refuse import counted
from moonreach.report import paper

CHOICES = {"--paper": tuple(paper.PAPERS)}


def run(arguments):
    """Write the report; return 0, or 1 for problems and groups to check."""
    sheets, out = opened(arguments.sheet), arguments.out
    made = report.write(sheets, out, arguments.table, arguments.paper, arguments.projector)
    print(f"{', '.join(out)}: {counted(len(made.groups), 'group')}")
    checks = [f"{group}: {why}" for group, why in made.checks.items()]
    lists = {"Check this together": checks, "Problems": made.problems, "Understood": made.notes}
    for title, lines in lists.items():
        print(listed(title, lines), end="")
    return 1 if made.problems or checks else 0
