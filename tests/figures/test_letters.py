"""Quickly drawn words look as matplotlib's own do."""

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text

from moonreach.figures import style
from moonreach.figures.letters import Words


def ink(kind, text, **look):
    """Return how dark each pixel is where a text is drawn in the middle."""
    with style.look():
        figure = Figure(figsize=(4, 0.6), dpi=100)
        canvas = FigureCanvasAgg(figure)
        figure.add_artist(kind(0.5, 0.5, text, **{"color": "black", "size": 10} | look))
        canvas.draw()
    return 255 - np.asarray(canvas.buffer_rgba())[..., 0].astype(float)


@pytest.mark.parametrize("ha", ["left", "center", "right"])
@pytest.mark.parametrize("va", ["baseline", "bottom", "center", "top"])
def test_words_stand_where_matplotlib_sets_them(ha, va):
    for text, size in (
        ("365 000 to 432 000 km", 12),
        ("−10.6 %", 9),
        ("Totality", 10),
        ("31.2′", 11),
    ):
        look = {"ha": ha, "va": va, "size": size, "weight": "bold"}
        own, other = ink(Words, text, **look), ink(Text, text, **look)
        assert other.max() > 200
        assert np.abs(own - other).sum() < 0.06 * other.sum(), (text, size)


def test_color_and_transparency_are_kept():
    assert ink(Words, "Moon", color="#999999").max() == 255 - 0x99
    assert ink(Words, "Moon", alpha=0).max() == 0
    assert ink(Words, "Moon", visible=False).max() == 0


def test_a_formula_is_matplotlibs():
    assert np.array_equal(ink(Words, "$t_{in}$"), ink(Text, "$t_{in}$"))
