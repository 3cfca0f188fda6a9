"""Starts the server of the lessons' pages, and is what runs there.

The server is a process of its own, so that the command waits for nothing that only a server needs.
"""

import sys
from importlib import import_module
from pathlib import Path

from moonreach.notebook import lab, source
from moonreach.sheet import writing

CLASS_PORT = 8317


def prepare(folder, in_class=False):
    """Return the environment and the command that serve a folder of lessons as pages.

    Parameters: the folder; whether a class may come in from the local network: its address then
    stays the same from day to day, if nobody else has taken its port.
    """
    folder = Path(folder).resolve()
    # -P: a folder in which it is started must not pass for a module.
    command = [sys.executable, "-P", "-m", __name__, str(folder)]
    port = CLASS_PORT if in_class and lab.is_free(CLASS_PORT) else lab.free_port()
    command += ["--Pages.in_class=True"] if in_class else []
    return lab.environment(folder / ".moonreach"), [*command, f"--port={port}"]


def run(folder, browser=True, in_class=False):
    """Serve a folder of lessons until that is stopped; return the exit code.

    Parameters: the folder, whether to open the browser, whether it is for a class.
    What the server and its kernels have to say goes to a file in the folder.
    """
    environment, command = prepare(folder, in_class)
    log = Path(folder) / ".moonreach" / "pages.log"
    log.parent.mkdir(exist_ok=True)
    writing.sweep(Path(folder) / "work")
    with log.open("w", encoding="utf-8") as errors:
        return lab.wait_for([*command, f"--Pages.show={browser}"], environment, errors)


if __name__ == "__main__":
    if source.FORKS:
        source.Source.begin()  # it imports for longest
    # A grammar of web addresses takes a third of the start to build, and no form here has any.
    sys.modules["rfc3987_syntax"] = None
    import_module("moonreach.notebook.pages").serve(sys.argv[1:])
