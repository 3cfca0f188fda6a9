"""The house: its rooms and floors, who may import whom, and how little an import brings along."""

import ast
import io
import subprocess
import sys
import tokenize
from pathlib import Path

import pytest

import moonreach

HOME = Path(moonreach.__file__).parent
FLOORS = {
    "lessons": 1,
    "sheet": 2,
    "sky": 2,
    "photo": 2,
    "reduction": 3,
    "practice": 3,
    "exercises": 4,
    "figures": 4,
    "notebook": 5,
    "report": 5,
    "kit": 5,
    "commands": 6,
}
# Code lines a room may have. They are for going down: one that must grow needs a reason.
BUDGETS = {
    "lessons": 450,
    "sheet": 1695,
    "sky": 850,
    "photo": 1260,
    "reduction": 1230,
    "practice": 440,
    "exercises": 910,
    "figures": 1850,
    "notebook": 2900,
    "report": 525,
    "kit": 450,
    "commands": 450,
}
NO_CODE = {tokenize.COMMENT, tokenize.NL, tokenize.NEWLINE, tokenize.INDENT, tokenize.DEDENT}
NO_CODE |= {tokenize.ENCODING, tokenize.ENDMARKER}
DOOR = {"__init__", "__main__"}  # the way in, which is no room
STEMS = {
    "earth_size",
    "eclipse_timing",
    "shadow_cone",
    "sighting_angle",
    "moon_distance",
    "sun_distance",
    "other_ways",
}
FILES = sorted(HOME.rglob("*.py"))


def name_of(path):
    return str(path.relative_to(HOME))


def imported(path):
    """Return the rooms of moonreach, and the other packages, that a file imports anywhere in it."""
    rooms, packages = set(), set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names = [(alias.name, None) for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            names = [(node.module, alias.name) for alias in node.names]
        else:
            continue
        for module, name in names:
            top, *rest = module.split(".")
            if top != "moonreach":
                packages.add(top)
            elif rest or name in FLOORS:
                rooms.add((rest or [name])[0])
    return rooms, packages


def test_the_rooms_are_those_of_the_plan():
    rooms = {path.parent.name for path in HOME.glob("*/*.py")}
    assert rooms == set(FLOORS)
    assert {path.stem for path in HOME.glob("*.py")} == DOOR


@pytest.mark.parametrize("path", FILES, ids=name_of)
def test_a_room_imports_only_from_floors_below(path):
    room = path.relative_to(HOME).with_suffix("").parts[0]
    rooms, packages = imported(path)
    floor = FLOORS.get(room, 7)
    for other in rooms - {room}:
        assert FLOORS[other] < floor, f"{name_of(path)} imports {other}"
    if room == "lessons":
        assert packages - sys.stdlib_module_names <= {"numpy", "astropy"}


@pytest.mark.parametrize("files", ["lessons/*.py", "exercises/*.toml"])
def test_each_lesson_has_its_file(files):
    assert {path.stem for path in HOME.glob(files)} >= STEMS


def test_nothing_calls_the_command_line():
    for path in FILES:
        assert path.name == "__main__.py" or "moonreach.__main__" not in path.read_text("utf-8")


def test_import_is_light():
    code = (
        "import sys, moonreach, moonreach.__main__;"
        "print([m for m in ('numpy', 'matplotlib', 'ipywidgets', 'scipy') if m in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def code_lines(path):
    """Return how many lines of a file are code: no blanks, comments or docstrings."""
    text = path.read_text(encoding="utf-8")
    skipped = set()
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef):
            first = node.body[0] if node.body and ast.get_docstring(node, clean=False) else None
            skipped |= {*range(first.lineno, first.end_lineno + 1)} if first else set()
    lines = set()
    for token in tokenize.generate_tokens(io.StringIO(text).readline):
        if token.type not in NO_CODE:
            lines |= {*range(token.start[0], token.end[0] + 1)}
    return len(lines - skipped)


@pytest.mark.parametrize("room", FLOORS)
def test_a_room_has_no_more_code_than_its_budget(room):
    found = sum(map(code_lines, (HOME / room).glob("*.py")))
    assert BUDGETS[room] - 50 <= found <= BUDGETS[room], "take the budget down with the room"


def test_no_file_is_crowded():
    for path in FILES:
        assert len(path.read_text(encoding="utf-8").splitlines()) <= 250, path


def long_functions():
    """Return the file and the name of each function of more than 50 lines, from its def on."""
    for path in FILES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            function = isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
            if function and node.end_lineno - node.lineno >= 50:
                yield name_of(path), node.name


def test_no_function_is_long():
    still = {
        ("lessons/earth_size.py", "arc"),
        ("lessons/sighting_angle.py", "effective_hole"),
        ("lessons/two_places.py", "sine_of_parallax_anywhere"),
    }
    assert set(long_functions()) == still
