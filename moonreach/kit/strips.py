"""Scales too long for a page: strips of 200 mm to glue end to end, with rows of angles below."""

import numpy as np

from moonreach.kit.page import MIDDLE, PAGES

LENGTH = 200.0  # mm of scale on one strip, on either paper
_TAB = 8.0
_MILLIMETRES = {10: 4, 5: 3, 1: 1.8}  # lengths of the ticks
_TENTHS = {10: 2.2, 5: 1.5, 1: 1}
_DOWN = (0, -1)


def pages(kit, name, first, last, rows, **words):
    """Yield pages of strips from one distance to another, in mm.

    Parameters: a kit; the name of the pages in `kit.toml`; the distances; a dict from a row's
    name to (numbers, distances in mm), both increasing or decreasing in steps of a tenth; and
    what the pages' words ask for.
    """
    page, high = None, _high(rows)
    for start in np.arange(first, last - 1e-6, LENGTH):
        if page is None:
            page, y = kit.begin(name, landscape=True, size=8, start=start / 1000, **words)
            y -= 2
        strip(page, y - high, start, min(start + LENGTH, last), rows, PAGES[name]["zero"])
        y -= high + 3
        if y - high < page.bottom - 2:
            yield page
            page = None
    if page is not None:
        yield page


def _high(rows):
    return 10.0 + 5.0 * len(rows)


def strip(page, low, start, stop, rows, zero):
    """Draw one strip with its lower edge at a height; 1 mm of scale is 1 mm of paper."""
    high, length = _high(rows), stop - start
    x, top = page.left + 4, low + high
    page.rectangle(x, low, length, high, lw=0.6)
    page.rectangle(x + length, low, _TAB, high, lw=0.4, ls=":")
    page.words(x + length + _TAB / 2, low + high / 2, "glue under", 6, rotation=90, **MIDDLE)

    def scale(counts, distances, line, ticks, name):
        """Draw ticks below a line, with a number at every tenth count clear of the name."""
        at = np.stack([x + distances - start, np.full(len(distances), line)], axis=-1)
        page.scale(counts, at, _DOWN, ticks)
        for count, distance in zip(counts, distances - start, strict=True):
            if count % 10 == 0 and 3 < distance < length - 1 - 1.4 * len(name):
                number = (x + distance, line - ticks[10])
                page.words(*number, f"{count / 10:g}", 6, ha="center", va="top")

    millimetres = np.arange(np.ceil(start), stop + 0.01)
    scale(millimetres, millimetres, top, _MILLIMETRES, "")
    for number, (name, (angles, distances)) in enumerate(rows.items()):
        line = top - 7.0 - 5.0 * number
        page.line([x, x + length], [line] * 2, lw=0.3)
        inside = (distances >= start) & (distances <= stop)
        scale(np.rint(angles[inside] * 10), distances[inside], line, _TENTHS, name)
        page.words(x + length - 1, line - 4.6, name, 5.5, ha="right", weight="bold")
    page.words(x + 1, low + 0.6, f"cm {zero}; begins at {start / 1000:g} m", 5.5, weight="bold")
