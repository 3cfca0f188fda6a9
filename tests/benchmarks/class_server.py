"""A class on one server: time to the first live figure, a slider's and an answer's delay, memory.

Run: python tests/benchmarks/class_server.py [students] [browsers]

The server has run for some seconds before the lesson, as a teacher's has. Then all students open
lesson 1 at once: first of all comes what one real browser asks for, files and messages, and the
others ask for the same. Some students are real browsers, whose own work is on this machine too and
gives way to the server's, as a tablet's takes nothing from it; the rest are clients that speak as a
page does. Then all move a slider and answer, all at once. Each step ends after `PATIENCE`; what had
not come by then is told.

Bars on 2 idle processors with 30 students: first live figure 4 s in the median and 15 s for the
last, 19 of 20 moves and answers within 300 ms, 2.5 GB in all.
"""

import asyncio
import contextlib
import itertools
import os
import random
import re
import statistics
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import psutil
from playwright.async_api import async_playwright
from tornado.httpclient import AsyncHTTPClient

sys.path.append(str(Path(__file__).parents[1]))
from lab_browser import FLAGS, chromium
from page_browser import LIVE, Device, lay_lessons, server_of, start_pages
from page_client import Page

from moonreach.notebook import class_room

MOVES, ANSWERS, PAUSE, PATIENCE, READY = 20, 4, 0.5, 45, 20
LESSON = "voila/render/01_earth_size.ipynb"
LIVE_NOW = f"""() => document.querySelector("{LIVE} .noUi-handle")
  && document.querySelector("{LIVE} .widget-image").naturalWidth > 0"""


class Student:
    """A student's device without a window."""

    def __init__(self, address, code, name):
        """Come in and found a group."""
        device = Device(address)
        device.ask("login", code=code)
        device.ask("group", new=name)
        self.page = Page(address, device.header())

    async def open(self, files):
        """Open the lesson; return the seconds to its first live figure."""
        return await self.page.open(LESSON, files)

    async def work(self):
        """Move a slider and answer as a hand does; return the milliseconds of each."""
        await self.page.rest()
        await asyncio.sleep(random.uniform(0, PAUSE))  # hands are not in step
        slider, answers = self.page.slider(), self.page.answer_box()
        moves, replies = [], []
        for number in range(MOVES):
            moves.append(await self.page.change(*next(slider)))
            if number % (MOVES // ANSWERS) == 0:
                replies.append(await self.page.change(*next(answers)))
            await asyncio.sleep(PAUSE)
        return moves, replies


class Browser:
    """A student's device with a window: a page of a real browser."""

    def __init__(self, page):
        """Take a page that has not gone anywhere yet."""
        self.page, self.files = page, set()

    async def come_in(self, address, code, name):
        """Come in and found a group."""
        await self.page.goto(address)
        await self.page.fill("#code", code)
        await self.page.get_by_role("button", name="Come in").click()
        await self.page.fill("#new", name)
        await self.page.get_by_role("button", name="Start").click()
        await self.page.locator(f'a[href$="{LESSON}"]').wait_for()
        self.address = address

    async def open(self, _):
        """Open the lesson; return the seconds to its first live figure."""
        self.page.on("request", lambda one: self.files.add(one.url))
        began = time.perf_counter()
        await self.page.locator(f'a[href$="{LESSON}"]').click()
        await self.page.wait_for_function(LIVE_NOW, timeout=1000 * PATIENCE)
        return time.perf_counter() - began

    async def work(self):
        """Move a slider; what it takes is a matter of the browser too and not counted."""
        handle = self.page.locator(f"{LIVE} .noUi-handle").first
        await handle.focus()
        for _ in range(MOVES):
            await self.page.keyboard.press("ArrowRight")
            await asyncio.sleep(PAUSE)
        return [], []


async def patiently(step):
    """Return what a step gives, or nothing where it takes too long or fails."""
    try:
        return await asyncio.wait_for(step, PATIENCE)
    except Exception as error:  # told by the caller as one that did not come
        return None if isinstance(error, TimeoutError) else print(f"  {type(error)}: {error}")


def within(what, values, unit):
    """Print the median, 19 of 20 and the last of some values; None is one that did not come."""
    came = sorted(value for value in values if value is not None)
    print(f"{what}: {len(came)} of {len(values)} came", end="")
    if came:
        late = came[min(int(0.95 * len(came)), len(came) - 1)]
        middle = statistics.median(came)
        ends = f"19 of 20 within {late:.2f}, last {came[-1]:.2f}"
        print(f"; median {middle:.2f} {unit}, {ends}", end="")
    print(flush=True)


def processor_time(root):
    """Return the seconds that a process and all that it started have used."""
    used = 0.0
    for process in [root, *root.children(recursive=True)]:
        with contextlib.suppress(psutil.Error):
            used += sum(process.cpu_times()[:2])
    return used


def memory(root):
    """Return the proportional set sizes (MB) of a process and all that it started."""
    shares = []
    for process in [root, *root.children(recursive=True)]:
        try:
            told = Path(f"/proc/{process.pid}/smaps_rollup").read_text(encoding="utf-8")
            shares.append(int(re.search(r"^Pss:\s+(\d+)", told, re.M)[1]) / 1024)
        except (OSError, psutil.Error):
            continue
    return shares


def stand_aside():
    """Let browsers that start from now on take only what the server leaves.

    Each stands for a device with processors of its own.
    """
    if hasattr(os, "SCHED_IDLE"):
        for process in psutil.Process().children():  # playwright's, which starts the browsers
            if "playwright" in " ".join(process.cmdline()):
                for thread in process.threads():
                    os.sched_setscheduler(thread.id, os.SCHED_IDLE, os.sched_param(0))


async def files_of_a_page(browser, address, code):
    """Return what a browser asks for beside the page; it opens it once, before the lesson."""
    context = await browser.new_context()
    first = Browser(await context.new_page())
    await first.come_in(address, code, "The first")
    await first.open(())
    await first.page.goto("about:blank")  # it gives its kernel back
    await context.close()
    return sorted(one for one in first.files if "/static/" in one or "/templates/" in one)


async def lesson(address, code, folder, clients, browsers):
    """Let all open the page at once, then all work; print what it took."""
    async with async_playwright() as playwright:
        stand_aside()
        browser = await playwright.chromium.launch(executable_path=chromium(), args=FLAGS)
        files = await files_of_a_page(browser, address, code)
        pages = [Browser(await (await browser.new_context()).new_page()) for _ in range(browsers)]
        for number, page in enumerate(pages):
            await page.come_in(address, code, f"Browser {number}")
        await asyncio.sleep(READY)
        print(f"{len(files)} files a page; load {os.getloadavg()[0]:.1f}", flush=True)
        students = [*pages, *clients]
        used = processor_time(root := server_of(folder))
        firsts = await asyncio.gather(*(patiently(one.open(files)) for one in students))
        within("first live figure", firsts, "s")
        within("  of them in browsers", firsts[:browsers], "s")
        used = processor_time(root) - used
        print(f"  processor time of the server and its kernels: {used:.0f} s", flush=True)
        there = [one for one, first in zip(students, firsts, strict=True) if first]
        done = [one for one in await asyncio.gather(*(patiently(s.work()) for s in there)) if one]
        print(f"{len(done)} of {len(there)} worked to the end")
        for what, kind in zip(("slider", "answer"), zip(*done, strict=True), strict=False):
            within(what, [*itertools.chain(*kind)], "ms")
        shares = memory(root)
        print(f"memory: {sum(shares):.0f} MB in {len(shares)} processes", flush=True)
        await browser.close()


def main():
    """Print the figures of a class."""
    count, browsers = (int(word) for word in [*sys.argv[1:], "30", "3"][:2])
    browsers = min(count, browsers if len(sys.argv) != 2 else 3)
    print(f"{count} students, {browsers} of them browsers, on {os.cpu_count()} processors")
    AsyncHTTPClient.configure(None, max_clients=6 * count)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name).resolve()
        lay_lessons(folder)
        with start_pages(folder, in_class=True) as address:
            code = class_room.Codes(folder / ".moonreach").student
            with ThreadPoolExecutor(8) as pool:
                names = [f"Group {number}" for number in range(1, count - browsers + 1)]
                clients = [*pool.map(lambda group: Student(address, code, group), names)]
            asyncio.run(lesson(address, code, folder, clients, browsers))


if __name__ == "__main__":
    main()
