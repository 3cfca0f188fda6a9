"""A group's own photograph: taken from its reader, kept in the group's folder, shown to be marked.

The page's script lets a file be dragged onto the page, and hands over an empty one of the type
`TOO_LARGE` in place of one that the server would not let through.
"""

import itertools
import re
from pathlib import Path

import ipywidgets as widgets

from moonreach.figures.overlay import WIDTH
from moonreach.lessons.refuse import require, sentence
from moonreach.notebook.form_line import complaint
from moonreach.notebook.one_night import CLOCKS, ENDINGS, folder_of, own_pictures
from moonreach.notebook.overlay import WORDS, Overlay
from moonreach.notebook.page_parts import PagePart
from moonreach.notebook.shipped import PICTURE, picture
from moonreach.notebook.told import Said
from moonreach.photo import read_picture
from moonreach.sheet import copies
from moonreach.sheet.group_sheet import no_device
from moonreach.sheet.writing import written

LARGEST = 40_000_000  # bytes
MOST = 20  # photographs of a group
TOO_LARGE = "too/large"


def photographs_of(sheet):
    """Return the paths of the photographs of a `GroupSheet`'s group, the one given last first."""
    return sorted(own_pictures(sheet), key=lambda path: written(path) or (0, 0), reverse=True)


def keep(sheet, name: str, content: bytes) -> tuple[Path, bool]:
    """Keep a file in a group's folder under a safe name; return its path, and whether it is new.

    Parameters: the `GroupSheet`; the file's name, of which letters and digits are kept; its bytes.
    Raises `Impossible` for what is too large, no JPEG or PNG by its name, or one more than a group
    may have, OSError where it cannot be written.
    """
    words, ending = WORDS["own"], Path(name).suffix.lower()
    require(ending in ENDINGS, words["kind"], name)
    require(len(content) <= LARGEST, words["large"], name)
    plain = re.sub(r"[^\w-]+", "_", Path(name).stem)[:40].strip("_")
    stem = no_device(plain or "photograph")
    for number in itertools.count(1):
        path = folder_of(sheet) / f"{stem}{f'-{number}' * (number > 1)}{ending}"
        if (state := copies.state(path, content)) != "changed":
            require(state == "same" or len(photographs_of(sheet)) < MOST, words["many"], name, MOST)
            copies.lay(path, content)
            return path, state == "new"


def photograph(desk, path=None):
    """Return the `Overlay` of a photograph for a `Desk`: the rendered one unless a path is given.

    The same picture comes back with what was clicked on it. A file that is no readable picture is
    met with a sentence.
    """
    try:
        path = Path(path) if path else picture(PICTURE)
        key = str(path.resolve())
        overlay = desk.overlays.pop(key, None) or Overlay(desk, path)
    except ValueError as error:
        return Said(sentence(error))
    desk.overlays[key] = overlay  # the last is the one shown last
    return overlay


class Photographs(PagePart):
    """The practice picture or a group's own, with circles to lay on it, and a field for files."""

    widest = "100%"

    def __init__(self, desk):
        """Show a `Desk`'s group the photograph that it gave last, or the practice picture."""
        self._group, self.overlay = object(), None  # no group that there is
        look = {"width": "100%", "max_width": f"{WIDTH}px", "height": "52px"}
        words = {"description": WORDS["own"]["field"], "icon": ""}
        self.upload = widgets.FileUpload(accept=",".join(ENDINGS), layout=look, **words)
        self.upload.add_class("own-photograph")
        self.upload.observe(self._take, "value")
        self.which = widgets.Dropdown(description="Picture", layout={"max_width": f"{WIDTH}px"})
        self.said = widgets.HTML(layout={"min_height": "1.8em"})
        self.clock = widgets.Dropdown(
            description=WORDS["own"]["clock"],
            options=list(CLOCKS),
            style={"description_width": "max-content"},
            layout={"width": "max-content", "max_width": "100%"},
        )
        self.which.observe(self._show, "value")
        super().__init__(desk)
        self.clock.observe(lambda change: desk.keep("clock", change.new), "value")

    def follow(self):
        """Show the photographs of the group that is chosen now; offer what another device gave."""
        kept = self._desk.page_notes.get(self._desk.lesson, "clock")
        self.clock.value = kept if kept in CLOCKS else next(iter(CLOCKS))
        own = photographs_of(self._desk.sheet)
        if self._group != self._desk.group:
            self._group = self._desk.group
            self._offer(own)
        elif {*own} != {path for _, path in self.which.options[:-1]}:
            self._offer(own, self.which.value)

    def as_text(self):
        """Return in words what lies on the picture that is shown."""
        return self.overlay.as_text()

    def _repr_mimebundle_(self, **kwargs):
        bundle, about = self.overlay._repr_mimebundle_(**kwargs)
        view = widgets.VBox._repr_mimebundle_(self, **kwargs) or {}
        return bundle | {kind: view[kind] for kind in view.keys() - {"text/plain"}}, about

    _ipython_display_ = Overlay._ipython_display_

    def _offer(self, own, shown=None):
        """Offer the practice picture and the group's own, and show one, or that which came last."""
        paths = [*own, picture(PICTURE)]
        names = [*(path.name for path in own), WORDS["own"]["practice"]]
        self.which.unobserve(self._show, "value")
        self.which.options = [*zip(names, paths, strict=True)]
        self.which.value = shown if shown in own else paths[0]
        self.which.observe(self._show, "value")
        self.which.layout.display = None if own else "none"
        self.clock.layout.display = None if len(own) > 1 else "none"
        self._show()

    def _show(self, _=None):
        found = photograph(self._desk, self.which.value)
        if isinstance(found, Overlay):
            self.overlay, self.said.value = found, ""
        else:
            self.said.value = complaint(found)
        self.overlay = self.overlay or photograph(self._desk)
        self.children = [self.upload, self.said, self.which, self.overlay, self.clock]

    def _take(self, change):
        if change.new:
            self.upload.value = ()
            try:
                self._keep(change.new[0])
            except (ValueError, OSError) as error:
                self.said.value = complaint(sentence(f"not kept: {error}"))

    def _keep(self, file):
        words, name = WORDS["own"], file["name"]
        require(self._desk.sheet, words["nobody"])
        require(file["type"] != TOO_LARGE, words["large"], name)
        self.said.value = words["reading"]
        path, new = keep(self._desk.sheet, name, bytes(file["content"]))
        try:
            read_picture(path)
        except ValueError:
            if new:
                path.unlink()
            raise
        path.touch()  # the one that came last is shown
        self._offer(photographs_of(self._desk.sheet))
