"""Student copies and teacher copies, both made from the one set of notebooks by their tags.

A student copy leaves out the cells tagged ``teacher`` and every output. A teacher copy begins with
the lesson plan and has a worked answer, computed for the invented practice group, below each
exercise.
"""

import copy
import re
from collections.abc import Iterator
from pathlib import Path

import nbformat
from nbconvert.preprocessors import ClearOutputPreprocessor, Preprocessor, TagRemovePreprocessor
from nbformat import NotebookNode

from moonreach import exercises
from moonreach.exercises.checking import in_unit, shown
from moonreach.notebook import practice_night, shipped

_CHECK = re.compile(r"""\bdesk\.box\(\s*["'](\w+)["']""")
_METADATA = {
    "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}


class WorkedAnswers(Preprocessor):
    """Puts the lesson plan above all cells, and a worked answer below each exercise."""

    def __init__(self, plan: str):
        """Take the text of the lesson plan, or nothing."""
        super().__init__(enabled=True)
        self.plan = plan

    def preprocess(self, notebook, resources):
        """Return the notebook with these cells, and the resources as they are."""
        cells = [_note(self.plan)] if self.plan else []
        for cell in notebook.cells:
            cells.append(cell)
            if cell.cell_type == "code" and "exercise" in cell.metadata.get("tags", ()):
                cells += [_note(worked(key)) for key in _CHECK.findall(cell.source)]
        notebook.cells = cells
        return notebook, resources


class SameAfterEveryRun(Preprocessor):
    """Leaves nothing that depends on who ran the notebook last: of metadata tags and folding."""

    def preprocess(self, notebook, resources):
        """Return the notebook so, for any kernel of Python, and the resources as they are."""
        notebook.metadata = nbformat.from_dict(_METADATA)
        notebook.nbformat, notebook.nbformat_minor = 4, 5
        return super().preprocess(notebook, resources)

    def preprocess_cell(self, cell, resources, index):
        """Return the cell with its tags and folding, and a name by its place."""
        kept = {name: cell.metadata.get(name) for name in ("jupyter", "tags")}
        cell.metadata = nbformat.from_dict({name: kept[name] for name in kept if kept[name]})
        cell.id = f"cell-{index:02}"
        return cell, resources


def student(notebook: NotebookNode) -> NotebookNode:
    """Return the student copy of a notebook: its cells but the teacher's, without outputs."""
    return _copy(notebook, TagRemovePreprocessor(remove_cell_tags={"teacher"}, enabled=True))


def teacher(notebook: NotebookNode, plan: str = "") -> NotebookNode:
    """Return the teacher copy of a notebook: all its cells, the plan above, worked answers below.

    Parameters: the notebook, and the text of the lesson plan.
    """
    return _copy(notebook, WorkedAnswers(plan))


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


def _copy(notebook, special):
    """Return a copy of a notebook, once it has gone through a preprocessor and the common ones."""
    made = copy.deepcopy(notebook)
    for step in (special, ClearOutputPreprocessor(enabled=True), SameAfterEveryRun(enabled=True)):
        made, _ = step.preprocess(made, {})
    return made


def _note(text):
    return nbformat.v4.new_markdown_cell(text, metadata={"tags": ["teacher"]})
