"""The process that all kernels of a server are forks of: it has imported what lessons need.

Pages run here beforehand, and go on in a fork when somebody opens them, so that all share the
memory of the libraries and of the figures. It has one thread of Python's, has opened no socket and
no zmq context, and draws with Agg alone; OpenBLAS minds forks by itself. Each kernel makes its own
sockets afterwards.

An order is a line of JSON: `cells` is the code of a page, or null for a kernel that runs code;
`argv`, `cwd`, `env` and `group` are for a kernel, and left out where a page is only made ready.
The answer is a line too: `pid`, null for a kernel that ended at once, and the `outputs` of the
page, null where its cells failed. It comes when the page is open: of a class that comes in all at
once, those who came first need not wait for the last.
"""

import contextlib
import gc
import json
import os
import pdb  # noqa: F401 - each kernel does
import shutil
import signal
import sys
import traceback

from ipykernel.kernelapp import IPKernelApp
from jupyter_client import localinterfaces

from moonreach.notebook import page_kernel, prepared, warm


def serve():
    """Carry out an order for each line, until there is no more."""
    warm.warm()
    localinterfaces.local_ips()  # which each kernel looks up
    pages = {None: None}
    _keep()
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # nobody needs to ask how a kernel ended
    for number in (signal.SIGINT, signal.SIGTERM):  # they are for the server, which ends this
        signal.signal(number, signal.SIG_IGN)
    while line := sys.stdin.buffer.readline():
        order = json.loads(line)
        key = json.dumps(order["cells"]) if order["cells"] else None
        if key not in pages:
            pages[key] = _run(order["cells"])
        pid, page = _start(order, pages[key]) if "argv" in order else (None, pages[key])
        outputs = page and page.outputs
        sys.stdout.write(json.dumps({"pid": pid, "outputs": outputs}) + "\n")
        sys.stdout.flush()


def _run(cells):
    """Return the page of these cells, or nothing where one of them fails: it is to run in full."""
    try:
        page = prepared.Prepared(cells)
    except Exception:
        traceback.print_exc()
        return None
    _keep()
    return page


def _open(page, group):
    """Open a page for a group and return it, or nothing where that fails: it is to run in full."""
    try:
        page.leave_others()
        page.open(group)
    except Exception:
        traceback.print_exc()
        return None
    return page


def _keep():
    """Let no kernel's collector copy what it shares."""
    gc.collect()
    gc.freeze()


def _start(order, page):
    """Fork a kernel and wait until its page is open; return its number and the page.

    Returns no number where the fork has died, and no page where that could not be opened.
    """
    hear, tell = os.pipe()
    pid = os.fork()
    if pid == 0:
        try:
            os.close(hear)
            _become(order, page, tell)
        finally:
            os._exit(0)
    os.close(tell)
    with os.fdopen(hear, "rb") as told:
        word = told.read()
    return pid if word else None, page if word == b"open" else None


def _become(order, page, tell):
    """Be the kernel that was ordered, in a session of its own."""
    os.setsid()
    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    signal.signal(signal.SIGINT, signal.default_int_handler)
    nothing = os.open(os.devnull, os.O_RDONLY)
    os.dup2(nothing, 0)
    os.dup2(2, 1)
    os.environ.update(order["env"])
    parent = f"--IPKernelApp.parent_handle={os.getppid()}"  # without which a kernel ends too
    os.chdir(order["cwd"] or ".")
    page = page and _open(page, order["group"])
    os.write(tell, b"open" if page else b"plain")
    os.close(tell)
    named = {}
    if page:
        page_kernel.PageKernel.page = page
        named["kernel_class"] = page_kernel.PageKernel
    IPKernelApp.launch_instance([*order["argv"], parent], **named)


if __name__ == "__main__":
    with contextlib.suppress(BrokenPipeError):  # the server was killed
        serve()
    shutil.rmtree(sys.argv[1], ignore_errors=True)
