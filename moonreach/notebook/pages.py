"""The lessons as pages: Voilà with templates of our own, on this machine only, or for a class.

Each page has a kernel, which its cells run in while the words are read already; nothing is ever
fetched from the network.
"""

import logging
import webbrowser
from pathlib import Path

from tornado.ioloop import IOLoop
from tornado.web import authenticated
from traitlets import Bool
from traitlets.config import Config
from voila.app import Voila
from voila.shutdown_kernel_handler import VoilaShutdownKernelHandler
from voila.tornado.contentshandler import VoilaContentsHandler
from voila.tornado.execution_request_handler import ExecutionRequestHandler
from voila.tornado.handler import TornadoVoilaHandler
from voila.tornado.kernel_websocket_handler import VoilaKernelWebsocketHandler
from voila.tornado.treehandler import TornadoVoilaTreeHandler

from moonreach.notebook import class_room, forked, lab, progress, scripts
from moonreach.notebook.docs_page import PLACE, DocsPage
from moonreach.notebook.lab import LARGEST_MESSAGE
from moonreach.notebook.lesson_page import Lesson, Shelf, Shown
from moonreach.notebook.own_page import OwnPage
from moonreach.notebook.scripts import Scripts, SendScripts
from moonreach.notebook.spare import SpareKernel

TEMPLATES = Path(__file__).with_name("page")
LAST_WORDS = 3  # seconds in which a page that was left is still heard
# What the page's script may load: the widgets, and the canvas for the photograph.
EXTENSIONS = [
    "@jupyter-widgets/jupyterlab-manager",
    "@voila-dashboards/widgets-manager8",
    "jupyter-matplotlib",
]
TELL = "Something went wrong here. Everything that was entered is kept: open the page again."


def settings(folder, in_class=False):
    """Return Voilà's configuration for a folder of lessons, on this machine or for a class."""
    config = Config(
        Voila={
            "root_dir": str(folder),
            "ip": "127.0.0.1",
            "auto_token": True,
            "config_file_paths": [],
            "log_level": logging.ERROR,
            "tornado_settings": {"websocket_max_message_size": LARGEST_MESSAGE},
        },
        VoilaConfiguration={
            "template": "base",
            "progressive_rendering": True,
            "extension_allowlist": EXTENSIONS,
            "file_allowlist": [],  # no file of the folder: groups' pictures lie there
            "allow_template_override": "NO",
            "allow_theme_override": "NO",
            "multi_kernel_manager_class": SpareKernel,
            "resources": {"lessons": [vars(page) for page in progress.pages(folder)]},
        },
        VoilaExecutor={"cell_error_instruction": TELL},
        MappingKernelManager={"cull_idle_timeout": 300, "cull_interval": 60},
    )
    forked.use(config)
    if in_class:
        key = class_room.Codes(Path(folder) / ".moonreach").key.encode()
        config.Voila.update(ip="0.0.0.0", auto_token=False, cookie_secret=key)
        config.Voila.identity_provider_class = class_room.Devices
    return config


class Contents(OwnPage):
    """The page of contents: the lessons, and how far the group has come."""

    @authenticated
    def get(self):
        """Answer with the page, made anew each time."""
        folder = Path(self.settings["contents_manager"].root_dir)
        in_class = "class_codes" in self.settings
        group = class_room.group_of(self) if in_class else progress.group_of(folder / "work")
        if in_class and not group:
            self.redirect(self.base_url + "group")
            return
        rows = [
            (page, progress.done(folder / "work", group, page.stem) if group else None)
            for page in progress.pages(folder)
        ]
        self.show("contents.html", rows=rows, group=group, in_class=in_class)


class Channels(VoilaKernelWebsocketHandler):
    """Passes a kernel's messages on to a page.

    Voilà takes each one in bytes for its own protocol's and looks through as many offsets as the
    first eight bytes say. Of a client that speaks the older protocol these are some 10**17.
    """

    def on_message(self, ws_message):
        """Pass on what a page says: somebody uses it."""
        Shown.used(self.kernel_id)
        super().on_message(ws_message)

    def write_message(self, message, binary=False):
        """Send a message; one that has fewer bytes than offsets goes out as it is."""
        older = isinstance(message, bytes) and int.from_bytes(message[:8], "little") > len(message)
        sender = super(VoilaKernelWebsocketHandler, self) if older else super()
        return sender.write_message(message, binary)


class Leave(VoilaShutdownKernelHandler):
    """Ends the kernel of a page that was left, but not before it has done what was typed last."""

    @authenticated
    async def post(self, kernel_id):
        """Answer at once."""
        IOLoop.current().call_later(LAST_WORDS, self._end, kernel_id)
        self.set_status(204)

    async def _end(self, kernel_id):
        if kernel_id in self.kernel_manager:
            await self.kernel_manager.shutdown_kernel(kernel_id)


class Pages(Voila):
    """Voilà with our templates and our page of contents in place of its list of files."""

    show = Bool(True, config=True, help="open the browser")
    in_class = Bool(False, config=True, help="for a class")

    def setup_template_dirs(self):
        """Look for templates in our folder first."""
        super().setup_template_dirs()
        self.template_paths.insert(0, str(TEMPLATES))

    def init_handlers(self):
        """Put our own in place of Voilà's, and leave out everything that lists files."""
        ours = {TornadoVoilaHandler: Lesson, TornadoVoilaTreeHandler: None}
        ours |= {VoilaContentsHandler: None, VoilaKernelWebsocketHandler: Channels}
        ours |= {ExecutionRequestHandler: Shown, VoilaShutdownKernelHandler: Leave}
        rules = [
            (rule[0], ours.get(rule[1], rule[1]), *rule[2:]) for rule in super().init_handlers()
        ]
        for rule in rules:
            if rule[0].endswith("/voila/labextensions/(.*)"):
                rule[2]["no_cache_paths"] = []  # their names change with what they hold
        own = [(self.server_url, Contents), (self.server_url + PLACE, DocsPage)]
        own.append((self.server_url + scripts.PLACE, SendScripts))
        if self.in_class:
            own += class_room.handlers(self.server_url)
        return [*own, *(rule for rule in rules if rule[1])]

    def init_settings(self):
        """Add the shelf of pages, and the codes of a class."""
        self.scripts = Scripts(self.static_paths, self.labextensions_path)
        own = {"shelf": Shelf(self), "scripts": self.scripts}
        if self.in_class:
            self.codes = class_room.Codes(Path(self.root_dir) / ".moonreach")
            own["class_codes"] = self.codes
        settings = super().init_settings() | own
        settings["voila_jinja2_env"].globals["scripts"] = self.scripts.address
        return settings

    def listen(self):
        """Get pages ready, while requests are answered until all is stopped."""
        IOLoop.current().add_callback(self.kernel_manager.keep_ready, self._prepare)
        super().listen()

    async def _prepare(self):
        """Yield after each lesson that is ready."""
        for page in progress.pages(self.root_dir):
            await self.app.settings["shelf"].prepare(page.file)
            yield page

    def stop(self):
        """End the kernels, then the server; it never takes long."""
        lab.end_soon()
        super().stop()

    def _handle_signal_stop(self, sig, frame):
        lab.end_soon()  # even while something keeps the server from hearing
        super()._handle_signal_stop(sig, frame)

    def launch_browser(self):
        """Tell where the pages are, and open them in the browser unless that was not wanted."""
        address = self.display_url
        if self.in_class:
            print(f"Students open http://{class_room.own_address()}:{self.port}/ on their devices.")
            print(f"Class code: {self.codes.student}")
            print(f"Your own code, for the wall and hints: {self.codes.teacher}")
            address = f"http://127.0.0.1:{self.port}/wall"
        print(f"The {'wall is' if self.in_class else 'lessons are'} at {address}", flush=True)
        if self.show:
            webbrowser.open(address)


def serve(words):
    """Be the server, with the words of the command that `prepare` returns."""
    lab.send_at_once()
    Pages.launch_instance(words, config=settings(words[0], "--Pages.in_class=True" in words))
