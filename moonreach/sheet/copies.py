"""Copies for others to work in: what somebody has changed is never lost."""

from pathlib import Path

from moonreach.sheet import writing


def state(path: Path | str, content: bytes) -> str:
    """Return ``"new"``, ``"same"`` or ``"changed"``: what bytes would meet at a path."""
    path = Path(path)
    if not path.exists():
        return "new"
    return "same" if path.read_bytes() == content else "changed"


def lay(path: Path | str, content: bytes) -> Path | None:
    """Write bytes to a path; a different file that is there stays beside it under another name.

    Parameters: the path, whose folder is made, and the bytes. Returns where the old file is kept,
    or nothing. Raises OSError where the folder cannot be written to; nothing is then changed.
    """
    path, kept = Path(path), None
    found = state(path, content)
    path.parent.mkdir(parents=True, exist_ok=True)
    if found == "changed":
        kept = writing.free_name(path, "kept")
        # A copy first, so that at no moment the name is without a whole file.
        writing.replace(kept, path.read_bytes())
    if found != "same":
        writing.replace(path, content)
    return kept
