"""The look of every figure: one colour for each kind of thing, one typeface, few lines.

The colours are from the colour-blind-safe set of Okabe and Ito (2008), "Color Universal Design".
"""

import tomllib
from contextlib import contextmanager
from functools import cache
from importlib.resources import files

import matplotlib

from moonreach.sheet.origin import Origin

EARTH = "#56B4E9"
SUN = "#E69F00"
MOON = "#999999"
SHADOW = "#000000"
SHADOW_EDGE = "#444444"
OWN = "#D55E00"  # a student's own result
TODAY = "#009E73"  # today's value, always dashed
PRACTICE = "#0072B2"  # an invented result: always with the word
DROPPED = "#CC79A7"  # an assumption being dropped
# The same three, darker, for words: pale letters are hard to read.
OWN_WORDS = "#A34700"
TODAY_WORDS = "#00704F"
DROPPED_WORDS = "#96477A"
INK = "#222222"
FAINT = "#6b6b6b"  # notes beside the drawing; dark enough to read in print
PALE = "#d9d9d9"
# The sky of an eclipse is dark: the Moon is pale in sunlight and coppery inside the umbra.
NIGHT = "#101A30"
COPPER = "#A5603C"

DASHED = (0, (5, 3))
DPI = 100
SIZE = (8.0, 4.5)  # inches: 800 x 450 px


def named(name):
    """Return the colour or dashes that a name in lower case stands for; others as they are."""
    return globals().get(name.upper(), name)


@cache
def described(stem):
    """Return what stands in a stem's TOML file in this room; nothing where it has none."""
    file = files(__package__).joinpath(f"{stem}.toml")
    return tomllib.loads(file.read_text(encoding="utf-8")) if file.is_file() else {}


_LOOK = {
    key: named(value) if key.endswith("color") else value
    for key, value in described("style").items()
}


def look():
    """Return a context in which matplotlib draws in the house style, whatever the user has set."""
    default = matplotlib.rcParamsDefault
    # Not the backend: a notebook's own figures go on as they were.
    whole = {key: default[key] for key in default if key not in ("backend", "backend_fallback")}
    return matplotlib.rc_context(whole | _LOOK | {"figure.dpi": DPI, "savefig.dpi": DPI})


@contextmanager
def letters():
    """Draw letters as `look` does; quicker to enter, for drawing alone."""
    before = matplotlib.rcParams["text.hinting"]
    matplotlib.rcParams["text.hinting"] = _LOOK["text.hinting"]
    try:
        yield
    finally:
        matplotlib.rcParams["text.hinting"] = before


def color_of(origin: Origin) -> str:
    """Return the colour of a result by whose it is; beside an invented one stands the word."""
    return PRACTICE if origin == Origin.PRACTICE else OWN


def named_rows(axes, names, shown=True):
    """Name the rows 0, 1, 2 … of axes from a sheet's words, without a line at their side."""
    axes.spines["left"].set_visible(False)
    axes.tick_params(axis="y", length=0)
    names = names if shown else []
    axes.set_yticks(range(len(names)), names, parse_math=False)
