"""Where notebooks, data, docs and lesson plans lie: in the installed package or in a clone.

The wheel carries the project's own folders inside this package (see pyproject.toml); a clone and
an editable install use them where they stand. There is one copy of each in the project.
"""

from pathlib import Path

from moonreach.lessons.refuse import Impossible, require

PICTURE = "eclipse_photographs/partial_2.jpg"  # half of the Moon in shadow
DOCS = ("accuracy.md", "glossary.md", "sources.md")  # those that the lessons lead to
_HOME = Path(__file__).parents[1]
_FOLDERS = {
    "notebooks": "notebooks",
    "data": "data",
    "docs": "docs",
    "lesson_plans": "docs/lessons",
}


def folder(name):
    """Return the folder of the notebooks, the data, the docs or the lesson plans.

    Raises `Impossible` where the installation lacks it.

    >>> (folder("data") / "practice_class.csv").is_file()
    True
    """
    for path in (_HOME / "shipped" / name, _HOME.parent / _FOLDERS[name]):
        if path.is_dir():
            return path
    raise Impossible(f"the {name.replace('_', ' ')} are missing: install moonreach again")


def files(name, ending):
    """Return the files of such a folder with an ending, in their order.

    Raises `Impossible` where there is none.
    """
    found = sorted(folder(name).glob(f"*{ending}"))
    if not found:
        raise Impossible(f"{folder(name)} holds no {ending}: install moonreach again")
    return found


def picture(name):
    """Return the path of a file of the project's data; raise `Impossible` where there is none.

    >>> picture("eclipse_photographs/partial_2.jpg").name
    'partial_2.jpg'
    """
    path = folder("data") / name
    require(
        path.is_file(),
        "this installation lacks {}: install moonreach again, or name a picture of your own, as in "
        'desk.photograph("our_eclipse.jpg")',
        name,
    )
    return path
