"""How many pictures a second a browser shows while time runs in a lesson's figure.

Run: python tests/benchmarks/motion.py

Bar: at least 20 a second, counted in Chromium by the pictures' ``load`` events over four seconds.
"""

import sys
import tempfile
import time
from pathlib import Path

sys.path.append(str(Path(__file__).parents[1]))
from lab_browser import open_browser, open_page
from page_browser import lay_lessons, open_lesson, start_pages

LESSONS = "01_earth_size.ipynb", "02_eclipse_timing.ipynb", "06_sun_distance.ipynb"
CLOCK = """() => {
    window.shown = [];
    document.addEventListener('load', event => {
        if (event.target.tagName === 'IMG') shown.push(performance.now());
    }, true);
}"""


def main():
    """Run each figure and print its frames."""
    folder = Path(tempfile.mkdtemp())
    lay_lessons(folder)
    with start_pages(folder) as address, open_browser() as browser, open_page(browser) as (page, _):
        for lesson in LESSONS:
            open_lesson(page, address, lesson)
            page.get_by_role("button", name="Skip").click()
            run = page.locator(".motion").first
            run.scroll_into_view_if_needed()
            page.evaluate(CLOCK)
            time.sleep(10)  # the next kernel gets ready meanwhile
            page.evaluate("() => { shown.length = 0; }")  # what was drawn late is no motion
            run.click()
            time.sleep(4)
            shown = page.evaluate("() => shown")
            rate = 1000 * (len(shown) - 1) / (shown[-1] - shown[0])
            print(f"{lesson}: {rate:.1f} pictures a second (bar: 20)")


if __name__ == "__main__":
    main()
