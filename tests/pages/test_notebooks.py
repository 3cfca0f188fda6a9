"""The notebooks as they are shipped: their anatomy, nothing told, and every exercise solvable.

That each cell says what is stored is nbval's to see; `pytest` runs it over the notebooks too.
"""

import re
import statistics
import sys

import nbformat
import pytest
from asked_in_words import check
from drawings import ALL
from drawings import shown as drawn
from lesson_notebooks import (
    BOX,
    FOLDER,
    PATHS,
    answers,
    calls,
    code,
    fresh_desk,
    lesson_of,
    prose,
    read,
    tells,
    texts_of,
)
from prepare_notebooks import SLOW, START, run

from moonreach import exercises
from moonreach.exercises.checking import shown
from moonreach.notebook.handouts import METADATA
from moonreach.notebook.saving import VIEW

# nbval leaves out what such a cell says: the last digit of a fit is not the same on all machines.
FITTED = "nbval-ignore-output"
HEADINGS = [
    "1 The question",
    "2 Guess first",
    "3 Look",
    "4 Measure",
    "5 Work it out",
    "6 How sure are you?",
    "7 What if?",
    "8 Then and now",
    "9 Before you go",
]


@pytest.fixture(scope="module", params=PATHS, ids=lambda path: path.stem)
def path(request):
    return request.param


@pytest.fixture(scope="module")
def notebook(path):
    return read(path)


def test_there_is_something_to_test():
    assert PATHS
    assert {lesson_of(path) for path in PATHS} <= set(exercises.LESSONS)


def test_has_the_nine_parts_in_order(path, notebook):
    text = prose(notebook)
    assert re.findall(r"^## (.*)$", text, re.MULTILINE) == HEADINGS
    number = int(path.stem[:2])
    assert notebook.cells[0].source == START
    assert notebook.cells[1].source.startswith(f"# {number} · ")
    assert len(re.findall(r"^# ", text, re.MULTILINE)) == 1
    first = code(notebook)[0].source
    assert f'desk = Desk("{lesson_of(path)}")' in first and first.endswith("\ndesk.strip()")


def test_is_of_a_lessons_length(notebook):
    assert 1000 <= len(prose(notebook).split()) <= 2000
    lengths = [sum(map(bool, cell.source.splitlines())) for cell in code(notebook)]
    assert len(lengths) <= 30
    assert max(lengths) <= 15 and statistics.median(lengths) <= 3


def test_is_stored_clean(notebook):
    assert notebook.metadata == METADATA
    assert [cell.id for cell in notebook.cells] == [
        f"cell-{number:02}" for number in range(len(notebook.cells))
    ]
    for cell in notebook.cells:
        assert set(cell.metadata) <= {"jupyter", "tags"}
        tags = set(cell.metadata.get("tags", ()))
        assert tags <= {"exercise", "start", "read", "slow", FITTED}
        assert ("slow" in tags) == (cell.cell_type == "code" and SLOW in cell.source)
        assert not cell.get("attachments")
        for output in cell.get("outputs", ()):
            assert output.output_type != "error" and output.get("name") != "stderr"
            assert VIEW not in output.get("data", {}) and output.get("data", True)


def test_code_is_folded_but_where_the_reader_writes_or_reads(notebook):
    for cell in code(notebook):
        folded = cell.metadata.get("jupyter") == {"source_hidden": True}
        assert folded == ("..." not in cell.source and "read" not in cell.metadata.get("tags", ()))


def test_every_code_cell_was_run_in_order(notebook):
    cells = code(notebook)
    assert [cell.execution_count for cell in cells] == list(range(1, len(cells) + 1))


def test_names_no_place_of_a_machine(notebook):
    texts = [cell.source for cell in notebook.cells]
    texts += [text for cell in notebook.cells for text in texts_of(cell)]
    for text in texts:
        assert not re.search(r"(?<![\w.:/<])/(?:[\w.-]+/)+|\b[A-Za-z]:\\|file://", text), text


def test_shows_at_least_two_live_figures_in_words_too(notebook):
    shows = [cell for cell in code(notebook) if any(calls(cell.source, "live"))]
    waiting = [cell for cell in code(notebook) if any(calls(cell.source, "after_guess"))]
    assert len(shows) + len(waiting) >= 2
    for cell in waiting:  # what would give the guess away is not stored either
        assert set(cell.outputs[0].data) == {"text/plain", "text/html"}
        assert "when your guess is kept" in cell.outputs[0].data["text/plain"]
    for cell in shows:
        assert cell.source.count("\n") < 2, "a live figure's cell is to stay short"
        figure, caption = cell.outputs
        assert len(figure.data["image/png"]) > 1000
        alternative = figure.metadata["image/png"]["alt"]
        assert alternative == figure.data["text/plain"] and len(alternative) > 60
        assert re.fullmatch(r"\*[A-Z].*\.\)?\*", caption.data["text/markdown"])


def test_every_drawing_with_sliders_is_one_whose_sliders_are_driven(notebook):
    # tests/test_figures.py drives each of them to its ends, one by one and in pairs.
    tested = {drawing.__name__ for drawing in ALL}
    for cell in code(notebook):
        assert "interact" not in cell.source and "widgets" not in cell.source
        for call in [*calls(cell.source, "live"), *calls(cell.source, "after_guess")]:
            drawing = call.args[0].func.id
            assert drawing in tested and not call.args[0].args


def test_asks_every_exercise_of_its_lesson_once_and_leaves_the_answer_open(path, notebook):
    asked = [cell.source for cell in code(notebook) if any(calls(cell.source, "box"))]
    keys = [exercise.key for exercise in exercises.LESSONS[lesson_of(path)]]
    assert sorted(asked) == sorted(BOX.format(key=key) for key in keys)
    tagged = [c.source for c in notebook.cells if "exercise" in c.metadata.get("tags", ())]
    assert tagged == asked
    for name in ("show", "check"):  # nobody answers by programming
        assert not [cell for cell in code(notebook) if any(calls(cell.source, name))]
    for cell in code(notebook):
        if cell.source in asked:
            key = next(calls(cell.source, "box")).args[0].value
            assert exercises.find(key).question in cell.outputs[0].data["text/plain"]


def test_has_a_guess_the_form_the_menu_and_the_result(notebook):
    sources = [cell.source for cell in code(notebook)]
    assert sum(source.startswith("desk.guess(") for source in sources) == 1
    *_, question, box, follows = [cell.source for cell in notebook.cells]
    assert question.startswith("## 9") and box == 'desk.notes("exit")' and ".ipynb)" in follows
    order = [sources.index(f"desk.{name}()") for name in ("form", "sky_menu", "result_card")]
    assert order == sorted(order) and order[1] == order[0] + 1


def test_tells_no_answer(path, notebook, tmp_path):
    # From "What if?" on published means and ranges are told, and one of them may come near the
    # practice group's answer by chance: there it takes a fourth figure to give that away.
    starts = [cell.source.startswith("## 7") for cell in notebook.cells]
    parts = (notebook.cells[: starts.index(True)], (3, 4)), (notebook.cells, (4,))
    for exercise, right in answers(lesson_of(path), fresh_desk(lesson_of(path), tmp_path)):
        for cells, figures in parts:
            for cell in cells:
                for text in (cell.source, *texts_of(cell), *words_of_figures(cell)):
                    text = text.replace(exercise.question, "")
                    assert not tells(text, exercise, right, figures), (exercise.key, right, text)


def words_of_figures(cell):
    """Return what the live figures of a cell say before any slider is moved."""
    by_name = {drawing.__name__: drawing for drawing in ALL}
    source = cell.source if cell.cell_type == "code" else ""
    return [drawn(by_name[call.args[0].func.id]()) for call in calls(source, "live")]


def test_a_told_answer_would_be_found(tmp_path):
    for lesson in exercises.LESSONS:
        for exercise, right in answers(lesson, fresh_desk(lesson, tmp_path)):
            for digits in (4, 3):
                number = shown(right, exercise.unit, digits)
                if len(re.sub(r"\D", "", number).strip("0")) >= 3:
                    assert tells(f"It is {number}, then.", exercise, right), (exercise.key, number)
                    break
            assert not tells("It is 12.5 or 1 234 567 km.", exercise, right)


def test_the_right_answers_are_right_and_then_the_result_is_told(path, tmp_path):
    desk = fresh_desk(lesson_of(path), tmp_path)
    assert "follows after" in repr(desk.result())
    for exercise, right in answers(lesson_of(path), desk):
        assert check(desk, exercise.key, right).startswith("Right"), exercise.key
    assert "follows after" not in repr(desk.result())
    assert not (tmp_path / "work").exists()  # nothing is written for the practice group


def test_a_fit_says_what_is_stored(notebook, tmp_path):
    first, *others = code(notebook)
    for cell in others:
        if FITTED in cell.metadata.get("tags", ()):
            copy = nbformat.v4.new_notebook(cells=[first.copy(), cell.copy()])
            again = run(copy, tmp_path).cells[1]
            now, then = (re.sub(r"[0-9]+\.[0-9]+", "x", saying(each)) for each in (again, cell))
            assert now == then and "x" in now
            now, then = (re.findall(r"[0-9]+\.[0-9]+", saying(each)) for each in (again, cell))
            assert [float(n) for n in now] == pytest.approx([float(n) for n in then], abs=0.03)


def saying(cell):
    return "\n".join(texts_of(cell))


def test_kernels_are_this_environments_own_and_start_in_an_empty_folder(tmp_path):
    cell = nbformat.v4.new_code_cell(
        "import os, sys, moonreach\n"
        "for told in (sys.prefix, moonreach.__file__, os.getcwd(), os.listdir()): print(told)"
    )
    for folder, same in ((FOLDER, False), (tmp_path, True)):
        notebook = run(nbformat.v4.new_notebook(cells=[cell]), folder)
        prefix, file, where, there = notebook.cells[0].outputs[0].text.splitlines()
        assert prefix == sys.prefix and file == sys.modules["moonreach"].__file__
        assert (where == str(folder)) is same and there == "[]"


def test_plain_pytest_runs_the_notebooks_too(pytestconfig):
    assert "notebooks" in pytestconfig.getini("testpaths")
    assert pytestconfig.option.nbval and pytestconfig.option.nbval_current_env
