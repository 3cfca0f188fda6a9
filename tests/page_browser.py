"""The lessons' pages as `moonreach lessons` serves them, for tests and benchmarks to open."""

import http.cookiejar
import re
import shutil
import subprocess
import urllib.error
import urllib.parse
import urllib.request
from contextlib import contextmanager
from pathlib import Path
from time import monotonic, sleep

import psutil

from moonreach.notebook import lab, serve, shipped

LIVE = ".widget-vbox:has(> .widget-image)"


def lay_lessons(folder):
    """Copy the shipped notebooks and data into a folder, as `moonreach lessons` does."""
    for path in shipped.files("notebooks", ".ipynb"):
        shutil.copy(path, folder)
    shutil.copytree(shipped.folder("data"), Path(folder) / "data")


@contextmanager
def start_pages(folder, patience=60, in_class=False, port=None, more=()):
    """Serve a folder of lessons, give the address of the page of contents, and stop at the end.

    Parameters: the folder, the seconds until it must answer, whether it is for a class, the port
    if it is not any, and more words of the command.
    """
    environment, (*command, _) = serve.prepare(folder, in_class)
    port = port or lab.free_port()  # never a class's own: two tests may start at once
    command += [f"--port={port}", "--Pages.show=False", "--Pages.auto_token=False", *more]
    address, log = f"http://127.0.0.1:{port}/", Path(folder) / "pages.log"
    with log.open("w", encoding="utf-8") as written:
        process = subprocess.Popen(command, env=environment, stdout=written, stderr=written)
        try:
            _wait_for(address, process, log, patience)
            yield address
        finally:
            process.terminate()  # it stops its kernels
            process.wait(30)


def server_of(folder):
    """Return the process that serves a folder, a child of this one."""
    mine = psutil.Process().children()
    alive = (one for one in mine if one.status() != psutil.STATUS_ZOMBIE)  # not one just killed
    return next(one for one in alive if str(folder) in " ".join(one.cmdline()))


def _wait_for(address, process, log, patience):
    opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
    end = monotonic() + patience
    while monotonic() < end and process.poll() is None:
        try:
            opener.open(address, timeout=5).close()
        except (urllib.error.URLError, OSError):
            sleep(0.05)
        else:
            return
    raise RuntimeError(f"the pages do not answer:\n{log.read_text(encoding='utf-8')[-2000:]}")


def open_lesson(page, address, name):
    """Open the page of contents, click a lesson, and wait until all its cells have run."""
    page.goto(address)
    click_lesson(page, name)
    page.wait_for_function("!document.querySelector('.voila-skeleton-container')", timeout=60_000)


def click_lesson(page, name):
    """Click a lesson in the page of contents, and wait for its first live figure."""
    page.locator(f'a[href$="{name}"]').click()
    page.locator(f"{LIVE} .noUi-handle").first.wait_for(timeout=60_000)
    page.wait_for_function(
        "([...document.images].find(i => i.matches('.widget-image')) ?? {}).naturalWidth > 0"
    )


def a_key_moves_the_picture(page, figure):
    """Press a key on a figure's first slider, and wait for another picture."""
    image, handle = figure.locator(".widget-image"), figure.locator(".noUi-handle").first
    before = image.get_attribute("src")
    handle.scroll_into_view_if_needed()
    handle.focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_function(
        "([image, before]) => image.src !== before && image.complete && image.naturalWidth === 800",
        arg=[image.element_handle(), before],
    )


class Device:
    """A browser without a window: it keeps cookies and follows where it is sent."""

    def __init__(self, address):
        self.address, self.jar = address, http.cookiejar.CookieJar()
        jar, direct = urllib.request.HTTPCookieProcessor(self.jar), urllib.request.ProxyHandler({})
        self._opener = urllib.request.build_opener(jar, direct)

    def ask(self, path, **sent):
        """Return the status, the address where it ended, and the text."""
        if sent:
            page = self.ask(path)[2]
            sent["_xsrf"] = re.search(r'name="_xsrf" value="([^"]*)"', page)[1]
        data = urllib.parse.urlencode(sent).encode() if sent else None
        try:
            answer = self._opener.open(self.address + path, data, timeout=60)
        except urllib.error.HTTPError as refusal:
            answer = refusal
        with answer:
            return answer.status, answer.geturl(), answer.read().decode()

    def header(self):
        return "; ".join(f"{cookie.name}={cookie.value}" for cookie in self.jar)
