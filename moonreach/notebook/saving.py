"""What Lab does when it saves a notebook: leave out what a page without a kernel cannot show."""

VIEW = "application/vnd.jupyter.widget-view+json"


def without_views(model, **_):
    """Take the widgets' views and states out of a notebook; its pictures and words stay.

    A hook for `FileContentsManager.pre_save_hook`. Opened again, the notebook then shows pictures
    in place of "model not found", until its cells are run. Parameters: what is saved, as Jupyter's
    contents manager describes it; it is changed in place.
    """
    if model.get("type") != "notebook" or not isinstance(model.get("content"), dict):
        return
    notebook = model["content"]
    notebook.get("metadata", {}).pop("widgets", None)
    for cell in notebook.get("cells", ()):
        for output in cell.get("outputs", ()):
            output.get("data", {}).pop(VIEW, None)
        if "outputs" in cell:
            cell["outputs"] = [output for output in cell["outputs"] if output.get("data", True)]
