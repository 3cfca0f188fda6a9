"""One class in tables as different as teachers make them; the class and all it read is invented.

.ods is written here by OpenDocument 1.2 (OASIS), .xls by Microsoft's [MS-CFB] and [MS-XLS] in its
older record format, from memory; .xlsx by openpyxl. None of them shares code with what reads them.
"""

import csv
import datetime
import io
import struct
import zipfile
from decimal import Decimal
from xml.sax.saxutils import escape, quoteattr

import openpyxl

# By group: quantity, unit, readings, uncertainty. Each quantity has a last digit that is not 0.
CLASS = {
    "Heron": [
        ("north_south_distance", "km", ["808"], "8"),
        ("north_gnomon_height", "cm", ["95.9"], ""),
        ("north_shadow_length", "cm", ["135.3", "135.1", "136.0"], ""),
        ("south_gnomon_height", "cm", ["96.0"], ""),
        ("south_shadow_length", "cm", ["104.3", "103.9", "104.2"], ""),
        ("eclipse_date", "", ["2029-12-20"], ""),
        ("umbral_contact_1", "", ["20:46:45"], "35"),
        ("umbral_contact_2", "", ["21:49:05"], "35"),
        ("umbral_contact_3", "", ["23:32:49"], "35"),
        ("umbral_contact_4", "", ["00:34:16"], "35"),
        ("disc_diameter", "mm", ["15.05"], "0.05"),
        ("hole_diameter", "mm", ["1.40"], "0.05"),
        ("vanish_distance", "cm", ["140.5", "143.8", "145.7"], ""),
        ("rim_distance", "cm", ["177.7", "180.0", "173.7"], ""),
        ("moon_altitude", "deg", ["36"], "2"),
    ],
    "Night Otters": [
        ("north_south_distance", "km", ["808"], "8"),
        ("north_gnomon_height", "cm", ["106.4"], ""),
        ("north_shadow_length", "cm", ["149.5", "148.2", "150.2"], ""),
        ("south_gnomon_height", "cm", ["100.2"], ""),
        ("south_shadow_length", "cm", ["108.7", "108.1", "109.0"], ""),
        ("eclipse_date", "", ["2029-12-20"], ""),
        ("umbral_contact_1", "", ["20:47:39"], "35"),
        ("umbral_contact_2", "", ["21:48:40"], "35"),
        ("umbral_contact_3", "", ["23:33:32"], "35"),
        ("umbral_contact_4", "", ["00:35:34"], "35"),
        ("disc_diameter", "mm", ["15.14"], "0.05"),
        ("hole_diameter", "mm", ["1.41"], "0.05"),
        ("vanish_distance", "cm", ["148.6", "148.1", "152.0"], ""),
        ("rim_distance", "cm", ["181.0", "190.1", "184.0"], ""),
        ("moon_altitude", "deg", ["32"], "2"),
        ("shadow_edge", "", ["middle"], ""),
    ],
}
HEADER = ["group", "quantity", "value", "unit", "uncertainty", "note"]
SHORT = {
    "north_south_distance": "distance north-south", "north_gnomon_height": "gnomon north",
    "north_shadow_length": "shadow north", "south_gnomon_height": "Gnomon, southern",
    "south_shadow_length": "Length of the southern shadow", "eclipse_date": "date",
    "umbral_contact_1": "U1", "umbral_contact_2": "U2", "umbral_contact_3": "U3",
    "umbral_contact_4": "U4", "disc_diameter": "Disc Diameter", "hole_diameter": "hole",
    "vanish_distance": "vanish", "rim_distance": "rim", "moon_altitude": "altitude",
    "shadow_edge": "edge",
}  # fmt: skip
_MANIFEST = "urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"
IN_WORDS = {"km": "Kilometres", "cm": "Centimeters", "mm": "MM", "deg": "degrees"}


def long_rows():
    """Return the class as rows of a class sheet."""
    return [
        [group, quantity, value, unit, spread, ""]
        for group, read in CLASS.items()
        for quantity, unit, values, spread in read
        for value in values
    ]


def csv_text(rows, separator=","):
    """Return rows as the text of a table."""
    text = io.StringIO()
    csv.writer(text, delimiter=separator, lineterminator="\n").writerows(rows)
    return text.getvalue()


def shifted(value, digits):
    """Return a number with its decimal sign moved, every digit kept."""
    return str(Decimal(value).scaleb(digits)) if value else ""


def in_other_units(value, unit):
    """Return a reading, with its unit, in another unit of its kind."""
    other = {"cm": ("m", -2), "mm": ("cm", -1), "km": ("m", 3)}.get(unit)
    if other is None or other[1] > 0:  # 808 km are not 808000 m: that would be six digits
        return f"{value} {IN_WORDS.get(unit, '')}".strip()
    return f"{shifted(value, other[1])} {other[0]}"


def columns():
    """Return the class's quantities, each as often as it was read."""
    read = CLASS["Night Otters"]
    return [(quantity, number) for quantity, _, values, _ in read for number in range(len(values))]


def wide_rows(cell):
    """Return one row for each group, each cell as a function of (quantity, value, unit, ±)."""
    rows = []
    for group, read in CLASS.items():
        known = {quantity: rest for quantity, *rest in read}
        row = [group]
        for quantity, number in columns():
            unit, values, spread = known.get(quantity, ("", [], ""))
            row.append(cell(quantity, values[number], unit, spread) if values else "")
        rows.append(row)
    return rows


def as_spreadsheets_hold(quantity, value, unit, spread):
    """Return a reading as a spreadsheet holds it: a number, a time or a date."""
    if quantity == "eclipse_date":
        return datetime.date.fromisoformat(value)
    if quantity.startswith("umbral"):
        return datetime.time.fromisoformat(value)
    return float(value) if unit else value


def xlsx(path, sheets):
    """Write sheets of rows as .xlsx."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append([None if cell == "" else cell for cell in row])
    book.save(path)


def ods(path, sheets):
    """Write sheets of rows as .ods."""
    names = ("office", "table", "text")
    spaces = " ".join(
        f'xmlns:{name}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"' for name in names
    )
    body = "".join(
        f"<table:table table:name={quoteattr(name)}>"
        + "".join(
            f"<table:table-row>{''.join(map(_ods_cell, row))}</table:table-row>" for row in rows
        )
        + "</table:table>"
        for name, rows in sheets.items()
    )
    content = (
        f'<?xml version="1.0" encoding="UTF-8"?><office:document-content {spaces} '
        f'office:version="1.2"><office:body><office:spreadsheet>{body}</office:spreadsheet>'
        "</office:body></office:document-content>"
    )
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as file:
        file.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        file.writestr("content.xml", content)
        file.writestr("META-INF/manifest.xml", f'<m:manifest xmlns:m="{_MANIFEST}"/>')


def _ods_cell(cell):
    if isinstance(cell, float):
        kind = f'office:value-type="float" office:value="{cell!r}"'
    elif isinstance(cell, datetime.date):
        kind = f'office:value-type="date" office:date-value="{cell.isoformat()}"'
    elif isinstance(cell, datetime.time):
        kind = f'office:value-type="time" office:time-value="{cell:PT%HH%MM%SS}"'
    else:
        kind = 'office:value-type="string"' if cell else ""
    return f"<table:table-cell {kind}><text:p>{escape(str(cell))}</text:p></table:table-cell>"


def xls(path, sheets):
    """Write sheets of texts and numbers as .xls: records in one stream of a compound file."""

    def record(kind, *data):
        body = b"".join(data)
        return struct.pack("<HH", kind, len(body)) + body

    def begin(kind):
        return record(0x0809, struct.pack("<HHHH", 0x0500, kind, 0, 0))

    bodies = []
    for rows in sheets.values():
        body = begin(0x0010)
        for y, row in enumerate(rows):
            for x, cell in enumerate(row):
                place = struct.pack("<HHH", y, x, 0)
                if isinstance(cell, float):
                    body += record(0x0203, place, struct.pack("<d", cell))
                elif cell:
                    text = str(cell).encode("cp1252")
                    body += record(0x0204, place, struct.pack("<H", len(text)), text)
        bodies.append(body + record(0x000A))
    titles = [name.encode("cp1252") for name in sheets]
    start = len(begin(5)) + sum(4 + 7 + len(title) for title in titles) + 4
    stream = begin(5)
    for title, body in zip(titles, bodies, strict=True):
        stream += record(0x0085, struct.pack("<IHB", start, 0, len(title)), title)
        start += len(body)
    path.write_bytes(_compound(stream + record(0x000A) + b"".join(bodies)))


def _compound(stream):
    """Return a compound file with one stream called Book; at least 4096 bytes, so no short ones."""
    stream = stream.ljust(max(4096, -(-len(stream) // 512) * 512), b"\0")
    count, end, free = len(stream) // 512, 0xFFFFFFFE, 0xFFFFFFFF
    table = [*range(1, count), end, end, 0xFFFFFFFD]  # the stream, the directory, this table
    table += [free] * (128 - len(table))
    head = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(16)
    head += struct.pack(
        "<HHHHH6xIIIIIIIII", 0x3E, 3, 0xFFFE, 9, 6, 0, 1, count, 0, 4096, end, 0, end, 0
    )
    head += struct.pack("<109I", count + 1, *[free] * 108)

    def entry(name, kind, child, start, size):
        text = (name + "\0").encode("utf-16-le") if name else b""
        links = struct.pack("<III", free, free, child)
        return (
            text.ljust(64, b"\0") + struct.pack("<HBB", len(text), kind, 1) + links + bytes(36)
            + struct.pack("<IQ", start, size)
        )  # fmt: skip

    directory = entry("Root Entry", 5, 1, end, 0) + entry("Book", 2, free, 0, len(stream))
    directory += entry("", 0, free, 0, 0) * 2
    return head + stream + directory + struct.pack("<128I", *table)
