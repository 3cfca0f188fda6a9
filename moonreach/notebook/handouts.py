"""Student copies and teacher copies, both made from the one set of notebooks by their tags.

A student copy leaves out the cells tagged ``teacher`` and every output. A teacher copy begins with
the lesson plan and has a worked answer, computed for the invented practice group, below each
exercise.
"""

import re

import nbformat

from moonreach import exercises
from moonreach.exercises.checking import in_unit, shown
from moonreach.notebook import practice_night, shipped

_CHECK = re.compile(r"""\bdesk\.(?:check|ask)\(\s*["'](\w+)["']""")
_METADATA = {
    "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}


def student(notebook):
    """Return the student copy of a notebook: its cells but the teacher's, without outputs."""
    return _copy([cell for cell in _bare(notebook) if not _tagged(cell, "teacher")])


def teacher(notebook, plan=""):
    """Return the teacher copy of a notebook: all its cells, the plan above, worked answers below.

    Parameters: the notebook, and the text of the lesson plan.
    """
    cells = [_note(plan)] if plan else []
    for cell in _bare(notebook):
        cells.append(cell)
        if cell.cell_type == "code" and _tagged(cell, "exercise"):
            cells += [_note(worked(key)) for key in _CHECK.findall(cell.source)]
    return _copy(cells)


def worked(key):
    """Return an exercise's worked answer for the practice group, and the slips to expect.

    Raises `Impossible` for a key that there is not.
    """
    exercise, readings = exercises.find(key), practice_night.practice_readings()
    answer = shown(in_unit(exercise.answer(readings), exercise.unit), exercise.unit)
    slips = "".join(f"\n- {slip.name}: {slip.made}; {slip.think}" for slip in exercise.slips)
    return (
        f"**For the teacher.** Practice group {readings.group}: **{answer}**, {exercise.way}. "
        f"`desk.check` knows these slips:\n{slips}"
    )


def write(folder):
    """Yield the path and the bytes of each copy to lay into a folder.

    Lesson plans go with the teacher's copies. Raises `Impossible` where there are no notebooks,
    or for a file that is no notebook.
    """
    plans = {path.stem: path for path in shipped.files("lesson_plans", ".md")}
    for path in shipped.files("notebooks", ".ipynb"):
        notebook = nbformat.read(path, as_version=4)
        plan = plans.get(path.stem)
        text = plan.read_text(encoding="utf-8") if plan else ""
        for who, copy in (("student", student(notebook)), ("teacher", teacher(notebook, text))):
            yield folder / who / path.name, (nbformat.writes(copy) + "\n").encode()
        if plan:
            yield folder / "teacher" / plan.name, text.encode()


def _bare(notebook):
    """Return copies of a notebook's cells without outputs and counts."""
    cells = [nbformat.from_dict(cell) for cell in notebook.cells]
    for cell in cells:
        cell.metadata = {"tags": tags} if (tags := cell.metadata.get("tags")) else {}
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
    return cells


def _tagged(cell, tag):
    return tag in cell.metadata.get("tags", ())


def _note(text):
    return nbformat.v4.new_markdown_cell(text, metadata={"tags": ["teacher"]})


def _copy(cells):
    for number, cell in enumerate(cells):
        cell.id = f"cell-{number:02}"  # the same file after every run
    return nbformat.v4.new_notebook(cells=cells, metadata=nbformat.from_dict(_METADATA))
