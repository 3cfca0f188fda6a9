"""JupyterLab for one folder: on this machine only, with a configuration of its own.

Settings, workspaces and the rest lie in `.moonreach` inside the folder; those that the user has
elsewhere are neither read nor changed.
"""

import contextlib
import json
import os
import signal
import socket
import subprocess
import sys
import threading
from pathlib import Path

from moonreach.sheet import writing

# The file that Lab runs at its start. Lines of Python, as traitlets takes them.
LARGEST_MESSAGE = 50_000_000  # bytes: a group's photograph of 40 MB comes in one
GRACE = 5  # seconds in which a server that is told to stop may end its kernels
CONFIGURATION = f"""\
# Made anew by `moonreach lessons` at every start.
from moonreach.notebook.lab import send_at_once
send_at_once()
c.ServerApp.ip = "127.0.0.1"
c.ServerApp.answer_yes = True  # Ctrl+C stops it without another question
c.ServerApp.allow_root = True  # on one's own machine, with a token
c.LabApp.news_url = None
c.LabApp.check_for_updates_class = "jupyterlab.NeverCheckForUpdate"
from moonreach.notebook.saving import without_views
c.ServerApp.tornado_settings = {{"websocket_max_message_size": {LARGEST_MESSAGE}}}
c.FileContentsManager.pre_save_hook = without_views
"""
# Written once: afterwards they are the user's to change.
SETTINGS = {
    "apputils-extension/notification": {"fetchNews": "false", "checkForUpdates": False},
    # The docs that lessons lead to are there to be read.
    "docmanager-extension/plugin": {"defaultViewers": {"markdown": "Markdown Preview"}},
}


def send_at_once():
    """Let Lab's server send a kernel's small packets without waiting to gather more of them.

    A slider's picture then comes sooner. Nothing depends on it, so a server that is built
    otherwise is left as it is.
    """
    with contextlib.suppress(ImportError, AttributeError):
        from jupyter_server.services.kernels.websocket import KernelWebsocketHandler

        usual = KernelWebsocketHandler.open

        async def open_at_once(self, *arguments, **named):
            await usual(self, *arguments, **named)
            with contextlib.suppress(Exception):  # a socket that closed meanwhile
                self.set_nodelay(True)

        KernelWebsocketHandler.open = open_at_once


def prepare(folder):
    """Write Lab's configuration into a folder; return the environment and the command to start it.

    Parameters: the folder of notebooks. Raises OSError where it cannot be written to.
    """
    own = Path(folder).resolve() / ".moonreach"
    for name, settings in SETTINGS.items():
        path = own / "settings" / "@jupyterlab" / f"{name}.jupyterlab-settings"
        path.parent.mkdir(parents=True, exist_ok=True)
        if not path.exists():
            writing.replace(path, json.dumps(settings) + "\n")
    writing.replace(own / "lab.py", CONFIGURATION)
    # -P: a folder in which Lab is started must not pass for a module.
    command = [sys.executable, "-P", "-m", "jupyterlab", f"--config={own / 'lab.py'}"]
    command += [f"--ServerApp.root_dir={own.parent}", f"--ServerApp.port={free_port()}"]
    return environment(own), command


def environment(own):
    """Return the environment for a Lab that keeps all it writes in a folder of its own."""
    # Kernels run in the notebooks' folder, where a relative path would lead elsewhere.
    given = os.environ.get("PYTHONPATH", "").split(os.pathsep)
    paths = [str(Path(path).resolve()) for path in given if path]
    home = Path(__file__).resolve().parents[2]
    if (home / "pyproject.toml").exists():  # a clone, which may have been found by its place only
        paths.insert(0, str(home))
    return os.environ | {
        "JUPYTER_PREFER_ENV_PATH": "1",  # this environment's kernel, whatever others there are
        "JUPYTER_CONFIG_DIR": str(own / "config"),
        "JUPYTER_DATA_DIR": str(own / "data"),
        "JUPYTER_RUNTIME_DIR": str(own / "runtime"),
        "JUPYTERLAB_SETTINGS_DIR": str(own / "settings"),
        "JUPYTERLAB_WORKSPACES_DIR": str(own / "workspaces"),
        "IPYTHONDIR": str(own / "ipython"),
        "PYTHONPATH": os.pathsep.join(paths),
    }


def free_port():
    """Return a port of this machine that nobody uses just now."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return free.getsockname()[1]


def is_free(port):
    """Return whether nobody on this machine listens at a port."""
    with socket.socket() as asking:
        return asking.connect_ex(("127.0.0.1", port)) != 0


def run(folder, browser=True):
    """Run Lab on a folder until it is stopped; return its exit code."""
    variables, command = prepare(folder)
    return wait_for([*command, *([] if browser else ["--no-browser"])], variables)


def end_soon():
    """End this process after some seconds, whatever it does; its kernels then end by themselves."""
    end = threading.Timer(GRACE, os._exit, [1])
    end.daemon = True
    end.start()


def wait_for(command, variables, errors=None):
    """Run a server until it is stopped, its errors in a file if one is given; return its code."""
    process = subprocess.Popen(command, env=variables, stderr=errors)
    signal.signal(signal.SIGTERM, lambda *_: process.terminate())  # as a service is stopped
    while True:
        try:
            return process.wait()
        except KeyboardInterrupt:  # the server gets it as well, and stops its kernels
            continue
