"""Where the notebooks, the data and the lesson plans lie: in the installed package or in a clone.

The wheel carries the project's own folders inside this package (see pyproject.toml); a clone and
an editable install use them where they stand. There is one copy of each in the project.
"""

from pathlib import Path

from moonreach.lessons.refuse import Impossible

_HOME = Path(__file__).parents[1]
_FOLDERS = {"notebooks": "notebooks", "data": "data", "lesson_plans": "docs/lessons"}


def folder(name):
    """Return the folder of the notebooks, the data or the lesson plans.

    Raises `Impossible` where the installation lacks it.

    >>> (folder("data") / "practice_class.csv").is_file()
    True
    """
    for path in (_HOME / "shipped" / name, _HOME.parent / _FOLDERS[name]):
        if path.is_dir():
            return path
    raise Impossible(f"the {name.replace('_', ' ')} are missing: install moonreach anew")


def files(name, ending):
    """Return the files of such a folder with an ending, in their order.

    Raises `Impossible` where there is none.
    """
    found = sorted(folder(name).glob(f"*{ending}"))
    if not found:
        raise Impossible(f"{folder(name)} holds no {ending}: install moonreach anew")
    return found
