"""Run the notebooks and store them as they are shipped: python tests/prepare_notebooks.py

Notebooks may be named; without a name it takes all. Each is run from top to bottom in an empty
folder, in this environment's own kernel. Stored are its texts and pictures, and nothing that
changes from run to run: no widget views or states (a page without a kernel could not show them),
no times, no kernel of this machine.
"""

import sys
import tempfile
from pathlib import Path

import nbformat
from nbclient import NotebookClient

from moonreach.sheet import writing

NOTEBOOKS = Path(__file__).parent.parent / "notebooks"
VIEW = "application/vnd.jupyter.widget-view+json"
PLAIN_METADATA = {
    "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}


def run(notebook, folder):
    """Run a notebook's cells in a folder, stopping at the first error; change it in place."""
    NotebookClient(
        notebook, timeout=300, kernel_name="python3", resources={"metadata": {"path": str(folder)}}
    ).execute()
    return notebook


def clean(notebook):
    """Leave of a notebook's metadata and outputs only what is the same after every run."""
    notebook.metadata = nbformat.from_dict(PLAIN_METADATA)
    for number, cell in enumerate(notebook.cells):
        cell.id = f"cell-{number:02}"
        cell.metadata = {"tags": cell.metadata["tags"]} if cell.metadata.get("tags") else {}
        if cell.cell_type != "code":
            continue
        for output in cell.outputs:
            if "data" in output:
                output.data.pop(VIEW, None)
            if output.output_type == "execute_result":
                output.execution_count = cell.execution_count
        cell.outputs = [output for output in cell.outputs if output.get("data", True)]
    return notebook


def prepare(path):
    """Run, clean and store one notebook."""
    notebook = nbformat.read(path, as_version=4)
    with tempfile.TemporaryDirectory() as folder:
        run(notebook, folder)
    writing.replace(path, nbformat.writes(clean(notebook)) + "\n")


if __name__ == "__main__":
    names = sys.argv[1:] or [path.name for path in sorted(NOTEBOOKS.glob("*.ipynb"))]
    for name in names:
        prepare(NOTEBOOKS / Path(name).name)
        print(f"notebooks/{Path(name).name}: run and stored")
