"""One module for each command of the command line, and what several of them share."""

import glob
from argparse import Namespace
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from moonreach.lessons.refuse import require

if TYPE_CHECKING:
    from moonreach.sky import Place


def opened(words: Iterable[str]) -> list[str]:
    """Return the paths of words; a star is opened here where the console has left it."""
    paths = []
    for word in words:
        paths += (not Path(word).exists() and sorted(glob.glob(word))) or [word]  # noqa: PTH207
    return paths


def named(out: str, ending: str, what: str = "--out {}: the name of the table") -> Path:
    """Return the path of a file to write, or refuse a name that does not end as it must."""
    require(out.lower().endswith(ending), f"{what} ends in {ending}", out)
    return Path(out)


def folder_for(what: str, out: str) -> Path:
    """Return the path of a folder to write into, or refuse one where a file stands."""
    require(
        not Path(out).is_file(), "--out {}: that is a file; accepted is a folder for {}", out, what
    )
    return Path(out)


def listed(title: str, lines: Iterable[str]) -> str:
    """Return lines below a title, after an empty line; nothing where there are none.

    >>> listed("Problems", [])
    ''
    """
    below = "".join(f"  {line}\n" for line in lines)
    return f"\n{title}\n{below}" if below else ""


def place_of(arguments: Namespace) -> "Place | None":
    """Return the `sky.Place` of --latitude, --longitude and --zone, if given; refuse half of it.

    Without --zone it is the one in which the place lies.
    """
    from moonreach import sky  # only here: an invented class needs no sky

    latitude, longitude = arguments.latitude, arguments.longitude
    whole = (latitude is None) == (longitude is None)
    require(whole, "a place needs both --latitude and --longitude")
    if latitude is None:
        return None
    where = sky.angle_of(latitude, "latitude"), sky.angle_of(longitude, "longitude")
    place = sky.Place(*where, zone=arguments.zone or "UTC")  # refuses what is no place
    return place if arguments.zone else replace(place, zone=sky.zone_of(*where))
