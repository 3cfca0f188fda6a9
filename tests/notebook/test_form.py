"""The measuring form: what is typed is in the sheet at once, and is found again."""

import ipywidgets as widgets
import pytest

from moonreach.notebook import practice_night
from moonreach.notebook.desk import Desk
from moonreach.notebook.syllabus import SYLLABUS
from moonreach.sheet import tables
from moonreach.sheet.reading import row_of


def practice_rows():
    """Return the practice group's rows as texts, to be typed into a sheet."""
    return [row_of(reading) for reading in practice_night.practice_rows()]


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


class Typist:
    """Fills in a form as a student does, by what the boxes say."""

    def __init__(self, lesson, group=None):
        self.desk = Desk(lesson, group)
        self.form = self.desk.form()

    def line(self, quantity, place=0):
        return [line for line in self.form.lines if line.row.quantity == quantity][place]

    def type(self, quantity, place=0, **cells):
        for name, text in cells.items():
            self.line(quantity, place).boxes[name].value = text

    def problem(self, quantity, place=0):
        shown = self.line(quantity, place).problem
        assert shown in walk(self.form)
        return shown.value.removeprefix("<i>").removesuffix("</i>")

    def click(self, word, quantity):
        field = next(field for field in self.form.fields if field.quantity == quantity)
        next(w for w in walk(field) if getattr(w, "description", "") == word).click()

    def sheet(self):
        return self.desk.sheet.path.read_text("utf-8").splitlines()[2:]


def walk(widget):
    for child in getattr(widget, "children", ()):
        yield child
        yield from walk(child)


@pytest.mark.parametrize("lesson", SYLLABUS)
def test_every_quantity_of_a_lesson_can_be_filled_in(lesson):
    typist = Typist(lesson, "Owls")
    narrow = {
        "half_moon_elongation": "88",
        "pair_shift": "1.2",
        "sun_angle": "0.53",
        "target_distance": "6",
    }
    narrow |= {f"solar_eclipse_{where}_part": "0.8" for where in ("north", "south")}
    for name in (*SYLLABUS[lesson].measured, *SYLLABUS[lesson].optional):
        line = typist.line(name)
        if isinstance(line.children[0], widgets.Dropdown):
            line.children[0].value = line.children[0].options[1][1]
        else:
            example = line.children[0].placeholder
            value = narrow.get(name, "14") if example == "value" else example
            typist.type(name, value=value)
        assert "Found" not in typist.problem(name), name
    assert len(tables.read(typist.desk.sheet.path).readings) == len(typist.form.lines)


def test_what_is_typed_is_in_the_sheet_at_every_change_and_is_found_again():
    typist = Typist("earth_size", "Night Owls")
    typist.type("north_shadow_length", value="102.5", uncertainty="0.5", note="windy")
    typist.click("add a reading", "north_shadow_length")
    assert typist.line("north_shadow_length", 1).children[1].value == "cm"
    typist.type("north_shadow_length", 1, value="103")
    rows = ["Night Owls,north_shadow_length,102.5,cm,0.5,windy",
            "Night Owls,north_shadow_length,103,cm,,"]  # fmt: skip
    assert typist.sheet() == rows
    again = Typist("earth_size")
    assert again.desk.group == "Night Owls"
    again.type("north_shadow_length", 1, unit="mm")
    assert again.sheet()[1] == "Night Owls,north_shadow_length,103,mm,,"
    assert (
        "Night Owls" in again.form.as_text() and "102.5 cm ± 0.5 cm windy" in again.form.as_text()
    )


def test_a_reading_can_be_removed_and_one_empty_line_stays():
    typist = Typist("sighting_angle", "Owls")
    typist.type("disc_diameter", value="14")
    typist.click("remove", "disc_diameter")
    assert typist.sheet() == [] and typist.line("disc_diameter").children[0].value == ""
    typist.type("disc_diameter", value="15")
    assert typist.sheet() == ["Owls,disc_diameter,15,mm,,"]


def test_rows_of_other_lessons_and_unreadable_ones_are_untouched(folder):
    Typist("sighting_angle", "Owls").type("disc_diameter", value="14")
    path = folder / "work" / "owls.csv"
    with path.open("a", encoding="utf-8") as file:
        file.write('Owls,nonsense,1,m,,\nOwls,"never closed\n')
    before = path.read_text("utf-8")
    typist = Typist("earth_size")
    typist.type("north_shadow_length", value="80")
    typist.type("north_shadow_length", value="")
    assert path.read_text("utf-8") == before
    said = typist.form.remark.value
    assert "row 4, column quantity" in said and "the line stays as it is" in said


def test_a_wrong_value_is_kept_as_typed_with_the_problem_beside_it():
    typist = Typist("earth_size", "Owls")
    typist.type("north_shadow_length", value="about a metre")
    assert typist.sheet() == ["Owls,north_shadow_length,about a metre,cm,,"]
    assert typist.problem("north_shadow_length").startswith("Found &#x27;about a metre&#x27;")
    again = Typist("earth_size")
    assert again.line("north_shadow_length").children[0].value == "about a metre"
    again.type("north_shadow_length", value="1,02", unit="m")
    assert again.problem("north_shadow_length") == ""
    assert tables.read(again.desk.sheet.path).readings[0].value.value == 1.02


def test_what_is_unlikely_is_said_beside_the_reading():
    typist = Typist("earth_size", "Owls")
    typist.type("north_gnomon_height", value="1", unit="m")
    typist.type("north_shadow_length", value="11", unit="m")
    said = "A shadow of 11 m from a 1 m gnomon: did you mean cm?"
    assert typist.problem("north_shadow_length") == said
    typist.type("north_shadow_length", unit="cm")
    assert typist.problem("north_shadow_length") == ""


def test_text_is_escaped_where_it_is_shown():
    typist = Typist("earth_size", "Owls <b>")
    typist.type("north_shadow_length", value="<script>alert(1)</script>")
    shown = [w.value for w in walk(typist.form) if isinstance(w, widgets.HTML)]
    assert not any("<script>" in text or "Owls <b>" in text for text in shown)
    assert typist.sheet() == ["Owls <b>,north_shadow_length,<script>alert(1)</script>,cm,,"]


def test_a_choice_typed_by_hand_stays_until_another_is_chosen(folder):
    typist = Typist("earth_size", "Owls")
    typist.type("shadow_edge", value="full_shadow")
    assert typist.sheet() == ["Owls,shadow_edge,full_shadow,,,"]
    path = folder / "work" / "owls.csv"
    path.write_text(path.read_text("utf-8").replace("full_shadow", "the end"), encoding="utf-8")
    again = Typist("earth_size")
    assert again.line("shadow_edge").children[0].value == "the end"
    assert "accepted: middle or full_shadow" in again.problem("shadow_edge")


def test_the_form_asks_for_the_group_and_changes_it():
    typist = Typist("earth_size")
    assert typist.form.lines == []
    assert "Write your group&#x27;s name" in typist.form.remark.value
    typist.form.group.value = "Owls"
    typist.type("north_shadow_length", value="80")
    typist.form.group.value = "Herons"
    assert typist.desk.group == "Herons" and typist.sheet() == []
    typist.form.group.value = "../owls"
    assert typist.form.group.value == "Herons"
    typist.form.group.value = "OWLS"
    assert typist.form.group.value == "Owls" and len(typist.sheet()) == 1
    assert typist.form.group.options == ("Owls",)


def test_a_sheet_that_cannot_be_written_is_told_and_nothing_typed_is_lost(monkeypatch):
    typist = Typist("earth_size", "Owls")
    typist.type("north_shadow_length", value="80")

    def full(*_):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr("moonreach.sheet.writing.replace", full)
        typist.type("south_shadow_length", value="70")
        assert "Not kept (No space left on device)" in typist.form.remark.value
        typist.click("remove", "north_shadow_length")
    typist.type("north_shadow_length", note="still here")
    assert typist.sheet()[0] == "Owls,north_shadow_length,80,cm,,still here"
    typist.type("north_shadow_length", note="")
    assert typist.line("south_shadow_length").children[0].value == "70"
    typist.type("south_shadow_length", note="again")
    assert len(typist.sheet()) == 2
    typist.desk.sheet.path.unlink()
    typist.type("south_shadow_length", value="71")
    assert typist.sheet() == ["Owls,north_shadow_length,80,cm,,",
                              "Owls,south_shadow_length,71,cm,,again"]  # fmt: skip


def test_on_paper_the_form_is_lines_of_text():
    bundle = Desk("sighting_angle").form()._repr_mimebundle_()
    disc = next(row for row in practice_rows() if row[1] == "disc_diameter")
    assert f"disc diameter: {disc[2]} mm" in bundle["text/plain"]
    assert "application/vnd.jupyter.widget-view+json" in bundle
