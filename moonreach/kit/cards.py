"""Cards and forms to write on: eclipse timing, observing log, class sheet."""

import textwrap

from moonreach.figures import style
from moonreach.kit.rod import NIGHT
from moonreach.reduction.results import FURTHER_QUANTITIES as FURTHER
from moonreach.sheet.quantities import QUANTITIES
from moonreach.sheet.reading import COLUMNS

OUT = (
    "A lunar eclipse is safe to look at. Night work with permission, in pairs, warm, away from "
    "roads; the rules of the school and the place come first."
)
_CONTACTS = (
    ("U1", "the Moon begins to enter", -1.37),
    ("U2", "the last bright edge goes", -0.63),
    ("U3", "the first bright edge comes", 0.63),
    ("U4", "the last shade leaves", 1.37),
)


def timing(kit):
    """Yield the eclipse timing card."""
    page = kit.page("Eclipse timing card")
    y = page.caution(page.top, OUT)
    y = page.paragraph(page.left, y, page.right - page.left, (
        "Set the watch by a time signal beforehand and write down by how much it is off. Each "
        "observer times alone and says nothing until all have written. The edge of the umbra is "
        "soft: decide before the night what counts as its edge, and keep to it. Doubt: within how "
        "many seconds are you sure? The pictures show a path through the middle; yours may pass "
        "above or below it, and the Moon may enter from another side."
    ))  # fmt: skip
    quarter = (page.right - page.left) / 4
    for number, (name, what, at) in enumerate(_CONTACTS):
        x, shadow, moon = page.left + quarter * (number + 0.5), 12.5, 4.7
        page.circle(x, y - 17, shadow, facecolor=style.SHADOW)
        page.circle(x + at * shadow, y - 17, moon, facecolor=style.MOON, edgecolor="white", lw=0.8)
        page.words(x, y - 33, f"{name}\n{what}", 8, ha="center", va="top")
    columns = [("contact", 18), ("planned", 24), ("seen, h m s", 34), ("doubt, ± s", 22)]
    columns += [("observer", 34), ("sky, remarks", 36)]
    rows = [[name] for name, *_ in _CONTACTS for _ in range(4)]
    y = page.table(y - 43, columns, rows, height=7.2)
    rest = (
        "Date ________________   Place ____________________________   Time zone ____________",
        "Watch minus true time ____________ s, checked at ________   Group ____________________",
        "Needed are U2, U3 and one of U1 and U4. A time that was missed stays empty.",
    )
    page.paragraph(page.left, y - 5, page.right - page.left, "\n".join(rest))
    yield page


def log(kit):
    """Yield the log for evenings with the sighting rod."""
    page = kit.page("Observing log: the sighting rod")
    y = page.caution(page.top, f"{NIGHT} {OUT.split('. ', 1)[1]}")
    y = page.paragraph(page.left, y, page.right - page.left, (
        "Group ____________________   Date ______________   Place ______________________________\n"
        "Disc as measured ________ ________ ________ mm   Hole ________ mm   Rod ________\n"
        "Read, write, slide the disc right away, and read anew without looking at the last number. "
        "Altitude: how many fists at arm's length above the horizon, about 10° each, or an "
        "inclinometer."
    ))  # fmt: skip
    columns = [("no.", 10), ("time", 22), ("reads", 26), ("vanish, cm", 26), ("rim, cm", 26)]
    columns += [("altitude, °", 24), ("sky, remarks", 34)]
    high = 7.4
    count = int((y - page.bottom) // high) - 1
    page.table(y, columns, [[f"{number + 1}"] for number in range(count)], height=high)
    yield page


def class_sheet(kit):
    """Yield the blank class sheet: every quantity by name, then empty rows for repeats."""
    widths = dict(zip(COLUMNS, (0, 44, 27, 15, 22, 64), strict=True))
    columns = [(name, width) for name, width in widths.items() if width]
    unit = {name: term for name, term in QUANTITIES.items() if name not in FURTHER}
    further = {name: QUANTITIES[name] for name in QUANTITIES if name in FURTHER}
    for title, terms in (("one for the whole unit", unit), ("the further lessons", further)):
        page = kit.page(f"Class sheet: {title}")
        y = page.paragraph(page.left, page.top, page.right - page.left, (
            "One row a reading, as it was read, with its unit. Repeated readings are repeated "
            "rows. The uncertainty may stay empty. Leave empty what you have not measured.\n"
            "Group ______________________________"
        ))  # fmt: skip
        rows = []
        for name, term in terms.items():
            choice = " or ".join(word.replace("_", " ") for word in term.words)
            rows.append([name, "", "", "", textwrap.fill(choice or term.meaning, 46)])
        high = (y - page.bottom) / (len(unit) + 1)
        page.table(y, columns, rows, height=high, size=6.5)
        yield page
    page = kit.page("Class sheet: repeated readings")
    high = 7.4
    count = int((page.top - page.bottom) // high) - 1
    page.table(page.top, columns, [[]] * count, height=high, size=7)
    yield page
