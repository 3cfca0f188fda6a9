"""Voilà's scripts as one: a page loads some sixty parts, which a class would ask for one by one.

`scripts.toml` names the parts that a lesson loads. One that a Voilà does not have is left out,
and one that is not named there the page fetches by itself, so a stale list costs time only.
"""

import gzip
import hashlib
import tomllib
from pathlib import Path

from tornado.web import RequestHandler

PARTS = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))["parts"]
PLACE = "scripts.js"


class Scripts:
    """The scripts as they are sent: `packed`, and their `address` below the server's own."""

    def __init__(self, folders: list[str]):
        """Read the parts from the first of Voilà's folders that has its scripts."""
        home = next(Path(folder) for folder in folders if Path(folder, "voila.js").exists())
        names = [f"{name}.voila.js" for name in PARTS]
        parts = [(home / name).read_bytes() for name in names if (home / name).exists()]
        # Each in a function of its own: "use strict" at the head of one is not for the next.
        whole = b"\n".join([b"(function () {" + part + b"\n})();" for part in parts])
        whole += b"\n" + (home / "voila.js").read_bytes()
        self.packed = gzip.compress(whole, 6, mtime=0)  # the same at every start
        self.address = f"{PLACE}?v={hashlib.sha256(self.packed).hexdigest()[:16]}"


class SendScripts(RequestHandler):
    """Sends the scripts, once to each browser."""

    def get(self):
        """Answer with them, packed as every browser takes them."""
        self.set_header("Content-Type", "text/javascript; charset=utf-8")
        self.set_header("Content-Encoding", "gzip")
        self.set_header("Cache-Control", "public, max-age=31536000, immutable")
        self.finish(self.settings["scripts"].packed)
