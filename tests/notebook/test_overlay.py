"""Circles laid by hand: marks, tries, the edge that the eye sees, the overlay, the sheet."""

import json
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.backend_bases import MouseEvent
from PIL import Image

from moonreach.figures.overlay import HEIGHT, WIDTH, View
from moonreach.lessons.refuse import Impossible
from moonreach.notebook import by_machine
from moonreach.notebook.by_machine import clicked, outside
from moonreach.notebook.desk import Desk
from moonreach.notebook.kept_clicks import MADE_BY
from moonreach.notebook.overlay import WORDS
from moonreach.notebook.shipped import PICTURE, picture
from moonreach.photo import Circle, read_picture, visible_edge
from moonreach.photo.clicks import Circles, lay, together
from moonreach.photo.penumbra import edge_points, sunlight
from moonreach.sheet import tables
from moonreach.sheet.group_sheet import Row
from moonreach.sheet.origin import Origin

PATH = picture(PICTURE)
INVENTED = WORDS["invented"]
TRUTH = json.loads(PATH.with_suffix(".truth.json").read_text(encoding="utf-8"))
MOON, SHADOW = (Circle(**TRUTH[name]) for name in ("moon", "shadow"))


def arc(circle, degrees):
    return circle.at(np.radians(degrees))


def click(overlay, x, y, name="button_press_event", button=1):
    """Press, drag or release at a place in px of the picture, as the canvas reports it."""
    at = overlay.drawing.axes.transData.transform((x, y))
    event = MouseEvent(name, overlay.canvas, *at, button=button)
    overlay.canvas.callbacks.process(name, event)


def mark(overlay, name, points):
    overlay.which.value = name
    for x, y in points:
        click(overlay, x, y)
        click(overlay, x, y, "button_release_event")


def lay_true_circles(overlay):
    mark(overlay, "moon", arc(MOON, (-70, -20, 25, 75)))
    mark(overlay, "shadow", arc(SHADOW, (-12, -7, -2, 3, 8, 13)))


@pytest.fixture
def own(tmp_path):
    """A picture that does not say it is rendered stands in for a group's own photograph."""
    path = tmp_path / "ours.png"
    with Image.open(PATH) as opened:
        Image.fromarray(np.asarray(opened)).save(path)
    return path


@pytest.fixture
def desk(tmp_path):
    return Desk("eclipse_timing", work=tmp_path / "work")


@given(st.floats(60, 900), st.floats(1.5, 4.0), st.floats(-180, 180))
def test_ratio_of_exact_points_is_exact(radius, ratio, turn):
    moon = lay([*arc(Circle(5, -3, radius), turn + np.array([0, 80, 190]))])
    shadow = Circle(5 - ratio * radius, 8, ratio * radius)
    found = Circles(moon, lay([*arc(shadow, np.linspace(-50, 50, 6))])).ratio
    assert found.value == pytest.approx(ratio, rel=1e-6)
    assert found.low < ratio < found.high


def test_few_points_and_a_straight_edge_say_what_they_lack():
    for points in ([], [(0, 0)], [(0, 0), (1, 0)]):
        with pytest.raises(Impossible, match="three at least, far apart"):
            lay(points)
    with pytest.raises(Impossible, match="too short"):
        lay([(0, 0), (10, 0.1), (20, 0), (30, 0)])


def test_a_spread_of_three_tries_is_held_by_students_t():
    moon = Circle(0, 0, 100)
    tries = [(moon, Circle(0, 0, radius)) for radius in (250, 260, 270)]
    found = together(tries).shadow
    assert found.radius == pytest.approx(259.74, abs=0.01)  # 3 / (1/250 + 1/260 + 1/270)
    # JCGM 100:2008, table G.2: t = 4.30 for two degrees of freedom; s = 10.
    assert 1.96 * found.radius_sd == pytest.approx(4.30 * 10 / 3**0.5, rel=1e-3)


def test_three_peoples_clicks_hold_the_visible_edge():
    """Two px of scatter and six points each: the interval holds the edge that the eye sees."""
    light, camera, ratio = read_picture(PATH).light, TRUTH["camera"], TRUTH["shadow_ratio"]
    moon = MOON.radius
    scene = TRUTH["scene"]
    seen = visible_edge(
        ratio, scene["sun_ratio"], camera["exposure"], scene["glow"], camera["blur"] / moon
    )
    held = []
    for seed in range(40):
        found = together(clicked(light, Circles(MOON, SHADOW), 2.0, seed)).ratio
        held.append(found.low <= seen <= found.high)
    assert np.mean(held) >= 0.9


def test_the_visible_edge_lies_where_the_geometry_puts_it():
    """On the picture as in the model; and half grey is where half of sRGB's tone is reached."""
    points = edge_points(read_picture(PATH).light, MOON, SHADOW)
    apart = SHADOW.distances(points) / SHADOW.radius
    model = visible_edge(TRUTH["shadow_ratio"], TRUTH["scene"]["sun_ratio"]) / 2.7564 - 1
    assert np.median(apart) == pytest.approx(model, abs=0.005)
    assert 0.005 < model < 0.03
    half = visible_edge(2.7, exposure=1.0, glow=0.0, tone=0.5)
    # sRGB 0.5 is 0.214 of full light (IEC 61966-2-1).
    assert float(sunlight(half, 2.7)) == pytest.approx(0.214, abs=0.001)


def test_clicks_make_circles_and_a_ratio(desk):
    overlay = desk.photograph().overlay
    assert "no points so far" in overlay.as_text()
    lay_true_circles(overlay)
    found = Circles(overlay.clicks.laid("moon"), overlay.clicks.laid("shadow")).ratio
    assert found.value == pytest.approx(TRUTH["shadow_ratio"], rel=0.01)
    assert f"Shadow ratio: {found}" in overlay.said.value
    x, y = overlay.drawing.circles["moon"].get_data()
    radii = np.hypot(x - MOON.x, y - MOON.y)
    assert radii == pytest.approx(MOON.radius, abs=1)
    overlay.buttons["undo"].click()
    assert len(overlay.clicks.of("shadow")) == 5
    overlay.buttons["clear"].click()
    assert overlay.clicks.points == []
    assert overlay.drawing.circles["moon"].get_data()[0] == []


def test_a_point_near_the_press_is_dragged_and_other_buttons_mark_nothing(desk):
    overlay = desk.photograph().overlay
    mark(overlay, "moon", [(300, 100)])
    click(overlay, 303, 102)
    click(overlay, 350, 150, "motion_notify_event")
    click(overlay, 350, 150, "button_release_event")
    click(overlay, 200, 200, "motion_notify_event")
    assert overlay.clicks.of("moon") == [(pytest.approx(350), pytest.approx(150))]
    click(overlay, 352, 151)
    click(overlay, 320, 120, "button_release_event")  # the browser left the movement out
    assert overlay.clicks.of("moon") == [(pytest.approx(320), pytest.approx(120))]
    assert overlay.drawing.points["moon"].get_xydata() == pytest.approx(np.array([[320, 120]]))
    click(overlay, 100, 100, button=3)
    assert len(overlay.clicks.points) == 1


def test_every_slider_moves_the_chosen_circle_and_a_click_gives_it_back(desk):
    overlay = desk.photograph().overlay
    lay_true_circles(overlay)
    before = overlay.clicks.laid("shadow")
    for name, slider in overlay.by_sliders.items():
        for value in (slider.min, 8 * slider.step, slider.max):
            slider.value = value
            moved = getattr(overlay.clicks.laid("shadow"), name)
            least = overlay.view.scale if name == "radius" else -np.inf
            assert moved == pytest.approx(max(getattr(before, name) + value, least))
        slider.value = 0
    assert "by sliders" in overlay.said.value
    overlay.which.value = "moon"
    overlay.which.value = "shadow"
    again = overlay.clicks.laid("shadow")  # moved back, and still where it lay
    assert (again.x, again.y, again.radius, again.radius_sd) == (
        before.x,
        before.y,
        before.radius,
        0,
    )
    assert "Shadow ratio: 2.7" in overlay.said.value and "95 %: 2" not in overlay.said.value
    mark(overlay, "shadow", arc(SHADOW, [16]))
    assert overlay.clicks.moved == {}
    for value in (1, 2.5, 4):
        overlay.lift.value = value
        assert overlay.drawing.image.get_array().mean() >= overlay.view.pixels.mean()


def test_a_sliders_own_answer_moves_nothing(desk):
    overlay = desk.photograph().overlay
    lay_true_circles(overlay)
    overlay.by_sliders["x"].value = 1e-13
    assert overlay.clicks.moved == {}


def test_the_button_writes_both_radii_and_leaves_the_rest(desk, own):
    desk.choose("Owls")
    desk.sheet.store(
        Row("moon_altitude", {"value": "31", "unit": "deg", "uncertainty": "", "note": ""})
    )
    overlay = desk.photograph(own)
    overlay.buttons["write"].click()
    assert "Nothing was written yet" in overlay.told.value
    for _ in range(2):  # the second time in place of the first
        for _ in range(3):
            lay_true_circles(overlay)
            overlay.buttons["keep"].click()
        overlay.buttons["keep"].click()
        assert "drop the last" in overlay.told.value
        overlay.buttons["write"].click()
        assert "Both radii written for Owls into" in overlay.told.value
        for _ in range(3):
            overlay.buttons["drop"].click()
    rows = {r.quantity: r for r in desk.sheet.readings()}
    assert len(desk.sheet.readings()) == len(rows) == 3
    assert rows["photo_moon_radius"].value.value == pytest.approx(MOON.radius, abs=0.5)
    assert rows["photo_shadow_radius"].uncertainty.value > 5
    assert desk.sheet.path.read_text(encoding="utf-8").count(MADE_BY) == 2
    assert tables.read(desk.sheet.path).problems == []


def test_circles_on_a_practice_picture_never_enter_the_sheet(desk):
    desk.choose("Owls")
    overlay = desk.photograph().overlay
    assert overlay.origin is Origin.PRACTICE
    assert INVENTED.replace("'", "&#x27;") in overlay.told.value and INVENTED in overlay.as_text()
    before = desk.sheet.path.read_bytes()
    overlay.clicks.tries = [Circles(Circle(0, 0, 150), Circle(0, 0, 400 + k)) for k in range(3)]
    overlay.buttons["write"].click()
    assert "Nothing was written" in overlay.told.value
    assert desk.sheet.path.read_bytes() == before


def test_radii_typed_by_hand_stay_and_are_named(desk, own):
    desk.choose("Owls")
    cells = {"value": "90", "unit": "px", "uncertainty": "1", "note": "our print"}
    desk.sheet.store(Row("photo_moon_radius", cells))
    overlay = desk.photograph(own)
    overlay.clicks.tries = [Circles(Circle(0, 0, 150), Circle(0, 0, 400 + k)) for k in range(3)]
    overlay.buttons["write"].click()
    assert "take them out first" in overlay.told.value  # they may be px of another picture
    assert desk.sheet.rows(["photo_moon_radius", "photo_shadow_radius"])[0].cells == cells
    assert len(desk.sheet.readings()) == 1


def test_without_a_group_nothing_is_written_and_the_tries_stay(desk, own, tmp_path):
    overlay = desk.photograph(own)
    overlay.clicks.tries = [Circles(Circle(0, 0, 150), Circle(0, 0, 400 + k)) for k in range(3)]
    overlay.buttons["write"].click()
    assert "No group is chosen" in overlay.told.value
    assert len(overlay.clicks.tries) == 3
    assert not (tmp_path / "work").exists()


def test_on_paper_it_is_a_picture_the_same_every_time(tmp_path):
    first, second = (
        Desk("eclipse_timing", work=tmp_path).photograph()._repr_mimebundle_() for _ in range(2)
    )
    for kind in ("text/plain", "image/png"):
        assert first[0][kind] == second[0][kind]
    assert first[1]["image/png"]["width"] == WIDTH


def test_the_same_picture_comes_back_with_its_marks(desk):
    overlay = desk.photograph().overlay
    lay_true_circles(overlay)
    assert desk.photograph(PATH) is overlay
    assert len(overlay.clicks.points) == 10


def test_marks_outlive_the_kernel(desk, tmp_path):
    desk.choose("Owls")
    overlay = desk.photograph().overlay
    lay_true_circles(overlay)
    overlay.buttons["keep"].click()
    mark(overlay, "moon", arc(MOON, (-70, 25)))
    # A new desk in the same folder is what a restarted kernel has.
    again = Desk("eclipse_timing", work=tmp_path / "work").photograph().overlay
    assert again.clicks.points == overlay.clicks.points and len(again.clicks.points) == 2
    assert again.clicks.tries == overlay.clicks.tries and len(again.clicks.tries) == 1
    assert "1 of 3" in again.told.value
    other = Desk("eclipse_timing", "Herons", tmp_path / "work").photograph().overlay
    assert not other.clicks.points and not other.clicks.tries


def test_two_devices_mark_one_picture_and_nothing_is_lost(desk, tmp_path):
    desk.choose("Owls")
    overlay, other = desk.photograph().overlay, Desk("eclipse_timing", "Owls", tmp_path / "work")
    elsewhere = other.photograph().overlay
    lay_true_circles(elsewhere)
    mark(overlay, "moon", arc(MOON, (40,)))  # before it has followed
    assert len(overlay.clicks.points) == 11
    click(overlay, *overlay.clicks.points[0][1:])
    mark(elsewhere, "moon", arc(MOON, (50,)))  # while the other one drags a point
    desk.read_again()
    click(overlay, 310, 110, "button_release_event")
    elsewhere.buttons["keep"].click()
    desk.read_again()
    assert overlay.clicks.points == [] and "1 of 3" in overlay.told.value
    assert overlay.clicks.tries == elsewhere.clicks.tries
    assert elsewhere.clicks.tries[0].moon.radius != pytest.approx(MOON.radius, abs=0.01)
    other.read_again()
    overlay.buttons["drop"].click()
    other.read_again()
    assert elsewhere.clicks.tries == []


@pytest.mark.parametrize("broken", ["no json", "[1]", '{"FILE": {"points": [["moon"]]}}'])
def test_marks_that_cannot_be_understood_are_set_aside(desk, tmp_path, broken):
    desk.choose("Owls")
    path = tmp_path / "work/owls/photographs.json"
    path.parent.mkdir(parents=True)
    path.write_text(broken.replace("FILE", PATH.name), encoding="utf-8")
    overlay = desk.photograph().overlay
    assert "kept as photographs.unreadable-1.json" in overlay.told.value
    lay_true_circles(overlay)
    assert len(json.loads(path.read_text(encoding="utf-8"))[PATH.name]["points"]) == 10
    assert broken.replace("FILE", PATH.name) in path.with_name(
        "photographs.unreadable-1.json"
    ).read_text(encoding="utf-8")


def test_marks_that_cannot_be_kept_are_said_and_stay(desk, tmp_path):
    desk.choose("Owls")
    overlay = desk.photograph().overlay
    (tmp_path / "work/owls").write_text("a file where the folder should be", encoding="utf-8")
    lay_true_circles(overlay)
    assert "could not be written" in overlay.told.value and len(overlay.clicks.points) == 10


@pytest.mark.parametrize("size", [(90, 400), (700, 60)])
def test_a_picture_without_a_moon_is_shown_whole(size, tmp_path):
    Image.new("L", size, 40).save(tmp_path / "dull.png")
    view = View(tmp_path / "dull.png")
    (left, right), (bottom, top) = view.limits["xlim"], view.limits["ylim"]
    assert left <= 0 and right >= size[0] - 1 and top <= 0 and bottom >= size[1] - 1
    assert (right - left) / (bottom - top) == pytest.approx(WIDTH / HEIGHT)


def test_what_is_no_picture_is_met_with_a_sentence(desk, tmp_path):
    (tmp_path / "notes.jpg").write_text("clouds", encoding="utf-8")
    assert "no such file" in desk.photograph(tmp_path / "missing.jpg")
    assert "no readable" in desk.photograph(tmp_path / "notes.jpg")
    with pytest.raises(Impossible, match=r"lacks moons\.jpg"):
        picture("moons.jpg")


def test_a_group_sees_the_machine_after_three_tries(desk):
    desk.choose("Owls")
    assert re.search("first keep 3 tries", desk.photograph_by_machine(), re.IGNORECASE)


def test_the_machine_stands_beside_the_tries(desk):
    desk.photograph()
    beside = desk.photograph_by_machine(PATH)  # a night of one picture: quick
    text = repr(beside)
    assert by_machine.INVENTED in text and "its geometric x is 2.76" in text
    assert 0.003 < beside.shift < 0.03  # the eye's edge lies outside the geometric one
    assert (
        beside.png()
        == by_machine.Comparison(
            beside.path, beside.measured, beside.tries, beside.whose, beside.origin
        ).png()
    )


def test_outside_is_counted_in_the_shadows_radius():
    moon, shadow = Circle(300, 0, 100), Circle(0, 0, 270)
    assert outside(Circle(0, 0, 270 * 1.02), moon, shadow) == pytest.approx(0.02)
    assert outside(Circle(-13.5, 0, 270), moon, shadow) == pytest.approx(-0.05)
