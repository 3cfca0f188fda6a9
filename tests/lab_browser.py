"""JupyterLab on this machine and a browser before it: what tests and benchmarks drive them with.

Everything Lab writes goes to a folder inside that of the notebooks; nothing of the user's settings
is read.
"""

import base64
import json
import os
import secrets
import shutil
import signal
import subprocess
import time
import urllib.error
import urllib.request
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

import nbformat
import pytest

from moonreach.notebook.lab import prepare

PROJECT = Path(__file__).resolve().parents[1]
SETTINGS = {
    # Every cell stands in the page, on the screen or not; and a notebook that names no kernel is
    # given none unasked.
    "notebook-extension/tracker": {"windowingMode": "none", "autoStartDefaultKernel": False},
}
FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def chromium():
    """Return where Chromium is installed, or nothing."""
    return shutil.which("chromium") or shutil.which("chromium-browser")


def skip_without_browser():
    """Skip the calling tests where no page can be opened or driven."""
    if chromium() is None:
        pytest.skip("Chromium is not installed")
    pytest.importorskip("playwright")


@dataclass(frozen=True)
class Lab:
    """A running JupyterLab: its address, its token, its folder of notebooks."""

    address: str
    token: str
    folder: Path

    def url(self, name):
        """Return the page of one notebook, in a workspace that starts empty."""
        return f"{self.address}/lab/tree/{name}?reset&token={self.token}"


@contextmanager
def start_lab(folder, patience=60):
    """Start JupyterLab as `moonreach lessons --lab` does, and stop it at the end.

    Parameters: the folder of notebooks, and how many seconds it may take to answer. Another package
    of the same name lies where it starts, which must not be taken for this one.
    """
    own = Path(folder) / ".moonreach"
    for name, settings in SETTINGS.items():
        path = own / "settings" / "@jupyterlab" / f"{name}.jupyterlab-settings"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(json.dumps(settings), encoding="utf-8")
    other = own / "elsewhere" / "moonreach" / "__init__.py"
    other.parent.mkdir(parents=True)
    other.touch()
    with pytest.MonkeyPatch.context() as patch:
        patch.delenv("PYTHONPATH", raising=False)
        variables, command = prepare(folder)
    port = next(word for word in command if "port=" in word).partition("=")[2]
    token = secrets.token_hex(16)
    command += [f"--IdentityProvider.token={token}", "--no-browser"]
    command += ["--ServerApp.port_retries=0", "--LabApp.expose_app_in_browser=True"]
    about = {"env": variables, "cwd": other.parents[1], "start_new_session": True}
    with (own / "lab.log").open("w", encoding="utf-8") as log:
        process = subprocess.Popen(command, stdout=log, stderr=log, **about)
        try:
            lab = Lab(f"http://127.0.0.1:{port}", token, Path(folder))
            _wait_for(lab, process, own / "lab.log", patience)
            yield lab
        finally:
            process.terminate()  # Lab stops its kernels
            try:
                process.wait(15)
            except subprocess.TimeoutExpired:
                os.killpg(process.pid, signal.SIGKILL)  # its own group: Lab and its kernels
                process.wait()


def _wait_for(lab, process, log, patience):
    opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
    end = time.monotonic() + patience
    while time.monotonic() < end:
        if process.poll() is not None:
            break
        try:
            opener.open(f"{lab.address}/api/status?token={lab.token}", timeout=2).close()
        except (urllib.error.URLError, OSError):
            time.sleep(0.1)
        else:
            return
    raise RuntimeError(f"JupyterLab does not answer:\n{log.read_text(encoding='utf-8')[-2000:]}")


@dataclass
class Watch:
    """What a page did that it should not: errors, failed requests, requests off the machine."""

    errors: list = field(default_factory=list)
    failed: list = field(default_factory=list)
    outside: list = field(default_factory=list)

    def follow(self, page):
        """Note everything from now on."""
        page.on("console", lambda m: self.errors.append(m.text) if m.type == "error" else None)
        page.on("pageerror", lambda error: self.errors.append(str(error)))
        page.on("request", lambda request: self._sent(request.url))
        page.on("websocket", lambda socket: self._sent(socket.url))
        page.on("requestfailed", self._failed)
        page.on(
            "response",
            lambda r: self.failed.append(f"{r.url} {r.status}") if r.status >= 400 else 0,
        )

    def _failed(self, request):
        if request.failure != "net::ERR_ABORTED":  # a page that is left awaits no answer
            self.failed.append(f"{request.url} {request.failure}")

    def _sent(self, url):
        parts = urlsplit(url)
        if parts.scheme in ("http", "https", "ws", "wss") and parts.hostname != "127.0.0.1":
            self.outside.append(url)


@contextmanager
def open_browser():
    """Start Chromium, and stop it at the end."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=FLAGS)
        try:
            yield browser
        finally:
            browser.close()


@contextmanager
def open_page(browser, width=1280, height=800):
    """Open an empty page that shares nothing with other pages; give the page and its `Watch`."""
    context = browser.new_context(viewport={"width": width, "height": height})
    page, watch = context.new_page(), Watch()
    watch.follow(page)
    try:
        yield page, watch
    finally:
        context.close()


def write_notebook(path, *cells):
    """Write a notebook of code cells, without outputs."""
    book = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(cell) for cell in cells])
    book.metadata.kernelspec = {
        "name": "python3",
        "display_name": "Python 3",
        "language": "python",
    }
    nbformat.write(book, path)


_NOTEBOOK = "window.jupyterapp?.shell?.currentWidget"


def settle(page, promise, patience=60):
    """Wait until a promise of the page is kept, at most so many seconds.

    A page's ``evaluate`` would wait without an end for an answer that never comes.
    """
    page.wait_for_function(f"({promise}).then(() => true)", timeout=1000 * patience)


def open_notebook(page, lab, name):
    """Open a notebook and wait until its kernel answers."""
    page.goto(lab.url(name))
    page.wait_for_function(
        f"{_NOTEBOOK}?.context?.isReady && {_NOTEBOOK}.sessionContext?.isReady", timeout=60_000
    )
    settle(page, f"{_NOTEBOOK}.sessionContext.session.kernel.info")


def restart_kernel(page):
    """Give the open notebook a new kernel and wait until it answers."""
    kernel = f"{_NOTEBOOK}.sessionContext.session.kernel"
    settle(page, f"{kernel}.restart().then(() => {kernel}.info)")


def run_all(page):
    """Run all cells to their end; return the errors, as ``name: value``, one for each cell."""
    settle(page, "jupyterapp.commands.execute('notebook:run-all-cells')", patience=150)
    # The command may return before the last cell has: wait for the kernel's own rest.
    page.wait_for_function(
        f"""() => {{
            const cells = [...{_NOTEBOOK}.content.widgets].filter(c => c.model.type === 'code');
            return cells.every(c => c.model.executionCount || !c.model.sharedModel.source.trim());
        }}""",
        timeout=150_000,
    )
    return page.evaluate(
        f"""() => [...{_NOTEBOOK}.content.widgets]
            .flatMap(c => c.model.outputs ? c.model.outputs.toJSON() : [])
            .filter(o => o.output_type === 'error').map(o => o.ename + ': ' + o.evalue)"""
    )


def live_figures(page):
    """Return the figures with sliders that stand in the page, as locators."""
    page.wait_for_selector(".widget-image")
    return page.locator(".lm-Widget.widget-vbox:has(> .widget-image)")


def handle_of(figure, label):
    """Return the handle of the slider with this label."""
    slider = figure.locator(".widget-hslider").filter(has_text=label)
    return slider.locator(".noUi-handle")


def readout_of(figure, label):
    """Return the value that stands beside the slider, as written."""
    slider = figure.locator(".widget-hslider").filter(has_text=label)
    return slider.locator(".widget-readout").inner_text()


def picture_of(page, figure):
    """Return the bytes of a live figure's picture."""
    # Looked up and fetched in one turn of the page: the next picture takes this one's address away.
    code = """async image => {
        const bytes = new Uint8Array(await (await fetch(image.src)).arrayBuffer());
        let text = '';
        for (const byte of bytes) text += String.fromCharCode(byte);
        return btoa(text);
    }"""
    return base64.b64decode(figure.locator(".widget-image").evaluate(code))


def press(page, figure, label, key):
    """Press a key on a slider and wait for another picture."""
    image = figure.locator(".widget-image")
    before = image.get_attribute("src")
    handle_of(figure, label).focus()
    page.keyboard.press(key)
    page.wait_for_function(
        "([image, before]) => image.src !== before && image.complete",
        arg=[image.element_handle(), before],
    )
