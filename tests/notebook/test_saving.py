"""A notebook as Lab saves it: pictures and words, and no view of a widget that will be gone."""

import copy

import nbformat

from moonreach.notebook.saving import VIEW, without_views


def test_views_go_and_pictures_stay():
    make = nbformat.v4
    both = make.new_output("display_data", data={VIEW: {"model_id": "a"}, "image/png": "iVBOR"})
    view = make.new_output("display_data", data={VIEW: {"model_id": "b"}})
    told = make.new_output("stream", text="words")
    cells = [
        make.new_markdown_cell("text"),
        make.new_code_cell("live()", outputs=[both, view, told]),
    ]
    notebook = make.new_notebook(cells=cells, metadata={"widgets": {"state": {}}})
    without_views({"type": "notebook", "content": notebook}, path="a.ipynb", contents_manager=None)
    assert VIEW not in nbformat.writes(notebook) and "widgets" not in notebook.metadata
    assert [sorted(output.get("data", "-")) for output in cells[1].outputs] == [
        ["image/png"],
        ["-"],
    ]
    nbformat.validate(notebook)


def test_other_files_are_left_as_they_are():
    for model in ({"type": "file", "content": "text"}, {"type": "notebook", "content": None}):
        before = copy.deepcopy(model)
        without_views(model)
        assert model == before
