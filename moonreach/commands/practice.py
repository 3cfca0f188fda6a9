"""`moonreach practice`: write an invented class's sheet, with the truth it came from."""

from pathlib import Path

import numpy as np
from astropy import units as u

from moonreach.lessons.refuse import Impossible
from moonreach.practice.further import further_rows
from moonreach.practice.invented import Truth, group_name, practice_class
from moonreach.practice.slips import SLIPS
from moonreach.sheet import tables


def add_arguments(parser):
    """Declare what the command takes."""
    parser.add_argument("--out", required=True, metavar="SHEET", help="sheet to write (CSV)")
    parser.add_argument("--groups", type=int, default=8, help="how many groups (8)")
    parser.add_argument("--seed", type=int, default=7, help="whole number that fixes the scatter")
    parser.add_argument("--distance", type=float, default=384_399, help="of the Moon, km")
    parser.add_argument("--ratio", type=float, default=2.70, help="shadow / Moon (2.70)")
    parser.add_argument(
        "--path-offset",
        type=float,
        nargs="+",
        default=[0.05],
        metavar="OFFSET",
        help="in shadow radii (0.05): one for all groups, or one for each",
    )
    parser.add_argument("--earth-diameter", type=float, default=12_742, help="km (12742)")
    parser.add_argument(
        "--eclipse",
        metavar="DATE",
        help="a real total eclipse, which then decides distance, ratio and path",
    )
    parser.add_argument("--latitude", type=float, help="of the place that watches it, deg")
    parser.add_argument("--longitude", type=float, help="of that place, deg, east positive")
    parser.add_argument("--zone", default="UTC", help="IANA name of that place's time zone (UTC)")
    parser.add_argument(
        "--photos",
        type=int,
        metavar="COUNT",
        help="render that many photographs of --eclipse into the folder --out, and no sheet",
    )
    parser.add_argument(
        "--further", action="store_true", help="readings of the further lessons 6 and 7 as well"
    )
    parser.add_argument(
        "--mistake", choices=SLIPS, help="a common mistake that the last group makes"
    )
    parser.add_argument("--replace", action="store_true", help="replace a sheet that is there")


def run(arguments):
    """Write the sheet; return 0."""
    a = arguments
    if a.photos is not None:
        return _photographs(a)
    if Path(a.out).exists() and not a.replace:
        raise Impossible(f"{a.out} is there already; nothing was written (--replace replaces it)")
    if a.groups < 1 or a.seed < 0:
        raise Impossible("--groups must be at least 1 and --seed at least 0")
    truths = _night(a) if a.eclipse else _invented(a)
    slips = {a.groups - 1: a.mistake} if a.mistake else {}
    rows = practice_class(truths, a.seed, slips=slips)
    if a.further:
        for index, truth in enumerate(truths):
            generator = np.random.default_rng([a.seed, index, 6])
            rows += further_rows(group_name(index), generator, truth.distance)
    made_up = "every name and reading in it is made up"
    comments = [f"An invented class; {made_up}{', the sky alone is real' if a.eclipse else ''}."]
    for line in dict.fromkeys(truth.line() for truth in truths):
        told = [group_name(i) for i, truth in enumerate(truths) if truth.line() == line]
        comments.append(f"{line} ({', '.join(told) if len(told) < a.groups else 'all groups'})")
    if a.mistake:
        comments.append(f"common mistake: {group_name(a.groups - 1)}, {a.mistake}")
    tables.write(a.out, rows, comments)
    print(f"{a.out}: {a.groups} invented groups", *comments[1:], sep="\n  ")
    return 0


def _photographs(a):
    """Render photographs of a real night into a folder that has none yet."""
    from moonreach.practice.photographs import photographs_of

    folder = Path(a.out)
    if not a.eclipse:
        raise Impossible("--photos needs --eclipse DATE: which night is to be photographed")
    if not a.replace and any(folder.glob("*.jpg")):
        raise Impossible(f"{folder} holds pictures already; nothing was written (see --replace)")
    folder.mkdir(parents=True, exist_ok=True)
    paths = photographs_of(a.eclipse, a.photos, a.seed, folder)
    print(
        f"{folder}: {len(paths)} rendered photographs with invented plains, the truth beside each"
    )
    return 0


def _night(a):
    """Return the truth of a real eclipse, once for each group."""
    from moonreach import sky
    from moonreach.practice.real_night import sky_truth

    if (a.latitude is None) != (a.longitude is None):
        raise Impossible("a place needs both --latitude and --longitude")
    place = None
    if a.latitude is not None:
        place = sky.Place(a.latitude * u.deg, a.longitude * u.deg, zone=a.zone)
    return [sky_truth(a.eclipse, place)] * a.groups


def _invented(a):
    """Return the truth that the options state, one for each group."""
    if not (np.isfinite(a.distance) and 10_000 <= a.distance <= 10_000_000):
        raise Impossible(f"--distance {a.distance:g} is not from 10 000 to 10 000 000 km")
    if not 100 <= a.earth_diameter <= a.distance:
        raise Impossible(f"--earth-diameter {a.earth_diameter:g} km is not from 100 to --distance")
    if not (1 < a.ratio <= 20 and min(a.path_offset) >= 0):
        raise Impossible("--ratio must be from 1 to 20, and --path-offset not negative")
    if len(a.path_offset) not in (1, a.groups):
        raise Impossible(f"--path-offset takes one number, or {a.groups}, one for each group")
    return [
        Truth(
            distance=a.distance * u.km,
            ratio=a.ratio,
            offset=offset,
            earth_diameter=a.earth_diameter * u.km,
        )
        for offset in (a.path_offset * a.groups)[: a.groups]
    ]
