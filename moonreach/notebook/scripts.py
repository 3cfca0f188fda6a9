"""Voilà's scripts as one: a page loads some seventy parts, which a class would ask for one by one.

`scripts.toml` names the parts that a lesson loads, of Voilà and of its extensions. One that is not
there is left out, and one that is not named the page fetches by itself, so a stale list costs time
only.
"""

import gzip
import hashlib
import tomllib
from itertools import product
from pathlib import Path

from tornado.web import RequestHandler

NAMED = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
PLACE = "scripts.js"


class Scripts:
    """The scripts as they are sent: `packed`, and their `address` below the server's own."""

    def __init__(self, folders: list[str], extensions: list[str]):
        """Read the parts from the first of Voilà's folders that has its scripts.

        Those of the extensions come from any of the folders where extensions are.
        """
        home = next(Path(folder) for folder in folders if Path(folder, "voila.js").exists())
        files = [home / f"{number}.voila.js" for number in NAMED["parts"]]
        for (name, numbers), folder in product(NAMED["extensions"].items(), extensions):
            for number in numbers:
                files += Path(folder, name, "static").glob(f"{number}.*.js")
        parts = [file.read_bytes() for file in files if file.exists()]
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
