"""A small course for the tests of what copies notebooks: one lesson, its plan, one data file."""

import nbformat

PLAN = "# Lesson 1\n\n## Minutes\n\n| minutes | what |\n|---|---|\n| 5 | guess |\n"


def lesson():
    """Return a notebook as a lesson has it: exercise cells, stored outputs."""
    make = nbformat.v4
    cells = [
        make.new_markdown_cell("# 1 · Earth's size"),
        make.new_code_cell(
            "from moonreach.notebook.desk import Desk\ndesk = Desk('earth_size')\ndesk"
        ),
        make.new_code_cell('desk.box("arc")', metadata={"tags": ["exercise"]}),
        make.new_code_cell("desk.box('circumference')", metadata={"tags": ["exercise"]}),
    ]
    cells[2].outputs = [make.new_output("stream", text="7.179 is the answer\n")]
    cells[2].execution_count = 4
    metadata = {"kernelspec": {"name": "own-kernel", "display_name": "Own", "language": "python"}}
    return make.new_notebook(cells=cells, metadata=metadata)


def lay_course(root, monkeypatch):
    """Put the small course into a folder and let `moonreach.notebook.shipped` find it there."""
    from moonreach.notebook import shipped

    for name in ("notebooks", "data", "docs", "lesson_plans"):
        (root / "shipped" / name).mkdir(parents=True)
    nbformat.write(lesson(), root / "shipped" / "notebooks" / "01_earth_size.ipynb")
    for name in shipped.DOCS:
        (root / "shipped" / "docs" / name).write_text("# Words\n", encoding="utf-8")
    (root / "shipped" / "data" / "class.csv").write_text("group\n", encoding="utf-8")
    (root / "shipped" / "lesson_plans" / "01_earth_size.md").write_text(PLAN, encoding="utf-8")
    monkeypatch.setattr(shipped, "_HOME", root)
    return root / "shipped"
