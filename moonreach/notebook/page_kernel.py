"""The kernel of an opened page: it takes messages of its widgets, never code."""

from typing import ClassVar

import comm
import ipywidgets
from ipykernel.kernelbase import Kernel, kernel_protocol_version
from ipywidgets.widgets import widget

from moonreach.notebook import together

CONTROL = "jupyter.widget.control"  # the widgets' protocol: a browser asks there for all states
_MODEL = ("model_name", "model_module", "model_module_version")


class PageKernel(Kernel):
    """What the browser of an opened page talks to."""

    implementation, implementation_version, banner = "moonreach", "1", ""
    language_info: ClassVar = {
        "name": "python",
        "mimetype": "text/x-python",
        "file_extension": ".py",
    }
    page = None  # the opened `Prepared`

    def __init__(self, user_ns=None, debugpy_stream=None, **named):
        """Take what a kernel is given by its application, of which no code needs the rest."""
        super().__init__(**named)
        self.comm_manager = comm.get_comm_manager()
        for kind in ("comm_open", "comm_msg", "comm_close"):
            self.shell_handlers[kind] = getattr(self.comm_manager, kind)
        ipywidgets.register_comm_target()
        self.comm_manager.register_target(CONTROL, self._answer_with_states)

    def start(self):
        """Let the page's widgets speak, and its desks follow other devices of a class's group."""
        super().start()
        # They were made where there was no kernel, those of the group's own readings at the last.
        for each in widget._instances.values():
            each.comm.kernel = self
        if together.seated():
            for desk in self.page.desks:
                self.io_loop.add_callback(together.watch, desk)

    @property
    def kernel_info(self):
        """What the kernel can do; the usual one looks for a debugger, which takes long."""
        names = ("implementation", "implementation_version", "language_info", "banner")
        told = {name: getattr(self, name) for name in names}
        return {"protocol_version": kernel_protocol_version, "supported_features": [], **told}

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
