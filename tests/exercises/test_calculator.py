"""The calculator line of an answer box, against Python's own arithmetic and NumPy's functions."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from moonreach.exercises.calculator import worked_out
from moonreach.lessons.refuse import Impossible


@pytest.mark.parametrize(
    ("line", "value"),
    [
        ("360/7.2", 50),
        ("360 / 7,2", 50),
        ("360° : 7,2", 50),
        ("360°÷7.2°", 50),
        ("1/50", 0.02),
        ("2.07e-3", 0.00207),
        ("12 742 × π", 12742 * np.pi),
        ("-3^2", -9),  # the power goes before the sign, as in every textbook
        ("(1 + 2)·3", 9),
        ("5² − 4", 21),
        ("√(16)", 4),
        ("sin(30)", 0.5),
        ("cos(60°)", 0.5),
        ("2*arctan(1/2)", np.degrees(2 * np.arctan(0.5))),
        ("ATAN(76.9/96.3)", np.degrees(np.arctan(76.9 / 96.3))),
        ("asin(1)", 90),
    ],
)
def test_a_line_comes_to_what_numpy_says(line, value):
    assert worked_out(line) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    "line",
    ["", "seven", "__import__('os')", "os.system(1)", "1 if 1 else 2", "[1]", "'a'*9", "True",
     "lambda: 1", "sin()", "sin(1, 2)", "sin(x=1)", "1 +", "1//2", "1 % 2", "2 < 3", "f'{1}'",
     "(1).real", "x := 1", "1j", "1 2", "7.2.2", "(" * 90 + "1" + ")" * 90],
)  # fmt: skip
def test_what_is_no_arithmetic_is_refused_in_one_sentence(line):
    with pytest.raises(Impossible, match="accepted is a number, or a calculation") as refused:
        worked_out(line)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize("line", ["1/0", "asin(2)", "sqrt(-1)", "9^9^9^9", "1e308*1e308 - 1/0"])
def test_what_has_no_result_says_so(line):
    with pytest.raises(Impossible, match=r"has no result|divides by zero"):
        worked_out(line)


@given(st.text(alphabet="0123456789.,+-*/^()πpi sqrtanco°e_[]'\"", max_size=30))
def test_whatever_is_typed_is_a_number_or_one_sentence(line):
    try:
        assert isinstance(worked_out(line), float)
    except Impossible as refused:
        assert "\n" not in str(refused)


@given(st.floats(0.01, 1e6), st.floats(0.01, 1e6), st.sampled_from("+-*/"))
def test_two_numbers_come_to_what_python_says(one, other, sign):
    expected = {"+": one + other, "-": one - other, "*": one * other, "/": one / other}[sign]
    assert worked_out(f"{one!r} {sign} {other!r}") == pytest.approx(expected, rel=1e-12, abs=1e-9)
