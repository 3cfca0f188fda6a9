"""Write a file so that whatever happens, either the old or the new one is whole."""

import contextlib
import csv
import io
import os
import secrets
import shutil
import time
from collections.abc import Iterable, Iterator
from pathlib import Path

if os.name == "nt":
    import msvcrt
else:
    import fcntl

PART = ".part"  # ends the name of a file that is being written
_WINDOWS = os.name == "nt"
_PATIENCE = 5  # seconds, after which a process that holds on to its lock is stuck


def replace(path: Path | str, content: str | bytes) -> None:
    """Write text or bytes to a temporary file beside the path, then put it in its place.

    Parameters: a path and text (written as UTF-8) or bytes. Raises OSError, in one sentence, when
    the folder cannot be written to; what stood at the path before is then untouched.
    """
    path = Path(path)
    try:
        _replace(path, content.encode() if isinstance(content, str) else content)
    except OSError as error:
        there = path.parent.is_dir()
        why = error.strerror if there else f"there is no folder {path.parent}"
        refused = OSError(f"{path} cannot be written: {why}")
        refused.strerror = why  # for those who name the file in words of their own
        raise refused from None


def csv_of(rows: Iterable[Iterable[object]], separator: str = ",") -> str:
    """Return rows as the text of a table.

    >>> csv_of([("group", "right"), ("Heron", 3)])
    'group,right\\nHeron,3\\n'
    """
    text = io.StringIO()
    csv.writer(text, delimiter=separator, lineterminator="\n").writerows(rows)
    return text.getvalue()


def free_name(path: Path | str, word: str) -> Path:
    """Return the first name of a file beside a path, STEM.WORD-1 and so on, that is not taken."""
    path, number = Path(path), 1
    while (free := path.with_name(f"{path.stem}.{word}-{number}{path.suffix}")).exists():
        number += 1
    return free


def set_aside(path: Path | str) -> Path:
    """Rename a file that cannot be used, so that nothing in it is lost; return its new path."""
    return Path(path).rename(free_name(path, "unreadable"))


def written(path: Path) -> tuple[int, int] | None:
    """Return what changes with each writing of a file; nothing where there is none."""
    try:
        about = path.stat()
    except OSError:
        return None
    return about.st_mtime_ns, about.st_ino


@contextlib.contextmanager
def alone(path: Path | str) -> Iterator[None]:
    """Read and write a file while no other process does that, here: one that asks in this way too.

    Parameters: the path of the file, whose folder is made. The system itself takes the lock off a
    process that ends. Where no lock can be laid beside the file, nothing waits.
    """
    with contextlib.ExitStack() as open_files:
        with contextlib.suppress(OSError):  # writing itself will say why
            lock = Path(path).with_name(f".{Path(path).name}.lock")
            lock.parent.mkdir(parents=True, exist_ok=True)
            file = open_files.enter_context(lock.open("ab"))
            end = time.monotonic() + _PATIENCE
            while not _locked(file) and time.monotonic() < end:
                time.sleep(0.005)
        yield


def sweep(folder: Path | str) -> None:
    """Take out of a folder what processes that were killed had begun to write there."""
    for path in Path(folder).rglob(f".*{PART}"):
        path.unlink(missing_ok=True)


def _locked(file):
    """Lay a lock on an open file and return whether no other process had one there."""
    try:
        if os.name == "nt":
            file.seek(0)
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    return True


def _replace(path, data):
    temporary = path.with_name(f".{path.name}.{secrets.token_hex(4)}{PART}")
    try:
        with temporary.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            shutil.copymode(path, temporary)
        _put(temporary, path)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise


def _put(temporary, path):
    """Put a file in the place of another; on Windows, once nobody reads that any more."""
    end = time.monotonic() + 1
    while True:
        try:
            temporary.replace(path)
            return
        except PermissionError:
            if not _WINDOWS or time.monotonic() > end:
                raise
        time.sleep(0.02)
