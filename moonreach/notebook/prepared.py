"""Lesson pages that ran before anybody opened them: each page that opens is a fork of one.

The cells run once, in an empty folder and for nobody. A page that opens sits down at its desk
anew: it reads its group's folder then, and every part follows. Its kernel runs no code.
"""

import ast
import contextlib
import tempfile

from IPython.core.interactiveshell import InteractiveShell
from IPython.utils.capture import capture_output
from ipywidgets.widgets import widget
from traitlets.config import Config

from moonreach.notebook import together
from moonreach.notebook.desk import Desk
from moonreach.notebook.saving import VIEW


class Prepared:
    """A page whose cells have run: its desks, its widgets, and what each cell shows.

    `outputs` has a list for each cell, as nbformat writes them.
    """

    def __init__(self, cells: list[str]):
        """Run a page's cells; raises whatever one of them raises."""
        unquiet = Config(HistoryManager={"enabled": False})  # it would begin a thread
        InteractiveShell.instance(config=unquiet)
        others, names = {*widget._instances}, {}
        with tempfile.TemporaryDirectory() as empty, contextlib.chdir(empty):
            self.outputs = [_run(cell, names) for cell in cells]
        self.desks = [value for value in names.values() if isinstance(value, Desk)]
        self.widgets = {key: each for key, each in widget._instances.items() if key not in others}

    def open(self, group: str | None = None):
        """Sit down anew in the folder that this process is in, for a group of a class or not."""
        if group:
            together.take(group)
        for desk in self.desks:
            desk.sit_down()

    def leave_others(self):
        """Forget the widgets of other pages, so that a browser is told of this page's alone."""
        for key in widget._instances.keys() - self.widgets.keys():
            del widget._instances[key]


def _run(cell, names):
    """Run a cell's source with these names; return what it shows."""
    tree = ast.parse(cell)
    with capture_output() as shown:
        for statement in tree.body:  # as one typed each: the value of an expression is shown
            last = isinstance(statement, ast.Expr) and statement is tree.body[-1]
            part = ast.Interactive([statement]) if last else ast.Module([statement], [])
            exec(compile(part, "<cell>", "single" if last else "exec"), names)
    outputs = [_output(one.data, one.metadata) for one in shown.outputs]
    if shown.stdout:
        outputs.insert(0, {"output_type": "stream", "name": "stdout", "text": shown.stdout})
    return outputs


def _output(data, metadata):
    """Return one output; beside a live view no picture of it is sent."""
    if VIEW in data:
        data, metadata = {VIEW: data[VIEW]}, {}
    return {"output_type": "display_data", "data": data, "metadata": metadata or {}}
