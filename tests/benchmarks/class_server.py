"""A class of thirty on one server: time to the first live figure, a slider's delay, memory.

Run: python tests/benchmarks/class_server.py [students]

Each student is a client of the server as the page's script is: it comes in with the code, founds a
group, opens lesson 1, all at once, lets its cells run, and then moves a slider, all at once. The
browsers' own work is not in it. Bars on 2 idle processors: first live figure 4 s in the median and
15 s for the last, 19 of 20 moves within 300 ms, 2.5 GB in all.
"""

import asyncio
import itertools
import json
import os
import re
import statistics
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from tornado.httpclient import AsyncHTTPClient, HTTPRequest
from tornado.websocket import websocket_connect

sys.path.append(str(Path(__file__).parents[1]))
from page_browser import Device, lay_lessons, start_pages

from moonreach.notebook import class_room

MOVES, PAUSE, PATIENCE = 20, 0.5, 180
LESSON = "voila/render/01_earth_size.ipynb"
_number = itertools.count()


class Student:
    """One page that is open: its kernel, its sockets."""

    def __init__(self, address, code, name):
        """Come in and found a group."""
        self.address, self.device = address, Device(address)
        self.device.ask("login", code=code)
        self.device.ask("group", new=name)
        self.headers = {"Cookie": self.device.header()}

    async def open(self):
        """Open the lesson; return the seconds to its first live figure."""
        began, first = time.perf_counter(), None
        request = HTTPRequest(self.address + LESSON, headers=self.headers, request_timeout=PATIENCE)
        page = (await AsyncHTTPClient().fetch(request)).body.decode()
        self.kernel = re.search(r'"kernelId": "([^"]*)"', page)[1]
        self.channels = await self._connect(f"api/kernels/{self.kernel}/channels")
        runs = await self._connect(f"voila/execution/{self.kernel}")
        payload = {"kernel_id": self.kernel}
        await runs.write_message(json.dumps({"action": "execute", "payload": payload}))
        while message := json.loads(await runs.read_message()):
            if message["action"] != "execution_result":
                continue
            told = message["payload"]
            shown = json.dumps(told["output_cell"])
            if first is None and "widget-view" in shown and "image/png" in shown:
                first = time.perf_counter() - began
            if told["cell_index"] + 1 >= told["total_cell"]:
                return first

    async def find(self):
        """Ask for the widgets, as a page does that is opened; find a slider and its picture."""
        comm = f"control-{next(_number)}"
        opened = {"comm_id": comm, "target_name": "jupyter.widget.control", "data": {}}
        await self._send("comm_open", opened, {"version": "1.0.0"})
        await self._send("comm_msg", {"comm_id": comm, "data": {"method": "request_states"}})
        while True:
            content = (await self._read())["content"]
            states = content.get("data", {}).get("states") if content.get("comm_id") == comm else 0
            if states:
                break
        for box in states.values():
            children = [
                name.removeprefix("IPY_MODEL_") for name in box["state"].get("children", [])
            ]
            names = [states[child]["model_name"] for child in children if child in states]
            if names[:2] == ["ImageModel", "VBoxModel"]:
                self.picture, board = children[:2]
                row = states[board]["state"]["children"][0].removeprefix("IPY_MODEL_")
                self.slider = states[row]["state"]["children"][0].removeprefix("IPY_MODEL_")
                low, high = (states[self.slider]["state"][end] for end in ("min", "max"))
                self.values = itertools.cycle([low + (high - low) * part / 7 for part in range(8)])
                return
        raise RuntimeError("there is no live figure")

    async def move(self):
        """Move the slider as a hand does; return the milliseconds to each new picture."""
        delays = []
        for _ in range(MOVES):
            data = {"method": "update", "state": {"value": next(self.values)}, "buffer_paths": []}
            began = time.perf_counter()
            await self._send("comm_msg", {"comm_id": self.slider, "data": data})
            while (await self._read())["content"].get("comm_id") != self.picture:
                pass
            delays.append(1000 * (time.perf_counter() - began))
            await asyncio.sleep(PAUSE)
        return delays

    async def _connect(self, path):
        where = self.address.replace("http", "ws") + path
        request = HTTPRequest(where, headers=self.headers, connect_timeout=PATIENCE)
        return await websocket_connect(request, max_message_size=2**28)

    async def _send(self, kind, content, metadata=None):
        header = {"msg_id": f"m{next(_number)}", "msg_type": kind, "username": "", "session": "s"}
        header |= {"version": "5.3", "date": "2029-06-26T00:00:00Z"}
        message = {"header": header, "parent_header": {}, "metadata": metadata or {}}
        message |= {"content": content, "channel": "shell"}
        await self.channels.write_message(json.dumps(message))

    async def _read(self):
        message = await asyncio.wait_for(self.channels.read_message(), PATIENCE)
        if isinstance(message, bytes):  # offsets of the parts, then the text of the message
            count = int.from_bytes(message[:4], "big")
            ends = [int.from_bytes(message[4 * n : 4 * n + 4], "big") for n in range(1, count + 1)]
            message = message[ends[0] : ends[1] if count > 1 else None]
        return json.loads(message)


def memory(folder):
    """Return the proportional set sizes (MB) of the server and of all that it started."""
    shares = []
    for path in Path("/proc").glob("[0-9]*"):
        try:
            if (
                Path(path, "cwd").resolve() == folder
                or str(folder) in (path / "cmdline").read_text()
            ):
                told = (path / "smaps_rollup").read_text(encoding="utf-8")
                shares.append(int(re.search(r"^Pss:\s+(\d+)", told, re.M)[1]) / 1024)
        except OSError:
            continue
    return shares


async def work(students, folder):
    """Let all open the page at once, then all move; print what it took."""
    firsts = sorted(await asyncio.gather(*(student.open() for student in students)))
    print(f"first live figure: median {statistics.median(firsts):.1f} s, last {firsts[-1]:.1f} s")
    await asyncio.gather(*(student.find() for student in students))
    told = await asyncio.gather(*(student.move() for student in students))
    delays = sorted(itertools.chain(*told))
    late = delays[int(0.95 * len(delays))]
    print(f"slider: median {statistics.median(delays):.0f} ms, 19 of 20 within {late:.0f} ms")
    shares = memory(folder)
    print(f"memory: {sum(shares):.0f} MB in {len(shares)} processes")


def main():
    """Print the figures of a class."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 30
    print(f"{count} students, load {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")
    AsyncHTTPClient.configure(None, max_clients=count)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name).resolve()
        lay_lessons(folder)
        with start_pages(folder, in_class=True) as address:
            code = class_room.Codes(folder / ".moonreach").student
            with ThreadPoolExecutor(8) as pool:
                names = [f"Group {number}" for number in range(1, count + 1)]
                students = [*pool.map(lambda group: Student(address, code, group), names)]
            time.sleep(5)  # until the first kernel is ready
            asyncio.run(work(students, folder))


if __name__ == "__main__":
    main()
