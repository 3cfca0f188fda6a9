"""Intervals and budgets against the GUM, its supplement, and an independent propagation."""

import numpy as np
import pytest
from astropy import units as u
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat, umath

from moonreach.lessons import moon_distance, sighting_angle
from moonreach.lessons.interval import TO_95
from moonreach.lessons.refuse import Impossible
from moonreach.reduction.propagation import Outcome, interval, propagate
from moonreach.reduction.uncertainty import Input, from_readings, normal, pool, rectangular, student

ONE = u.one


def total(values):
    return {"sum": sum(values.values())}


def test_jcgm_101_four_normal():
    # JCGM 101:2008, 9.2.2, Table 2: four normal inputs of standard deviation 1: -3.92 to 3.92.
    inputs = {f"x{i}": normal(f"x{i}", 0 * ONE, 1 * ONE) for i in range(4)}
    found = propagate(total, inputs)["sum"]
    assert (found.value, found.low, found.high) == pytest.approx((0, -3.92, 3.92), abs=0.1)
    assert found.standard == pytest.approx(2.0, abs=0.03)
    assert found.shares == pytest.approx(dict.fromkeys(inputs, 0.25), abs=0.005)


def test_jcgm_101_four_rectangular():
    # JCGM 101:2008, 9.2.3, Table 3: four rectangular inputs of standard deviation 1: -3.88 to 3.88.
    inputs = {f"x{i}": rectangular(f"x{i}", 0 * ONE, 3**0.5 * ONE) for i in range(4)}
    found = propagate(total, inputs)["sum"]
    assert (found.low, found.high) == pytest.approx((-3.88, 3.88), abs=0.1)


def test_jcgm_101_one_input_rules():
    # JCGM 101:2008, 9.2.4: one rectangular input ten times as wide: -17.0 to 17.0 (from memory;
    # 17.02 computed), where the GUM's normal interval would say 19.9.
    inputs = {f"x{i}": rectangular(f"x{i}", 0 * ONE, 3**0.5 * ONE) for i in range(3)}
    inputs["wide"] = rectangular("wide", 0 * ONE, 10 * 3**0.5 * ONE)
    found = propagate(total, inputs)["sum"]
    assert (found.low, found.high) == pytest.approx((-17.0, 17.0), abs=0.15)
    assert next(iter(found.shares)) == "wide"
    assert found.shares["wide"] == pytest.approx(100 / 103, abs=0.002)


def test_gum_h1_end_gauge():
    # JCGM 100:2008, H.1: length of an end gauge; components 25, 5.8, 3.9, 6.7, 16.6 and 2.9 nm,
    # u_c = 32 nm; second-order terms raise it to 34 nm (H.1.7).
    inputs = {
        "standard": student("standard", 50_000_623 * ONE, 25 * ONE, 18),
        "repeats": student("repeats", 215 * ONE, 5.8 * ONE, 24),
        "random": student("random", 0 * ONE, 3.9 * ONE, 5),
        "systematic": student("systematic", 0 * ONE, 6.7 * ONE, 8),
        "alpha": rectangular("alpha", 11.5e-6 * ONE, 2e-6 * ONE),
        "d_alpha": rectangular("d_alpha", 0 * ONE, 1e-6 * ONE),
        "theta": normal("theta", -0.1 * ONE, 0.2 * ONE),
        "d_theta": rectangular("d_theta", 0 * ONE, 0.05 * ONE),
    }
    swing = 0.5 * np.sin(np.linspace(-np.pi / 2, np.pi / 2, 10_001)[:-1] + np.pi / 20_000)
    shuffled = np.random.default_rng(3).permutation(swing)
    inputs["cycle"] = Input(0 * ONE, lambda: shuffled * ONE)

    def gauge(v):
        length = v["standard"]
        difference = v["repeats"] + v["random"] + v["systematic"]
        drift = v["d_alpha"] * (v["theta"] + v["cycle"]) + v["alpha"] * v["d_theta"]
        return {"length": length + difference - length * drift}

    found = propagate(gauge, inputs)["length"]
    assert found.value == pytest.approx(50_000_838, abs=0.5)
    parts = found.parts
    # A t distribution's own deviation is sqrt(nu / (nu - 2)) of its scale.
    assert parts["standard"] == pytest.approx(25 * np.sqrt(18 / 16), rel=0.03)
    assert parts["repeats"] == pytest.approx(5.8 * np.sqrt(24 / 22), rel=0.03)
    assert parts["d_theta"] == pytest.approx(16.6, abs=0.2)
    assert parts["d_alpha"] == pytest.approx(2.9, abs=0.1)
    assert found.high - found.low == pytest.approx(2 * 2.0 * 34, rel=0.05)


def test_logarithm():
    # NPL Report DEM-ES-011, 9.2: ln x with x rectangular from 0.1 to 1.1 has the mean -0.665 and
    # the standard uncertainty 0.606 (linear propagation: -0.511 and 0.481). Its symmetric interval
    # ends at the logarithms of the 2.5 % and 97.5 % points, 0.125 and 1.075.
    x = rectangular("x", 0.6 * ONE, 0.5 * ONE)
    cloud = np.log(x.cloud)
    assert cloud.pdf_mean().value == pytest.approx(-0.665, abs=0.001)
    assert cloud.pdf_std().value == pytest.approx(0.606, abs=0.002)
    found = propagate(lambda v: {"y": np.log(v["x"])}, {"x": x})["y"]
    assert (found.low, found.high) == pytest.approx(np.log((0.125, 1.075)), abs=0.002)


@given(st.floats(10, 20), st.floats(0.005, 0.03), st.floats(0.005, 0.03), st.floats(0.001, 0.02))
def test_linear_propagation_agrees(disc, u_vanish, u_rim, u_disc):
    # The `uncertainties` package as an independent, linear propagation of small uncertainties.
    inputs = {
        "disc": normal("disc", disc * u.mm, u_disc * disc * u.mm),
        "vanish": normal("vanish", 1.5 * u.m, u_vanish * u.m),
        "rim": normal("rim", 1.7 * u.m, u_rim * u.m),
    }

    def chain(v):
        angle = sighting_angle.bracketed_angular_diameter(v["disc"], v["vanish"], v["rim"])
        return {"moons": moon_distance.distance_in_moon_diameters(angle)}

    found = propagate(chain, inputs)["moons"]
    d, v, r = ufloat(disc, u_disc * disc), ufloat(1500, 1000 * u_vanish), ufloat(1700, 1000 * u_rim)
    linear = 0.5 / umath.sin(umath.atan(d / (v + r)))
    assert found.value == pytest.approx(linear.nominal_value, rel=1e-9)
    assert found.standard == pytest.approx(linear.std_dev, rel=0.05)


def test_repeated_readings_type_a():
    # GUM H.2 data, V: mean 4.9990, standard uncertainty of the mean 0.0032 V with 4 degrees of
    # freedom; t_95(4) = 2.776 (handbook table).
    volts = [5.007, 4.994, 5.005, 4.990, 4.999] * ONE
    made = from_readings("volts", volts)
    low, high = interval(made.cloud)
    assert made.value.value == pytest.approx(4.9990)
    assert (high - low).value / 2 == pytest.approx(2.776 * 0.0032, rel=0.04)


def test_stated_uncertainty_is_used_and_averages_out():
    made = from_readings("a", [10, 10.1, 9.9, 10] * u.mm, [0.2] * 4 * u.mm)
    assert made.cloud.pdf_std().value == pytest.approx(0.1, rel=0.01)
    assert made.grounds == "stated"


def test_scatter_beyond_the_stated_uncertainty_counts():
    made = from_readings("a", [10, 14, 6, 10] * u.mm, [0.2] * 4 * u.mm)
    assert made.grounds == "misfit"
    low, high = interval(made.cloud)
    assert (high - low) > 8 * u.mm


def test_one_reading_falls_back_on_what_is_typical():
    # t_95(5) = 2.571 (handbook table): what is usual is known as from five readings.
    made = from_readings("a", [10] * u.mm, typical=0.5 * u.mm)
    low, high = interval(made.cloud)
    assert made.grounds == "typical"
    assert (high - low).value / 2 == pytest.approx(2.571 * 0.5, rel=0.02)


def test_few_readings_and_what_is_usual_make_one_scatter():
    # Gelman et al., Bayesian Data Analysis, 2.6: s^2 = (5 x 0.5^2 + 0.02) / 6, with 6 degrees of
    # freedom; t_95(6) = 2.447 (handbook table).
    made = from_readings("a", [10, 10.2] * u.mm, typical=0.5 * u.mm)
    low, high = interval(made.cloud)
    scatter = ((5 * 0.25 + 0.02) / 6 / 2) ** 0.5
    assert made.grounds == "scatter"
    assert (high - low).value / 2 == pytest.approx(2.447 * scatter, rel=0.02)


@given(st.floats(0.1, 10), st.floats(-2.5, 2.5))
def test_a_second_reading_in_keeping_never_widens_an_interval(typical, apart):
    # Two readings differ by more than 2.5 times their usual scatter once in 13 times (normal
    # distribution, difference of two).
    widths = []
    for readings in ([10], [10, 10 + apart * typical]):
        low, high = interval(from_readings("a", readings * u.mm, typical=typical * u.mm).cloud)
        widths.append((high - low).value)
    assert widths[1] < 0.9 * widths[0]


def test_equal_readings_still_have_a_resolution():
    # GUM F.2.2.1: readings that do not scatter are known to half their step over sqrt 3.
    made = from_readings("a", [10, 10, 10] * u.mm, resolution=0.5 * u.mm)
    assert made.cloud.pdf_std().value == pytest.approx(0.5 / 3**0.5, rel=0.01)


def test_pooled_scatter():
    # GUM 4.2.4: squares 2 + 8 over 2 + 1 degrees of freedom.
    scatter, freedom = pool([[1, 2, 3] * u.m, [4, 8] * u.m])
    assert freedom == 3
    assert scatter.to_value(u.m) == pytest.approx((10 / 3) ** 0.5)


def test_same_name_same_draws():
    first, again = normal("x", 1 * ONE, 1 * ONE), normal("x", 1 * ONE, 1 * ONE)
    other = normal("y", 1 * ONE, 1 * ONE)
    assert (first.cloud.distribution == again.cloud.distribution).all()
    correlation = np.corrcoef(first.cloud.distribution.value, other.cloud.distribution.value)[0, 1]
    assert abs(correlation) < 0.04
    zero = propagate(lambda v: {"zero": v["x"] * 2 - v["x"] - v["x"]}, {"x": first})["zero"]
    assert zero.low == zero.high == 0


def test_normal_interval():
    low, high = interval(normal("x", 0 * ONE, 1 * ONE).cloud)
    assert (low.value, high.value) == pytest.approx((-TO_95, TO_95), rel=0.005)


def test_no_interval_where_too_many_draws_have_no_value():
    with pytest.raises(Impossible, match="too uncertain"), np.errstate(invalid="ignore"):
        interval(np.sqrt(normal("x", 0.5 * ONE, 1 * ONE).cloud))


def test_the_mean_of_contradicting_readings_scatters_by_their_root():
    # GUM 4.2.3: s = sqrt(32 / 3) mm, over sqrt 4; t_95(3) = 3.182 (handbook table).
    made = from_readings("a", [10, 14, 6, 10] * u.mm, [0.2] * 4 * u.mm)
    low, high = interval(made.cloud)
    assert made.grounds == "misfit"
    assert (high - low).value / 2 == pytest.approx(3.182 * (32 / 3) ** 0.5 / 2, rel=0.04)


@pytest.mark.parametrize(("apart", "grounds"), [(11.0, "stated"), (11.01, "misfit")])
def test_stated_uncertainties_hold_up_to_one_chance_in_ten_thousand(apart, grounds):
    # Chi-square with one degree of freedom passes 15.137 once in 10 000 (handbook table: 3.891
    # standard deviations of a normal distribution, squared). Two readings of standard uncertainty
    # 2 apart by d give d^2 / 8.
    assert apart**2 / 8 == pytest.approx(15.137, abs=0.02)
    made = from_readings("a", [0, apart] * u.mm, [2, 2] * u.mm)
    assert made.grounds == grounds


def test_one_family_shares_what_is_not_known_of_its_scatter():
    # Where the scatter was pooled, its own uncertainty moves all means of the family alike: the t
    # distribution's stretch (JCGM 101, 6.4.9.2) is one draw for all.
    pooled = ("shadows", 1 * u.mm, 2)
    stretches = []
    for name, readings in (("first", [10, 11]), ("second", [20, 21])):
        made = from_readings(name, readings * u.mm, pooled=pooled)
        bare = normal(name, 0 * ONE, 1 * ONE).cloud.distribution
        stretches.append((made.cloud.distribution - made.value) / bare)
    assert np.allclose(stretches[0].value, stretches[1].value)
    assert stretches[0].std() > 0.5 * u.mm


def test_the_budget_of_what_is_turned_over():
    # Of 2 / v at v = 0.5: the derivative is 2 / v^2 = 8 (calculus).
    turned = Outcome(0.5, 0.4, 0.6, {"a": 0.03, "b": 0.04}).upside_down(2.0)
    assert (turned.value, turned.low, turned.high) == pytest.approx((4, 2 / 0.6, 5))
    assert turned.parts == pytest.approx({"a": 0.24, "b": 0.32})
