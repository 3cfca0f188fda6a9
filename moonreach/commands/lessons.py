"""`moonreach lessons`: pages, or JupyterLab, on a copy of the notebooks in the teacher's folder."""

from pathlib import Path

from moonreach.lessons.refuse import require
from moonreach.notebook import shipped
from moonreach.sheet import copies


def run(arguments):
    """Copy what is missing, then serve the pages, or run Lab; return the exit code."""
    a, folder = arguments, Path(arguments.folder)
    require(
        not (a.lab and a.in_class), "--class and --lab exclude each other: JupyterLab runs code"
    )
    data = shipped.folder("data")
    sources = {folder / path.name: path for path in shipped.files("notebooks", ".ipynb")}
    sources |= {
        folder / "data" / path.relative_to(data): path for path in data.rglob("*") if path.is_file()
    }
    sources |= {folder / "docs" / name: shipped.folder("docs") / name for name in shipped.DOCS}
    contents = {path: source.read_bytes() for path, source in sources.items()}
    changed = [path for path in contents if copies.state(path, contents[path]) == "changed"]
    if changed and not (a.renew and (a.yes or _agreed(changed))):
        print(f"Kept as they are: {_named(changed)}. (--renew takes new copies and keeps these.)")
        contents = {path: data for path, data in contents.items() if path not in changed}
    for path, content in contents.items():
        if kept := copies.lay(path, content):
            print(f"{path.name} is new; yours is kept beside it as {kept.name}")
    print(f"The lessons lie in {folder.resolve()}; what the groups enter goes to work/ there.")
    if a.copy_only:
        return 0
    if a.lab:
        from moonreach.notebook import lab as door
    else:
        from moonreach.notebook import serve as door

    print(
        f"Opening {'JupyterLab' if a.lab else 'the lessons'}. Stop it here with Ctrl+C.", flush=True
    )
    more = {"in_class": True} if a.in_class else {}
    return door.run(folder, not a.no_browser, **more)


def _agreed(changed):
    """Ask whether to take new copies; without an answer nothing is changed."""
    print(f"These differ from the ones that come with moonreach: {_named(changed)}.")
    try:
        answer = input("Put new ones in their place, and keep yours beside them? [y/N] ")
    except EOFError:
        return False
    return answer.strip().casefold() in ("y", "yes")


def _named(paths):
    return ", ".join(path.name for path in paths)
