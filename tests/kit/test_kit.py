"""The printed kit: true to scale on both papers, angles as plane trigonometry has them."""

import math

import numpy as np
import pypdfium2
import pytest
from astropy import units as u

from moonreach.__main__ import main
from moonreach.kit import Kit, cards, page, quadrant, rod, strips
from moonreach.lessons.refuse import Impossible
from moonreach.sheet.quantities import QUANTITIES, label_of, quantity_of

DPI = 254  # a pixel is 0.1 mm
MM = DPI / 25.4  # pixels


@pytest.fixture(scope="module", params=["a4", "letter"])
def printed(request, tmp_path_factory):
    """A kit of one paper, and its pages as an independent renderer draws them: true is ink."""
    path = tmp_path_factory.mktemp("kit") / "kit.pdf"
    count = len(Kit(request.param).save(path))
    with pypdfium2.PdfDocument(path) as pdf:
        assert len(pdf) == count
        sheets = []
        for one in pdf:
            picture = one.render(scale=DPI / 72, grayscale=True).to_numpy()
            ink = picture.reshape(picture.shape[:2]) < 128
            sheets.append((one.get_size(), one.get_textpage().get_text_bounded(), ink))
    return request.param, sheets


def longest_run(rows):
    """Return the longest run of ink in any row, in pixels."""
    best = 0
    for row in rows[rows.any(axis=1)]:
        edges = np.flatnonzero(np.diff(np.concatenate(([False], row, [False]))))
        best = max(best, (edges[1::2] - edges[::2]).max())
    return best


def thick(ink, mm=0.8):
    """Leave of the ink only what goes on downwards for so many millimetres: no letter, no line."""
    count = round(mm * MM)
    return np.logical_and.reduce([ink[k : len(ink) - count + k] for k in range(count)])


def test_check_bars_are_100_mm_on_every_page(printed):
    paper, sheets = printed
    assert len(sheets) >= 10
    for (width, height), _, ink in sheets:
        assert sorted((width / 72 * 25.4, height / 72 * 25.4)) == pytest.approx(
            page.PAPERS[paper], abs=0.1
        )
        below = thick(ink[-round(20 * MM) :])
        beside = thick(ink[:, : round(20 * MM)].T)
        assert longest_run(below) / MM == pytest.approx(100, abs=0.2)
        assert longest_run(beside) / MM == pytest.approx(100, abs=0.2)


def test_nothing_lies_where_a_printer_cannot_print(printed):
    edge = round(8 * MM)
    for *_, ink in printed[1]:
        inner = ink[edge:-edge, edge:-edge]
        assert inner.sum() == ink.sum()


def test_every_page_asks_to_be_measured_and_hazards_are_named(printed):
    texts = [text.replace("\r\n", " ").replace("\n", " ") for _, text, _ in printed[1]]
    for text in texts:
        assert text.count("print at 100 %, then measure this bar") == 2
    for words, cautions in (
        ("sighting rod", "Never look at or near the Sun"),
        ("Rod scale", "never walk with the rod raised"),
        ("Sight-hole card", "Craft knife and drill"),
        ("Discs and caps", "Craft knife and drill"),
        ("Gnomon base", "Never look at the Sun"),
        ("Shadow tape", "Never look at the Sun"),
        ("Quadrant", "Never point the straw at or near the Sun"),
        ("Eclipse timing card", "in pairs"),
        ("Observing log", "For the Moon at night only"),
        ("Noon-shadow log", "Never look at the Sun"),
        ("A lit target", "Craft knife and drill"),
    ):
        found = [text for text in texts if words in text]
        assert found and any(cautions in text for text in found), words


def test_forms_speak_in_printed_labels_that_a_sheet_understands(printed):
    texts = [text.replace("\r\n", "\n") for _, text, _ in printed[1]]
    assert not [
        word for text in texts for word in text.split() if word in QUANTITIES and "_" in word
    ]
    sheet = "\n".join(text for text in texts if "Class sheet" in text)
    for name in QUANTITIES:
        short = QUANTITIES[name].short
        assert short in sheet and quantity_of(short) == name
    (timing,) = (text for text in texts if "Eclipse timing card" in text)
    assert "uncertainty, ± s" in timing and "oubt" not in timing


def test_logs_have_a_place_for_every_reading_of_noon_and_target(printed):
    texts = [" ".join(text.split()) for _, text, _ in printed[1]]
    (noon,) = (text for text in texts if text.startswith("Noon-shadow log"))
    # One rule: every five minutes, thirty minutes each side.
    assert all(f"{sign}{minutes}" in noon for sign in "+-" for minutes in range(5, 31, 5))
    (log,) = (text for text in texts if text.startswith("Observing log"))
    for name in ("diameter", "distance", "vanish_distance", "rim_distance"):
        assert label_of(f"target_{name}") in log
    for number, text in enumerate(texts, start=1):
        assert f"page {number} of {len(texts)}" in text


def moons_of(latitude):
    """Return the x of the Moon less that of the shadow, at U1, U2, U3 and U4."""
    (card,) = cards.timing(Kit(latitude=latitude * u.deg))
    circles = [patch.center[0] for patch in card.axes.patches if hasattr(patch, "radius")]
    return np.diff(np.reshape(circles, (4, 2)), axis=1).ravel()


def test_the_eclipse_card_is_drawn_as_seen_from_there():
    # The Moon goes from west to east. Who looks south has east to the left.
    assert (np.diff(moons_of(52)) < 0).all() and (np.diff(moons_of(-34)) > 0).all()


def test_target_and_slider_are_as_large_as_they_say():
    (sheet,) = rod.target(Kit())
    assert [one.radius for one in sheet.axes.patches if getattr(one, "radius", 0) > 5] == [30]


def strokes_of(kit, rows, start=1600.0):
    """Return the strokes of one strip, as (x of the scale's start, array of strokes' ends)."""
    sheet = kit.page("strip", landscape=True)
    strips.strip(sheet, 50, start, start + strips.LENGTH, rows, "")
    lines = [line.get_xydata() for line in sheet.axes.lines if np.isnan(line.get_ydata()).any()]
    return sheet.left + 4, [points[~np.isnan(points[:, 0])].reshape(-1, 2, 2) for points in lines]


def test_angles_stand_where_plane_trigonometry_puts_them():
    kit = Kit(disc=16 * u.mm, hole=1 * u.mm)
    for seen, width in (("vanish", 15), ("rim", 17)):
        # 31' through the hole: similar triangles, written out; no function of the project.
        at = width / (2 * math.tan(math.radians(31 / 60) / 2))
        angles = np.array([31.0])
        rows = {seen: (angles, kit.reading(angles * u.arcmin, seen).to_value(u.mm))}
        start = math.floor(at / 200) * 200.0
        x, (scale, ticks) = strokes_of(kit, rows, start)
        assert ticks[0][0, 0] - x == pytest.approx(at - start, abs=0.01)
        assert len(scale) == 201 and np.ptp(scale[:, 0, 0]) == pytest.approx(200)


def test_a_ring_tells_its_zenith_distance():
    base = next(p for p in Kit().pages() if "Gnomon base" in p.axes.texts[0].get_text())
    radii = {patch.radius for patch in base.axes.patches if hasattr(patch, "radius")}
    assert {10, 50, 80} <= radii
    told = [text.get_text() for text in base.axes.texts]
    # tan 45 deg = 1 would need 100 mm; the ring of 50 mm: arctan 0.5 = 26.565 deg.
    assert told.count("26.6°") == 2


def test_the_thread_of_the_quadrant_hangs_at_the_altitude():
    (sheet,) = quadrant.page(Kit())
    rows = [line.get_xydata() for line in sheet.axes.lines]
    ends = max(rows, key=len)
    ticks = ends[~np.isnan(ends[:, 0])].reshape(-1, 2, 2)
    assert len(ticks) == 181
    # Plane trigonometry, written out: held level (0 deg) the thread hangs square to the straw,
    # raised by 30 deg it has swung 70 mm of 140 mm towards the eye.
    corner = ticks[0][0] + (0, 140)
    assert ticks[60][0] - corner == pytest.approx([-70, -140 * math.sqrt(3) / 2], abs=0.01)
    assert ticks[180][0] - corner == pytest.approx([-140, 0], abs=0.01)
    told = [text.get_text() for text in sheet.axes.texts]
    assert told.count("30°") == 2 and told.count("10°") == 2


def test_the_usual_disc_suits_every_moon_on_the_usual_rod():
    assert "every night" in Kit().reach()
    assert "smaller disc" in Kit(disc=18 * u.mm).reach()


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["--paper", "a5"], "accepted are a4 and letter"),
        (["--disc", "18"], "mm, cm"),
        (["--disc", "2mm"], "accepted is 5 to 40 mm"),
        (["--hole", "9mm"], "accepted is 0.3 to 5 mm"),
        (["--rod", "9m"], "accepted is 0.5 to 6 m"),
        (["--disc", "30mm"], "beyond the rod of 2 m"),
        (["--pages", "3-1"], "write numbers such as 1,9-11"),
        (["--pages", "1,99"], "the kit has pages 1 to 15, found 99"),
        (["--latitude", "95"], "latitude must lie between"),
    ],
)
def test_a_kit_that_cannot_be_is_one_sentence(capsys, tmp_path, arguments, says):
    path = tmp_path / "kit.pdf"
    path.write_bytes(b"mine")
    assert main(["kit", "--out", str(path), *arguments]) == 2
    said = capsys.readouterr().err
    assert says in said and said.count("\n") == 1
    assert path.read_bytes() == b"mine"


def test_a_kit_for_the_longest_rod_and_the_largest_disc_fits_its_pages(tmp_path):
    kit = Kit("letter", 40 * u.mm, 5 * u.mm, 6 * u.m)
    for sheet in kit.pages():
        for patch in sheet.axes.patches:
            box = patch.get_extents().transformed(sheet.axes.transData.inverted())
            assert box.x0 > 8 and box.y0 > 8, sheet.axes.texts[0].get_text()
            assert box.x1 < sheet.width - 8 and box.y1 < sheet.height - 8
    with pytest.raises(Impossible, match="beyond the rod"):
        Kit(disc=40 * u.mm)


def test_the_command_says_how_to_print(capsys, tmp_path):
    assert main(["kit", "--out", str(tmp_path / "kit.pdf")]) == 0
    said = capsys.readouterr().out
    assert "Print at 100 %" in said and "1.39 m" in said
    assert (tmp_path / "kit.pdf").read_bytes().startswith(b"%PDF")


def test_some_pages_and_a_printing_list(capsys, tmp_path):
    path = tmp_path / "kit.pdf"
    assert main(["kit", "--out", str(path), "--pages", "9,11-12", "--groups", "8"]) == 0
    said = capsys.readouterr().out
    assert "3 pages." in said and "8 x page  9  Noon-shadow log" in said
    sheets = sum(int(line.split()[0]) for line in said.splitlines() if " x page " in line)
    assert f"for 8 groups ({sheets} sheets)" in said and said.count(" x page ") == 3
    with pypdfium2.PdfDocument(path) as pdf:
        told = [one.get_textpage().get_text_bounded() for one in pdf]
    assert [text.split("page ")[1].split()[0] for text in told] == ["9", "11", "12"]
