"""How long a student waits for a page: click to first live figure, key to picture.

Run: python tests/benchmarks/pages.py

A click in the page of contents is cold where the server was just started and the browser has
loaded nothing; it is warm where a spare kernel is ready and the browser has opened a lesson before.
Bars on two idle cores: cold at most 5 s, warm at most 1.5 s, key to picture at most 60 ms in the
median.
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
PAUSE = 11  # seconds in which the next spare kernel gets ready


def click_to_figure(page, address, name):
    """Return the seconds from the click in the page of contents to the first live figure."""
    page.goto(address)
    began = time.perf_counter()
    click_lesson(page, name)
    return time.perf_counter() - began


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
            print("click to first live figure, warm (bar 1.5 s):")
            for name in names:
                times = []
                for _ in range(ROUNDS):
                    time.sleep(PAUSE)
                    times.append(click_to_figure(page, address, name))
                page.evaluate(CLOCK)
                time.sleep(2)
                handle = page.locator(LIVE).first.locator(".noUi-handle").first
                handle.focus()
                for press in ("Home", "PageUp", "PageUp"):
                    page.keyboard.press(press)
                key = statistics.median(key_to_picture(page, handle))
                shown = ", ".join(f"{took:.1f}" for took in sorted(times))
                print(f"  {name[:2]}: {shown}; key to picture {key:.0f} ms (bar 60)")
            print(f"errors {watch.errors}, off the machine {watch.outside}")


if __name__ == "__main__":
    main()
