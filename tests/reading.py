"""Every text that a user reads, as plain words: docs, lessons, tables, messages, pages, paper."""

import ast
import csv
import re
import tomllib
from pathlib import Path

from lesson_notebooks import PATHS, prose, read

PROJECT = Path(__file__).resolve().parents[1]
# For those who build on it, or a record of versions: no page of the course.
APART = {"DEVELOPERS.md", "changelog.md"}
DOCS = [
    page
    for page in [PROJECT / "README.md", *sorted((PROJECT / "docs").rglob("*.md"))]
    if page.name not in APART
]
PACKAGE = PROJECT / "moonreach"
TABLES = sorted(PACKAGE.rglob("*.toml"))
FRAMES = sorted([*PACKAGE.rglob("*.html"), *PACKAGE.rglob("*.j2")])
COLUMNS = "label", "short", "meaning", "why"  # of the quantities: the others are for the program
_BLOCK = re.compile(r"^```.*?^```$|<!--.*?-->|\$\$.*?\$\$", re.DOTALL | re.MULTILINE)


def plain(text):
    """Return Markdown without its marks: no blocks of code, code as one word, links as words."""
    text = _BLOCK.sub("\n\n", text)
    text = re.sub(r"!?\[([^\]]*)\]\([^)]*\)", r"\1", text)
    text = re.sub(r"`[^`]*`|\$[^$]*\$", "CODE", text)
    text = re.sub(r"<(?:[^>\n]|\n(?!\n))+>", " ", text)
    return re.sub(r"\*+|(?<!\w)_+|_+(?!\w)", "", text)


def paragraphs(text):
    """Yield what stands by itself in Markdown: paragraphs, items of lists, cells of tables."""
    text = re.sub(r"^(#.*)$", r"\1\n", plain(text), flags=re.MULTILINE)
    for part in re.split(r"\n\s*\n|\n(?=[\s>]*(?:[-*•:] |\d+\. |#))", text):
        for line in part.split("\n") if part.lstrip(" >").startswith("|") else [part]:
            for cell in line.split("|"):
                words = re.sub(r"^\s*(?:> ?|[-*•:#]+ |\d+\. )+", "", cell)
                yield " ".join(re.sub(r"\n\s*>", "\n", words).split())


def sentences(text):
    """Yield the sentences of a text in Markdown, with how many words each has."""
    for one in paragraphs(text):
        for sentence in re.split(r"(?<=[.!?])[)\"”*]*\s+(?=[A-ZÄÖÜ\"“*(0-9])", one):
            yield sentence, len(re.findall(r"[^\W_]+(?:[-'’.,:′″/]+[^\W_]+)*", sentence))


def is_formula(text):
    """Whether a text with raw names is arithmetic for the program, as exercises have it."""
    try:
        return "_" in text and bool(ast.parse(text, mode="eval"))
    except SyntaxError:
        return False


def strings(table):
    """Yield every string of a table of words, however deep it is, and the keys that are words."""
    if isinstance(table, str):
        if not is_formula(table):
            yield table
    elif isinstance(table, dict | list):
        yield from (key for key in table if isinstance(table, dict) and " " in key)
        for one in table.values() if isinstance(table, dict) else table:
            yield from strings(one)


def messages(source):
    """Yield every sentence or label of a module's code: its strings with blanks, no docstrings.

    What a message is filled with stands as X. Keys are for the program.
    """
    nodes = list(ast.walk(ast.parse(source)))
    apart = set()
    for node in nodes:
        if isinstance(node, ast.Expr):
            apart.add(node.value)
        elif isinstance(node, ast.Dict):
            apart.update(node.keys)
        elif isinstance(node, ast.JoinedStr):
            apart.update(node.values)
    for node in nodes:
        parts = node.values if isinstance(node, ast.JoinedStr) else [node]
        said = [part.value if isinstance(part, ast.Constant) else "X" for part in parts]
        if node not in apart and all(isinstance(part, str) for part in said):
            text = "".join(said)
            if " " in text.strip() and not text.startswith("# "):  # written into a file of settings
                yield text


def words_of(frame):
    """Return what a page's frame says: no script, style or place to fill; each element apart."""
    text = re.sub(r"<(script|style)\b.*?</\1>|\{[%#].*?[%#]\}", "\n\n", frame, flags=re.DOTALL)
    text = re.sub(r"\{\{.*?\}\}", "X", text, flags=re.DOTALL)
    return re.sub(r"</?(?:p|h\d|li|td|th|div|option|label|button|title)\b", r"\n\n\g<0>", text)


def texts():
    """Return every text that a user reads, by the name of the file in which it stands."""
    found = {str(page.relative_to(PROJECT)): page.read_text(encoding="utf-8") for page in DOCS}
    found |= {f"notebooks/{path.name}": prose(read(path)) for path in PATHS}
    found["notebooks/README.md"] = (PROJECT / "notebooks/README.md").read_text(encoding="utf-8")
    for path in TABLES:
        table = tomllib.loads(path.read_text(encoding="utf-8"))
        table.pop("codes", None)  # words to draw from, no sentence
        found[str(path.relative_to(PROJECT))] = "\n\n".join(strings(table))
    for path in sorted(PACKAGE.rglob("*.py")):
        if said := list(messages(path.read_text(encoding="utf-8"))):
            found[str(path.relative_to(PROJECT))] = "\n\n".join(said)
    for path in FRAMES:
        found[str(path.relative_to(PROJECT))] = words_of(path.read_text(encoding="utf-8"))
    with (PACKAGE / "sheet" / "quantities.csv").open(encoding="utf-8", newline="") as file:
        rows = [row[column] for row in csv.DictReader(file) for column in COLUMNS]
    found["moonreach/sheet/quantities.csv"] = "\n\n".join(rows)
    return found
