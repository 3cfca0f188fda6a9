"""Every text that a user reads, as plain words: docs, lessons, tables of words, help, paper."""

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
TABLES = sorted((PROJECT / "moonreach").rglob("*.toml"))
_BLOCK = re.compile(r"^```.*?^```$|<!--.*?-->|\$\$.*?\$\$", re.DOTALL | re.MULTILINE)


def plain(text):
    """Return Markdown without its marks: no blocks of code, code as one word, links as words."""
    text = _BLOCK.sub("\n\n", text)
    text = re.sub(r"!?\[([^\]]*)\]\([^)]*\)", r"\1", text)
    text = re.sub(r"`[^`]*`|\$[^$]*\$", "CODE", text)
    text = re.sub(r"<[^>]+>", " ", text)
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


def strings(table):
    """Yield every string of a table of words, however deep it lies."""
    if isinstance(table, str):
        yield table
    elif isinstance(table, dict | list):
        for one in table.values() if isinstance(table, dict) else table:
            yield from strings(one)


def texts():
    """Return every text that a user reads, by the name of the file in which it stands."""
    found = {str(page.relative_to(PROJECT)): page.read_text(encoding="utf-8") for page in DOCS}
    found |= {f"notebooks/{path.name}": prose(read(path)) for path in PATHS}
    found["notebooks/README.md"] = (PROJECT / "notebooks/README.md").read_text(encoding="utf-8")
    for path in TABLES:
        table = tomllib.loads(path.read_text(encoding="utf-8"))
        table.pop("codes", None)  # words to draw from, no sentence
        found[str(path.relative_to(PROJECT))] = "\n\n".join(strings(table))
    return found
