"""The kernel of an opened page: it takes messages of its widgets, never code."""

from typing import ClassVar

import comm
import ipywidgets
from ipykernel.comm.comm import BaseComm
from ipykernel.kernelbase import Kernel, kernel_protocol_version
from ipywidgets.widgets import widget

CONTROL = "jupyter.widget.control"  # the widgets' protocol: a browser asks there for all states
_MODEL = ("model_name", "model_module", "model_module_version")


class PageComm(BaseComm):
    """What a widget speaks to its browser through; while a page opens there is none to hear it."""

    silent = False

    def publish_msg(self, *parts, **named):
        """Send a message, unless nobody can hear it."""
        if not PageComm.silent:
            super().publish_msg(*parts, **named)


class PageKernel(Kernel):
    """What the browser of an opened page talks to."""

    implementation, implementation_version, banner = "moonreach", "1", ""
    language_info: ClassVar = {
        "name": "python",
        "mimetype": "text/x-python",
        "file_extension": ".py",
    }
    opened = None  # the page, and the group of a class

    def __init__(self, user_ns=None, debugpy_stream=None, **named):
        """Take what a kernel is given by its application, of which no code needs the rest."""
        super().__init__(**named)
        self.comm_manager = comm.get_comm_manager()
        for kind in ("comm_open", "comm_msg", "comm_close"):
            self.shell_handlers[kind] = getattr(self.comm_manager, kind)
        ipywidgets.register_comm_target()
        self.comm_manager.register_target(CONTROL, self._answer_with_states)

    def start(self):
        """Open the page as the first thing that happens, before any message is read."""
        super().start()
        self.io_loop.add_callback(self._open)

    @property
    def kernel_info(self):
        """What the kernel can do; the usual one looks for a debugger, which takes long."""
        names = ("implementation", "implementation_version", "language_info", "banner")
        told = {name: getattr(self, name) for name in names}
        return {"protocol_version": kernel_protocol_version, "supported_features": [], **told}

    def _open(self):
        page, group = self.opened
        PageComm.silent = True
        try:
            page.open(group)
        finally:
            PageComm.silent = False
        for each in page.widgets.values():  # they were made where there was no kernel
            each.comm.kernel = self

    def _answer_with_states(self, asked, _):
        """Tell a browser each widget's state; the usual answer works all of them out twice."""
        asked.on_msg(lambda _: asked.send(*states()))


def states() -> tuple[dict, None, list]:
    """Return all widgets' states as the widgets' protocol has them, and their buffers.

    Nine of ten properties of a layout are not set, as in the browser's own model of one.
    """
    told = {}
    for name, each in widget._instances.items():
        model = {part: getattr(each, f"_{part}") for part in _MODEL}
        unset = isinstance(each, ipywidgets.Layout)
        told[name] = model | {"state": each.get_state(drop_defaults=unset)}
    told, paths, buffers = widget._remove_buffers(told)
    return {"method": "update_states", "states": told, "buffer_paths": paths}, None, buffers
