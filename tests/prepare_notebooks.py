"""Run the notebooks and store them as they are shipped: python tests/prepare_notebooks.py

Notebooks may be named; without a name it takes all. Each is run from top to bottom in an empty
folder, in this environment's own kernel. Stored are its texts and pictures, and nothing that
changes from run to run: no widget views or states (a page without a kernel could not show them),
no times, no kernel of this machine.

The first cell says how to start in JupyterLab; code is folded away there, but for cells that wait
for the reader's own words (they hold three dots) and cells tagged ``read``. Cells that take long
are tagged ``slow``: the student's page runs them only when asked. That page leaves out the first
cell and all code.
"""

import sys
import tempfile
from pathlib import Path

import nbformat
from nbclient import NotebookClient

from moonreach.notebook.handouts import same_after_every_run
from moonreach.notebook.saving import without_views
from moonreach.sheet import writing

NOTEBOOKS = Path(__file__).parent.parent / "notebooks"
START = (
    "**To start:** choose *Run* in the menu above, then *Run All Cells*. Code is folded away; "
    "a click on a bar at the left shows it."
)
SLOW = "photograph_by_machine("


def run(notebook, folder):
    """Run a notebook's cells in a folder, stopping at the first error; change it in place."""
    NotebookClient(
        notebook, timeout=300, kernel_name="python3", resources={"metadata": {"path": str(folder)}}
    ).execute()
    return notebook


def furnish(notebook):
    """Put in front how to start, and fold and tag the cells."""
    if "start" not in notebook.cells[0].metadata.get("tags", ()):
        notebook.cells.insert(0, nbformat.v4.new_markdown_cell(metadata={"tags": ["start"]}))
    notebook.cells[0].source = START
    for cell in notebook.cells:
        tags = [tag for tag in cell.metadata.get("tags", ()) if tag != "slow"]
        if cell.cell_type == "code":
            tags += ["slow"] * (SLOW in cell.source)
            if "..." not in cell.source and "read" not in tags:
                cell.metadata["jupyter"] = {"source_hidden": True}
            else:
                cell.metadata.pop("jupyter", None)
        cell.metadata["tags"] = tags
    return notebook


def clean(notebook):
    """Leave of a notebook's metadata and outputs only what is the same after every run."""
    same_after_every_run(notebook)
    for cell in notebook.cells:
        for output in cell.get("outputs", ()):
            if output.output_type == "execute_result":
                output.execution_count = cell.execution_count
    without_views({"type": "notebook", "content": notebook})
    return notebook


def prepare(path):
    """Run, clean and store one notebook."""
    notebook = nbformat.read(path, as_version=4)
    with tempfile.TemporaryDirectory() as folder:
        run(notebook, folder)
    writing.replace(path, nbformat.writes(clean(furnish(notebook))) + "\n")


if __name__ == "__main__":
    names = sys.argv[1:] or [path.name for path in sorted(NOTEBOOKS.glob("*.ipynb"))]
    for name in names:
        prepare(NOTEBOOKS / Path(name).name)
        print(f"notebooks/{Path(name).name}: run and stored")
