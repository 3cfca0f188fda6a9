"""A lesson's page without a browser: it asks for and sends what the page's script does.

Messages go in the binary form that Jupyter documents for its websocket, v1.kernel.websocket: the
count of parts and their offsets (8 bytes each, little-endian), then channel, header, parent,
metadata, content and buffers.
"""

import asyncio
import itertools
import json
import re
import time

from tornado.httpclient import AsyncHTTPClient, HTTPRequest
from tornado.websocket import websocket_connect

PROTOCOL = "v1.kernel.websocket.jupyter.org"
_number = itertools.count()


def packed(channel, kind, content, metadata=None):
    """Return a message to the kernel as bytes."""
    header = {"msg_id": f"m{next(_number)}", "msg_type": kind, "username": "", "session": "s"}
    header |= {"version": "5.3", "date": "2029-06-26T00:00:00Z"}
    texts = [channel, *(json.dumps(part) for part in (header, {}, metadata or {}, content))]
    parts = [text.encode() for text in texts]
    ends = list(itertools.accumulate((len(part) for part in parts), initial=8 * (len(parts) + 2)))
    numbers = [len(ends), *ends]
    return b"".join([*(number.to_bytes(8, "little") for number in numbers), *parts])


def unpacked(data):
    """Return the kind, the content and the buffers of a message from the kernel."""
    count = int.from_bytes(data[:8], "little")
    ends = [int.from_bytes(data[8 * n : 8 * n + 8], "little") for n in range(1, count + 1)]
    parts = [data[begin:end] for begin, end in itertools.pairwise(ends)]
    return json.loads(parts[1])["msg_type"], json.loads(parts[4]), parts[5:]


class Page:
    """An open page: its kernel, its sockets, its widgets' states by name."""

    def __init__(self, address, cookie):
        """Take the server's address and the device's cookie."""
        self.address, self.headers = address, {"Cookie": cookie}
        self.states, self.waiting = {}, {}

    async def open(self, path, files=()):
        """Open a lesson and run its cells; return the seconds to its first live figure.

        Parameters: its path; the addresses of the files that a browser asks for beside it.
        """
        began = time.perf_counter()
        page = (await self._fetch(self.address + path)).body.decode()
        await asyncio.gather(*map(self._fetch, files))
        self.kernel = re.search(r'"kernelId": "([^"]*)"', page)[1]
        channels = self._connect(f"api/kernels/{self.kernel}/channels", subprotocols=[PROTOCOL])
        self.channels = await channels
        self.listening = asyncio.ensure_future(self._listen())
        self._send("shell", "kernel_info_request", {})
        self.runs = runs = await self._connect(f"voila/execution/{self.kernel}")
        runs.write_message(json.dumps({"action": "execute", "payload": {"kernel_id": self.kernel}}))
        self.live = asyncio.get_running_loop().create_future()
        self.running = asyncio.ensure_future(self._run(runs))
        self.asking = asyncio.ensure_future(self._ask_for_states())
        self._send("shell", "comm_info_request", {"target_name": "jupyter.widget"})
        await self.live
        return time.perf_counter() - began

    async def rest(self):
        """Wait until all cells have run, and the states of all widgets are there."""
        await self.running
        await self._ask_for_states()

    async def close(self):
        """Close the sockets."""
        for socket in (self.channels, self.runs):
            socket.close()
        await self.listening
        while await self.runs.read_message():
            pass

    def slider(self):
        """Yield a slider, a value for it and the picture that answers, again and again."""
        for box in self.states.values():
            if self._is_figure(box):
                children = self._children(box)
                row = self._children(self.states[children[1]])[0]
                slider = self._children(self.states[row])[0]
                low, high = (self.states[slider][end] for end in ("min", "max"))
                for part in itertools.cycle(range(8)):
                    yield slider, low + (high - low) * part / 7, children[0]
        raise RuntimeError("there is no live figure")

    def answer_box(self):
        """Yield an answer box, an answer and the text that replies, again and again."""
        for box in self.states.values():
            children = self._children(box)
            rows = [self._children(self.states[child]) for child in children]
            if len(children) > 3 and rows[1]:
                typed = rows[1][0]
                if self.states[typed].get("placeholder") == "your answer":
                    for number in itertools.count(1):
                        yield typed, f"{number}", children[2]
        raise RuntimeError("there is no answer box")

    async def change(self, widget, value, follower):
        """Change a widget as a hand does; return the milliseconds until another follows."""
        self.waiting[follower] = asyncio.get_running_loop().create_future()
        began = time.perf_counter()
        data = {"method": "update", "state": {"value": value}, "buffer_paths": []}
        self._send("shell", "comm_msg", {"comm_id": widget, "data": data})
        await self.waiting[follower]
        return 1000 * (time.perf_counter() - began)

    async def _run(self, runs):
        """Take what each cell has shown; the first with a live figure makes the page live."""
        while text := await runs.read_message():
            told = json.loads(text)
            if told["action"] != "execution_result":
                continue
            shown = json.dumps(told["payload"]["output_cell"])
            models = re.findall(r'"model_id": "([^"]*)"', shown)
            while not self.live.done() and models and models[0] not in self.states:
                await asyncio.sleep(0.01)
            if models and not self.live.done() and self._is_figure(self.states[models[0]]):
                self.live.set_result(None)
            if told["payload"]["cell_index"] + 1 == told["payload"]["total_cell"]:
                return

    async def _ask_for_states(self):
        comm = f"control-{next(_number)}"
        self.waiting[comm] = asyncio.get_running_loop().create_future()
        opened = {"comm_id": comm, "target_name": "jupyter.widget.control", "data": {}}
        self._send("shell", "comm_open", opened, {"version": "1.0.0"})
        asked = {"comm_id": comm, "data": {"method": "request_states"}}
        self._send("shell", "comm_msg", asked)
        states = (await self.waiting[comm])["data"]["states"]
        self.states |= {name: about["state"] for name, about in states.items()}

    async def _listen(self):
        while data := await self.channels.read_message():
            kind, content, _ = unpacked(data)
            name, state = content.get("comm_id"), content.get("data", {})
            if kind == "comm_open":
                self.states[name] = state.get("state", {})
            elif kind == "comm_msg":
                self.states.setdefault(name, {}).update(state.get("state", {}))
                if name in self.waiting and state.get("method") != "echo_update":
                    self.waiting.pop(name).set_result(content)

    def _is_figure(self, box):
        """Tell whether a box holds a live figure: its picture above its sliders."""
        names = [self.states[child]["_model_name"] for child in self._children(box)]
        return names[:2] == ["ImageModel", "VBoxModel"]

    def _children(self, state):
        names = [name.removeprefix("IPY_MODEL_") for name in state.get("children", [])]
        return [name for name in names if name in self.states]

    async def _fetch(self, address):
        request = HTTPRequest(address, headers=self.headers, request_timeout=600)
        return await AsyncHTTPClient().fetch(request)

    async def _connect(self, path, **more):
        where = self.address.replace("http", "ws") + path
        request = HTTPRequest(where, headers=self.headers, connect_timeout=600)
        return await websocket_connect(request, max_message_size=2**28, **more)

    def _send(self, *parts):
        self.channels.write_message(packed(*parts), binary=True)
