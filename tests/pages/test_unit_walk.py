"""One group goes through the whole unit on its pages, and its table says what they say."""

import json
import re

import pytest
from lab_browser import open_page
from lesson_notebooks import PATHS, answers, lesson_of
from page_browser import LIVE, lay_lessons, open_lesson, start_pages

from moonreach import __main__ as cli
from moonreach.lessons.refuse import capital
from moonreach.notebook.desk import Desk
from moonreach.notebook.syllabus import SYLLABUS
from moonreach.sheet.quantities import CONTACTS, QUANTITIES
from moonreach.sheet.reading import row_of

pytestmark = pytest.mark.browser

GROUP = "Night Owls"
LAPTOP, TABLET = {"width": 1366, "height": 768}, {"width": 820, "height": 1180}
# What page and table call the same, of the lessons in their order.
SAME = "Earth's diameter", "", "", "angular diameter", "Moon's distance"
BOX = ".widget-vbox:has(> .widget-hbox input[placeholder='your answer'])"


@pytest.fixture(scope="module")
def unit(browser, tmp_path_factory):
    """Return the folder of the group's work, the address of its pages, and what each page said."""
    folder = tmp_path_factory.mktemp("unit")
    lay_lessons(folder)
    with start_pages(folder) as address:
        yield folder / "work", address, {}


@pytest.fixture(scope="module")
def device(browser):
    """Return the group's one page and its `Watch`: it keeps its files from lesson to lesson."""
    with open_page(browser) as opened:
        yield opened


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
def test_a_group_works_a_lesson_to_its_end_and_finds_all_on_a_tablet(path, unit, device):
    (work, address, told), (page, watch) = unit, device
    lesson = lesson_of(path)
    page.set_viewport_size(LAPTOP)
    open_lesson(page, address, path.name)
    sit_down(page)
    guess = keep_a_guess(page)
    for shape in (TABLET, LAPTOP):
        page.set_viewport_size(shape)
        fits(page, shape["width"])
    tells_nothing_of_code(page)
    neighbours = [link.get_attribute("href") for link in page.locator("nav a[rel]").all()]
    assert {*neighbours} == {other.name for other in near(path)}
    note = page.get_by_placeholder("What did you find?").first
    note.fill("we saw it move")
    note.press("Tab")
    for figure in page.locator(LIVE).all():
        move_each_slider(page, figure)
    typed = [type_a_reading(page, *row) for row in readings_of(lesson, work)]
    rights = [right for _, right in answers(lesson, Desk(lesson, work=work))]
    for number, right in enumerate(rights):
        answer_wrongly_then_rightly(page.locator(BOX).nth(number), right)
    assert page.locator(BOX).count() == len(rights)
    page.set_viewport_size(TABLET)
    open_lesson(page, address, path.name)
    page.get_by_text(f"Your guess is kept: {guess}").wait_for()
    assert page.get_by_placeholder("What did you find?").first.input_value() == "we saw it move"
    for name, number, value in typed:
        assert line_of(page, name, number).locator("input").first.input_value() == value
    for number in range(len(rights)):
        page.locator(BOX).nth(number).get_by_text("✓ Right").wait_for()
    assert (watch.errors, watch.failed, watch.outside) == ([], [], [])
    told[path] = page.locator("main").inner_text().replace("\xa0", " ")


def test_the_groups_table_says_in_the_same_digits_what_its_pages_say(unit, capsys):
    work, _, told = unit
    if len(told) < len(PATHS):
        pytest.skip("it needs all lessons done before")
    assert cli.main(["reduce", str(work / "night_owls.csv")]) == 0
    table = capsys.readouterr().out
    for path, label in zip(PATHS, SAME, strict=False):
        if label:
            line = re.search(rf"{label} +(.*) own", table)[1]
            value, low, high = map(re.escape, re.findall(r"\d[\d .]*(?<! )", line))
            said = re.compile(rf"{label}: {value}\D*95 % from {low} to {high}", re.IGNORECASE)
            assert said.search(told[path]), told[path]


def sit_down(page):
    """Choose the group's name, unless an earlier lesson has it."""
    box = page.get_by_placeholder("your group's name")
    if box.input_value() != GROUP:
        box.fill(GROUP)
        box.press("Enter")
    page.get_by_text("Every change is kept").first.wait_for()


def keep_a_guess(page):
    """Keep a guess, the last of the words or a number; return it as the page shows it."""
    number, figures = page.get_by_placeholder("your number"), page.locator(LIVE)
    before, guess = figures.count(), "12"
    if number.count():
        number.fill(guess)
    else:
        word = page.locator(".widget-toggle-buttons").first.locator("button").last
        guess = word.inner_text()
        word.click()
    page.get_by_role("button", name="Keep my guess").click()
    page.get_by_text(f"Your guess is kept: {guess}").wait_for()
    page.wait_for_function(f"document.querySelectorAll('{LIVE}').length > {before}")
    return guess


def fits(page, width):
    """See that nothing is wider than the page, and that each slider is long enough for a finger."""
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    for shown in page.locator(f"{LIVE} .widget-image").all():
        box = shown.bounding_box()
        assert box["x"] >= 0 and box["x"] + box["width"] <= width
        assert box["width"] / box["height"] == pytest.approx(800 / 450, rel=0.01)
    for slider in page.locator(f"{LIVE} .slider-container").all():
        assert slider.bounding_box()["width"] >= 250


def tells_nothing_of_code(page):
    text = page.locator("main").inner_text()
    for hidden in ("desk =", "live(", "import ", "For the teacher", "Run All", "went wrong", "$"):
        assert hidden not in text, hidden


def near(path):
    """Return the lessons before and after one."""
    here = PATHS.index(path)
    return PATHS[max(here - 1, 0) : here] + PATHS[here + 1 : here + 2]


def move_each_slider(page, figure):
    image = figure.locator(".widget-image")
    for handle in figure.locator(".noUi-handle").all():
        now, most = (float(handle.get_attribute(f"aria-value{end}")) for end in ("now", "max"))
        before = image.get_attribute("src")
        handle.scroll_into_view_if_needed()
        handle.focus()
        page.keyboard.press("ArrowRight" if now < most else "ArrowLeft")
        moved = "([image, before]) => image.src !== before && image.naturalWidth === 800"
        page.wait_for_function(moved, arg=[image.element_handle(), before])


def readings_of(lesson, work):
    """Yield the practice group's readings that a lesson asks for and the group's sheet lacks."""
    desk = Desk(lesson, work=work)
    asked = *SYLLABUS[lesson].measured, *SYLLABUS[lesson].optional
    for name in asked:
        rows = [row_of(reading)[2:5] for reading in desk.practice.rows if reading.quantity == name]
        if not desk.sheet.rows([name]):
            yield from ((name, number, *row) for number, row in enumerate(rows))


def line_of(page, name, number):
    """Return the line of the form for one of a quantity's readings."""
    sign = f"{QUANTITIES[name].label}: " if name in CONTACTS else ""
    label = json.dumps(capital(sign + QUANTITIES[name].meaning))
    field = page.locator(f".widget-vbox:has(> .widget-html b:text-is({label}))")
    return field.locator(".widget-hbox").nth(number)


def type_a_reading(page, name, number, value, unit, uncertainty):
    """Type a reading with its unit behind it, the first of each quantity badly before."""
    if number:
        line_of(page, name, number - 1).get_by_role("button", name="repeat").click()
    line = line_of(page, name, number)
    box = line.locator("input").first
    box.wait_for(state="attached")
    if not box.is_visible():
        page.get_by_text("Only if you need them").click()
    if not number:
        box.fill("about so much")
        box.press("Tab")
        line.get_by_text("✗ Found “about so much”").wait_for()
    box.fill(value if name in CONTACTS else f"{value} {unit}".strip())
    box.press("Tab")
    line.get_by_text("✗").wait_for(state="detached")
    if uncertainty:
        line.get_by_placeholder("±").fill(uncertainty)
        line.get_by_placeholder("±").press("Tab")
    return name, number, value


def answer_wrongly_then_rightly(box, right):
    """Answer an exercise in its `BOX`, with a word, a wrong and the right number."""
    typed, wrong = box.get_by_placeholder("your answer"), 1.37 * right + 3
    replies = ("seven", "accepted is a number, or a calculation"), (f"{wrong:.8g}", "✗ Not yet")
    for text, reply in (*replies, (f"{right:.8g}", "✓ Right")):
        typed.fill(text)
        typed.press("Enter")
        box.get_by_text(reply).wait_for()
