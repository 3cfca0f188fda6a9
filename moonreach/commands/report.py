"""`moonreach report`: class sheets in, the class report out."""

from moonreach import report


def add_arguments(parser):
    """Declare what the command takes."""
    parser.add_argument("sheet", nargs="+", metavar="SHEET", help="a class sheet (CSV)")
    parser.add_argument(
        "--out",
        required=True,
        action="append",
        metavar="FILE",
        help="the report to write, .html or .pdf; give it twice for both",
    )


def run(arguments):
    """Write the report; return 0, or 1 when rows or groups had problems."""
    made = report.write(arguments.sheet, arguments.out)
    talk = [name for name, zeta in made.summary.zeta.items() if zeta and abs(zeta) > 2]
    count = len(made.groups)
    print(f"{', '.join(arguments.out)}: {count} group{'s' * (count != 1)}")
    if talk:
        print(f"  check this together with: {', '.join(talk)}")
    if made.problems:
        print("\nProblems", *(f"  {problem}" for problem in made.problems), sep="\n")
    return 1 if made.problems else 0
