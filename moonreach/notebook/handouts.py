"""Student copies and teacher copies, both made from the one set of notebooks.

A student copy leaves out every output. A teacher copy begins with the lesson plan and has a worked
answer, computed for the invented practice group, below each exercise. These cells are tagged
``teacher``, so that a page never shows them to a class.
"""

import copy
import re
from collections.abc import Iterator
from pathlib import Path

import nbformat
from nbformat import NotebookNode

from moonreach import exercises
from moonreach.exercises.checking import in_unit, shown
from moonreach.notebook import practice_night, shipped

_CHECK = re.compile(r"""\bdesk\.box\(\s*["'](\w+)["']""")
METADATA = {
    "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}


def student(notebook: NotebookNode) -> NotebookNode:
    """Return the student copy of a notebook: its cells without outputs."""
    made = copy.deepcopy(notebook)
    for cell in made.cells:
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
    return same_after_every_run(made)


def teacher(notebook: NotebookNode, plan: str = "") -> NotebookNode:
    """Return the teacher copy of a notebook: the plan above, a worked answer below each exercise.

    Parameters: the notebook, and the text of the lesson plan.
    """
    made = student(notebook)
    cells = [_note(plan)] if plan else []
    for cell in made.cells:
        cells.append(cell)
        if "exercise" in cell.metadata.get("tags", ()):
            cells += [_note(worked(key)) for key in _CHECK.findall(cell.source)]
    made.cells = cells
    return same_after_every_run(made)


def same_after_every_run(notebook: NotebookNode) -> NotebookNode:
    """Leave nothing of a notebook that depends on who ran it last: of metadata tags and folding.

    It is changed in place and returned; cells are named by their places.
    """
    notebook.metadata = nbformat.from_dict(METADATA)
    notebook.nbformat, notebook.nbformat_minor = 4, 5
    for number, cell in enumerate(notebook.cells):
        kept = {name: cell.metadata.get(name) for name in ("jupyter", "tags")}
        cell.metadata = nbformat.from_dict({name: value for name, value in kept.items() if value})
        cell.id = f"cell-{number:02}"
    return notebook


def worked(key: str) -> str:
    """Return an exercise's worked answer for the practice group, and the mistakes to expect.

    Raises `Impossible` for a key that there is not.
    """
    exercise, readings = exercises.find(key), practice_night.practice_readings()
    answer = shown(in_unit(exercise.answer(readings), exercise.unit), exercise.unit)
    mistakes = "".join(f"\n- {way.name}: {way.made}; {way.think}" for way in exercise.wrong_ways)
    return (
        f"**For the teacher.** Practice group {readings.group}: **{answer}**, {exercise.rule}. "
        f"The answer box knows these common mistakes:\n{mistakes}"
    )


def write(folder: Path) -> Iterator[tuple[Path, bytes]]:
    """Yield the path and the bytes of each copy to lay into a folder.

    Lesson plans go with the teacher's copies. Raises `Impossible` where there are no notebooks,
    or for a file that is no notebook.
    """
    plans = {path.stem: path.read_text("utf-8") for path in shipped.files("lesson_plans", ".md")}
    for path in shipped.files("notebooks", ".ipynb"):
        notebook, plan = nbformat.read(path, as_version=4), plans.get(path.stem, "")
        for who, made in (("student", student(notebook)), ("teacher", teacher(notebook, plan))):
            yield folder / who / path.name, (nbformat.writes(made) + "\n").encode()
        if plan:
            yield folder / "teacher" / f"{path.stem}.md", plan.encode()


def _note(text):
    return nbformat.v4.new_markdown_cell(text, metadata={"tags": ["teacher"]})
