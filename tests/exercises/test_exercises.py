"""The exercises: right answers from the lesson functions, slips called by their names."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from astropy import constants
from astropy import units as u
from hypothesis import given, settings
from hypothesis import strategies as st

from moonreach import exercises
from moonreach.exercises import EXERCISES, LESSONS, Readings, find, read_answer
from moonreach.exercises.checking import BOTH, in_unit
from moonreach.exercises.formulas import formula
from moonreach.lessons import today
from moonreach.lessons.refuse import Impossible
from moonreach.practice import invented as practice
from moonreach.practice.further import further_rows
from moonreach.practice.hands import Hands
from moonreach.sheet import tables

DATA = Path(__file__).parents[2] / "data"


# Good enough that every group's half Moon and pair lead to a distance at all.
STEADY = Hands(half=0.5 * u.deg, zenith=0.05 * u.deg)


def all_rows(truth, generator):
    rows = practice.group_rows("Heron", truth, practice.Hands(), generator)
    return rows + further_rows("Heron", generator, truth.distance, STEADY)


def readings_of(rows):
    return Readings("Heron", tables.of_rows(rows).readings, invented=True)


@st.composite
def groups(draw):
    truth = practice.Truth(
        distance=draw(st.floats(357e3, 406e3)) * u.km,
        ratio=draw(st.floats(2.62, 2.77)),
        offset=draw(st.floats(0, 0.55)),
        altitude=draw(st.floats(15, 70)) * u.deg,
        south_zenith_distance=draw(st.floats(2, 55)) * u.deg,
        north_south_distance=draw(st.floats(400, 1500)) * u.km,
    )
    generator = np.random.default_rng(draw(st.integers(0, 10**6)))
    return readings_of(all_rows(truth, generator))


@pytest.fixture(scope="module")
def readings():
    generator = np.random.default_rng(5)
    truth = practice.Truth(offset=0.4, south_zenith_distance=30 * u.deg)
    return readings_of(all_rows(truth, generator))


def judge(exercise, readings, answer):
    """Judge an answer as it is typed."""
    return exercises.judge(exercise, readings, str(answer))


def right_answer(key, readings):
    exercise = find(key)
    return float(in_unit(exercise.answer(readings), exercise.unit))


@pytest.mark.parametrize("lesson", LESSONS)
def test_each_lesson_has_at_least_five_exercises_with_at_least_three_slips(lesson):
    assert len(LESSONS[lesson]) >= 5
    for exercise in LESSONS[lesson]:
        names = [slip.name for slip in exercise.wrong_ways]
        assert len(names) == len(set(names)) >= 3
        assert exercise.question.rstrip(")").endswith(("?", ".")) and exercise.rule
        for slip in exercise.wrong_ways:
            assert slip.made and slip.think and not slip.made.endswith(".")


@pytest.mark.parametrize("exercise", EXERCISES.values(), ids=EXERCISES)
def test_every_formula_comes_to_numbers_in_the_unit_of_its_question(exercise, readings):
    for value in (exercise.answer, *(way.value for way in exercise.wrong_ways)):
        assert np.isfinite(in_unit(value(readings), exercise.unit)).all()


def test_a_formula_reads_angles_with_their_unit_and_bare_numbers_in_radians():
    given = {"arc": 30 * u.deg, "ratio": 0.5}
    for text, value in {
        "sin(arc)": 0.5,
        "sin(arc / deg)": np.sin(30),
        "asin(ratio) / deg": 30,
        "earlier * pi": np.pi,
        "EARTH_DIAMETER / km": today.EARTH_DIAMETER.value,
        "earth_in_moons(ratio) + ratio**2": 1.75,
    }.items():
        found = formula(text, "shadow_cone", {"earlier": lambda _: 1.0})(given)
        assert float(in_unit(found, u.one)) == pytest.approx(value)


def test_nothing_that_is_said_speaks_of_slips(readings):
    for exercise in EXERCISES.values():
        said = [exercise.question, exercise.rule, judge(exercise, readings, 123456.7).text]
        said += [text for way in exercise.wrong_ways for text in (way.name, way.made, way.think)]
        assert "slip" not in " ".join(said).lower()


def test_keys_are_unique_over_all_lessons():
    assert len(EXERCISES) == sum(map(len, LESSONS.values())) >= 25


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("north_zenith", 7.2),  # 1/50 of a circle: Cleomedes, Caelestia I.7
        ("arc", 7.2),
        ("circle_parts", 50),
        ("circumference", 40_007.863),  # the WGS 84 meridian, NIMA TR8350.2
        ("partial_phase", (68.45 + 68.467) / 2),  # NASA/GSFC contacts of 2014 April 15
        ("total_phase", 77.8),
        ("moon_diameters", 110.6),  # 1864.2": NASA Moon fact sheet; physics of a cone
        ("moonlight", 1.28),  # 384 400 km at the speed of light: 1.282 s, BIPM's c
    ],
)
def test_right_answers_agree_with_published_figures(key, value):
    published = tables.read(DATA / "published.csv")
    found = Readings("Published", published.readings)
    assert right_answer(key, found) == pytest.approx(
        value, rel=0.02 if key == "moonlight" else 1e-3
    )


@settings(max_examples=10)
@given(groups())
def test_right_answers_are_right_and_slips_are_never_taken_for_others(readings):
    for exercise in EXERCISES.values():
        assert not readings.lacks(*exercise.needs)
        right = right_answer(exercise.key, readings)
        for answer in (
            float(f"{right:.3g}"),
            f"{right} {exercise.unit}",
            f"{right:.6f} {exercise.unit}",
        ):
            assert judge(exercise, readings, answer).state == "right", (exercise.key, answer)
        for slip in exercise.wrong_ways:
            with np.errstate(all="ignore"):
                found = np.atleast_1d(in_unit(slip.value(readings), exercise.unit))
            for value in found[np.isfinite(found) & (found != 0)]:
                verdict = judge(exercise, readings, float(value))
                named = verdict.slip.split(BOTH)
                same = verdict.state == "right" or not verdict.slip or slip.name in named
                assert same, (exercise.key, slip.name, verdict)


def test_at_least_95_percent_of_slips_are_called_by_their_name():
    generator, named, wrong = np.random.default_rng(3), 0, 0
    for _ in range(8):
        offset = generator.uniform(0, 0.55)
        truth = practice.Truth(
            offset=offset, south_zenith_distance=generator.uniform(2, 55) * u.deg
        )
        group = readings_of(all_rows(truth, generator))
        for exercise in EXERCISES.values():
            for slip in exercise.wrong_ways:
                with np.errstate(all="ignore"):
                    found = np.atleast_1d(in_unit(slip.value(group), exercise.unit))
                for value in found[np.isfinite(found) & (found != 0)]:
                    verdict = judge(exercise, group, float(f"{value:.3g}"))
                    wrong += verdict.state != "right"
                    named += slip.name in verdict.slip.split(BOTH)
    assert wrong > 1000 and named / wrong >= 0.95


def test_a_wrong_answer_is_met_with_its_slip_and_never_with_the_right_one(readings):
    verdict = judge(find("earth_diameter"), readings, f"{readings['earth'].value / 2} km")
    assert (verdict.state, verdict.slip) == ("slip", "radius for diameter")
    assert verdict.text.startswith("Not yet. That is what you get if you divide by 2π")
    for exercise in EXERCISES.values():
        right = right_answer(exercise.key, readings)
        text = judge(exercise, readings, right * 1.37 + 3).text
        assert f"{right:.4g}" not in text and f"{right:.3g}" not in text


def test_unanswered_is_a_normal_state(readings):
    for nothing in ("", " ", "..."):
        verdict = judge(find("arc"), readings, nothing)
        assert (verdict.state, verdict.value) == ("unanswered", None)


@pytest.mark.parametrize(
    ("answer", "unit", "value"),
    [
        ("7.2", u.deg, 7.2),
        ("7.2 deg", u.deg, 7.2),
        ("7,2°", u.deg, 7.2),
        ("39°03′", u.deg, 39.05),
        ("39° 6'", u.deg, 39.1),
        ("34′ 30″", u.arcmin, 34.5),
        ("1 h 4 min", u.min, 64),
        ("7.2°", u.arcmin, 432),
        ("12 742 km", u.km, 12742),
        ("1.2742e4", u.km, 12742),
        ("12742000 m", u.km, 12742),
        ("-0.6", u.percent, -0.6),
        ("27 %", u.percent, 27),
        ("35 %", u.one, 0.35),
        ("1.1 h", u.min, 66),
        ("66 min", u.min, 66),
        ("36/5", u.deg, 7.2),
        ("360/50", u.deg, 7.2),
        ("(360/50)°", u.arcmin, 432),
        ("atan(1/2)°", u.deg, 26.565051177),
        ("2*pi*6371 km", u.km, 40030.173592),
        ("1/50", u.one, 0.02),
        ("2,5 × 60 min", u.min, 150),
    ],
)
def test_answers_are_read_as_numbers_with_units_and_as_lines(answer, unit, value):
    assert read_answer(answer, unit)[0] == pytest.approx(value, rel=1e-6)


@pytest.mark.parametrize(
    "answer",
    ["seven", "7.2 bananas", "12 km", "[1, 2]", "nan", "True", "12,742 km", "{'a': 1}", "7.2.2",
     "7/0", "360/50 km", "2*3 bananas", "asin(2)", "9" * 400, "1e999", "1e308*10", "7 deg <script>",
     "1j"],
)  # fmt: skip
def test_what_cannot_be_read_is_met_with_one_sentence(answer, readings):
    verdict = judge(find("arc"), readings, answer)
    assert verdict.state == "unreadable" and verdict.value is None
    assert "does not count" in verdict.text and "\n" not in verdict.text


def test_answers_may_be_rounded_to_the_digits_given_but_not_to_one_digit(readings):
    exercise = find("circle_parts")
    right = right_answer("circle_parts", readings)
    assert judge(exercise, readings, str(round(right))).state == "right"
    assert (
        judge(exercise, readings, f"{right:.0e}").state != "right"
        or abs(float(f"{right:.0e}") - right) <= 0.01 * right
    )


def test_a_wrong_unit_is_guessed_where_no_slip_fits(readings):
    verdict = judge(find("circumference"), readings, readings["earth"].value * np.pi * 1000)
    assert verdict.slip == "units" and "a factor of 1 000" in verdict.text


def test_the_through_middle_formula_is_a_slip_only_off_the_middle():
    for offset, state in ((0.0, "right"), (0.5, "slip")):
        calm = practice.Hands(contact=0.1 * u.s, sighting=1e-4, disc=1e-3 * u.mm)
        rows = practice.group_rows(
            "Heron", practice.Truth(offset=offset), calm, np.random.default_rng(1)
        )
        group = readings_of(rows)
        simple = right_answer("ratio_middle", group)
        assert judge(find("ratio_off_centre"), group, simple).state == state


def test_an_unknown_key_is_met_with_those_that_come_near():
    with pytest.raises(Impossible, match="no exercise 'arcs'; there are arc"):
        find("arcs")
    assert exercises.find("arc").key == "arc"


def test_two_mistakes_that_lead_to_one_answer_are_both_named():
    exercise = find("moon_percent")
    readings = {"ratio": 2.0, "earth_in_moons": 4.0}
    ways = [way for way in exercise.wrong_ways if way.name == "shadow not narrowed"]
    twin = replace(ways[0], name="the twin", made="you do it twice", think="do you?")
    verdict = judge(replace(exercise, wrong_ways=(*ways, twin)), readings, 50)
    assert verdict.slip == f"shadow not narrowed{BOTH}the twin"
    assert "or if you do it twice" in verdict.text and verdict.text.endswith("Or: do you?")


@pytest.mark.parametrize(
    ("times", "words"),
    [(1.03, "Close, within 5 %"), (1 / 1.04, "Close, within 5 %"), (37.0, "far too large"),
     (-0.03, "far too small"), (1.7, "Go through the steps")],
)  # fmt: skip
def test_what_no_mistake_leads_to_is_told_by_its_size(times, words, readings):
    right = right_answer("earth_diameter", readings)
    verdict = judge(find("earth_diameter"), readings, times * right)
    assert verdict.state == "wrong" and words in verdict.text


def test_a_factor_of_sixty_is_a_reason_only_where_minutes_could_be_seconds(readings):
    # Entry and totality added up are by chance some 60 times the shadow ratio.
    ratio = right_answer("ratio_middle", readings)
    assert judge(find("ratio_middle"), readings, 60 * ratio).slip == ""
    entry = right_answer("partial_phase", readings)
    assert "a factor of 60" in judge(find("partial_phase"), readings, 60 * entry).text


@pytest.mark.parametrize(
    ("key", "name"),
    [
        ("arc", "lengths subtracted"),
        ("circle_parts", "one over the arc"),
        ("circumference", "arc times distance"),
        ("earth_diameter", "multiplied by π"),
        ("earth_error", "kilometres for per cent"),
        ("partial_phase", "whole duration"),
        ("ratio_middle", "entry over totality"),
        ("earth_in_moons", "shadow doubled"),
        ("earth_in_moons", "two Moons added"),
        ("moon_percent", "Moons for per cent"),
        ("point_eye", "ratio upside down"),
        ("hole_angle", "radians for degrees"),
        ("bracket_angle", "ratio upside down"),
        ("far_moon", "minutes for radians"),
        ("moon_diameters", "minutes for radians"),
        ("moon_diameters", "ratio upside down"),
        ("moon_distance", "not to the centre"),
        ("distance_error", "kilometres for per cent"),
        ("elongation", "180 degrees minus the angle"),
        ("least_ratio", "tangent for cosine"),
        ("sun_in_earths", "an infinitely far Sun"),
        ("pair_shift", "sign"),
        ("pair_distance", "not to the centre"),
    ],
)
def test_what_students_were_seen_to_do_is_named(key, name, readings):
    exercise = find(key)
    way = next(way for way in exercise.wrong_ways if way.name == name)
    for value in np.atleast_1d(in_unit(way.value(readings), exercise.unit)):
        assert name in judge(exercise, readings, float(value)).slip.split(BOTH)


def test_the_distance_from_where_one_stands_is_not_the_one_to_the_centre(readings):
    exercise = find("moon_distance")
    right = right_answer("moon_distance", readings)
    assert judge(exercise, readings, right * 1.004).state == "right"
    here = right_answer("earth_diameters", readings) * readings["earth"].value
    assert 0.982 < here / right < 1
    assert judge(exercise, readings, here * 1.0005).slip == "not to the centre"


def published(key):
    """Today's value of an exercise, from today's constants."""
    radii = (today.MOON_DISTANCE / today.EARTH_RADIUS).to_value(u.one)
    moons = (today.EARTH_RADIUS / today.MOON_RADIUS).to_value(u.one)
    return {
        "circumference": 2 * np.pi * today.EARTH_RADIUS.value,
        "earth_diameter": today.EARTH_DIAMETER.value,
        "earth_in_moons": moons,
        "moon_percent": 100 / moons,
        "moon_diameter": 2 * today.MOON_RADIUS.value,
        "bracket_angle": 2 * today.MOON_SEMIDIAMETER.value,
        "moon_diameters": (today.MOON_DISTANCE / (2 * today.MOON_RADIUS)).to_value(u.one),
        "moon_distance": today.MOON_DISTANCE.value,
        "moonlight": (today.MOON_DISTANCE / constants.c).to_value(u.s),
        "least_ratio": today.SUN_MOON_DISTANCE_RATIO,
        "sun_in_earths": (today.SUN_RADIUS / today.EARTH_RADIUS).to_value(u.one),
        "eclipse_distance": radii / 2,
        "pair_distance": radii / 2,
        "parallax": np.degrees(np.arcsin(1 / radii)) * 60,
    }[key]


@pytest.mark.parametrize("key", [key for key, one in EXERCISES.items() if one.today])
def test_todays_value_beside_an_answer_is_todays(key):
    told = EXERCISES[key].today.removesuffix(" on average")
    value, half_step = read_answer(told, EXERCISES[key].unit)
    assert value == pytest.approx(published(key), abs=max(half_step, 1e-3 * value))


def test_hours_and_minutes_are_not_taken_for_a_division():
    with pytest.raises(Impossible, match="may be hours and minutes; write 96 min or 1 h 36 min"):
        read_answer("1:36", u.min)
    assert read_answer("360:50", u.deg)[0] == pytest.approx(7.2)
