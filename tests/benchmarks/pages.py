"""How long a student waits: click to first live figure, key to picture, answer to reply.

Run: python tests/benchmarks/pages.py

A click in the page of contents is cold where the server was just started and the browser has
loaded nothing; it is warm where the lesson has run beforehand and the browser has opened one
before. Bars on two idle cores: cold at most 5 s, warm at most 1.5 s; in the median key to picture
at most 60 ms, and Enter in an answer box to the reply at most 150 ms. The processor's seconds are
those of the server and all kernels from the click until the page rests (Linux alone).
"""

import os
import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path.append(str(Path(__file__).parents[1]))
from lab_browser import open_browser, open_page
from page_browser import LIVE, click_lesson, lay_lessons, start_pages
from sliders_in_browser import CLOCK, key_to_picture

from moonreach.notebook import progress

ROUNDS = 3
PAUSE = 3  # seconds in which a page comes to rest
READY = 20  # seconds in which all lessons run beforehand
# Notes when Enter was pressed in a box, and when its reply had changed.
REPLIES = """box => {
    window.entered = []; window.replied = [];
    box.addEventListener('keydown', event => {
        if (event.key === 'Enter') entered.push(performance.now());
    }, true);
    const part = [...document.querySelectorAll('.widget-vbox')]
        .filter(one => one.contains(box)).at(-1);
    new MutationObserver(() => {
        if (part.querySelector('[role=status]')) replied.push(performance.now());
    }).observe(part, {childList: true, subtree: true});
}"""


def click_to_figure(page, address, name):
    """Return the seconds from the click in the page of contents to the first live figure."""
    page.goto(address)
    began = time.perf_counter()
    click_lesson(page, name)
    return time.perf_counter() - began


def answer_to_reply(page, answers=6):
    """Return the milliseconds from each Enter in the page's first answer box to its reply."""
    box = page.locator('input[placeholder="your answer"]').first
    box.evaluate(REPLIES)
    times = []
    for number in range(answers):
        box.fill(str(1000 + number))
        page.evaluate("() => { entered.length = 0; replied.length = 0; }")
        box.press("Enter")
        page.wait_for_function("() => replied.length", polling=5)
        times.append(page.evaluate("() => replied[0] - entered[0]"))
        time.sleep(0.5)
    return times


def processor_seconds():
    """Return what the server that this process has started, and all below it, have used."""
    used, children = {}, {}
    for path in Path("/proc").glob("[0-9]*"):
        try:
            fields = (path / "stat").read_text().rpartition(")")[2].split()
            serves = b"moonreach.notebook.serve" in (path / "cmdline").read_bytes()
        except OSError:  # it has ended meanwhile
            continue
        name, parent = int(path.name), int(fields[1])
        used[name] = sum(map(int, fields[11:13])) / os.sysconf("SC_CLK_TCK")
        children.setdefault(parent, []).append(name)
        if serves and parent == os.getpid():
            children["server"] = [name]

    def below(name):
        return sum(used.get(one, 0) + below(one) for one in children.get(name, ()))

    return below("server")


def cold(folder, name):
    """Return the seconds of a first click, with everything just started."""
    with (
        start_pages(folder) as address,
        open_browser() as browser,
        open_page(browser, 1366, 768) as (page, _),
    ):
        return click_to_figure(page, address, name)


def main():
    """Measure and print; the load says how idle the cores were."""
    print(f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    with tempfile.TemporaryDirectory() as folder:
        lay_lessons(folder)
        names = [page.file for page in progress.pages(folder)]
        times = [cold(folder, name) for name in names]
        print("click to first live figure, cold (bar 5 s):")
        firsts = zip(names, times, strict=True)
        print("  " + ", ".join(f"{name[:2]}: {took:.1f}" for name, took in firsts))
        with (
            start_pages(folder) as address,
            open_browser() as browser,
            open_page(browser, 1366, 768) as (page, watch),
        ):
            click_to_figure(page, address, names[0])
            time.sleep(READY)
            print("click to first live figure, warm (bar 1.5 s):")
            for name in names:
                times, used = [], []
                for _ in range(ROUNDS):
                    page.goto(address)
                    time.sleep(PAUSE)
                    before = processor_seconds()
                    times.append(click_to_figure(page, address, name))
                    time.sleep(PAUSE)
                    used.append(processor_seconds() - before)
                page.evaluate(CLOCK)
                time.sleep(2)
                handle = page.locator(LIVE).first.locator(".noUi-handle").first
                handle.focus()
                for press in ("Home", "PageUp", "PageUp"):
                    page.keyboard.press(press)
                key = statistics.median(key_to_picture(page, handle))
                shown = ", ".join(f"{took:.1f}" for took in sorted(times))
                reply = statistics.median(answer_to_reply(page))
                print(
                    f"  {name[:2]}: {shown}; key to picture {key:.0f} ms (bar 60), answer to reply "
                    f"{reply:.0f} ms (bar 150), processor {statistics.median(used):.2f} s a page"
                )
            print(f"errors {watch.errors}, off the machine {watch.outside}")


if __name__ == "__main__":
    main()
