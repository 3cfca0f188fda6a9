"""Words whose letters are outlines that are looked up once, for words drawn anew at each step.

matplotlib lays each text out anew, letter by letter, and that took most of a step's time.
"""

from functools import cache, lru_cache
from itertools import pairwise

import numpy as np
from matplotlib.backends.backend_agg import RendererAgg, get_hinting_flag
from matplotlib.colors import to_rgb
from matplotlib.font_manager import findfont
from matplotlib.ft2font import FT2Font, Kerning
from matplotlib.path import Path
from matplotlib.text import Text
from matplotlib.transforms import Affine2D


class Words(Text):
    """A text that is quick to draw as pixels where it is one line without a formula."""

    def draw(self, renderer):
        """Draw the words where matplotlib would, on any renderer."""
        text, look = self.get_text(), self.get_fontproperties()
        if not isinstance(renderer, RendererAgg) or set("$\n") & set(text):
            super().draw(renderer)
        elif text and self.get_visible():
            line = _line(text, findfont(look), look.get_size_in_points(), renderer.dpi)
            path, left, low = line
            x, y = self.get_transform().transform(self.get_position())
            x -= left[self.get_horizontalalignment()]
            paint = renderer.new_gc()
            paint.set_linewidth(0)
            paint.set_alpha(self.get_alpha())
            at = Affine2D().translate(x, y - low[self.get_verticalalignment()])
            renderer.draw_path(paint, path, at, to_rgb(self.get_color()))
            paint.restore()


@lru_cache(1024)
def _line(text, file, size, dpi):
    """Return a text's outline from (0, 0) to the right, and where in it its places are, in px."""
    font = _font(file, size, dpi)
    letters = [_letter(letter, file, size, dpi) for letter in text]
    indices, corners, codes, wide = zip(*letters, strict=True)
    nearer = [font.get_kerning(*pair, Kerning.UNFITTED) / 64 for pair in pairwise(indices)]
    begins = np.cumsum((0, *np.add(wide, (*nearer, 0))))
    placed = [np.add(each, (x, 0)) for each, x in zip(corners, begins[:-1], strict=True)]
    outline, width = np.concatenate(placed), begins[-1]
    lines, em = font.get_sfnt_table("OS/2"), size * dpi / 72 / font.units_per_EM
    high = max(*outline[:, 1], lines["sTypoAscender"] * em)
    low = min(*outline[:, 1], lines["sTypoDescender"] * em)
    return (
        Path(outline, np.concatenate(codes)),
        {"left": 0, "center": width / 2, "right": width},
        {"baseline": 0, "bottom": low, "center": (low + high) / 2, "top": high},
    )


@cache
def _letter(letter, file, size, dpi):
    """Return a letter's index, its corners, their codes, and how far the next one is, in px."""
    font = _font(file, size, dpi)
    glyph = font.load_char(ord(letter), get_hinting_flag())
    return font.get_char_index(ord(letter)), *font.get_path(), glyph.linearHoriAdvance / 65536


@cache
def _font(file, size, dpi):
    """Return a font of our own: matplotlib turns and shifts those that it shares."""
    font = FT2Font(file)
    font.set_size(size, dpi)
    return font
