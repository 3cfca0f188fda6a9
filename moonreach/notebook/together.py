"""A group at several devices: whose page this kernel serves, and what another device has written.

In a class the server says whose page it is before a desk sits down; then the group cannot be
changed on the page.
"""

import asyncio
import contextlib

from moonreach.sheet.writing import written

EVERY = 1.0  # seconds between two looks: another device's change is seen within twice that
_seat = {"group": None}


def take(group: str) -> None:
    """Let every desk of this process be a group's."""
    _seat["group"] = group


def seated() -> str | None:
    """Return the group whose page this is, or nothing outside a class."""
    return _seat["group"]


def measured(desk) -> list:
    """Return when a `Desk`'s sheet and marks were written last, and a photograph given."""
    sheet = desk.sheet.path
    files = "photographs.json", "photographs"
    return [written(sheet), *(written(sheet.with_suffix("") / name) for name in files)]


def state(desk) -> list:
    """Return when each file of a `Desk`'s group was written last."""
    folder = desk.sheet.path.with_suffix("")
    return [*measured(desk), *(written(folder / name) for name in ("answers.json", "page.json"))]


def watch(desk) -> None:
    """Follow what other devices write for a `Desk`'s group, as long as the kernel lives."""
    try:
        loop = asyncio.get_running_loop()
    except RuntimeError:  # outside a kernel no one waits
        return
    desk.watching = loop.create_task(_watch(desk))


async def _watch(desk):
    seen = None  # what was written while the desk sat down is read too
    while True:
        await asyncio.sleep(EVERY)
        if (now := state(desk)) != seen:
            # A file that is just being written by a program in place may be whole at the next look.
            with contextlib.suppress(ValueError, OSError):
                desk.read_again()
                seen = now
