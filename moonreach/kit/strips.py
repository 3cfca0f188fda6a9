"""Scales too long for a page: strips of 200 mm to glue end to end, with rows of angles below."""

import numpy as np

LENGTH = 200.0  # mm of scale on one strip, on either paper
_TAB = 8.0


def pages(kit, title, how, caution, first, last, rows, zero):
    """Yield pages of strips from one distance to another, in mm.

    Parameters: a kit; title, words and caution of each page; the distances; a dict from a row's
    name to (numbers, distances in mm), both increasing or decreasing in steps of a tenth; and
    what the distance counts from.
    """
    starts = list(np.arange(first, last - 1e-6, LENGTH))
    page = None
    for start in starts:
        if page is None:
            page = kit.page(f"{title}, from {start / 1000:g} m", landscape=True)
            y = page.caution(page.top, caution)
            y = page.paragraph(page.left, y, page.right - page.left, how, 8) - 2
        high = _high(rows)
        strip(page, y - high, start, min(start + LENGTH, last), rows, zero)
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
    high = _high(rows)
    x, top = page.left + 4, low + high
    length = stop - start
    page.rectangle(x, low, length, high, lw=0.6)
    page.rectangle(x + length, low, _TAB, high, lw=0.4, ls=":")
    page.words(
        x + length + _TAB / 2, low + high / 2, "glue under", 6, rotation=90, ha="center",
        va="center",
    )  # fmt: skip
    ticks = []
    for mm in np.arange(np.ceil(start), stop + 0.01):
        size = 4 if mm % 10 == 0 else 3 if mm % 5 == 0 else 1.8
        ticks.append(((x + mm - start, top), (x + mm - start, top - size)))
        if mm % 10 == 0 and start < mm < stop:
            page.words(x + mm - start, top - 4.2, f"{mm / 10:g}", 6, ha="center", va="top")
    page.strokes(ticks)
    for number, (name, (angles, distances)) in enumerate(rows.items()):
        line = top - 7.0 - 5.0 * number
        page.line([x, x + length], [line] * 2, lw=0.3)
        inside = (distances >= start) & (distances <= stop)
        ticks = []
        for angle, mm in zip(angles[inside], distances[inside], strict=True):
            at = x + mm - start
            tens = round(angle * 10) % 10
            ticks.append(((at, line), (at, line - (2.2 if tens == 0 else 1.5 if tens == 5 else 1))))
            if tens == 0 and 3 < mm - start < length - 2 - 1.4 * len(name):
                page.words(at, line - 2.2, f"{angle:.0f}", 6, ha="center", va="top")
        page.strokes(ticks)
        page.words(x + length - 1, line - 4.6, name, 5.5, ha="right", weight="bold")
    page.words(x + 1, low + 0.6, f"cm {zero}; begins at {start / 1000:g} m", 5.5, weight="bold")
