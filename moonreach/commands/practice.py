"""`moonreach practice`: write an invented class's sheet, with the truth it came from."""

from pathlib import Path

import numpy as np
from astropy import units as u

from moonreach.commands import place_of
from moonreach.lessons.refuse import require
from moonreach.practice.further import further_rows
from moonreach.practice.invented import Truth, group_name, practice_class
from moonreach.practice.slips import SLIPS
from moonreach.sheet import tables

CHOICES = {"--mistake": SLIPS}


def run(arguments):
    """Write the sheet; return 0."""
    a = arguments
    if a.photos is not None:
        return _photographs(a)
    csv = "--out {}: the sheet is a text; its name ends in .csv"
    require(Path(a.out).suffix.lower() in ("", ".csv"), csv, a.out)
    there = Path(a.out).exists() and not a.replace
    require(not there, "{} is there already; nothing was written (--replace replaces it)", a.out)
    truths = _night(a) if a.eclipse else _invented(a)
    rows = practice_class(truths, a.seed, slips={a.groups - 1: a.mistake} if a.mistake else {})
    if a.further:
        for index, truth in enumerate(truths):
            generator = np.random.default_rng([a.seed, index, 6])
            rows += further_rows(group_name(index), generator, truth.distance)
    comments = _comments(a, [truth.line() for truth in truths])
    tables.write(a.out, rows, comments)
    print(f"{a.out}: {a.groups} invented groups", *comments[1:], sep="\n  ")
    return 0


def _comments(a, lines):
    """Return what the head of the sheet says: that it is invented, the truth, the mistake."""
    sky = ", the sky alone is real" if a.eclipse else ""
    comments = [f"An invented class; every name and reading in it is made up{sky}."]
    for line in dict.fromkeys(lines):
        told = [group_name(index) for index, other in enumerate(lines) if other == line]
        comments.append(f"{line} ({', '.join(told) if len(told) < a.groups else 'all groups'})")
    if a.mistake:
        comments.append(f"common mistake: {group_name(a.groups - 1)}, {a.mistake}")
    return comments


def _photographs(a):
    """Render photographs of a real night into a folder that has none yet."""
    from moonreach.practice.photographs import photographs_of

    folder = Path(a.out)
    there = any(folder.glob("*.jpg")) and not a.replace
    refusal = "{} holds pictures already; nothing was written (see --replace)"
    require(not there, refusal, str(folder))
    folder.mkdir(parents=True, exist_ok=True)
    count = len(photographs_of(a.eclipse, a.photos, a.seed, folder, a.phone))
    print(f"{folder}: {count} rendered photographs with invented plains, the truth beside each")
    return 0


def _night(a):
    """Return the truth of a real eclipse, once for each group."""
    from moonreach.practice.real_night import sky_truth

    return [sky_truth(a.eclipse, place_of(a))] * a.groups


def _invented(a):
    """Return the truth that the options state, one for each group."""
    require(a.earth_diameter <= a.distance, "--earth-diameter must be less than --distance")
    offsets = a.path_offset * a.groups if len(a.path_offset) == 1 else a.path_offset
    one_each = f"--path-offset takes one number, or {a.groups}, one for each group"
    require(len(offsets) == a.groups, one_each)
    known = {"distance": a.distance * u.km, "earth_diameter": a.earth_diameter * u.km}
    return [Truth(ratio=a.ratio, offset=offset, **known) for offset in offsets]
