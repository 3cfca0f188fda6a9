"""The lessons as pages: what is served, what is told of a group, and which kernels run."""

import asyncio
import gzip
import json
import re
import subprocess
import urllib.error
import urllib.request

import nbformat
import pytest
from asked_in_words import check
from course_folder import lesson
from lesson_notebooks import answers
from page_browser import start_pages
from voila.paths import collect_static_paths
from voila.utils import get_voila_labextensions_path

from moonreach.notebook import lesson_page, pages, progress, scripts, serve, spare, warm
from moonreach.notebook.desk import Desk
from moonreach.sheet.group_sheet import Row


@pytest.fixture
def folder(tmp_path):
    """Return a folder with one small lesson, and a file that is none."""
    made = lesson()
    made.cells[0].source += "\n\nFrom *two* shadows."
    made.cells.insert(0, nbformat.v4.new_markdown_cell("Run", metadata={"tags": ["start"]}))
    nbformat.write(made, tmp_path / "01_earth_size.ipynb")
    nbformat.write(made, tmp_path / "01_earth_size.kept-1.ipynb")
    return tmp_path


def test_pages_are_the_lessons_of_a_folder(folder):
    (page,) = progress.pages(folder)
    assert page == progress.Page(
        "01_earth_size.ipynb", "earth_size", "1", "Earth's size", "From two shadows."
    )


def test_progress_is_what_the_desk_has_kept(folder):
    work = folder / "work"
    assert progress.group_of(work) == ""
    assert progress.done(work, "Heron", "earth_size") == progress.Done(0, 5, 0, 6)
    desk = Desk("earth_size", "Heron", work)
    row = Row("north_gnomon_height", {"value": "100", "unit": "cm", "uncertainty": "", "note": ""})
    desk.sheet.store(row)
    exercise, right = next(answers("earth_size", desk))
    check(desk, exercise.key, right)
    check(desk, "circumference", 1)
    assert progress.group_of(work) == "Heron"
    assert progress.done(work, "Heron", "earth_size") == progress.Done(1, 5, 1, 6)
    desk.sheet.path.write_bytes(b"\xff\xfe no sheet")
    assert progress.done(work, "Heron", "earth_size").readings == 0


def read(address):
    opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
    with opener.open(address, timeout=60) as answer:
        return answer.read().decode()


def test_server_answers_with_contents_and_a_page_without_code(folder):
    with start_pages(folder) as address:
        contents = read(address)
        assert "No group yet" in contents and contents.count("<li>") == 1
        Desk("earth_size", "Night Owls", folder / "work")
        contents = read(address)  # read anew each time
        assert "<b>Night Owls</b>" in contents
        assert re.search(r"0 of 5 readings.*0 of 6 answers", contents, re.S)
        text = read(f"{address}voila/render/01_earth_size.ipynb")
        assert "<title>1 · Earth&#39;s size</title>" in text and "two" in text
        for hidden in (
            "For the teacher",
            "7.179",
            "desk =",
            "desk.check",
            ">Run<",
            "http://",
            "https://",
        ):
            assert hidden not in text, hidden
        config = json.loads(
            re.search(r'<script id="jupyter-config-data"[^>]*>(.*?)</script>', text)[1]
        )
        assert config["fullMathjaxUrl"] == "data:text/javascript,//"  # nothing that sets TeX
        kernel = f"{address}api/kernels/{config['kernelId']}"
        assert json.loads(read(kernel))["id"] == config["kernelId"]
        for missing in ("voila/render/none.ipynb", "voila/tree/", "voila/api/contents/"):
            with pytest.raises(urllib.error.HTTPError) as error:
                read(address + missing)
            assert error.value.code == 404
            error.value.close()
    with pytest.raises(OSError):
        read(address)


def test_the_door_is_locked_without_the_token(folder):
    environment, command = serve.prepare(folder)
    server = subprocess.Popen(
        [*command, "--Pages.show=False"], env=environment, stdout=subprocess.PIPE, text=True
    )
    with server:
        try:
            while "The lessons are at" not in (told := server.stdout.readline()):
                assert server.poll() is None
            address = told.split()[-1]
            bare = address.partition("?")[0]
            with urllib.request.urlopen(address) as page:
                assert "01_earth_size.ipynb" in page.read().decode()
            for path in ("", "voila/render/01_earth_size.ipynb"):
                try:
                    with urllib.request.urlopen(bare + path) as page:
                        assert "login" in page.geturl(), path
                except urllib.error.HTTPError as refusal:
                    assert refusal.code == 403, path
        finally:
            server.terminate()
    assert environment["JUPYTER_DATA_DIR"].startswith(str(folder / ".moonreach"))
    settings = pages.settings(folder)
    assert settings.Voila.ip == "127.0.0.1" and settings.Voila.auto_token


def test_what_takes_long_waits_for_a_button():
    notebook = nbformat.v4.new_notebook(
        cells=[nbformat.v4.new_code_cell("6 * 7", metadata={"tags": ["slow"]})]
    )
    source = lesson_page.for_a_page(notebook).cells[0].source
    names = {}
    exec(
        "\n".join(f"made = {line}" if "Later(" in line else line for line in source.split("\n")),
        names,
    )
    later = names["made"]
    assert [child.description for child in later.children] == ["Ask the machine"]
    later.button.click()
    later.thread.join(10)
    assert later.children[-1].value == "42" and not later.button.disabled


def test_a_kernel_warms_itself_before_anybody_comes():
    warm.warm()  # a module that is gone would fail here, and nowhere else be seen


class Kernels(spare.SpareKernel):
    """Starts nothing, and notes what it was asked."""

    def __init__(self):
        super().__init__()
        self.started, self.dead, self.asked = [], set(), []

    async def _start(self, **named):
        self.started.append(named)
        return f"kernel-{len(self.started)}"

    async def is_alive(self, kernel_id):
        return kernel_id not in self.dead


def test_a_page_gets_the_spare_kernel_and_another_is_made(monkeypatch):
    monkeypatch.setattr(spare, "AFTER", 0)
    monkeypatch.setattr(spare, "FORKS", False)

    async def play():
        kernels = Kernels()
        kernels.keep_one()
        first = await kernels.start_kernel(path="", env={"A": "1"}, kernel_name="python3")
        assert first == "kernel-1" and kernels.started == [{"path": ""}]
        await asyncio.sleep(0.05)
        assert kernels.started[1] == {"path": ""}  # the folder of the lessons
        assert await kernels.start_kernel(path="") == "kernel-2"
        await asyncio.sleep(0.05)
        kernels.dead = {"kernel-3"}
        assert await kernels.start_kernel(path="") == "kernel-4"  # the spare one had died

    asyncio.run(play())


def test_idle_kernels_are_ended_but_not_the_spare_one(folder, monkeypatch):
    ended = []

    async def end(self, kernel_id):
        ended.append(kernel_id)

    monkeypatch.setattr(spare.AsyncMappingKernelManager, "cull_kernel_if_idle", end)

    async def play():
        kernels = Kernels()
        kernels.keep_one()
        await asyncio.sleep(0)
        await kernels._spare
        await kernels.cull_kernel_if_idle("kernel-1")
        await kernels.cull_kernel_if_idle("another")

    asyncio.run(play())
    assert ended == ["another"]
    settings = pages.settings(folder).MappingKernelManager
    assert 0 < settings.cull_idle_timeout <= 600


def test_a_client_of_the_older_protocol_cannot_hold_the_server_up(monkeypatch):
    # Its binary messages begin with the number of buffers, big-endian, and their offsets.
    sent = []
    base = pages.VoilaKernelWebsocketHandler.__mro__[1]
    monkeypatch.setattr(base, "write_message", lambda self, *given: sent.append(given))
    message = b"\0\0\0\2" + b"\0\0\0\x0c" + b"\0\0\0\x20" + b"{}" * 20
    pages.Channels.write_message(object.__new__(pages.Channels), message, True)
    assert sent == [(message, True)]


def test_each_output_of_a_cell_is_sent_alone(monkeypatch):
    # Voilà's script stops at a view whose widget the browser does not have yet: captions were lost.
    sent = []
    base = lesson_page.Shown.__mro__[1]
    monkeypatch.setattr(base, "write_message", lambda self, told, binary=False: sent.append(told))
    shown = object.__new__(lesson_page.Shown)
    for outputs in (["view", "caption"], [], ["words"]):
        about = {"cell_index": 4, "total_cell": 5, "output_cell": {"outputs": outputs}}
        shown.write_message({"action": "execution_result", "payload": about})
    shown.write_message({"action": "initialized", "payload": {}})
    told = [one["payload"] for one in sent]
    outputs = [one.get("output_cell", {}).get("outputs") for one in told]
    assert outputs == [["view"], ["caption"], [], ["words"], None]
    # The page hangs up where the cell is the last one of a number: not before all is there.
    assert [one.get("total_cell") for one in told] == [0, 5, 5, 5, None]


def test_the_scripts_are_voilas_in_one_and_each_keeps_to_itself(folder):
    extensions = get_voila_labextensions_path([])
    address = scripts.Scripts(collect_static_paths(["voila"], "base"), extensions)
    whole = gzip.decompress(address.packed)
    # Every part that is named is there; a newer Voilà may number them otherwise: name them anew.
    assert whole.count(b'(function () {"use strict"') + whole.count(b"(function () {(self") >= 50
    assert whole.startswith(b"(function () {") and b"_JUPYTERLAB" in whole
    assert whole.count(b".rspackChunk_jupyter_widgets_jupyterlab_manager=") == 10  # an extension's
    with start_pages(folder) as served:
        text = read(f"{served}voila/render/01_earth_size.ipynb")
        assert f'<script src="/{address.address}" defer>' in text
        assert f'href="/{address.address}"' in read(served)  # fetched while a lesson is chosen
