"""The class report: what it says, its page, its paper, and its command."""

import itertools
import re
from dataclasses import replace
from pathlib import Path

import html5lib
import numpy as np
import pytest
from astropy import units as u

from moonreach import __main__ as cli
from moonreach import report
from moonreach.exercises import Verdict
from moonreach.exercises.attempts import Answers
from moonreach.figures import class_result
from moonreach.practice import invented
from moonreach.practice.further import further_rows
from moonreach.reduction.words import rounded
from moonreach.report import page, paper, parts
from moonreach.report.content import class_variances, report_of
from moonreach.sheet import tables
from moonreach.sheet.origin import Origin
from moonreach.sheet.quantities import QUANTITIES

DATA = Path(__file__).parents[2] / "data"
TRUTH = invented.Truth(offset=0.35, south_zenith_distance=31.4 * u.deg)
EVIL = "<script>alert(1)</script> $x^2$ & \u6708"


def group(name, seed=3):
    return invented.group_rows(name, TRUTH, invented.Hands(), np.random.default_rng(seed))


@pytest.fixture(scope="module")
def practice_report():
    return report_of(tables.read(DATA / "practice_class.csv"), ["practice_class.csv"])


def parsed(text):
    """Return the page, parsed by an independent parser that refuses what is no HTML (html5lib)."""
    return html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(text)


def texts(tree):
    return " ".join(" ".join(tree.itertext()).split())


def below(section, heading):
    """Return the texts that stand below a heading of a report's section."""
    kinds = [(part.kind, part.text) for side in (section.left, section.right) for part in side]
    after = kinds[kinds.index(("heading", heading)) + 1 :]
    return [text for _, text in itertools.takewhile(lambda part: part[0] != "heading", after)]


def rows_below(section, caption):
    """Return the rows of the table with a caption that begins so."""
    for part in (*section.top, *section.left, *section.right):
        if part.kind == "table" and part.text.startswith(caption):
            return part.rows
    raise AssertionError(caption)


class TestContent:
    """What is said, and that it is what the reduction found."""

    def test_numbers_are_those_of_the_reduction(self, practice_report):
        whole = texts(parsed(page.html(practice_report))).replace("\u00a0", " ")
        for found in practice_report.summary.groups:
            value, low, high = rounded(
                found.outcome("distance_km").value,
                found.outcome("distance_km").low,
                found.outcome("distance_km").high,
            )
            assert f"{value} km {low} to {high}" in whole
        whole_class = practice_report.summary.diameters
        value, low, high = rounded(whole_class.value, whole_class.low, whole_class.high)
        assert f"distance in Earth diameters (practice) {value} {low} to {high} 30.17" in whole
        assert whole.count("Your readings (practice)") == 8

    def test_a_flagged_group_is_talked_to(self, practice_report):
        (beaver,) = [group for group in practice_report.groups if group.title == "Beaver"]
        assert any("look for a mistake together" in part.text for part in beaver.right)
        likely, undone = below(beaver, "Check this together")
        assert "radius stands in place of its diameter" in likely
        assert "Nothing was changed" in undone
        question, *lines = below(beaver, "A question to think about")
        assert question == "Did you measure right across it?" and lines == ["", "", ""]
        others = [group for group in practice_report.groups if group is not beaver]
        assert not any("It looks as if" in part.text for group in others for part in group.right)

    def test_class_budget(self, practice_report):
        rows = rows_below(practice_report.front, "Shares of the variance")
        shares = [float(share.removesuffix("\u00a0%")) for _, share in rows]
        assert 95 <= sum(shares) <= 100 + len(shares) / 2  # rounded to whole per cents
        assert shares == sorted(shares, reverse=True)
        assert rows[0][0] == "when you call the Moon's light gone"
        # Half the uncertainty of a quarter of the variance makes the whole smaller by less than
        # a tenth: that is not worth telling.
        assert not any(part.kind == "advice" for part in practice_report.front.left)

    def test_the_class_without_a_group_that_has_a_mistake(self, practice_report):
        rows = {row[0]: row for row in rows_below(practice_report.front, "Each group, and the")}
        assert len(rows) == 8 + 3
        rest = practice_report.summary.without(["Beaver"])["distance_km"]
        value, low, high = rounded(rest.value, rest.low, rest.high)
        assert rows["without Beaver"][4:6] == (value, f"{low} to {high}")
        assert rows["today, mean"][4] == "384 399"

    def test_what_to_check_and_what_was_not_used_stand_on_the_first_page(self, practice_report):
        checks = below(practice_report.front, "Check this together")
        assert [text.partition(":")[0] for text in checks] == ["Beaver", "Heron"]
        (problem,) = below(practice_report.front, "Not used from the sheet")
        assert problem.startswith("practice_class.csv: group Beaver")

    def test_files_are_named_without_their_folders(self):
        made = report_of(tables.read(DATA / "practice_class.csv"), [DATA / "practice_class.csv"])
        for text in page.html(made), *made.problems:
            assert "practice_class.csv" in text and "/practice_class" not in text

    def test_many_problems_are_counted(self):
        rows = [["A", "disc_diameter", f"x{n}", "mm", "", ""] for n in range(9)]
        made = report_of(tables.of_rows(group("Heron") + rows))
        *_, last = below(made.front, "Not used from the sheet")
        assert last == "And 3 more: moonreach reduce lists them all."

    def test_a_half_page_has_the_night_a_chart_and_room_for_an_answer(self, practice_report):
        from moonreach.practice.real_night import sky_truth

        made = report_of(tables.of_rows(invented.practice_class([sky_truth("2029-06-26")], 5)))
        (one,) = made.groups
        assert [part.text for part in one.top] == ["Night of 2029-06-26"]
        kinds = [part.kind for part in one.right]
        assert kinds[0] == "figure" and kinds[-4:] == ["question", "line", "line", "line"]
        assert one.right[0].only is made.summary.groups[0]
        assert practice_report.groups[0].top[0].text.startswith("Date: ___")

    def test_the_further_lessons_stand_with_their_group(self):
        rows = group("Heron") + further_rows("Heron", np.random.default_rng(4))
        (made,) = report_of(tables.of_rows(rows)).groups
        names = [row[0] for row in rows_below(made, "The further lessons")]
        assert "The half Moon:" in names and "elongation (practice)" in names

    def test_class_variances_make_up_the_whole(self, practice_report):
        km = practice_report.summary.kilometres
        whole = sum(class_variances(practice_report.summary).values())
        assert whole == pytest.approx(km.standard**2 + km.shared**2)

    def test_class_budget_with_one_part_that_rules_all(self):
        # Independent: with shadows all but useless, theirs is the class's uncertainty.
        hands = invented.Hands(shadow=2.5 * u.deg)
        made = report_of(tables.of_rows(invented.practice_class([TRUTH] * 4, 3, hands)))
        assert rows_below(made.front, "Shares of the variance")[0][0] == "noon shadows"
        (improve,) = below(made.front, "What would improve it most")
        assert "ten marks a place" in improve
        # Then half the uncertainty there is not much more than half of the whole.
        then, now = map(float, re.findall(r"±([0-9.]+) %", improve))
        assert 0.5 <= then / now < 0.65

    def test_every_input_has_words(self):
        from moonreach.reduction.inputs import ASSUMED
        from moonreach.reduction.results import FURTHER_QUANTITIES

        names = {name for name, term in QUANTITIES.items() if term.measured}
        names |= {name for name, row in ASSUMED.items() if row.get("label")}
        # The further lessons' are no part of the distance that a report shares out.
        further = {n for n in names if ASSUMED.get(n, {}).get("of") in FURTHER_QUANTITIES}
        further |= {f"assumption_{what}" for what in ("globe", "plain_eclipse", "terminator")}
        names -= FURTHER_QUANTITIES | further | {"usual_shadow_ratio"}
        assert {parts.kind_of(name) for name in names} == set(parts.KINDS)

    def test_readings_are_written_as_they_were_read(self):
        rows = [
            ["A", "disc_diameter", "14.0", "mm", "0.05", ""],
            ["A", "umbral_contact_2", "2029-06-26T01:32+02:00", "", "", ""],
            *(["A", "vanish_distance", f"1.4{i}", "m", "", ""] for i in range(9)),
            ["A", "place_longitude", "-3", "deg", "", ""],
        ]
        (group,) = report_of(tables.of_rows(rows)).groups
        rows = rows_below(group, "Your readings")
        readings = {quantity: text.replace("\u00a0", " ") for quantity, text in rows}
        assert readings["disc diameter"] == "14.0 mm (± 0.05 mm)"
        assert readings["U2"] == "2029-06-26 01:32 UTC+02:00"
        assert readings["vanish distance"] == "9 readings, 1.40 to 1.48 m"
        assert readings["place longitude"] == "−3°"

    def test_truth_that_night(self):
        from moonreach.practice.real_night import sky_truth

        sheet = tables.of_rows(invented.practice_class([sky_truth("2029-06-26")] * 3, 5))
        made = report_of(sheet)
        # NASA/GSFC (F. Espenak): the Moon of 2029 June 26 was 373 thousand km away.
        results, _ = [part for part in made.front.top if part.kind == "table"]
        assert list(results.columns)[3] == "true that night"
        assert results.rows[1][3].replace("\u00a0", "").startswith("373")
        assert any("from the true one that night" in part.text for part in made.groups[0].right)

    def test_attempts_beside_the_sheet(self, tmp_path):
        sheet = tmp_path / "class.csv"
        tables.write(sheet, group("Night Owls") + group("Heron", 4))
        answers = Answers(tmp_path / "work" / "night_owls" / "answers.json")
        answers.add("arc", Verdict("slip", "", 3.0, "radians for degrees"), 3)
        answers.add("arc", Verdict("right", "", 7.2), 7.2)
        broken = tmp_path / "work" / "heron" / "answers.json"
        broken.parent.mkdir()
        broken.write_text("[", encoding="utf-8")
        made = report_of(tables.read(sheet), [sheet])
        expected = "1 exercise tried, 1 right, 2 attempts; common mistakes: radians for degrees."
        owls, heron = made.groups
        assert below(owls, "Exercises") == [expected]
        assert "Exercises" not in [part.text for part in heron.right]
        assert len(made.problems) == 1 and "heron" in made.problems[0]
        assert broken.read_text(encoding="utf-8") == "["  # looked at, not touched


class TestPage:
    """One file, valid, escaped, with nothing to fetch."""

    def test_it_is_valid_and_stands_alone(self, practice_report):
        text = page.html(practice_report)
        tree = parsed(text)
        assert not list(tree.iter("script")) and not list(tree.iter("link"))
        for element in tree.iter():
            for name in ("src", "href"):
                assert element.get(name, "#").startswith(("#", "data:image/svg+xml;base64,"))
        assert not re.search(r"url\(|@import|\son[a-z]+=", text)
        picture, *charts = tree.iter("img")
        assert "robust mean is 30.48 (practice)" in picture.get("alt") and len(charts) == 8
        heron = "Heron: distance (practice) of 29.0 Earth diameters, 95 % interval 27.8 to 30.2"
        assert charts[0].get("alt") == heron
        assert len(list(tree.iter("article"))) == 8

    def test_text_from_the_sheet_is_escaped(self):
        rows = [replace(row, group=EVIL) for row in group("Heron")]
        tree = parsed(page.html(report_of(tables.of_rows(rows), ["<b>.csv"])))
        assert not list(tree.iter("script")) and not list(tree.iter("b"))
        assert EVIL in texts(tree)

    def test_both_papers(self, practice_report):
        assert "size: a4;" in page.html(practice_report)
        assert "size: letter;" in page.html(practice_report, "letter")
        # ISO 216 and ANSI/ASME Y14.1, in points of 1/72 inch.
        assert b"/MediaBox [ 0 0 595.44 841.68 ]" in paper.pdf(practice_report)
        assert b"/MediaBox [ 0 0 612 792 ]" in paper.pdf(practice_report, "letter")

    def test_the_wall_shows_one_more_group_at_each_key(self, practice_report):
        text = page.wall(practice_report)
        tree = parsed(text)
        rows = [row for row in tree.iter("div") if "later" in (row.get("class") or "").split()]
        names = [texts(row).rpartition(" ")[0] for row in rows]
        groups = [f"{group.group} (practice)" for group in practice_report.summary.groups]
        assert names == [*groups, "the class (practice)", "today, mean"]
        assert not list(tree.iter("link")) and not re.search(r"url\(|@import|https?:|src=", text)

    def test_text_from_the_sheet_is_escaped_on_the_wall(self):
        rows = [replace(row, group=EVIL) for row in group("Heron")]
        tree = parsed(page.wall(report_of(tables.of_rows(rows))))
        assert len(list(tree.iter("script"))) == 1 and EVIL in texts(tree)

    def test_no_group_at_the_moon_yet(self):
        rows = [["A", "disc_diameter", "14", "mm", "", ""], ["A", "rim_distance", "1.6", "m"]]
        tree = parsed(page.html(report_of(tables.of_rows(rows))))
        assert "No group has reached the Moon yet" in texts(tree)
        assert parts.WORDS["group"]["lacking"] in texts(tree)

    def test_same_sheet_same_bytes(self):
        one, two = (report_of(tables.read(DATA / "published.csv")) for _ in range(2))
        assert page.html(one) == page.html(two)
        assert paper.pdf(one) == paper.pdf(two)


class TestFigure:
    """What the class's figure shows."""

    def test_every_group_and_every_line(self, practice_report):
        figure = class_result.figure(practice_report.summary)
        (axes,) = figure.axes
        words = [text.get_text() for text in axes.texts]
        # Published: 67 1/3 Earth radii (Pappus on Almagest V.11), 59 (Almagest V.13).
        expected = ["Ptolemy 29.5", "today, mean 30.17", "class 30.48 (practice)"]
        expected += ["Hipparchus 33.7", "62.6"]
        assert words == expected
        names = [label.get_text() for label in axes.get_yticklabels()]
        assert names == [f"{group.group} (practice)" for group in practice_report.summary.groups]

    def test_a_class_without_names_for_lack_of_room(self, practice_report, monkeypatch):
        monkeypatch.setattr(class_result, "NAMED", 3)
        figure = class_result.figure(practice_report.summary)
        assert not figure.axes[0].get_yticklabels()
        assert figure.get_size_inches()[1] < 3


@pytest.mark.parametrize("groups", [1, 4])
def test_paper_has_two_groups_on_a_page(groups):
    rows = invented.practice_class([TRUTH] * groups, 5)
    # Rods that were not tried on a target; those that were need more room under so long a name.
    rows = [row for row in rows if not row.quantity.startswith("target")]
    rows = [replace(row, group=f"{EVIL} {row.group}") for row in rows]
    data = paper.pdf(report_of(tables.of_rows(rows)))
    assert data.startswith(b"%PDF")
    assert len(re.findall(rb"/Type /Page\b", data)) == 1 + (groups + 1) // 2


def test_paper_cuts_no_text_and_lets_none_overlap():
    """Of a group with all readings twice and a long name, by an independent reader (pypdfium2)."""
    import pypdfium2

    rows = group("Heron") + further_rows("Heron", np.random.default_rng(4))
    own = [replace(row, origin=Origin.OWN) for row in rows]
    rows = [replace(row, group="A name of many words " * 9) for row in rows + own]
    made = report_of(tables.of_rows(rows))
    shown, pages = "", pypdfium2.PdfDocument(paper.pdf(made))
    for sheet in pages:
        text = sheet.get_textpage()
        shown += "".join(text.get_text_range().split())
        boxes = [text.get_rect(number) for number in range(text.count_rects())]
        for number, (left, bottom, right, top) in enumerate(boxes):
            assert 36 < left < right < 8.27 * 72 - 36 and 36 < bottom < top < 11.69 * 72 - 36
            for other in boxes[number + 1 :]:
                wide = min(right, other[2]) - max(left, other[0])
                high = min(top, other[3]) - max(bottom, other[1])
                assert min(wide, high) < 2.5, (wide, high)  # points
    for section in (made.front, *made.groups):
        for part in (*section.top, *section.left, *section.right):
            for text in (section.title, part.text, *itertools.chain(*part.rows)):
                assert "".join(text.split()) in shown, text


class TestCommand:
    """What it writes, prints and returns."""

    def run(self, capsys, *arguments):
        code = cli.main(["report", *map(str, arguments)])
        captured = capsys.readouterr()
        assert "Traceback" not in captured.out + captured.err
        return code, captured.out, captured.err

    def test_both_kinds(self, capsys, tmp_path):
        html, pdf = tmp_path / "report.html", tmp_path / "report.PDF"
        code, out, _ = self.run(capsys, DATA / "practice_class.csv", "--out", html, "--out", pdf)
        assert code == 1  # one group made a slip
        assert "Check this together\n  Beaver: it looks" in out and "  Heron: farther" in out
        assert html.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
        assert pdf.read_bytes().startswith(b"%PDF")
        assert len(list(tmp_path.iterdir())) == 2

    def test_the_wall_alone_in_html(self, capsys, tmp_path):
        sheet = DATA / "practice_class.csv"
        code, _, _ = self.run(capsys, sheet, "--projector", "--out", tmp_path / "wall.html")
        assert code == 1 and "addEventListener" in (tmp_path / "wall.html").read_text("utf-8")
        code, _, err = self.run(capsys, sheet, "--projector", "--out", tmp_path / "wall.pdf")
        assert code == 2 and "end in .html" in err

    def test_table_of_a_spreadsheet_and_what_was_understood(self, capsys, tmp_path):
        from class_tables import csv_text, long_rows, xlsx

        out, sheet = tmp_path / "a.html", tmp_path / "class.xlsx"
        rows = [["group", "quantity", "value", "unit", "uncertainty", "note"], *long_rows()]
        xlsx(sheet, {"May": rows, "June": rows})
        code, _, err = self.run(capsys, sheet, "--out", out)
        assert code == 2 and "--table" in err
        code, _, _ = self.run(capsys, sheet, "--out", out, "--table", "May")
        assert code == 0
        sheet = tmp_path / "class.csv"
        rows[7][1] = "length of the northern shadow"
        sheet.write_text(csv_text(rows), encoding="utf-8")
        _, printed, _ = self.run(capsys, sheet, "--out", out)
        assert "Understood\n" in printed and "was read as north shadow length" in printed

    def test_a_class_without_problems(self, capsys, tmp_path):
        code, out, _ = self.run(capsys, DATA / "published.csv", "--out", tmp_path / "a.html")
        assert code == 0 and "Problems" not in out

    @pytest.mark.parametrize(
        ("sheet", "out", "says"),
        [
            ("data", "a.txt", "end in .html or .pdf"),
            ("data", "nowhere/a.html", "does not exist"),
            ("nothing.csv", "a.html", "cannot be read"),
            ("disc.csv", "a.html", "no reading leads to a result"),
            ("sheet.html", "sheet.html", "is the sheet itself"),
        ],
    )
    def test_refusals(self, capsys, tmp_path, sheet, out, says):
        disc = "group,quantity,value,unit\nA,disc_diameter,14,mm\n"
        for name in ("disc.csv", "sheet.html"):
            (tmp_path / name).write_text(disc, encoding="utf-8")
        before = sorted(tmp_path.iterdir())
        path = DATA / "practice_class.csv" if sheet == "data" else tmp_path / sheet
        code, printed, err = self.run(capsys, path, "--out", tmp_path / out)
        assert (code, printed) == (2, "")
        assert says in err and len(err.strip().splitlines()) == 1
        assert sorted(tmp_path.iterdir()) == before
        assert (tmp_path / "sheet.html").read_text(encoding="utf-8") == disc

    def test_an_earlier_report_stays_whole_when_writing_fails(self, tmp_path, monkeypatch):
        from moonreach.sheet import writing

        out = tmp_path / "a.html"
        out.write_text("earlier", encoding="utf-8")

        def full(handle):
            raise OSError(28, "No space left on device")

        monkeypatch.setattr(writing.os, "fsync", full)
        with pytest.raises(OSError):
            report.write([DATA / "published.csv"], [out])
        assert out.read_text(encoding="utf-8") == "earlier"
        assert list(tmp_path.iterdir()) == [out]


@pytest.mark.parametrize("kind", ["html", "pdf"])
def test_what_is_not_a_groups_own_says_whose_it_is(kind):
    """One group with its own, shared and practice readings: no value without the word."""
    whose = {"disc_diameter": Origin.PRACTICE, "north_south_distance": Origin.SHARED}
    rows = [replace(row, origin=whose.get(row.quantity, Origin.OWN)) for row in group("Heron")]
    own = replace(rows[0], quantity="disc_diameter", value=14.2 * u.mm, resolution=0.05 * u.mm)
    made = report_of(tables.of_rows([*rows, own]))
    lines = lines_of_html(made) if kind == "html" else lines_of_pdf(made)
    marked = {line.partition(")")[0].split("(")[-1] for line in lines if "(" in line}
    assert {"practice", "shared"} <= marked
    for label, word in (
        ("north-south distance", "(shared)"),
        ("Earth's diameter", "(shared)"),
        ("angular diameter", "(practice)"),
        ("shadow ratio, chord formula", "(practice)"),
        ("distance", "(practice)"),
    ):
        found = [line for line in lines if re.match(rf"{label}(?! between)\b", line)]
        assert found and all(word in line for line in found), (label, found)
    # The group's own disc and the practice one stand in rows apart.
    discs = sorted(line for line in lines if line.startswith("disc diameter"))
    assert len(discs) == 2 and "(practice)" in discs[0] and "14.2" in discs[1]


def lines_of_html(made):
    rows = parsed(page.html(made)).iter("tr")
    return [" ".join(" ".join(row.itertext()).split()) for row in rows]


def lines_of_pdf(made):
    """Return the rows of the content, each of whose labels the paper holds."""
    import pypdfium2

    pages = pypdfium2.PdfDocument(paper.pdf(made))
    text = "".join("".join(p.get_textpage().get_text_range().split()) for p in pages)
    (one,) = made.groups
    captions = "Robust mean", "Your readings", "What follows"
    sections = made.front, one, one
    rows = [row for pair in zip(sections, captions, strict=True) for row in rows_below(*pair)]
    for row in rows:
        for word in row[0].split():
            assert word in text, word
    assert text.count("(practice)") >= sum("(practice)" in row[0] for row in rows)
    assert text.count("(shared)") >= sum("(shared)" in row[0] for row in rows)
    return [" ".join(row) for row in rows]
