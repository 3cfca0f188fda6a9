"""Blocks of rows that stand in a table twice: a form sent again must not make a result surer."""

from moonreach.sheet.reading import Reading

_LEAST_KINDS = 3  # different quantities in a block: readings of one or two may well come out alike


def without_repeats(readings: list[Reading]) -> tuple[list[Reading], list[tuple[Reading, str]]]:
    """Return readings without the blocks of rows that repeat a group's earlier ones exactly.

    Parameters: readings in the order of their rows. Returns those that count, and for each block
    left out its first row and a sentence.
    """
    remarks, groups, left_out = [], {}, set()
    for reading in readings:
        rows = groups.setdefault(reading.group.casefold(), {})
        rows.setdefault((reading.file, reading.row), []).append(reading)
    for rows in (list(of_group.values()) for of_group in groups.values()):
        for start, end, earlier in _blocks(rows):
            again, first = rows[start:end], rows[earlier : earlier + end - start]
            left_out.update(id(reading) for row in again for reading in row)
            remarks.append((again[0][0], _sentence(again, first)))
    return [reading for reading in readings if id(reading) not in left_out], remarks


def _blocks(rows):
    """Yield the ends of each block that repeats an earlier one, and where that begins.

    Parameters: a group's rows, each with its readings.
    """
    if len({reading.quantity for row in rows for reading in row}) < _LEAST_KINDS:
        return
    seen, place = {}, 0
    contents = [
        tuple((one.quantity, str(one.value), str(one.uncertainty), one.note) for one in row)
        for row in rows
    ]
    while place < len(rows):
        length, earlier = max(
            ((_alike(contents, first, place), first) for first in seen.get(contents[place], ())),
            default=(0, 0),
        )
        kinds = {reading.quantity for row in rows[place : place + length] for reading in row}
        if whole := len(kinds) >= _LEAST_KINDS:
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


def _sentence(again, first):
    ends = [(block[0][0].row, block[-1][0].row) for block in (again, first)]
    later, earlier = (f"{a} to {b}" if a != b else f"{a}" for a, b in ends)
    words = ("rows", "repeat", "they were") if " " in later else ("row", "repeats", "it was")
    where = "" if first[0][0].file == again[0][0].file else f" of {first[0][0].file}"
    return (
        f"{words[0]} {later} {words[1]} {words[0]} {earlier}{where} exactly (group "
        f"{again[0][0].group}); {words[2]} counted once"
    )
