"""Every command of the pages: it parses, it runs, and Windows would read it in the same way.

Windows itself is not at hand. What its shell would make of a line is checked as far as its grammar
goes (Microsoft, PowerShell documentation, about_Parsing and about_Special_Characters, from memory).
"""

import csv
import re
import shlex
import shutil
import subprocess
from importlib import import_module
from shutil import which

import openpyxl
import pytest
from reading import APART, PROJECT

from moonreach.__main__ import COMMANDS, _arguments, main

PAGES = {
    str(page.relative_to(PROJECT)): page.read_text(encoding="utf-8")
    for page in [*PROJECT.glob("*.md"), *(PROJECT / "docs").rglob("*.md")]
    if page.name not in APART
}
WHERE = "--latitude 52N --longitude 5E"  # what the dots of a shortened command stand for
# Words that both kinds of shell take as they are. (A bare comma makes a list in PowerShell.)
SAME = re.compile(r'(?:[\w./:*%+=°-]+|"[^"`$\\]*")(?: +(?:[\w./:*%+=°-]+|"[^"`$\\]*"))*')
BLOCK = re.compile(r"^```(\w+)\n(.*?)^```$", re.DOTALL | re.MULTILINE)
# What a reader sees quickly; the others serve pages, draw for long or need a group's folder.
RUN = "plan", "kit", "sheet", "reduce", "report", "practice"


def lines(text, *kinds):
    """Return the lines of a page's blocks of some kinds."""
    blocks = [block for kind, block in BLOCK.findall(text) if kind in kinds]
    return "".join(blocks).splitlines()


def commands(text):
    """Return a page's commands: those of its blocks, and those in its running words."""
    found = [line.partition("  #")[0].strip() for line in lines(text, "sh", "console")]
    found += re.findall(r"`(moonreach [a-z]+[^`]*)`", text)
    return [line.replace("…", WHERE) for line in found if line.startswith("moonreach ")]


EVERY = sorted({(page, line) for page, text in PAGES.items() for line in commands(text)})


def test_there_is_something_to_read():
    assert len(EVERY) >= 30
    assert {line.split()[1] for _, line in EVERY} >= {*COMMANDS}


@pytest.mark.parametrize(("page", "line"), EVERY, ids=lambda one: str(one)[:60])
def test_a_command_parses_and_is_the_same_on_all_systems(page, line, capsys):
    assert SAME.fullmatch(line), line
    _, name, *words = shlex.split(line)
    if name.startswith("--") or words in ([], ["--help"]):
        assert name in (*COMMANDS, "--version")
        return
    command = import_module(f"moonreach.commands.{name}")
    for more in ([], ["--out", "made.csv"], ["here.csv"]):  # a mention may leave out a name
        try:
            assert _arguments(name, command, [*words, *more])
            return
        except SystemExit:
            pass
    pytest.fail(f"{page}: {line}: {capsys.readouterr().err}")


def test_a_line_that_windows_reads_in_another_way_would_be_found():
    for line in (
        "moonreach kit --out kit.pdf --pages 1,9-11",
        "moonreach plan --latitude 52°06'N --longitude 5E",
        "moonreach reduce a.csv && moonreach reduce b.csv",
        "moonreach reduce $HOME/a.csv",
        "moonreach reduce a.csv > out.txt",
        "moonreach kit --out kit.pdf \\",
    ):
        assert not SAME.fullmatch(line), line
    assert SAME.fullmatch('moonreach kit --out "Bögen 10 b.pdf" --pages "1,9-11"')


def test_both_forms_of_the_start_are_one():
    """The set-up is the only thing that is written twice."""
    posix, windows = (lines(PAGES["README.md"], kind) for kind in ("sh", "powershell"))
    assert len(posix) == len(windows) == 2
    for one, other in zip(posix, windows, strict=True):
        assert "&" not in other and "\\S" in other
        told = other.replace("; ", " && ").replace("\\Scripts\\", "/bin/")
        assert told.replace("python -m", "python3 -m") == one
    for page, text in PAGES.items():
        assert page == "README.md" or not lines(text, "powershell")


@pytest.mark.skipif(not which("bash"), reason="a POSIX shell is needed")
def test_what_is_quick_runs_as_it_is_printed(tmp_path, monkeypatch, capsys):
    pages = ("README.md", "docs/commands.md", "docs/unit.md")
    shown = dict.fromkeys(line for page in pages for line in commands(PAGES[page]))
    quick = [line for line in shown if line.split()[1] in RUN and len(line.split()) > 2]
    assert {line.split()[1] for line in quick} == {*RUN}
    here = tmp_path / "Klasse 10 b, Übungen"
    shutil.copytree(PROJECT / "data", here / "data")
    book = openpyxl.Workbook()
    with (PROJECT / "data" / "practice_class.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.reader(file):
            book.active.append(row)
    book.save(here / "filled.xlsx")
    monkeypatch.chdir(here)
    for line in quick:
        try:
            code = main(as_a_shell_reads(line))
        except SystemExit as ended:  # after --help
            code = ended.code
        assert code <= 1, capsys.readouterr()  # 1: done, with problems named
        if " sheet " in line:  # the class fills it in
            shutil.copy("filled.xlsx", "our_class.xlsx")


def as_a_shell_reads(line):
    """Return the words that a POSIX shell hands to the command of a line."""
    script = f'moonreach() {{ printf "%s\\n" "$@"; }}\nset -u\n{line}'
    done = subprocess.run(["bash", "-c", script], capture_output=True, text=True, check=True)
    return done.stdout.splitlines()
