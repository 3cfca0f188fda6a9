"""The measuring form: what is typed is in the sheet at once, and is found again."""

import csv
import re

import ipywidgets as widgets
import pytest

from moonreach.notebook import practice_night
from moonreach.notebook.desk import Desk
from moonreach.notebook.form import Field
from moonreach.notebook.syllabus import SYLLABUS
from moonreach.sheet import tables
from moonreach.sheet.quantities import QUANTITIES
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
        return re.sub("<[^>]*>", "", shown.value)

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
        "sun_angle": "32",
        "target_distance": "6",
    }
    narrow |= {f"solar_eclipse_{where}_part": "0.8" for where in ("north", "south")}
    for name in (*SYLLABUS[lesson].measured, *SYLLABUS[lesson].optional):
        line = typist.line(name)
        box = line.boxes["value"]
        if isinstance(box, widgets.Dropdown):
            box.value = box.options[1][1]
        else:
            example = box.placeholder
            value = narrow.get(name, "14") if example == "number" else example
            typist.type(name, value=value)
        assert "Found" not in typist.problem(name), name
    assert len(tables.read(typist.desk.sheet.path).readings) == len(typist.form.lines)


def test_what_is_typed_is_in_the_sheet_at_every_change_and_is_found_again():
    typist = Typist("earth_size", "Night Owls")
    typist.type("north_shadow_length", value="102.5", uncertainty="0.5", note="windy")
    typist.click("repeat", "north_shadow_length")
    assert typist.line("north_shadow_length", 1).boxes["unit"].value == "cm"
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
    typist.click("×", "disc_diameter")
    assert typist.sheet() == [] and typist.line("disc_diameter").boxes["value"].value == ""
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
    assert typist.problem("north_shadow_length").startswith("✗ Found “about a metre”")
    again = Typist("earth_size")
    assert again.line("north_shadow_length").boxes["value"].value == "about a metre"
    again.type("north_shadow_length", value="1,02", unit="m")
    assert again.problem("north_shadow_length") == ""
    assert tables.read(again.desk.sheet.path).readings[0].value.value == 1.02


def test_what_is_unlikely_is_said_beside_the_reading():
    typist = Typist("earth_size", "Owls")
    typist.type("north_gnomon_height", value="1", unit="m")
    typist.type("north_shadow_length", value="11", unit="m")
    said = "⚠ A shadow of 11 m from a 1 m gnomon: did you mean cm?"
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
    assert again.line("shadow_edge").boxes["value"].value == "the end"
    assert "accepted: middle or full shadow" in again.problem("shadow_edge")


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
        typist.click("×", "north_shadow_length")
    typist.type("north_shadow_length", note="still here")
    assert typist.sheet()[0] == "Owls,north_shadow_length,80,cm,,still here"
    typist.type("north_shadow_length", note="")
    assert typist.line("south_shadow_length").boxes["value"].value == "70"
    typist.type("south_shadow_length", note="again")
    assert len(typist.sheet()) == 2
    typist.desk.sheet.path.unlink()
    typist.type("south_shadow_length", value="71")
    assert typist.sheet() == ["Owls,north_shadow_length,80,cm,,",
                              "Owls,south_shadow_length,71,cm,,again"]  # fmt: skip
    field = typist.line("north_shadow_length")._field
    field.add_line()
    field.lines[1].boxes["value"].value = "90"
    typist.desk.sheet.path.unlink()
    typist.type("south_shadow_length", value="72")
    assert [row.split(",")[2] for row in typist.sheet()] == ["80", "90", "72"]


def test_on_paper_the_form_is_lines_of_text():
    bundle = Desk("sighting_angle").form()._repr_mimebundle_()
    disc = next(row for row in practice_rows() if row[1] == "disc_diameter")
    assert f"disc diameter: {disc[2]} mm" in bundle["text/plain"]
    assert "application/vnd.jupyter.widget-view+json" in bundle


@pytest.mark.parametrize(
    ("lesson", "quantity", "typed", "moved"),
    [
        ("earth_size", "north_gnomon_height", "160 cm", ("160", "cm", "")),
        ("earth_size", "north_gnomon_height", "1,6 m", ("1,6", "m", "")),
        ("earth_size", "north_gnomon_height", "5 ft 3 in", ("63", "inch", "")),
        ("earth_size", "north_gnomon_height", "5' 3.5\"", ("63.5", "inch", "")),
        ("earth_size", "north_gnomon_height", "2 yd", ("2", "yd", "")),
        ("earth_size", "north_gnomon_height", "160 ± 0,5 cm", ("160", "cm", "0,5")),
        ("earth_size", "north_south_distance", "806 km", ("806", "km", "")),
        ("earth_size", "north_gnomon_height", "1 050 mm", ("1050", "mm", "")),
        ("eclipse_timing", "umbral_contact_1", "22h41", ("22:41", "s", "")),
        ("eclipse_timing", "umbral_contact_1", "10:41 pm", ("22:41", "s", "")),
        ("eclipse_timing", "umbral_contact_1", "22.41.30", ("22:41:30", "s", "")),
        ("eclipse_timing", "umbral_contact_1", "22:41 ± 20 s", ("22:41", "s", "20")),
        ("sighting_angle", "moon_altitude", "31° 30'", ("31.500", "deg", "")),
        # What may be meant in two ways, or in none, stays where it was typed.
        ("earth_size", "north_gnomon_height", "160 Mm", ("160 Mm", "cm", "")),
        ("earth_size", "north_gnomon_height", "5 ft 14 in", ("5 ft 14 in", "cm", "")),
        ("earth_size", "north_gnomon_height", "31°", ("31°", "cm", "")),
    ],
)
def test_number_unit_and_uncertainty_move_into_their_own_boxes(lesson, quantity, typed, moved):
    typist = Typist(lesson, "Owls")
    typist.type(quantity, value=typed)
    boxes = typist.line(quantity).boxes
    assert tuple(boxes[name].value for name in ("value", "unit", "uncertainty")) == moved
    assert [*typist.line(quantity).row.cells.values()][:3] == [*moved]
    row = next(csv.reader(typist.sheet()))
    assert (row[2], row[3], row[4]) == moved
    again = Typist(lesson)
    assert [box.value for box in again.line(quantity).boxes.values()] == [
        box.value for box in boxes.values()
    ]


def test_a_date_is_written_in_one_form():
    typist = Typist("eclipse_timing", "Owls")
    typist.type("eclipse_date", value="26 June 2029")
    assert typist.sheet() == ["Owls,eclipse_date,2029-06-26,,,"]


def test_each_quantity_of_a_form_says_which_it_is():
    for lesson, row in SYLLABUS.items():
        form = Typist(lesson, "Owls").form
        heads = [field.children[0].value for field in form.fields]
        assert len(set(heads)) == len(heads) == len(row.measured) + len(row.optional), lesson
        hints = [box.tooltip for line in form.lines for box in line.boxes.values()]
        assert len(set(hints)) == len(hints)
    assert "U1: the Moon begins" in Typist("eclipse_timing").form.fields[1].children[0].value


def test_a_reading_can_be_repeated_and_the_readings_are_numbered():
    typist = Typist("earth_size", "Owls")
    assert typist.line("north_shadow_length").which.value == ""
    typist.click("repeat", "north_shadow_length")
    lines = [typist.line("north_shadow_length", place) for place in (0, 1)]
    assert [line.which.value for line in lines] == ["1.", "2."]
    typist.click("×", "north_shadow_length")
    assert lines[1].which.value == ""


def test_the_proposed_units_are_those_of_the_empty_table():
    for name, term in QUANTITIES.items():
        if term.measured and term.kind != "clock":
            row = Field(None, name).lines[0].row
            assert row.cells["unit"] == term.unit


def test_a_complaint_has_a_mark_and_a_colour_and_moves_nothing():
    typist = Typist("earth_size", "Owls")
    line = typist.line("north_shadow_length")
    height = line.problem.layout.height
    typist.type("north_shadow_length", value="about a metre")
    assert "✗" in line.problem.value and "color: #" in line.problem.value
    assert "at-fault" in line.boxes["value"]._dom_classes
    assert "at-fault" not in line.boxes["unit"]._dom_classes
    typist.type("north_shadow_length", value="11 m")
    typist.type("north_gnomon_height", value="1 m")
    assert "⚠" in line.problem.value and "✗" not in line.problem.value
    assert "at-fault" not in line.boxes["value"]._dom_classes
    assert line.problem.layout.height == height
