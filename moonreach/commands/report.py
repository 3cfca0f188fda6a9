"""`moonreach report`: class sheets in, the class report out."""

from moonreach import report
from moonreach.commands import counted, opened


def run(arguments):
    """Write the report; return 0, or 1 for problems and groups to check."""
    made = report.write(opened(arguments.sheet) or arguments.sheet, arguments.out)
    print(f"{', '.join(arguments.out)}: {counted(len(made.groups))}")
    if talk := [name for name, zeta in made.summary.zeta.items() if zeta and abs(zeta) > 2]:
        print(f"  check this together with: {', '.join(talk)}")
    if made.problems:
        print("\nProblems", *(f"  {problem}" for problem in made.problems), sep="\n")
    return 1 if made.problems or talk else 0
