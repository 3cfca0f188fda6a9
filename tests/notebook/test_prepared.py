"""A page that ran beforehand and is opened shows what one shows that runs when it is opened."""

import contextlib

import nbformat
import pytest
from ipywidgets.widgets import widget

from moonreach import exercises
from moonreach.notebook import lesson_page, practice_night, prepared, shipped
from moonreach.notebook.asked import Asked
from moonreach.notebook.desk import Desk
from moonreach.sheet import tables
from moonreach.sheet.reading import row_of

NOTEBOOKS = shipped.files("notebooks", ".ipynb")


def lay_work(folder):
    """Leave in a folder what a group has done: a night, readings, a guess, notes, answers."""
    desk = Desk("moon_distance", work=folder / "work")
    desk.practise("2029-06-26")
    desk.choose("Owls")
    rows = [row_of(reading) for reading in practice_night.practice_rows()]
    tables.write(desk.sheet.path, [["Owls", *row[1:]] for row in rows if row[1] != "disc_diameter"])
    for lesson, known in exercises.LESSONS.items():
        desk = Desk(lesson, work=folder / "work")
        desk.keep("guess", "it stays")
        desk.keep("look_1", f"a note on {lesson}")
        desk.keep("exit", "because")
        for exercise in known[:2]:
            for answer in ("1", "2"):
                Asked(desk, exercise.key).verdict(answer, keep=True)


def shown(page):
    """Return what a browser is told of a page, with its widgets in the order of their use."""
    names, told = {}, []

    def name_of(key):
        if key not in names:
            names[key] = f"widget {len(names)}"
            state = widget._instances[key].get_state()
            told.append({name: plain(value) for name, value in state.items()})
        return names[key]

    def plain(value):
        if isinstance(value, str) and value.startswith("IPY_MODEL_"):
            return name_of(value.removeprefix("IPY_MODEL_"))
        if isinstance(value, dict):
            return {key: plain(one) for key, one in value.items()}
        if isinstance(value, (list, tuple)):
            return [plain(one) for one in value]
        return bytes(value) if isinstance(value, memoryview) else value

    for outputs in page.outputs:
        for output in outputs:
            view = output["data"].get(prepared.VIEW)
            told.append(name_of(view["model_id"]) if view else output)
    return told


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_an_opened_page_is_as_one_that_runs_now(path, tmp_path, monkeypatch):
    cells = lesson_page.code_of(lesson_page.for_a_page(nbformat.read(path, 4)))
    early = prepared.Prepared(cells)
    lay_work(tmp_path)
    monkeypatch.chdir(tmp_path)
    early.open()
    monkeypatch.setattr(prepared.contextlib, "chdir", contextlib.nullcontext)
    late = prepared.Prepared(cells)
    for desk in early.desks:
        assert desk.group == "Owls" and desk.night.date == "2029-06-26"
    one, other = shown(early), shown(late)
    assert len(one) == len(other)
    for first, second in zip(one, other, strict=True):
        assert first == second


def test_a_page_keeps_to_its_own_widgets():
    first, second = (prepared.Prepared(["import ipywidgets\nipywidgets.HTML()"]) for _ in "12")
    others = dict(widget._instances)
    try:
        second.leave_others()
        assert second.widgets.keys() == widget._instances.keys()
        assert first.widgets and not first.widgets.keys() & widget._instances.keys()
    finally:
        widget._instances.update(others)
