"""`moonreach lessons`: copies that lose nobody's work, and a JupyterLab of its own."""

import asyncio
import json
import os
from pathlib import Path

import nbformat
import pytest
from course_folder import lay_course

from moonreach.__main__ import main
from moonreach.notebook import lab, serve

PROJECT = Path(__file__).resolve().parents[2]


@pytest.fixture
def folder(tmp_path, monkeypatch):
    lay_course(tmp_path / "course", monkeypatch)
    return tmp_path / "mine"


def copy(folder, *words):
    return main(["lessons", "--folder", str(folder), "--copy-only", *words])


def test_notebooks_and_data_are_copied_once(folder, capsys):
    assert copy(folder) == 0
    assert nbformat.read(folder / "01_earth_size.ipynb", as_version=4) == lesson_as_stored(folder)
    assert (folder / "data" / "class.csv").is_file()
    before = {path: path.stat().st_mtime_ns for path in folder.rglob("*") if path.is_file()}
    assert copy(folder) == 0
    assert before == {path: path.stat().st_mtime_ns for path in folder.rglob("*") if path.is_file()}
    assert "Kept as they are" not in capsys.readouterr().out


def lesson_as_stored(folder):
    path = folder.parent / "course" / "shipped" / "notebooks" / "01_earth_size.ipynb"
    return nbformat.read(path, as_version=4)


@pytest.mark.parametrize(
    ("words", "answer", "replaced"),
    [
        ([], "y", False),  # nobody asked for new copies
        (["--renew"], "", False),
        (["--renew"], "n", False),
        (["--renew"], None, False),  # no one there to answer
        (["--renew"], "Y", True),
        (["--renew", "--yes"], None, True),
    ],
)
def test_a_changed_copy_is_never_lost(folder, monkeypatch, capsys, words, answer, replaced):
    copy(folder)
    path = folder / "01_earth_size.ipynb"
    path.write_text("my work", encoding="utf-8")

    def said(_):
        if answer is None:
            raise EOFError
        return answer

    monkeypatch.setattr("builtins.input", said)
    assert copy(folder, *words) == 0
    kept = folder / "01_earth_size.kept-1.ipynb"
    out = capsys.readouterr().out
    if replaced:
        assert path.read_text(encoding="utf-8") != "my work"
        assert kept.read_text(encoding="utf-8") == "my work"
        assert "kept beside it as 01_earth_size.kept-1.ipynb" in out
    else:
        assert path.read_text(encoding="utf-8") == "my work" and not kept.exists()
        assert "Kept as they are: 01_earth_size.ipynb" in out


@pytest.mark.parametrize(
    ("words", "opened"),
    [
        ([], ("serve", True)),
        (["--no-browser"], ("serve", False)),
        (["--lab"], ("lab", True)),
        (["--lab", "--no-browser"], ("lab", False)),
        (["--copy-only", "--lab"], None),
    ],
)
def test_there_are_two_doors(folder, monkeypatch, words, opened):
    asked = []
    for name, door in (("serve", serve), ("lab", lab)):
        monkeypatch.setattr(
            door, "run", lambda _, browser, name=name: asked.append((name, browser))
        )
    main(["lessons", "--folder", str(folder), *words])
    assert asked == ([opened] if opened else [])


def test_a_folder_that_cannot_be_is_one_sentence(tmp_path, folder, capsys):
    (tmp_path / "file").write_text("", encoding="utf-8")
    assert copy(tmp_path / "file") == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1 and "file" in said


def test_configuration_is_local_and_settings_stay_the_users(tmp_path, monkeypatch):
    monkeypatch.setenv("JUPYTER_CONFIG_DIR", "/somebody/else")
    monkeypatch.setenv("PYTHONPATH", "relative")
    environment, command = lab.prepare(tmp_path)
    own = tmp_path / ".moonreach"
    for name in ("JUPYTER_CONFIG_DIR", "JUPYTERLAB_SETTINGS_DIR", "IPYTHONDIR"):
        assert Path(environment[name]).is_relative_to(own)
    assert environment["PYTHONPATH"].split(os.pathsep) == [
        str(PROJECT),
        str(Path("relative").resolve()),
    ]
    assert f"--config={own / 'lab.py'}" in command
    assert '"127.0.0.1"' in (own / "lab.py").read_text(encoding="utf-8")
    news = own / "settings/@jupyterlab/apputils-extension/notification.jupyterlab-settings"
    assert json.loads(news.read_text(encoding="utf-8"))["fetchNews"] == "false"
    news.write_text("{}", encoding="utf-8")  # the user's from now on
    lab.prepare(tmp_path)
    assert news.read_text(encoding="utf-8") == "{}"
    ports = {lab.free_port() for _ in range(3)}
    assert min(ports) > 1023


def test_small_packets_are_sent_at_once(monkeypatch):
    handlers = pytest.importorskip("jupyter_server.services.kernels.websocket")
    opened = []

    class Handler:
        async def open(self, kernel_id):
            opened.append(kernel_id)

        def set_nodelay(self, value):
            opened.append(value)

    monkeypatch.setattr(handlers, "KernelWebsocketHandler", Handler)
    lab.send_at_once()
    asyncio.run(Handler().open("one"))
    assert opened == ["one", True]
