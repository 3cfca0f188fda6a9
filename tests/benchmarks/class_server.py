"""What a class costs on one server: memory of a kernel, and a slider's delay with several kernels.

Run: python tests/benchmarks/class_server.py

Each kernel holds what the heaviest lesson holds: the desk, its form, its result and two live
figures. Then a slider moves in every kernel at once, as hands do it and without any pause, and the
time from its message to the message with the new picture is taken. Network and browser are not in
it.
"""

import os
import queue
import re
import statistics
import sys
import threading
import time
from pathlib import Path

from jupyter_client.manager import KernelManager

COUNTS = (1, 4, 8)
MOVES = 40
HANDS = {"4 moves a second": 0.25, "without a pause": 0.0}
LESSON = """
from moonreach.notebook.desk import Desk
from moonreach.figures.moon_distance import WholeChain
from moonreach.figures.to_scale import ToScale
from moonreach.figures.live import live
desk = Desk("moon_distance", work="/nowhere")
form, first, second = desk.form(), live(WholeChain()), live(ToScale())
desk.result()
print(first.handles["moon_altitude"].comm.comm_id, first.picture.comm.comm_id)
"""


def memory(process):
    """Return a process's resident memory and its own share of it (MB; Linux tells both)."""
    told = Path(f"/proc/{process}/smaps_rollup").read_text(encoding="utf-8")
    return [int(re.search(rf"^{name}:\s+(\d+)", told, re.M)[1]) / 1024 for name in ("Rss", "Pss")]


def start():
    """Start a kernel with the lesson in it; return manager, client and the two comms' names."""
    manager = KernelManager(kernel_name="python3")
    manager.start_kernel(env=os.environ)
    client = manager.client()
    client.start_channels()
    client.wait_for_ready(timeout=120)
    told = []
    reply = client.execute_interactive(
        LESSON, timeout=120, output_hook=lambda m: told.append(m["content"].get("text", ""))
    )
    if reply["content"]["status"] != "ok":
        sys.exit(f"the lesson does not run: {reply['content']}")
    return manager, client, "".join(told).split()


def move(client, slider, picture, pause, delays):
    """Move the slider again and again, and note how long each picture took."""
    for number in range(MOVES):
        data = {"method": "update", "state": {"value": 6.0 + number}, "buffer_paths": []}
        message = client.session.msg("comm_msg", {"comm_id": slider, "data": data})
        began = time.perf_counter()
        client.shell_channel.send(message)
        while True:
            try:
                answer = client.get_iopub_msg(timeout=10)
            except queue.Empty:
                sys.exit("no picture within 10 s")
            content = answer["content"]
            if answer["msg_type"] == "comm_msg" and content["comm_id"] == picture:
                break
        delays.append(1000 * (time.perf_counter() - began))
        time.sleep(pause)


def main():
    """Print a line for each number of kernels."""
    print(f"{os.cpu_count()} processors")
    kernels = []
    try:
        for count in COUNTS:
            while len(kernels) < count:
                kernels.append(start())
            found = [memory(manager.provisioner.pid) for manager, *_ in kernels]
            resident, own = (statistics.mean(values) for values in zip(*found, strict=True))
            print(f"{count} kernels: {resident:.0f} MB each, {own:.0f} MB of it their own")
            for hand, pause in HANDS.items():
                delays = []
                hands = [
                    threading.Thread(target=move, args=(client, *names, pause, delays))
                    for _, client, names in kernels
                ]
                for each in hands:
                    each.start()
                for each in hands:
                    each.join()
                delays.sort()
                late = delays[int(0.95 * len(delays))]
                print(
                    f"  {hand}: {statistics.median(delays):.0f} ms, 19 of 20 within {late:.0f} ms"
                )
    finally:
        for manager, client, _ in kernels:
            client.stop_channels()
            manager.shutdown_kernel(now=True)


if __name__ == "__main__":
    main()
