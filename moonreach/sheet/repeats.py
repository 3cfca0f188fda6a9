"""Blocks of rows that stand in a table twice: a form sent again must not make a result surer."""

from moonreach.sheet.reading import Reading

_LEAST_KINDS = 3  # different quantities in a block: readings of one or two may well come out alike


def without_repeats(readings: list[Reading]) -> tuple[list[Reading], list[tuple[Reading, str]]]:
    """Return readings without the blocks of rows that repeat a group's earlier ones exactly.

    Parameters: readings in the order of their rows. Returns those that count, and for each block
    left out its first row and a sentence.
    """
    kept, remarks = [], []
    groups = {}
    for reading in readings:
        groups.setdefault(reading.group.casefold(), []).append(reading)
    for rows in groups.values():
        left_out = set()
        for start, end, earlier in _blocks(rows):
            left_out.update(range(start, end))
            remarks.append((rows[start], _sentence(rows, start, end, earlier)))
        kept += [id(row) for place, row in enumerate(rows) if place not in left_out]
    counted = set(kept)
    return [reading for reading in readings if id(reading) in counted], remarks


def _blocks(rows):
    """Yield the ends of each block that repeats an earlier one, and where that begins."""
    if len({row.quantity for row in rows}) < _LEAST_KINDS:
        return
    seen, place = {}, 0
    contents = [(r.quantity, str(r.value), str(r.uncertainty), r.note) for r in rows]
    while place < len(rows):
        length, earlier = max(
            ((_alike(contents, first, place), first) for first in seen.get(contents[place], ())),
            default=(0, 0),
        )
        kinds = {rows[place + step].quantity for step in range(length)}
        whole = len(kinds) >= _LEAST_KINDS
        if whole:
            yield place, place + length, earlier
        for step in range(length if whole else 1):
            seen.setdefault(contents[place + step], []).append(place + step)
        place += length if whole else 1


def _alike(contents, first, second):
    """Return how many rows from the first place on are repeated from the second place on."""
    length, most = 0, min(second - first, len(contents) - second)
    while length < most and contents[first + length] == contents[second + length]:
        length += 1
    return length


def _sentence(rows, start, end, earlier):
    ends = [(rows[begin].row, rows[begin + end - start - 1].row) for begin in (start, earlier)]
    again, first = (f"{a} to {b}" if a != b else f"{a}" for a, b in ends)
    words = ("rows", "repeat", "they were") if " " in again else ("row", "repeats", "it was")
    where = "" if rows[earlier].file == rows[start].file else f" of {rows[earlier].file}"
    return (
        f"{words[0]} {again} {words[1]} {words[0]} {first}{where} exactly (group "
        f"{rows[start].group}); {words[2]} counted once"
    )
