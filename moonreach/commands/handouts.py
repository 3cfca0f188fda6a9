"""`moonreach handouts`: student copies and teacher copies of the notebooks."""

from moonreach.commands import folder_for
from moonreach.sheet import copies


def run(arguments):
    """Write the copies; return 0."""
    from moonreach.notebook import handouts  # nbformat, which a mistyped option need not wait for

    folder = folder_for("the copies", arguments.out)
    made = list(handouts.write(folder))  # all of them before the first is laid
    for path, content in made:
        if kept := copies.lay(path, content):
            print(f"{path} had been changed: the changed one is kept as {kept.name}")
    print(f"{arguments.out}: {len(made)} files, for students in student, for you in teacher.")
    return 0
