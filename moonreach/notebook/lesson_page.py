"""What the server sends for a lesson's page: its words at once, then what its cells have shown.

The words are rendered once for each state of a notebook and kept. The kernel starts while the
browser reads them. A page of a shipped notebook has run beforehand (`prepared`); one that somebody
has changed runs its cells in its kernel, as Voilà has it.
"""

from copy import deepcopy
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

import nbformat
import psutil
from tornado.web import HTTPError, authenticated
from voila.notebook_renderer import NotebookRenderer
from voila.tornado.execution_request_handler import ExecutionRequestHandler
from voila.tornado.handler import TornadoVoilaHandler
from voila.utils import get_page_config

from moonreach.notebook import class_room, shipped
from moonreach.notebook.source import FORKS, Source
from moonreach.notebook.told import kept_together
from moonreach.sheet.writing import written

SEAT = "from moonreach.notebook import together\ntogether.take({!r})\n"
LATER = "from moonreach.notebook.later import Later\n"
KERNEL = "name-of-the-kernel"  # stands in the page until there is one
EACH = 8  # pages of a group that are awake at once, on all its devices
LEAST = 300e6  # bytes of this machine's memory that no page takes
FULL = "This computer has no memory left for another page. Close pages that nobody uses, then load \
this one again."


@dataclass
class Words:
    """A lesson's page as it is sent, before and after its kernel's name; and its cells."""

    state: tuple  # of the notebook's file
    before: str
    after: str
    notebook: nbformat.NotebookNode
    prepared: bool  # whether its code may run beforehand

    @property
    def code(self) -> list[str]:
        """The sources of its cells of code."""
        return code_of(self.notebook)


class Shelf:
    """The words of the lessons' pages, rendered once for each state of a notebook."""

    def __init__(self, app):
        """Take the application that serves them."""
        self.app, self._words, self._shipped = app, {}, []

    async def words(self, path: str) -> Words:
        """Return the words of a notebook's page; raises HTTPError 404 where there is none."""
        state = written(Path(self.app.root_dir, path))
        if state is None or not path.endswith(".ipynb"):
            raise HTTPError(404)
        if path not in self._words or self._words[path].state != state:
            self._words[path] = await self._render(path, state)
        return self._words[path]

    async def prepare(self, path: str):
        """Let a page run beforehand, if it may."""
        words = await self.words(path)
        if words.prepared:
            await Source.ask(cells=words.code)

    async def _render(self, path, state):
        app = self.app
        about = {"base_url": app.base_url, "voila_configuration": app.voila_configuration}
        config = get_page_config(settings=app.app.settings, log=app.log, **about)
        config["fullMathjaxUrl"] = "data:text/javascript,//"  # the lessons have no TeX
        renderer = NotebookRenderer(
            traitlet_config=app.config,
            notebook_path=path,
            template_paths=app.template_paths,
            config_manager=app.config_manager,
            contents_manager=app.contents_manager,
            kernel_spec_manager=app.kernel_spec_manager,
            page_config=config,
            **about,
        )
        await renderer.initialize()
        notebook = for_a_page(renderer.notebook)
        parts = renderer.exporter.generate_from_notebook_node(
            notebook,
            resources=renderer.resources,
            extra_context={"kernel": KERNEL, "scripts": app.scripts.address},
            page_config=renderer.page_config,
        )
        before, _, after = "".join([part async for part, _ in parts]).partition(KERNEL)
        prepared = FORKS and code_of(notebook) in self._shipped_code()
        return Words(state, before, after, notebook, prepared)

    def _shipped_code(self):
        """Return the code of the shipped notebooks, whose parts are known to follow their group."""
        if not self._shipped:
            files = shipped.files("notebooks", ".ipynb")
            self._shipped = [code_of(for_a_page(nbformat.read(file, 4))) for file in files]
        return self._shipped


def for_a_page(notebook):
    """Leave of a notebook what its page shows and runs; what takes long begins when asked for."""
    notebook.cells = [
        cell
        for cell in notebook.cells
        if not {"teacher", "start"} & {*cell.metadata.get("tags", ())}
    ]
    for cell in notebook.cells:
        if cell.cell_type == "code":
            cell.outputs = []
        else:
            cell.source = kept_together(cell.source)
        if "slow" in cell.metadata.get("tags", ()):
            cell.source = f"{LATER}Later(lambda: {cell.source})"
    return notebook


def code_of(notebook) -> list[str]:
    """Return the sources of a notebook's cells of code."""
    return [cell.source for cell in notebook.cells if cell.cell_type == "code"]


class Lesson(TornadoVoilaHandler):
    """The page of one lesson."""

    @authenticated
    async def get(self, path=None):
        """Answer with the page, and with the cookie that lets it end its kernel when it closes."""
        self.xsrf_token  # noqa: B018 - being asked for, it is sent
        group = class_room.group_of(self) if "class_codes" in self.settings else None
        if "class_codes" in self.settings and not group:
            self.redirect(self.base_url + "group")
            return
        words = await self.settings["shelf"].words(path)
        if psutil.virtual_memory().available < LEAST:
            raise HTTPError(503, FULL)
        self.set_header("Content-Type", "text/html; charset=utf-8")
        self.set_header("Cache-Control", "no-store")
        self.write(words.before)
        self.flush()
        cells = words.code if words.prepared else None
        kernel = await self.kernel_manager.start_kernel(path="", cells=cells, group=group)
        Shown.pages[kernel] = words, group
        await self._let_rest(group)
        self.finish(kernel + words.after)

    async def _let_rest(self, group):
        """Forget pages that have ended; let those of a group rest that nobody used for longest."""
        manager, pages = self.kernel_manager, Shown.pages
        for ended in pages.keys() - {*manager.list_kernel_ids()}:
            del pages[ended]
        mine = [kernel for kernel, (_, whose) in pages.items() if group and whose == group]
        for kernel in mine[:-EACH]:
            pages.pop(kernel, None)
            if kernel in manager:  # its page may have been closed meanwhile
                await manager.shutdown_kernel(kernel, now=True)


class Shown(ExecutionRequestHandler):
    """Tells a page what its cells have shown; where they did not run beforehand, it runs them."""

    # The group of each open page, and its words until its browser has asked; the page that rests
    # longest is first.
    pages: ClassVar = {}
    _executor = None

    @classmethod
    def used(cls, kernel):
        """Know that somebody uses a page; a kernel's own activity tells of its start too."""
        if kernel in cls.pages:
            cls.pages[kernel] = cls.pages.pop(kernel)

    async def on_message(self, message):
        """Answer once, as the page's script asks once."""
        words, group = self.pages.get(self._kernel_id, (None, None))
        if words is None:
            return
        self.pages[self._kernel_id] = None, group
        manager = self.kernel_manager.get_kernel(self._kernel_id)
        outputs = getattr(manager.provisioner, "outputs", None)
        if outputs is None:
            await self._run(words, group, message)
            return
        cells = enumerate(words.notebook.cells)
        places = [place for place, cell in cells if cell.cell_type == "code"]
        for place, shown in zip(places, outputs, strict=True):  # after the last the page hangs up
            about = {"cell_index": place, "total_cell": places[-1] + 1}
            about["output_cell"] = {"outputs": shown}
            self.write_message({"action": "execution_result", "payload": about})

    def write_message(self, message, binary=False):
        """Send each output of a cell alone.

        Voilà's script leaves out those that follow a view whose widget is not there yet.
        """
        told = message["payload"]
        outputs = told.get("output_cell", {}).get("outputs", [])
        for output in outputs[:-1]:
            one = told | {"output_cell": {"outputs": [output]}, "total_cell": 0}
            super().write_message(message | {"payload": one})
        if outputs:
            message = message | {"payload": told | {"output_cell": {"outputs": outputs[-1:]}}}
        return super().write_message(message, binary)

    async def _run(self, words, group, message):
        notebook = deepcopy(words.notebook)
        if group:  # the kernel is told first whose page it is
            first = next(cell for cell in notebook.cells if cell.cell_type == "code")
            first.source = f"{SEAT.format(group)}{first.source}"
        about = {"nb": notebook, "config": self.settings["shelf"].app.config}
        self._execution_data[self._kernel_id] = {**about, "show_tracebacks": False}
        await super().on_message(message)
