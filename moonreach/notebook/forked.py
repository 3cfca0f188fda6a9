"""Kernels that begin with everything imported: one process imports it and forks for each page.

The pages then share the memory of the libraries. Only on Linux: elsewhere fork is missing, or
unsound beside the system's own libraries, and kernels start as usual.

What forks has one thread of Python's, has opened no socket and no zmq context, and draws with Agg
alone; OpenBLAS minds forks by itself. Each kernel makes its own sockets afterwards.
"""

import asyncio
import gc
import json
import os
import signal
import sys
import time
from importlib.metadata import EntryPoint
from typing import ClassVar

from jupyter_client.provisioning import LocalProvisioner
from jupyter_client.provisioning.factory import KernelProvisionerFactory

FORKS = sys.platform == "linux"
NAME = "moonreach-forked"


class Forked:
    """A kernel's process as its provisioner handles one; it is another process's child."""

    stdin = stdout = stderr = None

    def __init__(self, pid: int):
        """Take a process's number."""
        self.pid = pid

    def poll(self) -> int | None:
        """Return nothing while the process runs."""
        try:
            os.kill(self.pid, 0)
        except ProcessLookupError:
            return 1
        return None

    def wait(self) -> int:
        """Wait until the process has ended."""
        while self.poll() is None:
            time.sleep(0.01)
        return 1

    def send_signal(self, number: int):
        """Send a signal to the process."""
        os.kill(self.pid, number)

    def kill(self):
        """End the process."""
        os.kill(self.pid, signal.SIGKILL)

    terminate = kill


class ForkedProvisioner(LocalProvisioner):
    """Starts a kernel by a fork of the one process that all kernels of a server come from."""

    _source: ClassVar = None  # that process
    _turn: ClassVar = asyncio.Lock()

    async def launch_kernel(self, cmd, **named):
        """Let the process fork; where it has died, another one is started."""
        order = {"argv": cmd[cmd.index("-f") :], "cwd": named.get("cwd"), "env": named["env"]}
        line = json.dumps(order).encode() + b"\n"
        async with self._turn:
            told = await self._ask(line) or await self._ask(line)
        if not told:
            return await super().launch_kernel(cmd, **named)
        self.process = Forked(int(told))
        self.pid = self.pgid = self.process.pid
        return self.connection_info

    @classmethod
    async def _ask(cls, line):
        if cls._source is None or cls._source.returncode is not None:
            cls._source = await asyncio.create_subprocess_exec(
                *(sys.executable, "-P", "-m", __name__),
                stdin=asyncio.subprocess.PIPE,
                stdout=asyncio.subprocess.PIPE,
                limit=2**20,
            )
        try:
            cls._source.stdin.write(line)
            await cls._source.stdin.drain()
            told = await cls._source.stdout.readline()
        except OSError:
            told = b""
        if not told:  # it has died
            await cls._source.wait()
        return told


def use(config) -> None:
    """Let kernels of a server be forked, where that is sound; change its `Config` so."""
    if FORKS:
        group = KernelProvisionerFactory.GROUP_NAME
        entry = EntryPoint(NAME, f"{__name__}:ForkedProvisioner", group)
        KernelProvisionerFactory.provisioners[NAME] = entry
        config.KernelProvisionerFactory.default_provisioner_name = NAME


def _fork_for_each_line():
    """Import what lessons use; then fork a kernel for each line, until there is no more."""
    from ipykernel.kernelapp import IPKernelApp

    from moonreach.notebook import warm

    warm.warm()
    gc.collect()
    gc.freeze()  # so that a kernel's collector does not copy what it shares
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # nobody needs to ask how a kernel ended
    for number in (signal.SIGINT, signal.SIGTERM):  # they are for the server, which ends this
        signal.signal(number, signal.SIG_IGN)
    while line := sys.stdin.buffer.readline():
        pid = os.fork()
        if not pid:
            _become(json.loads(line), IPKernelApp)
        sys.stdout.write(f"{pid}\n")
        sys.stdout.flush()


def _become(order, application):
    """Be the kernel that was ordered, in a session of its own; never return."""
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
    try:
        application.launch_instance([*order["argv"], parent])
    finally:
        os._exit(0)


if __name__ == "__main__":
    _fork_for_each_line()
