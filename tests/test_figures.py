"""Every drawing at every end of its sliders, the slider figure, and the numbers they show."""

import asyncio
import io
import subprocess
import sys
from base64 import b64decode
from itertools import combinations

import matplotlib
import numpy as np
import pytest
from astropy import units as u
from PIL import Image

from moonreach import (
    earth_size,
    eclipse_timing,
    modern,
    moon_distance,
    shadow_cone,
    sighting_angle,
)
from moonreach.chain import OFF_CENTRE
from moonreach.figures import style
from moonreach.figures.circles import covered_fraction
from moonreach.figures.drawing import Drawing, Slider
from moonreach.figures.earth_size import Costs, TwoGnomons
from moonreach.figures.eclipse_timing import Path, PathCost
from moonreach.figures.flat_earth import NearSun
from moonreach.figures.live import LiveFigure, live
from moonreach.figures.moon_distance import ASSUMPTIONS, CHAIN, EXACT, UNITS, Chain
from moonreach.figures.shadow_cone import ConeCosts, Cones
from moonreach.figures.sighting_angle import HoleCost, Rod
from moonreach.figures.to_scale import ToScale, month_range
from moonreach.inputs import stand_in
from moonreach.quantities import QUANTITIES
from moonreach.uncertainty import normal, propagate

ALL = (
    TwoGnomons,
    Costs,
    NearSun,
    Path,
    PathCost,
    Cones,
    ConeCosts,
    Rod,
    HoleCost,
    Chain,
    ToScale,
)


COMMON = np.asarray(Cones().pixels())


@pytest.fixture(scope="module", params=ALL, ids=lambda drawing: drawing.__name__)
def drawing(request):
    return request.param()


def ends(slider):
    middle = (slider.least * slider.greatest) ** 0.5 if slider.log else None
    return slider.least, middle or (slider.least + slider.greatest) / 2, slider.greatest


def corners(drawing):
    """Return values with all sliders at their ends: all low, all high, and in turns."""
    for pattern in ((0, 0), (1, 1), (0, 1), (1, 0)):
        yield {
            slider.name: (slider.least, slider.greatest)[pattern[i % 2]]
            for i, slider in enumerate(drawing.sliders)
        }


def words(drawing):
    """Return all words of a drawing, those that stand still and those that move."""
    texts = list(drawing.figure.texts)
    for axes in drawing.figure.axes:
        texts += axes.texts
    return [text.get_text() for text in texts if text.get_visible() and text.get_text()]


def shown(drawing, **values):
    drawing.set(**values)
    return " | ".join(words(drawing)).replace("\u2009", "").replace("−", "-")


def test_moves_at_every_end_of_every_slider(drawing):
    start = np.asarray(drawing.pixels())
    assert start.shape == (450, 800, 3) and start.std() > 10
    for slider in drawing.sliders:
        assert slider.least <= slider.start <= slider.greatest
        for value in ends(slider):
            picture = np.asarray(drawing.pixels(**{slider.name: value}))
            assert not drawing._refusal.get_visible(), drawing._refusal.get_text()
            assert (picture != start).any() == (value != slider.start), (slider.name, value)


def test_moves_at_every_pair_of_ends(drawing):
    for one, other in combinations(drawing.sliders, 2):
        for value in (one.least, one.greatest):
            for second in (other.least, other.greatest):
                drawing.set(**{one.name: value, other.name: second})
                assert not drawing._refusal.get_visible(), drawing._refusal.get_text()
                for line in (line for axes in drawing.figure.axes for line in axes.lines):
                    assert np.isfinite(line.get_xydata()).any(), (one, other)


def test_moving_only_what_moves_gives_the_picture_drawn_anew(drawing, tmp_path):
    for values in ({}, *corners(drawing)):
        drawing.save(tmp_path / "anew.png", **values)
        with Image.open(tmp_path / "anew.png") as anew:
            moved = drawing.pixels(**values)
            assert np.array_equal(np.asarray(anew.convert("RGB")), np.asarray(moved)), values


def test_words_are_large_enough_inside_the_picture_and_clear_of_each_other(drawing):
    texts = [text for axes in drawing.figure.axes for text in axes.texts] + drawing.figure.texts
    single = ({s.name: v} for s in drawing.sliders for v in ends(s))
    for values in ({}, *single, *corners(drawing)):
        drawing.pixels(**values)
        renderer = drawing.canvas.get_renderer()
        boxes = []
        with style.look():
            for text in texts:
                if text.get_text() and text.get_visible():
                    assert text.get_fontsize() >= 9, text
                    boxes.append((text, text.get_window_extent(renderer)))
        for text, box in boxes:
            inside = box.x0 >= 0 and box.x1 <= 800 and box.y0 >= 0 and box.y1 <= 450
            assert inside, (values, text, box)
        for (text, box), (other, other_box) in combinations(boxes, 2):
            assert not box.padded(-2).overlaps(other_box.padded(-1)), (values, text, other)


def test_says_what_it_shows(drawing):
    assert drawing.title and drawing.caption.endswith((".", ".)")) and len(drawing.alternative) > 60
    for slider in drawing.sliders:
        ends = np.array([slider.least, slider.start])
        steps = np.ptp(np.log10(ends) if slider.log else ends) / slider.step
        assert abs(steps - round(steps)) < 1e-6, f"{slider.name} cannot come back to its start"
        assert len(slider.label) <= 26, slider.label
    assert len({slider.name for slider in drawing.sliders}) == len(drawing.sliders)


@pytest.mark.parametrize("ending", ["png", "svg", "pdf"])
def test_saves_for_slides(tmp_path, ending):
    path = tmp_path / f"cones.{ending}"
    Cones().save(path, sun=19)
    assert path.stat().st_size > 5000
    if ending == "svg":
        assert "it narrows by" in path.read_text(encoding="utf-8")


def test_a_drawing_needs_no_notebook_and_no_window():
    code = (
        "import sys; from moonreach.figures.shadow_cone import Cones; Cones().png();"
        "print([m for m in ('ipywidgets', 'matplotlib.pyplot') if m in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def test_the_house_style_leaves_the_users_own_figures_alone():
    with matplotlib.rc_context({"font.size": 20, "lines.linewidth": 9}):
        before = dict(matplotlib.rcParams)
        assert np.array_equal(np.asarray(Cones().pixels()), COMMON)
        assert dict(matplotlib.rcParams) == before


def test_an_unknown_slider_is_named():
    with pytest.raises(TypeError, match="Cones has no slider season; it has sun, ratio, discs"):
        Cones().set(season=3)


class Refusing(Drawing):
    """A drawing whose lesson refuses."""

    sliders = (Slider("arc", "Arc", -1, 1, 1, 0.1),)

    def build(self):
        """Draw nothing."""

    def update(self, arc):
        """Ask for the Earth."""
        earth_size.circumference(arc * u.deg, 100 * u.km)


def test_a_refusal_is_said_in_the_picture_and_goes_again():
    drawing = Refusing()
    clear = np.asarray(drawing.pixels())
    refused = np.asarray(drawing.pixels(arc=-1))
    assert "the arc must be greater than zero" in shown(drawing, arc=-1)
    assert (refused != clear).any()
    assert np.array_equal(np.asarray(drawing.pixels(arc=1)), clear)


# The numbers shown are those of the lesson functions.


def test_two_gnomons_find_the_earth_they_stand_on():
    drawing = TwoGnomons()
    for earth, sun in ((40_000, 0), (25_000, 35), (80_000, -10), (40_000, -4)):
        text = shown(drawing, earth=earth, sun=sun)
        arc = 360 * 800 / earth
        assert f"{earth} km" in text and f"{arc:.2f}°" in text
    z = earth_size.zenith_distance(1 * u.m, 12.6 * u.cm)
    assert f"12.6 cm | {z.value:.1f}" in shown(drawing)  # 7.18 of the rounded shadow, 7.20 shown


def test_costs_agree_with_slips_made_by_hand():
    text = shown(Costs(), road=800, bearing=60, days=0, edge=100)
    assert "+100.0 % | " in text and " | 0.0 % | " in text
    north_south = earth_size.north_south_distance(800 * u.km, 60 * u.deg)
    arc = (north_south / modern.EARTH_RADIUS).to_value(u.one) * u.rad
    edge = ((arc / (arc - modern.SUN_SEMIDIAMETER)).to_value(u.one) - 1) * 100
    assert f"+{edge:.1f} %" in text


def test_near_sun_fits_two_places_and_never_three():
    drawing = NearSun()
    text = shown(drawing, height=6350, second=800, third=5000)
    assert "12.6 cm | 12.6 cm | 0.0 cm" in text  # fits the second place
    assert "-21.1 cm" in text  # 100 tan(5000/6371) = 99.9, 100 x 5000/6350 = 78.7


def test_path_finds_its_own_shadow_again():
    text = shown(Path(), offset=0.4, ratio=2.5, moon=16)
    s = 16 * u.arcmin
    t1, t2 = eclipse_timing.expected_phases(2.5, 0.4, s, eclipse_timing.scaled_rate(s))
    simple = eclipse_timing.ratio_through_middle(t1, t2)
    for number in (f"{t1.to_value('min'):.0f} min", f"{simple:.2f}", "2.50", "0.40 S"):
        assert number in text


def test_path_cost_is_within_4_percent_near_the_middle_and_exact_with_the_nights_rate():
    drawing = PathCost()
    shown(drawing, ratio=2.7)
    offset, error = drawing.simple.get_data()
    assert np.abs(error[offset <= 0.18]).max() < 4 < np.abs(error[offset > 0.25]).min()
    assert np.abs(drawing.scaled.get_ydata()).max() < 1e-9


def test_cones_show_the_exact_formula():
    text = shown(Cones(), sun=19, ratio=2, discs=1)
    exact = shadow_cone.earth_in_moons(2, 1, 19)  # Aristarchus' numbers: 2.85
    assert f"{exact:.2f} | 2.00 | {exact - 2:.2f} Moon" in text
    assert f"+{100 * (3 / exact - 1):.1f} %" in text


def test_cone_costs_are_those_of_the_shadow_cone_module():
    text = shown(ConeCosts(), sun=19, ratio=2.7, discs=1.05, air=2)
    bare = shadow_cone.without_air(2.7, 0.02)
    exact = shadow_cone.earth_in_moons(bare, 1.05, 19)
    assert f"{exact:.3f}" in text and "+5.3 %" in text  # 1/19
    assert f"{100 * (3.7 / exact - 1):+.1f} %" in text
    assert f"{100 * (3.5 / exact - 1):+.1f} %" in text


def test_rod_shows_the_moon_gone_at_vanish_and_all_round_at_rim():
    drawing = Rod()
    for hole, angle in ((0.5, 33.5), (1, 31.1), (3, 29.4)):
        lit = []
        for seen, state in (("vanish", "is gone"), ("rim", "all round")):
            at = sighting_angle.expected_reading(
                14 * u.mm, angle * u.arcmin, hole * u.mm, seen
            ).to_value(u.m)
            step = -1e-9 if seen == "vanish" else 1e-9
            assert state in shown(drawing, distance=at + step, hole=hole, angle=angle)
            limb = np.abs(drawing.apart - angle / 2 + 0.5) < 0.3
            lit.append(drawing.through_hole(at, 14, hole, angle)[limb, 0].mean())
        assert lit[0] < 45 and lit[1] > 150


def test_hole_cost_is_seven_percent_for_one_millimetre():
    # Common practice, no source: a disc of 14 mm and a hole of 1 mm; (14/13 - 1) = 7.7 %.
    assert "+7.7 %" in shown(HoleCost(), hole=1, disc=14) and "0.0 %" in shown(HoleCost())


def test_month_range_is_the_moons():
    # Meeus, Astronomical Algorithms, ch. 50 (from memory): 356 400 km to 406 700 km.
    least, greatest = month_range()
    assert abs(least - 356_400 * u.km) < 500 * u.km
    assert abs(greatest - 406_700 * u.km) < 500 * u.km


@pytest.mark.parametrize("moved", [{}, {"partial_phase": 58}, {"rim_distance": 1.8}, {"doubt": 2}])
def test_chain_shows_the_distance_interval_and_budget_that_the_report_gives(moved):
    drawing = Chain()
    values = drawing.start() | moved
    text = shown(drawing, **moved)
    inputs = {name: stand_in(name) for name in ASSUMPTIONS}
    for name, unit in UNITS.items():
        value, typical = values[name] * unit, QUANTITIES[name].typical
        inputs[name] = normal(
            name, value, values["doubt"] * (typical * value if np.isscalar(typical) else typical)
        )
    if values["doubt"] != 1:  # the report has no such slider for the assumptions
        inputs |= {
            name: normal(name, one.value, values["doubt"] * one.cloud.pdf_std())
            for name, one in inputs.items()
            if name in ASSUMPTIONS
        }
    found = propagate(lambda v: CHAIN.results({**v, **EXACT}, OFF_CENTRE), inputs)
    distance = found["distance_km"]
    assert f"{round(distance.value, -3):.0f} km" in text
    assert f"{found['ratio'].value:.2f}" in text and f"{found['angle'].value:.1f}′" in text
    low, high = 1000 * np.array(drawing.interval.get_xdata())
    width = distance.high - distance.low
    assert abs(low - distance.low) < 0.06 * width and abs(high - distance.high) < 0.06 * width
    shares = [float(number.get_text()[:-1]) for _, _, number in drawing.bars.bars]
    report = [100 * distance.shares[name] for name in (*UNITS, *ASSUMPTIONS)]
    assert np.allclose(shares, report, atol=2.5)


def test_to_scale_keeps_the_scale():
    drawing = ToScale()
    text = shown(drawing, altitude=90)
    here = moon_distance.distance_in_earth_diameters(31.4 * u.arcmin, 3.67) * 12750
    assert f"{round(float(here), -2):.0f} km" in text
    globe, moon = (np.ptp(a.get_xy()[:, 0]) for a in (drawing.globe, drawing.moon))
    assert globe / moon == pytest.approx(3.67, rel=1e-3)
    apart = drawing.own.get_xdata()[0] - drawing.left
    assert apart / globe == pytest.approx(float(here) / 12750 + 0.5, rel=1e-3)


def test_covered_fraction_of_two_discs():
    # Two unit circles with their centres one radius apart overlap in 2 pi/3 - sqrt(3)/2 (plane
    # geometry, the lens of the vesica).
    lens = 2 * np.pi / 3 - np.sqrt(3) / 2
    assert covered_fraction(1, 1, 1) == pytest.approx(lens / np.pi)
    assert np.allclose(covered_fraction(1, 3, np.array([0, 1, 2, 4, 5])), [1, 1, 1, 0, 0])
    assert covered_fraction(2, 1, 0) == pytest.approx(0.25)


# The slider figure.


def test_live_shows_a_picture_where_nothing_is_live():
    figure = live(Cones())
    bundle, about = figure._repr_mimebundle_()
    with Image.open(io.BytesIO(b64decode(bundle["image/png"]))) as start:
        assert np.array_equal(np.asarray(start), np.asarray(Cones().pixels()))
    assert "application/vnd.jupyter.widget-view+json" in bundle
    assert bundle["text/plain"] == about["image/png"]["alt"] == Cones.alternative
    assert figure.picture.tooltip == Cones.alternative


def test_each_slider_carries_its_label_its_value_and_its_unit():
    figure = live(Rod())
    board = figure.children[1]
    for slider, row in zip(Rod.sliders, board.children[:-1], strict=True):
        handle, unit = row.children
        assert (handle.description, unit.value) == (slider.label, slider.unit)
        assert handle.readout and handle.value == pytest.approx(slider.start)
        assert f"{handle.value:{handle.readout_format}}"


def picture_of(figure):
    return figure.picture.value, figure.drawing.jpeg(**figure.values)


def test_a_moved_slider_moves_the_picture_and_the_button_puts_it_back():
    figure = live(Cones())
    start = figure.picture.value
    figure.handles["ratio"].value = 2.0
    now, wanted = picture_of(figure)
    assert now == wanted != start
    figure.children[1].children[-1].click()
    assert figure.values == Cones().start() and figure.picture.value == start


def test_steps_that_wait_are_merged_and_the_last_picture_is_the_last_values(monkeypatch):
    drawn = []
    jpeg = Cones.jpeg
    monkeypatch.setattr(Cones, "jpeg", lambda self, **v: (drawn.append(v), jpeg(self, **v))[1])

    async def drag():
        figure = LiveFigure(Cones())
        drawn.clear()
        for step in range(50):
            figure.handles["ratio"].value = 2 + step / 100
        assert not drawn  # all of them wait
        await asyncio.sleep(0)
        assert [values["ratio"] for values in drawn] == [pytest.approx(2.49)]
        for step in range(3):  # steps that come in one after the other are each drawn
            figure.handles["ratio"].value = 2 + step / 100
            await asyncio.sleep(0)
        figure.handles["ratio"].value = 3
        figure.settle()
        assert len(drawn) == 5
        await asyncio.sleep(0)
        assert len(drawn) == 5  # settled: nothing is drawn twice
        return figure

    now, wanted = picture_of(asyncio.run(drag()))
    assert now == wanted
