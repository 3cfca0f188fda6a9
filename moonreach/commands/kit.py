"""`moonreach kit`: rod, gnomon, cards and forms to print, as one PDF true to scale."""

import re

from moonreach import sky
from moonreach.commands import named
from moonreach.lessons.refuse import counted
from moonreach.sheet import cells


def run(arguments):
    """Write the kit; return 0."""
    from moonreach.kit import Kit  # matplotlib, which a mistyped option need not wait for

    a = arguments
    named(a.out, ".pdf", "--out {}: the name of the kit")
    lengths = {
        name: cells.length(getattr(a, name), f"--{name}") for name in ("disc", "hole", "rod")
    }
    kit = Kit(a.paper, latitude=sky.angle_of(a.latitude, "latitude"), **lengths)
    numbers = a.pages and _numbers(a.pages)
    pages = kit.save(a.out, numbers)
    print(
        f"{a.out}: {counted(len(pages), 'page')}. Print at 100 %, then measure the bars.",
        kit.reach(),
        sep="\n",
    )
    if a.groups:
        print("", *kit.printing_list(a.groups, numbers), sep="\n")
    return 0


def _numbers(text):
    """Return the page numbers of a text such as 1,9-11, or refuse it in one sentence."""
    numbers = []
    for part in text.split(","):
        found = re.fullmatch(r"\s*([1-9][0-9]?)(?:-([1-9][0-9]?))?\s*", part)
        if not found or int(found[2] or 99) < int(found[1]):
            raise ValueError(f"--pages {text!r} cannot be read: write numbers such as 1,9-11")
        numbers += range(int(found[1]), int(found[2] or found[1]) + 1)
    return numbers
