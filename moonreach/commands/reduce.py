"""`moonreach reduce`: class sheets in, each group's distance of the Moon out."""

import json

from moonreach.commands import folder_for, listed, opened
from moonreach.exercises.mistakes import likely_mistakes
from moonreach.reduction import printed, summary
from moonreach.sheet import tables, writing


def run(arguments):
    """Reduce the sheets; return 0, or 1 for problems and likely mistakes."""
    folder = arguments.out and folder_for("the results", arguments.out)
    sheet = tables.read(*opened(arguments.sheet), table=arguments.table)
    reduced = summary.ClassSummary(sheet)
    mistakes = {name: likely.told for name, likely in likely_mistakes(reduced).items()}
    results = summary.as_object(reduced, mistakes) | {"understood": sheet.notes}
    encoded = json.dumps(results, indent=1, ensure_ascii=False)
    if folder:
        folder.mkdir(parents=True, exist_ok=True)
        writing.replace(folder / "results.csv", writing.csv_of(summary.as_rows(reduced)))
        writing.replace(folder / "results.json", encoded + "\n")
    print(encoded if arguments.json else printed.as_text(reduced, mistakes, arguments.details))
    if not arguments.json:
        print(listed("Understood", sheet.notes), end="")
    if not any(group.anything for group in reduced.groups):
        return 2
    return 1 if reduced.problems or mistakes else 0
