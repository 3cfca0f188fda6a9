"""Cards and forms to write on: eclipse timing, noon shadows, observing log, class sheet."""

import textwrap

from astropy import units as u

from moonreach.figures import style
from moonreach.kit.page import PAGES
from moonreach.reduction.results import FURTHER_QUANTITIES
from moonreach.sheet.quantities import QUANTITIES

_REPEATED = "shadows", "contacts", "sightings"  # families of readings that are taken anew
_SHADOW, _MOON = 12.5, 4.7  # mm, radii in the pictures of the contacts


def timing(kit):
    """Yield the eclipse timing card."""
    words = PAGES["timing"]
    north = kit.latitude >= 0 * u.deg
    page, y = kit.begin("timing", seen=words["north" if north else "south"])
    quarter = (page.right - page.left) / 4
    moon = {"facecolor": style.MOON, "edgecolor": "white", "lw": 0.8}
    for number, (name, seen, at) in enumerate(words["contacts"]):
        x = page.left + quarter * (number + 0.5)
        page.circle(x, y - 17, _SHADOW, facecolor=style.SHADOW)
        at = -at if north else at  # the Moon goes east: to the left as seen from the north
        page.circle(x + at * _SHADOW, y - 17, _MOON, **moon)
        page.words(x, y - 33, f"{name}\n{seen}", 8, ha="center", va="top")
    rows = [[name] for name, *_ in words["contacts"] for _ in range(4)]
    y = page.table(y - 43, words["columns"], rows, height=7.2)
    page.paragraph(y - 5, words["below"])
    yield page


def noon_log(kit):
    """Yield the log of a noon shadow, with the drawing of the gnomon."""
    words = PAGES["noon_log"]
    page, y = kit.begin("noon_log")
    page.draw(words["marks"], {"foot": page.left + 62}, y - 42)
    y = page.paragraph(y - 48, words["place"])
    rows = [[f"{minutes:+d}" if minutes else "noon"] for minutes in range(-30, 31, 5)]
    y = page.table(y, words["columns"], rows, height=7)
    page.paragraph(y - 3, words["below"])
    yield page


def log(kit):
    """Yield the log for evenings with the sighting rod, with the tries on a lit target."""
    page, y = kit.begin("log")
    y = page.paragraph(y, PAGES["log"]["fields"])
    tries = [[f"{number + 1}"] for number in range(5)]
    y = page.table(y, PAGES["log"]["target"], tries, height=6.4) - 4
    rows = [[f"{number + 1}"] for number in range(page.rows_below(y))]
    page.table(y, PAGES["log"]["columns"], rows)
    yield page


def class_sheet(kit):
    """Yield the blank class sheet: every quantity by its short label, then repeats."""
    words, unit, further = PAGES["class_sheet"], [], []
    for name, term in QUANTITIES.items():
        choice = " or ".join(word.replace("_", " ") for word in term.words)
        row = [term.short, "", term.unit, "", textwrap.fill(choice or term.meaning, 46)]
        (further if name in FURTHER_QUANTITIES else unit).append(row)
    for part, rows in zip(words["parts"], (unit, further), strict=True):
        page, y = kit.begin("class_sheet", part=part)
        y = page.paragraph(y, words["fields"])
        high = min(9, (y - page.bottom) / (len(rows) + 1))
        page.table(y, words["columns"], rows, height=high, size=6.5)
        yield page
    page, y = kit.begin("repeated")
    repeated = [term for term in QUANTITIES.values() if term.family in _REPEATED]
    rows = [[term.short, term.unit] for term in repeated]
    rows += [[]] * (page.rows_below(y) - len(rows))
    page.table(y, PAGES["repeated"]["columns"], rows, size=7)
    yield page
