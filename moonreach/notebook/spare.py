"""What is ready before anybody asks: pages that have run, or a kernel that has imported all.

Where kernels are forks, each lesson's page runs once and every student's goes on from there
(`prepared`). Elsewhere one kernel more is kept than is used, and the next page gets it. Neither has
seen a group's folder, so a page is never older than its click.
"""

import asyncio
import contextlib

from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager

from moonreach.notebook.source import FORKS, Source

AFTER = 5  # seconds in which a page that opens has the processors for itself
WARM = "from moonreach.notebook import warm; warm.warm(); del warm"


class SpareKernel(AsyncMappingKernelManager):
    """Starts pages' kernels; gets ready what the next page will want."""

    _spare = None  # the task that starts it and returns its name
    _opened = -AFTER  # when the last page did

    async def keep_ready(self, prepare):
        """Get the pages ready one by one while nobody opens any, or else the spare kernel.

        Parameters: a function that yields after each page.
        """
        if not FORKS:
            self.keep_one()
            return
        await Source.ask(cells=None)  # it imports all
        async for _ in prepare():
            while (left := self._opened + AFTER - asyncio.get_running_loop().time()) > 0:
                await asyncio.sleep(left)

    def keep_one(self):
        """Begin to start the spare kernel, unless there is one."""
        if self._spare is None:
            self._spare = asyncio.ensure_future(self._start(path=""))

    async def start_kernel(self, *, path=None, env=None, cells=None, group=None, **named):
        """Return the name of a kernel for a page: a fork that has run it, the spare one, a new one.

        Parameters: `cells` and `group` as `ForkedProvisioner` takes them.
        """
        loop = asyncio.get_running_loop()
        if FORKS:
            self._opened = loop.time()
            return await self._start(path=path, cells=cells, group=group, **named)
        spare, self._spare = self._spare, None
        loop.call_later(AFTER, self.keep_one)
        if spare is not None and not path:
            with contextlib.suppress(Exception):  # one that could not start is replaced
                if await self.is_alive(name := await spare):
                    return name
        return await self._start(path=path, **named)

    async def shutdown_all(self, now=True):
        """End all kernels without waiting for any: what a page shows as kept is on the disk."""
        await super().shutdown_all(now=now)

    async def cull_kernel_if_idle(self, kernel_id):
        """End a kernel whose page was closed some time ago; never the spare one."""
        spare = self._spare
        if not (spare and spare.done() and not spare.exception() and spare.result() == kernel_id):
            await super().cull_kernel_if_idle(kernel_id)

    async def _start(self, **named):
        extra = ["--log-level=40", "--HistoryManager.enabled=False"]
        extra += [] if FORKS else ["-c", WARM]
        return await super().start_kernel(extra_arguments=extra, **named)
