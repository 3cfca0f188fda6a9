"""What a public function says of itself: sections, every parameter with its kind, and hints.

The sections are those of the numpydoc standard (numpydoc documentation, "Docstring Standard").
"""

import ast
import inspect
import re
from importlib import import_module
from pathlib import Path

import numpy as np
import pytest
from astropy import constants
from astropy import units as u
from astropy.uncertainty import Distribution

import moonreach
from moonreach import lessons
from moonreach.lessons import refuse, today

HOME = Path(moonreach.__file__).parent
KIND = r"scalar, array or Distribution, (length|angle|time|angle per time|no unit)"


def functions_of(*rooms):
    """Return every public function that the rooms define, for pytest to go through."""
    found = []
    for room in rooms:
        for path in sorted((HOME / room).glob("*.py")):
            name = f"moonreach.{room}.{path.stem}".removesuffix(".__init__")
            module = import_module(name)
            for key, value in vars(module).items():
                if inspect.isfunction(value) and value.__module__ == name and key[0] != "_":
                    found.append(pytest.param(value, id=f"{room}.{path.stem}.{key}"))
    return found


def sections_of(function):
    """Return the text of each numpydoc section by its heading; "" has what stands before them."""
    parts = re.split(r"^([A-Z]\w+)\n-+$", inspect.getdoc(function), flags=re.MULTILINE)
    return {"": parts[0], **dict(zip(parts[1::2], parts[2::2], strict=True))}


def parameters_described(function):
    """Return the type of each parameter that the section describes, by its name."""
    described = {}
    for line in sections_of(function)["Parameters"].splitlines():
        if line and not line.startswith(" "):
            names, _, kind = line.partition(" : ")
            described |= dict.fromkeys(names.split(", "), kind)
    return described


def may_refuse(function):
    """Return whether a function, or one that it calls, may raise `Impossible`."""
    if function.__module__ == refuse.__name__ and function.__name__.startswith("require"):
        return True
    called = {
        node.func.id
        for node in ast.walk(ast.parse(inspect.getsource(function)))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    } - {function.__name__}
    there = [function.__globals__.get(name) for name in called]
    return any(inspect.isfunction(one) and may_refuse(one) for one in there)


LESSONS = functions_of("lessons")


def test_every_lesson_is_looked_at():
    assert len(LESSONS) >= 46


@pytest.mark.parametrize("function", LESSONS)
def test_sections(function):
    sections = sections_of(function)
    summary = sections[""].strip()
    assert summary.endswith(".") and "\n" not in summary and len(summary) > 20
    wanted = ["", "Parameters"]
    wanted += ["Returns"] * (inspect.signature(function).return_annotation is not None)
    wanted += ["Raises"] * may_refuse(function)
    wanted += ["References"] * (function.__module__ != refuse.__name__) + ["Examples"]
    assert list(sections) == wanted
    assert all(text.strip() for text in sections.values())
    assert ">>> " in sections["Examples"]
    if "Raises" in wanted:
        assert re.match(r"\s*Impossible\n    \w", sections["Raises"])


@pytest.mark.parametrize("function", LESSONS)
def test_every_parameter_is_described_with_its_kind(function):
    described = parameters_described(function)
    parameters = inspect.signature(function).parameters
    assert sorted(described) == sorted(parameters)
    if function.__module__ == refuse.__name__:
        return  # whatever is refused, it may be anything
    for name, parameter in parameters.items():
        if parameter.annotation is str:
            assert re.fullmatch(r'\{"\w+"(, "\w+")+\}', described[name])
        else:
            assert re.match(f"(two of )?{KIND}", described[name]), name
    assert re.match(rf"\s*(two of )?{KIND}", sections_of(function)["Returns"])


@pytest.mark.parametrize("function", LESSONS)
def test_an_accepted_word_is_an_accepted_word(function):
    # The words that a docstring offers are those that the code takes: another one is refused.
    for name, kind in parameters_described(function).items():
        if kind.startswith("{"):
            words = re.findall(r'"(\w+)"', kind)
            source = inspect.getsource(function)
            table = re.search(rf"require_one_of\((\w+), {name}={name}\)", source)[1]
            assert list(function.__globals__[table]) == words


@pytest.mark.parametrize("function", functions_of("lessons", "sheet", "reduction"))
def test_public_functions_have_hints(function):
    signature = inspect.signature(function)
    bare = [name for name, one in signature.parameters.items() if one.annotation is one.empty]
    assert bare == [] and signature.return_annotation is not signature.empty


def test_a_cloud_is_what_the_hints_say():
    for value in (1 * u.m, [1, 2] * u.m, Distribution([1.0, 2.0] * u.m)):
        assert isinstance(value, lessons.Length)
    assert isinstance(2.5, lessons.Number) and isinstance(2.5 * u.one, lessons.Number)


def test_every_value_of_today_has_its_source():
    lines = Path(today.__file__).read_text(encoding="utf-8").splitlines()
    names = [name for name in vars(today) if name.isupper()]
    assert len(names) >= 14
    for name in names:
        at = next(k for k, line in enumerate(lines) if line.startswith(f"{name} = "))
        while lines[at - 1].isupper() or (" = " in lines[at - 1] and lines[at - 1][0] != "#"):
            at -= 1  # one remark may serve several values
        remark = ""
        while lines[at - 1].startswith("#"):
            at -= 1
            remark = f"{lines[at]} {remark}"
        assert re.search(r"IAU|WGS|Meeus|NASA|ncyclop|above", remark), name


def test_todays_values_against_astropys_constants():
    # astropy.constants: IAU 2015 Resolution B3 and IAU 2012 Resolution B2.
    assert constants.R_sun == today.SUN_RADIUS
    assert constants.R_earth == today.EARTH_EQUATORIAL_RADIUS
    assert today.SUN_DISTANCE.to_value(u.m) == pytest.approx(constants.au.value, rel=1e-12)
    # What is said to follow from other values does.
    moon = np.arcsin(today.MOON_RADIUS / today.MOON_DISTANCE).to_value(u.arcmin)
    sun = np.arcsin(today.SUN_RADIUS / today.SUN_DISTANCE).to_value(u.arcmin)
    assert (moon, sun) == pytest.approx(
        (today.MOON_SEMIDIAMETER.value, today.SUN_SEMIDIAMETER.value), abs=0.006
    )
    ratio = today.SUN_DISTANCE / today.MOON_DISTANCE
    assert float(ratio) == pytest.approx(today.SUN_MOON_DISTANCE_RATIO, abs=0.05)
    for far, wide in (
        (406_700, today.MOON_LEAST_DIAMETER),
        (356_400, today.MOON_GREATEST_DIAMETER),
    ):
        angle = 2 * np.arcsin(today.MOON_RADIUS / (far * u.km)).to(u.arcmin)
        assert angle.value == pytest.approx(wide.value, abs=0.05)
