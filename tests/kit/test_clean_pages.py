"""The printed kit to the eye: no words on other words or on lines, none beyond the page."""

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.text import Text

from moonreach.kit import Kit


def boxes_of(sheet):
    """Return where each text of a page stands, upright ones alone, in mm."""
    FigureCanvasAgg(sheet.figure).draw()
    back = sheet.axes.transData.inverted()
    for text in sheet.axes.texts:
        if text.get_text().strip() and text.get_rotation() in (0, 90):
            yield text.get_text(), Text.get_window_extent(text).transformed(back)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_no_words_lie_on_others_or_beyond_the_page(paper):
    for sheet in Kit(paper).pages():
        boxes = [(text, box.padded(-0.1)) for text, box in boxes_of(sheet)]
        for text, box in boxes:
            assert box.x0 > 8 and box.x1 < sheet.width - 8, (sheet.title, text)
            assert box.y0 > 8 and box.y1 < sheet.height - 8, (sheet.title, text)
            beneath = [other for other, place in boxes if other != text and place.overlaps(box)]
            assert not beneath, (sheet.title, text, beneath)


def test_the_numbers_of_rings_and_quadrant_are_free_of_lines():
    for sheet in Kit().pages():
        if not sheet.title.startswith(("Quadrant", "Gnomon base")):
            continue
        lines = [line.get_xydata() for line in sheet.axes.lines]
        ends = [points[~np.isnan(points[:, 0])].reshape(-1, 2, 2) for points in lines]
        along = np.linspace(0, 1, 400)[:, None, None]
        dots = [(each[:, 0] + along * (each[:, 1] - each[:, 0])).reshape(-1, 2) for each in ends]
        turns = np.radians(np.arange(0, 360, 0.25))
        round_about = np.stack([np.cos(turns), np.sin(turns)], axis=-1)
        dots += [
            patch.center + patch.radius * round_about
            for patch in sheet.axes.patches
            if hasattr(patch, "radius")
        ]
        for text, box in boxes_of(sheet):
            if text.endswith("°"):
                inside = np.concatenate(dots)
                inside = (inside > box.min).all(axis=1) & (inside < box.max).all(axis=1)
                assert not inside.any(), (sheet.title, text)
