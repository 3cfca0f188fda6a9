"""One kernel more than is used: it has imported what lessons need, and the next page gets it.

It has seen no group's folder before it is given away, so a page is never older than its click.
"""

import asyncio
import contextlib

from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager

from moonreach.notebook import forked

AFTER = 5  # seconds in which a page that opens has the processors for itself
WARM = "from moonreach.notebook import warm; warm.warm(); del warm"


class SpareKernel(AsyncMappingKernelManager):
    """Gives a page the spare kernel, and gets ready another one afterwards."""

    _spare = None  # the task that starts it and returns its name

    def keep_one(self):
        """Begin to start the spare kernel, unless there is one."""
        if self._spare is None:
            self._spare = asyncio.ensure_future(self._start(path=""))

    async def start_kernel(self, *, path=None, env=None, **named):
        """Return the name of a kernel for a page: the spare one, or a new one."""
        spare, self._spare = self._spare, None
        asyncio.get_running_loop().call_later(AFTER, self.keep_one)
        if spare is not None and not path:
            with contextlib.suppress(Exception):  # one that could not start is replaced
                if await self.is_alive(name := await spare):
                    return name
        return await self._start(path=path, **named)

    async def cull_kernel_if_idle(self, kernel_id):
        """End a kernel whose page was closed some time ago; never the spare one."""
        spare = self._spare
        if not (spare and spare.done() and not spare.exception() and spare.result() == kernel_id):
            await super().cull_kernel_if_idle(kernel_id)

    async def _start(self, **named):
        extra = ["--log-level=40", "--HistoryManager.enabled=False"]
        extra += [] if forked.FORKS else ["-c", WARM]
        return await super().start_kernel(extra_arguments=extra, **named)
