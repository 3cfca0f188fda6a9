"""Every kernel that a test starts: it finds this project, and nobody's settings.

A kernel that would start among the notebooks, as nbval's do, starts in an empty folder instead:
what a notebook says must not depend on the sheets of a group that has worked there.
"""

import os
import tempfile
from functools import partial
from pathlib import Path

import pytest
from hypothesis import settings
from nbval import kernel

# One profile for the suite: a busy machine is no fault of the code.
settings.register_profile("suite", deadline=None, print_blob=True)
settings.load_profile("suite")

PROJECT = Path(__file__).resolve().parents[1]
_STARTUP = """\
import os as _os, tempfile as _tempfile
if _os.path.realpath(".") == {notebooks!r}:
    _os.chdir(_tempfile.mkdtemp(dir={empty!r}))
"""
_own = pytest.StashKey[tempfile.TemporaryDirectory]()


def pytest_xdist_auto_num_workers(config):
    """Start one process more than there are processors, as those that drive a browser wait."""
    return (os.cpu_count() or 1) + 1


def pytest_configure(config):
    """Set up what kernels inherit, before any of them starts."""
    config.stash[_own] = own = tempfile.TemporaryDirectory(prefix="kernels-")
    startup = Path(own.name, "ipython", "profile_default", "startup", "in_an_empty_folder.py")
    startup.parent.mkdir(parents=True)
    code = _STARTUP.format(notebooks=str(PROJECT / "notebooks"), empty=own.name)
    startup.write_text(code, encoding="utf-8")
    paths = [str(PROJECT), *os.environ.get("PYTHONPATH", "").split(os.pathsep)]
    os.environ["PYTHONPATH"] = os.pathsep.join(filter(None, paths))
    os.environ["IPYTHONDIR"] = str(startup.parents[2])
    os.environ["JUPYTER_PREFER_ENV_PATH"] = "1"
    kernel.start_new_kernel = partial(_start_kernel, kernel.start_new_kernel)


def _start_kernel(start, *arguments, **options):
    """Start nbval's kernel once more where another test took its port between finding and using."""
    try:
        return start(*arguments, **options)
    except RuntimeError:
        return start(*arguments, **options)


def pytest_unconfigure(config):
    """Take the folder away again."""
    config.stash[_own].cleanup()
