"""The command line: what it prints, what it returns, and that it never shows a traceback."""

import csv
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from moonreach import __main__ as cli

DATA = Path(__file__).parents[2] / "data"
TRIPLE = {"value", "low", "high"}


def run(capsys, *words):
    code = cli.main([str(word) for word in words])
    captured = capsys.readouterr()
    assert "Traceback" not in captured.out + captured.err
    return code, captured.out, captured.err


def test_overview(capsys):
    for words in ([], ["--help"], ["-h"]):
        code, out, _ = run(capsys, *words)
        assert code == 0
        assert "moonreach reduce data/practice_class.csv" in out
        assert len(out.strip().splitlines()) <= 14


def test_runs_as_a_module():
    command = [sys.executable, "-m", "moonreach", "--version"]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    assert done.stdout.startswith("moonreach ")


def test_console_without_our_signs():
    command = [sys.executable, "-m", "moonreach", "reduce", str(DATA / "published.csv")]
    environment = os.environ | {"PYTHONIOENCODING": "ascii"}
    done = subprocess.run(command, capture_output=True, text=True, env=environment)
    assert done.returncode == 0
    assert "angular diameter" in done.stdout


def test_unknown_command(capsys):
    code, _, err = run(capsys, "reduse")
    assert code == 2
    assert "no command 'reduse'" in err


@pytest.mark.parametrize("name", cli.COMMANDS)
def test_each_command_tells_what_it_takes(capsys, name):
    with pytest.raises(SystemExit) as end:
        cli.main([name, "--help"])
    told = capsys.readouterr().out
    assert end.value.code == 0
    assert cli.COMMANDS[name]["about"] in " ".join(told.split())
    assert all(
        option in told for option in cli.COMMANDS[name].get("options", ()) if option[0] == "-"
    )


def test_a_class_begins_with_what_to_check_and_a_row_for_each_group(capsys):
    code, out, _ = run(capsys, "reduce", DATA / "practice_class.csv")
    assert code == 1  # one group made a slip
    first, table, *_ = out.split("\n\n")
    assert first.startswith("Check this together\n  Beaver: it looks as if the disc's radius")
    assert "Heron: farther from the class" in first
    rows = {line.partition("  ")[0]: line for line in table.splitlines()}
    assert list(rows)[-4:] == ["Beaver", "class, 8 of 8 groups", "without Beaver", "today, mean"]
    assert len(rows) == 12 and "384 399" in rows["today, mean"]
    assert "central formula" not in out and "--details" in out


def test_details_of_a_class(capsys):
    _, out, _ = run(capsys, "reduce", DATA / "practice_class.csv", "--details")
    assert out.count("Group ") == 8
    assert "central formula: −30%" in out
    assert "look for a mistake together" in out
    assert "these count as shared" in out and "--details" not in out


def test_one_group_begins_with_four_lines(capsys):
    _, out, _ = run(capsys, "reduce", DATA / "published.csv")
    head, *four = out.splitlines()[:5]
    assert head.split("  ")[0] == "Group Published" and head.endswith("true that night")
    starts = ["Earth's diameter", "shadow ratio", "angular diameter", "Moon's distance"]
    for line, start, unit in zip(four, starts, ("km", "diameters", "arcmin", "km"), strict=True):
        assert line.strip().startswith(start) and f" {unit} " in line and "  own " in line
        assert re.search(r"[\d.]+ to [\d.]+", line)
    # NASA/GSFC (F. Espenak): the Moon of 2014 April 15 was 385 thousand km away.
    assert re.search(r"385 \d{3} km$", four[3].replace("\u00a0", " "))
    assert "central formula" not in out and "robust mean" not in out
    _, whole, _ = run(capsys, "reduce", DATA / "published.csv", "--details")
    assert "central formula: −20%" in whole and whole.startswith("\n".join([head, *four]))


def test_json(capsys):
    code, out, _ = run(capsys, "reduce", DATA / "practice_class.csv", "--json")
    found = json.loads(out)
    assert code == 1
    keys = "class", "class_without_mistakes", "groups", "likely_mistakes", "notes", "problems"
    assert sorted(found) == [*keys, "understood"]
    assert len(found["groups"]) == 8
    for group in found["groups"]:
        for name in ("moon_angle_arcmin", "distance_earth_diameters", "distance_km"):
            assert set(group[name]) == TRIPLE | {"origin"}
            assert group[name]["low"] <= group[name]["value"] <= group[name]["high"]
        assert set(group["shadow_ratio"]) >= TRIPLE | {"method"}
        assert {"input", "share"} == set(group["budget"][0])
        assert sum(part["share"] for part in group["budget"]) == pytest.approx(1)
    by_name = {group["group"]: group for group in found["groups"]}
    assert by_name["Stork"]["earth_diameter_km"] is None
    assert by_name["Swift"]["shadow_ratio"]["method"] == "chord formula"
    assert abs(by_name["Beaver"]["zeta"]["distance_earth_diameters"]) > 10
    assert "radius" in found["likely_mistakes"]["Beaver"] and len(found["likely_mistakes"]) == 1
    bare = found["class_without_mistakes"]["distance_km"]
    assert (
        bare["high"] - bare["low"]
        < found["class"]["distance_km"]["high"] - found["class"]["distance_km"]["low"]
    )
    for result in found["class"].values():
        assert result["low"] < result["value"] < result["high"]
    assert all(set(one) == {"file", "row", "column", "message"} for one in found["problems"])


def test_practice_truth_lies_in_the_class_interval(capsys):
    _, out, _ = run(capsys, "reduce", DATA / "practice_class.csv", "--json")
    found = json.loads(out)["class"]
    assert found["distance_km"]["low"] < 384_399 < found["distance_km"]["high"]


def test_published_class_has_no_problem(capsys):
    code, out, _ = run(capsys, "reduce", DATA / "published.csv", "--json")
    assert code == 0
    assert json.loads(out)["problems"] == []


def test_results_are_written(capsys, tmp_path):
    run(capsys, "reduce", DATA / "practice_class.csv", "--out", tmp_path / "new" / "folder")
    folder = tmp_path / "new" / "folder"
    assert json.loads((folder / "results.json").read_text(encoding="utf-8"))["groups"]
    rows = list(csv.DictReader((folder / "results.csv").read_text(encoding="utf-8").splitlines()))
    assert {row["group"] for row in rows} >= {"Heron", "Beaver"}
    assert sorted(path.name for path in folder.iterdir()) == ["results.csv", "results.json"]


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (None, "cannot be read"),
        (b"", "is empty"),
        (bytes(range(256)) * 4, "no table"),
        (b"group,quantity,value\nA,disc_diameter,14\n", "no table"),
    ],
)
def test_what_is_no_sheet(capsys, tmp_path, content, says):
    path = tmp_path / "sheet.csv"
    if content is not None:
        path.write_bytes(content)
    code, out, err = run(capsys, "reduce", path)
    assert code == 2
    assert out == ""
    assert says in err
    assert len(err.strip().splitlines()) == 1


def test_folder_in_place_of_a_sheet(capsys, tmp_path):
    code, _, err = run(capsys, "reduce", tmp_path)
    assert code == 2
    assert "this is a folder" in err


def test_sheet_with_nothing_to_reduce(capsys, tmp_path):
    path = tmp_path / "sheet.csv"
    path.write_text("group,quantity,value,unit\nA,disc_diameter,14,mm\n", encoding="utf-8")
    code, out, _ = run(capsys, "reduce", path)
    assert code == 2
    assert "group A: for the Moon's angular diameter there is no vanish distance" in out


def test_sheet_of_only_a_header(capsys, tmp_path):
    path = tmp_path / "sheet.csv"
    path.write_text("group,quantity,value,unit\n", encoding="utf-8")
    code, out, _ = run(capsys, "reduce", path)
    assert code == 2
    assert "no readings" in out


class TestPractice:
    """The invented class."""

    def write(self, capsys, path, *words):
        return run(capsys, "practice", "--out", path, *words)

    def test_same_seed_same_sheet(self, capsys, tmp_path):
        for name in ("a", "b"):
            code, _, _ = self.write(capsys, tmp_path / name, "--groups", 3, "--seed", 5)
            assert code == 0
        assert (tmp_path / "a").read_bytes() == (tmp_path / "b").read_bytes()
        self.write(capsys, tmp_path / "c", "--groups", 3, "--seed", 6)
        assert (tmp_path / "a").read_bytes() != (tmp_path / "c").read_bytes()

    def test_truth_stands_in_the_sheet(self, capsys, tmp_path):
        path = tmp_path / "sheet.csv"
        self.write(capsys, path, "--groups", 12, "--distance", 400_000, "--path-offset", 0.3)
        head = path.read_text(encoding="utf-8").splitlines()[:3]
        assert "invented" in head[0]
        assert "distance 400000 km" in head[1]
        _, out, _ = run(capsys, "reduce", path, "--json")
        found = json.loads(out)
        assert found["problems"] == []
        assert found["class"]["distance_km"]["value"] == pytest.approx(400_000, rel=0.03)

    def test_nothing_is_overwritten(self, capsys, tmp_path):
        path = tmp_path / "sheet.csv"
        path.write_text("mine", encoding="utf-8")
        code, _, err = self.write(capsys, path)
        assert code == 2
        assert "nothing was written" in err
        assert path.read_text(encoding="utf-8") == "mine"
        assert self.write(capsys, path, "--replace")[0] == 0

    @pytest.mark.parametrize(
        "words",
        [
            ("--groups", 0),
            ("--seed", -1),
            ("--distance", "nan"),
            ("--distance", 1),
            ("--ratio", 0.5),
            ("--path-offset", -1),
            ("--path-offset", 0.9),
            ("--path-offset", 0.1, 0.2),
            ("--earth-diameter", 0),
        ],
    )
    def test_bad_numbers_are_one_sentence(self, capsys, tmp_path, words):
        code, _, err = self.write(capsys, tmp_path / "sheet.csv", *words)
        assert code == 2
        assert len(err.strip().splitlines()) == 1
        assert not (tmp_path / "sheet.csv").exists()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("practice --zone Europe/Paris", "--zone needs --eclipse: alone it changes nothing"),
        ("practice --eclipse 2018-07-27 --ratio 3", "--ratio changes nothing beside --eclipse"),
        ("practice --eclipse 2018-07-27 --photos 3 --further", "nothing beside --photos"),
        ("practice --phone", "--phone needs --photos"),
        ("photo moon.png --contacts", "--contacts needs --group"),
        ("photo moon.png --moon-uncertainty 1", "--moon-uncertainty needs --moon"),
    ],
)
def test_an_option_without_effect_is_told(words, says, tmp_path, capsys):
    out = () if words.startswith("photo") else ("--out", tmp_path / "new.csv")
    code, _, err = run(capsys, *words.split(), *out)
    assert code == 2
    assert says in err and err.count("\n") == 1
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("kit --out readings.csv", "kit: --out readings.csv: the name of the kit ends in .pdf"),
        ("photo moon.png --figure moon.png", "photo: --figure moon.png: that is one of the photo"),
        ("photo moon.png --figure readings.csv", "the name of the figure ends in .png, .pdf or"),
        ("reduce readings.csv --out readings.csv", "that is a file; accepted is a folder for the"),
        ("handouts --out readings.csv", "that is a file; accepted is a folder for the copies"),
        ("practice --out readings.xlsx --replace", "the sheet is a text; its name ends in .csv"),
    ],
)
def test_no_command_writes_over_what_was_entered(words, says, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    texts = {"readings.csv": "group,U1\nOwl,21:40\n", "moon.png": "a picture"}
    texts["readings.xlsx"] = texts["readings.csv"]
    for name, text in texts.items():
        Path(name).write_text(text, encoding="utf-8")
    code, _, told = run(capsys, *words.split())
    assert code == 2 and says in told and told.count("\n") == 1
    assert {path.name: path.read_text("utf-8") for path in tmp_path.iterdir()} == texts
