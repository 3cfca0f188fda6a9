"""Kernels that are forks of one process, `source`, as the server sees them."""

import contextlib
import os
import signal
import time
from importlib.metadata import EntryPoint
from pathlib import Path

from jupyter_client.provisioning import LocalProvisioner
from jupyter_client.provisioning.factory import KernelProvisionerFactory

from moonreach.notebook.source import FORKS, Source

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
        """Send a signal to the process, unless it has ended."""
        with contextlib.suppress(ProcessLookupError):
            os.kill(self.pid, number)

    def kill(self):
        """End the process."""
        self.send_signal(signal.SIGKILL)

    terminate = kill


class ForkedProvisioner(LocalProvisioner):
    """Starts a kernel by a fork of the one process that all kernels of a server come from.

    `outputs` is what the cells of a page have shown, if it had run beforehand.
    """

    outputs = None

    async def pre_launch(self, **named):
        """Let the server and the kernel meet in a private folder.

        A port that is free when it is chosen may be taken when the kernel uses it.
        """
        Source.begin()
        self.parent.transport = "ipc"
        self.parent.ip = str(Path(Source.now.sockets, self.kernel_id[:8]))
        return await super().pre_launch(**named)

    async def launch_kernel(self, cmd, cells=None, group=None, **named):
        """Let the process fork; where that cannot be, the kernel starts as usual.

        Parameters: as Jupyter gives them; the code of a page's cells, and whose page it is.
        """
        order = {"argv": cmd[cmd.index("-f") :], "cwd": named.get("cwd"), "env": named["env"]}
        told = await Source.ask(cells=cells, group=group, **order)
        if not (told and told["pid"]):
            return await super().launch_kernel(cmd, **named)
        self.process, self.outputs = Forked(told["pid"]), told["outputs"]
        self.pid = self.pgid = self.process.pid
        return self.connection_info


def use(config) -> None:
    """Let kernels of a server be forked, where that is sound; change its `Config` so."""
    if FORKS:
        group = KernelProvisionerFactory.GROUP_NAME
        entry = EntryPoint(NAME, f"{__name__}:ForkedProvisioner", group)
        KernelProvisionerFactory.provisioners[NAME] = entry
        config.KernelProvisionerFactory.default_provisioner_name = NAME
