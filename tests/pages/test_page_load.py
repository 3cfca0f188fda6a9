"""What a page asks of a student: words, minutes and signs, counted from the notebook.

The limits are a habit of the course, without a source: 1,300 words and 45 minutes, at 110 words a
minute, 4 minutes for a figure to play with (its caption included) and 3 for an exercise (its
question included). A folded part ("More", in `<details>`) is for those who want it and is not
counted; nor is a figure that only stands still.
"""

import math
import re
from dataclasses import dataclass
from pathlib import Path

import pytest
from lesson_notebooks import PATHS, calls, code, prose, read

PLANS = Path(__file__).resolve().parents[2] / "docs" / "lessons"
MOST_WORDS, MOST_MINUTES = 1300, 45
WORDS_A_MINUTE, MINUTES_A_FIGURE, MINUTES_AN_EXERCISE = 110, 4, 3
FIGURES = "live", "after_guess", "photograph", "half_moon", "all_ways"
FOLDED = re.compile(r"<details>.*?</details>", re.DOTALL)
NO_WORDS = re.compile(r"\]\([^)]*\)|<[^>]+>")  # where a link leads, and tags
WORD = re.compile(r"[^\W_]+(?:[-'’.,:′″]+[^\W_]+)*")


@dataclass
class Load:
    """What a page holds by default."""

    words: int
    figures: int
    exercises: int

    @property
    def minutes(self):
        """The minutes it takes at the course's pace."""
        read = self.words / WORDS_A_MINUTE
        return read + self.figures * MINUTES_A_FIGURE + self.exercises * MINUTES_AN_EXERCISE


def count_page(notebook):
    """Count a page: its words without folded parts, what its code prints, figures, exercises."""
    # A cell tagged "slow" runs on the page only when asked.
    runs = [cell for cell in code(notebook) if "slow" not in cell.metadata.get("tags", ())]
    printed = [output.text for cell in runs for output in cell.outputs if "text" in output]
    text = NO_WORDS.sub(" ", FOLDED.sub("", "\n".join([prose(notebook), *printed])))
    sources = [cell.source for cell in code(notebook)]
    figures = sum(1 for source in sources for name in FIGURES for _ in calls(source, name))
    exercises = sum(1 for source in sources for _ in calls(source, "box"))
    return Load(len(WORD.findall(text)), figures, exercises)


@pytest.fixture(scope="module", params=PATHS, ids=lambda path: path.stem)
def path(request):
    return request.param


def test_a_page_is_read_and_worked_in_the_minutes_it_says(path):
    notebook = read(path)
    load = count_page(notebook)
    assert load.words <= MOST_WORDS
    assert load.minutes <= MOST_MINUTES, load
    # Said in steps of five minutes, never fewer than it takes.
    said = int(re.search(r"Time: (\d+) minutes", prose(notebook))[1])
    assert said == 5 * math.ceil(load.minutes / 5), load
    # The plan's time in class leaves room to talk, and never less than the page takes.
    plan = (PLANS / f"{path.stem}.md").read_text(encoding="utf-8")
    planned = re.search(rf"`{re.escape(path.name)}` · (?:\d+ to )?(\d+) minutes", plan)
    assert said <= int(planned[1]) <= said + 15


def test_no_formula_needs_a_typesetter(path):
    for cell in read(path).cells:
        if cell.cell_type == "markdown":
            assert "$" not in cell.source and "\\" not in cell.source


def test_what_if_and_then_and_now_have_no_code_to_read(path):
    """From section 7 on each cell is one call: a figure, a part of the page."""
    notebook = read(path)
    start = next(n for n, cell in enumerate(notebook.cells) if cell.source.startswith("## 7"))
    for cell in notebook.cells[start:]:
        if cell.cell_type == "code":
            assert "\n" not in cell.source and re.match(r"(live|desk\.\w+)\(", cell.source)
            assert not any(output.output_type == "stream" for output in cell.outputs)


def test_the_count_knows_words_folded_parts_figures_and_exercises():
    import nbformat.v4 as v4

    text = "Two *words* and 1.5°.\n\n<details><summary>More</summary>\n\nnot these\n\n</details>"
    cells = [v4.new_markdown_cell(text + "\n\n[here](../docs/far_away.md)")]
    cells += [v4.new_code_cell(one) for one in ("live(Cones())", 'desk.box("arc")')]
    load = count_page(v4.new_notebook(cells=cells))
    assert (load.words, load.figures, load.exercises) == (5, 1, 1)
    assert load.minutes == pytest.approx(5 / 110 + 7)
