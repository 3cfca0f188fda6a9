"""500 damaged sheets: no traceback, no number changed in silence, no untouched row lost."""

import random
import re
from functools import cache

import numpy as np
import pytest
from astropy import units as u
from hypothesis import given, settings
from hypothesis import strategies as st

from moonreach.practice import invented
from moonreach.practice.further import further_rows
from moonreach.reduction import printed, summary
from moonreach.sheet import tables
from moonreach.sheet.reading import row_of

JUNK = ["\x00", "\x07", "\x0b", "\u2028", "�", '"', '""', "'", ";", ",", "\t", "€", "🌒", "°"]
NUMBERS = [
    "nan", "inf", "-inf", "1e999", "1e300", "-5", "1_000", "0x1A", "१२", "--4", "1,2,3", "1.2.3",
    "12,5", "1,234", "1.234,5", "0", "", " ", "9" * 400, "1e-320", "twelve", "=A1+2", "#REF!",
    "0e400", "1e-400", "1 ft 0e400 in", "9" * 400 + " ft 3 in",
]  # fmt: skip
WIDE = "group,shadow north (cm),shadow north (cm),U1,disc (mm),altitude (°)"
UNITS = ["cm", "mm", "km", "deg", "s", "Mm", "MM", "m2", "1e3 m", "", "px", "parsec", "°", "5"]


@cache
def base_lines():
    """Return the rows of two groups as lines, before any accident."""
    rows = invented.practice_class([invented.Truth()] * 2, seed=3)
    rows += further_rows("Heron", np.random.default_rng(3))
    rows = [row_of(reading) for reading in rows]
    rows.append(["Heron", "pair_moment", "2029-03-25T20:00Z", "", "", ""])
    return [",".join(row) for row in rows]


def damage(line, random_):
    """Return one line after one accident."""
    cells = line.split(",")
    at = random_.randrange(len(cells))
    kind = random_.randrange(9)
    if kind == 0:
        other = random_.randrange(len(cells))
        cells[at], cells[other] = cells[other], cells[at]
    elif kind == 1:
        del cells[at]
    elif kind == 2:
        return line[: random_.randrange(len(line))]
    elif kind == 3:
        place = random_.randrange(len(line) + 1)
        return line[:place] + random_.choice(JUNK) + line[place:]
    elif kind == 4:
        cells[2] = random_.choice(NUMBERS)
    elif kind == 5:
        cells[3] = random_.choice(UNITS)
    elif kind == 6:
        cells[4] = random_.choice(NUMBERS)
    elif kind == 7:
        cells[1] = cells[1][::-1]
    else:
        cells.insert(at, random_.choice(NUMBERS))
    return ",".join(cells)


def as_written(line, reading):
    """Return whether a reading's number and unit stand so, side by side, in its line."""
    if not isinstance(reading.value, u.Quantity):
        return True
    for cell in re.split(r'[,"]+', line):
        try:
            sign = "°" if reading.value.unit == u.deg else ""  # which says the unit once more
            if float(cell.replace("−", "-").removesuffix(sign)) == reading.value.value:
                return True
        except ValueError:
            continue
    decimal_comma = str(reading.value.value).replace(".", ",")
    return f'"{decimal_comma}"' in line


@pytest.mark.parametrize("seed", range(500))
def test_damaged_sheet(tmp_path, seed):
    random_ = random.Random(seed)
    lines = base_lines()
    touched = {random_.randrange(len(lines)): None for _ in range(random_.choice((1, 1, 2, 5, 15)))}
    damaged = [damage(line, random_) if at in touched else line for at, line in enumerate(lines)]
    path = tmp_path / "sheet.csv"
    text = "\n".join([",".join(tables.COLUMNS), *damaged])
    path.write_bytes(text.encode(random_.choice(("utf-8", "utf-8-sig"))))
    sheet = tables.read(path)
    found = {reading.row: reading for reading in sheet.readings}
    for at, line in enumerate(lines):
        reading = found.get(at + 2)
        if at not in touched:
            group, quantity, value = line.split(",")[:3]
            assert (reading.group, reading.quantity) == (group, quantity)
            if isinstance(reading.value, u.Quantity):
                assert reading.value.value == float(value)
        elif reading:
            assert as_written(damaged[at], reading), damaged[at]
        else:
            said = [problem for problem in sheet.problems if problem.row == at + 2]
            assert said or not damaged[at].strip(", ") or damaged[at].lstrip().startswith("#")
    if seed % 10 == 0:
        reduced = summary.ClassSummary(sheet)
        assert printed.as_text(reduced)
        assert {group.group for group in reduced.groups} >= {"Heron", "Otter"}


@pytest.mark.parametrize("seed", range(300))
def test_damaged_rows_of_groups(tmp_path, seed):
    random_ = random.Random(seed)
    lines = [f"G{n},13{n}.4,135.{n},20:45:1{n},14.7{n},3{n}" for n in range(6)]
    touched = {random_.randrange(6) for _ in range(random_.choice((1, 1, 2, 5)))}
    damaged = [damage(line, random_) if n in touched else line for n, line in enumerate(lines)]
    path = tmp_path / "wide.csv"
    path.write_text("\n".join([WIDE, *damaged]), encoding="utf-8")
    sheet = tables.read(path)
    for n, line in enumerate(damaged):
        found = [reading for reading in sheet.readings if reading.row == n + 2]
        if n not in touched:
            values = [r.value.value for r in found if isinstance(r.value, u.Quantity)]
            assert values == [float(cell) for cell in line.split(",")[1:] if ":" not in cell]
        for reading in found:
            noted = any(f" row {n + 2}: " in note for note in sheet.notes)
            assert as_written(line, reading) or noted, line
        said = any(problem.row == n + 2 for problem in sheet.problems)
        assert (
            said
            or len(found) >= sum(bool(cell.strip()) for cell in line.split(",")[1:])
            or line.startswith("#")
        )


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=400))
def test_any_bytes(tmp_path_factory, data):
    path = tmp_path_factory.getbasetemp() / "any.csv"
    path.write_bytes(data)
    try:
        tables.read(path)
    except tables.SheetError as error:
        assert str(path) in str(error)


@settings(max_examples=200, deadline=None)
@given(st.lists(st.lists(st.text(max_size=12), min_size=1, max_size=8), max_size=6))
def test_any_cells(tmp_path_factory, rows):
    path = tmp_path_factory.getbasetemp() / "cells.csv"
    text = "\n".join([",".join(tables.COLUMNS), *(",".join(row) for row in rows)])
    path.write_bytes(text.encode("utf-8", "surrogatepass"))
    tables.read(path)
