"""A slider in the browser, our way and the usual way.

Run: python tests/benchmarks/sliders_in_browser.py

Both ways show the same drawing in one notebook of one JupyterLab. The usual way is ``interact``
with the figure built anew at each step. Times are taken in the page: from the key or the mouse
to the picture's ``load`` event. Bars: key press to changed picture at most 0.45 of the usual
way's; a drag of 60 moves at 60 Hz shows at least 18 frames and settles within 150 ms of the last
move; the last picture belongs to the last value.
"""

import statistics
import sys
import tempfile
import time
from pathlib import Path

from moonreach.figures.eclipse_timing import MoonPath

sys.path.append(str(Path(__file__).parents[1]))
from lab_browser import (
    handle_of,
    live_figures,
    open_browser,
    open_notebook,
    open_page,
    picture_of,
    readout_of,
    run_all,
    start_lab,
    write_notebook,
)

CELLS = (
    "%matplotlib inline\n"
    "from ipywidgets import FloatSlider, interact\n"
    "from IPython.display import display\n"
    "from moonreach.figures.eclipse_timing import MoonPath\n"
    "from moonreach.figures.live import live",
    "live(MoonPath())",
    "def anew(moment):\n"
    "    drawing = MoonPath()\n"
    "    drawing.set(moment=moment)\n"
    "    display(drawing.figure)\n"
    "moment = FloatSlider(min=-150, max=150, value=-100, step=1, layout={'width': '760px'})\n"
    "interact(anew, moment=moment);",
)
LABEL = "Time from the middle"
# Notes when a key or the mouse came and when a picture had been shown.
CLOCK = """() => {
    window.came = []; window.shown = [];
    for (const kind of ['keydown', 'mousemove'])
        document.addEventListener(kind, () => came.push(performance.now()), true);
    document.addEventListener('load', event => {
        if (event.target.tagName === 'IMG') shown.push(performance.now());
    }, true);
}"""


def key_to_picture(page, handle, presses=30):
    """Return the milliseconds from each key press to the picture it made."""
    handle.focus()
    times = []
    for number in range(presses):
        page.evaluate("() => { came.length = 0; shown.length = 0; }")
        page.keyboard.press("ArrowLeft" if number % 6 < 3 else "ArrowRight")
        page.wait_for_function("() => shown.length", polling=5)
        times.append(page.evaluate("() => shown[0] - came[0]"))
        time.sleep(0.15)
    return times


# The page itself moves the mouse, as no other process can keep time at 60 Hz on a busy machine.
MOVES = """async ([x, y, moves]) => {
    came.length = 0; shown.length = 0;
    const start = performance.now();
    for (let number = 0; number < moves; number++) {
        const late = start + number * 1000 / 60 - performance.now();
        await new Promise(go => setTimeout(go, Math.max(0, late)));
        document.documentElement.dispatchEvent(new MouseEvent('mousemove', {
            clientX: x - 6 * (number + 1), clientY: y, buttons: 1, bubbles: true,
        }));
    }
    const took = performance.now() - start;
    await new Promise(go => setTimeout(go, 1000));
    return [shown.length, shown.at(-1) - came.at(-1), took];
}"""


def drag(page, handle, moves=60):
    """Drag the handle to another value 60 times a second; return frames, settling, duration."""
    handle.scroll_into_view_if_needed()
    box = handle.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    time.sleep(0.5)
    frames, settled, took = page.evaluate(MOVES, [x, y, moves])
    page.mouse.up()
    return frames, settled, took / 1000


def main():
    """Measure both ways, side by side, and print a table."""
    notebooks = Path(tempfile.mkdtemp())
    write_notebook(notebooks / "both.ipynb", *CELLS)
    with (
        start_lab(notebooks) as lab,
        open_browser() as browser,
        open_page(browser, height=1500) as (page, watch),
    ):
        began = time.perf_counter()
        open_notebook(page, lab, "both.ipynb")
        assert run_all(page) == []
        figure = live_figures(page).first
        print(f"from opening the page to the first live figure {time.perf_counter() - began:.1f} s")
        usual = page.locator(".widget-interact")
        handles = [handle_of(figure, LABEL), usual.locator(".noUi-handle")]
        page.evaluate(CLOCK)
        ours, others = ([], [])
        for _ in range(2):  # in turns, so that a busy machine slows both
            ours += key_to_picture(page, handles[0])
            others += key_to_picture(page, handles[1])
        press, other = statistics.median(ours), statistics.median(others)
        print(f"key press to changed picture: {press:.0f} ms, the usual way {other:.0f} ms,")
        print(f"  ratio {press / other:.2f} (bar 0.45)")
        for name, handle in (("ours", handles[0]), ("the usual way", handles[1])):
            for _ in range(3):
                handle.focus()
                page.keyboard.press("End")
                time.sleep(0.5)
                frames, settled, took = drag(page, handle)
                print(
                    f"drag, {name}: {frames} frames in {took:.2f} s, settles {settled:.0f} ms "
                    "after the last move" + " (bars 18, 150)" * (name == "ours")
                )
                if name == "ours":
                    value = float(readout_of(figure, LABEL).replace("−", "-"))
                    last = picture_of(page, figure) == MoonPath().jpeg(moment=value)
                    print(f"  the last picture belongs to the last value {value}: {last}")
        print(f"errors {watch.errors}, failed {watch.failed}, off the machine {watch.outside}")


if __name__ == "__main__":
    main()
