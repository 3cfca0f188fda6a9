"""The process `forking`, which all kernels of a server are forks of, as the server speaks to it.

Only on Linux: elsewhere fork is missing, or unsound beside the system's own libraries, and kernels
start as usual.
"""

import asyncio
import json
import subprocess
import sys
import tempfile
from typing import ClassVar

FORKS = sys.platform == "linux"


class Source:
    """That process: it begins to import at once, and carries out one order after another."""

    now: ClassVar = None
    _turn: ClassVar = asyncio.Lock()

    def __init__(self):
        """Start the process, which takes the folder of its kernels' sockets away when it ends."""
        self._folder = tempfile.TemporaryDirectory(prefix="moonreach-")
        self.sockets = self._folder.name
        command = [sys.executable, "-P", "-m", "moonreach.notebook.forking", self.sockets]
        pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE}
        self._process, self._told = subprocess.Popen(command, **pipes), None

    @classmethod
    def begin(cls) -> None:
        """Start the process, unless it runs."""
        if cls.now is None or cls.now._process.poll() is not None:
            cls.now = cls()

    @classmethod
    async def ask(cls, **order) -> dict | None:
        """Give the process an order, see `forking`; return what it tells.

        Where it has died another one is started; returns nothing where that died too.
        """
        line = json.dumps(order).encode() + b"\n"
        async with cls._turn:
            for _ in range(2):
                cls.begin()
                if told := await cls.now._answer(line):
                    return json.loads(told)
        return None

    async def _answer(self, line):
        if self._told is None:
            self._told = asyncio.StreamReader(limit=2**24)
            protocol = asyncio.StreamReaderProtocol(self._told)
            loop = asyncio.get_running_loop()
            await loop.connect_read_pipe(lambda: protocol, self._process.stdout)
        try:
            self._process.stdin.write(line)
            self._process.stdin.flush()
            told = await self._told.readline()
        except OSError:
            told = b""
        if not told:  # it has died
            self._process.wait()
        return told
