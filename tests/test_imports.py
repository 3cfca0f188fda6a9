"""Who may import whom, and how little `import moonreach` brings along."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import moonreach

HOME = Path(moonreach.__file__).parent
LESSONS = {
    "earth_size",
    "eclipse_timing",
    "shadow_cone",
    "sighting_angle",
    "moon_distance",
    "sun_distance",
    "other_ways",
}
LEAVES = {"modern", "possible"}
TEACHING = {"figures", "exercises", "report", "kit"}


def room(path):
    return path.relative_to(HOME).with_suffix("").parts[0]


def imported(path):
    """Return the rooms of moonreach, and the other packages, that a file imports."""
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
            elif rest or name:
                rooms.add((rest or [name])[0])
    return rooms, packages


FILES = sorted(HOME.rglob("*.py"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(HOME)))
def test_rooms_import_only_what_they_may(path):
    rooms, packages = imported(path)
    if room(path) in LESSONS:
        assert rooms <= LESSONS | LEAVES
        assert packages <= {"numpy", "astropy"}
    if room(path) in {"sky", "photograph"}:
        assert not rooms & LESSONS
    if room(path) not in {"__main__", "cli"}:  # the command line calls, and nobody calls it
        assert not rooms & {"cli", "commands"}


def test_every_lesson_file_was_seen():
    assert {room(path) for path in FILES} >= LEAVES | {"earth_size", "moon_distance"}


def test_import_is_light():
    code = (
        "import sys, moonreach, moonreach.cli;"
        "print([m for m in ('matplotlib', 'ipywidgets', 'scipy') if m in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def test_no_room_is_crowded():
    for path in FILES:
        assert len(path.read_text(encoding="utf-8").splitlines()) <= 300, path
