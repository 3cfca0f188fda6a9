"""Links from a lesson to the docs lead somewhere: on its page, in Lab and in a clone."""

import re
import urllib.error
import urllib.request
from urllib.parse import urljoin

import pytest
from lesson_notebooks import PATHS, prose, read
from page_browser import start_pages

from moonreach.__main__ import main
from moonreach.notebook import shipped

LINK = re.compile(r"\]\(([^)]+)\)")


def fetch(address):
    opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
    with opener.open(address, timeout=60) as answer:
        return answer.read().decode()


def links():
    return {(path.name, link) for path in PATHS for link in LINK.findall(prose(read(path)))}


def test_every_link_of_a_lesson_leads_to_a_lesson_or_to_docs_that_are_shipped(tmp_path):
    main(["lessons", "--folder", str(tmp_path), "--copy-only"])
    assert links()
    for name, link in links():
        # In Lab the notebooks lie at the top, from where ".." leads no further up.
        assert (tmp_path / link.removeprefix("../")).is_file(), (name, link)
        assert (PATHS[0].parent / link).is_file(), (name, link)
        assert link in {path.name for path in PATHS} | {f"../docs/{doc}" for doc in shipped.DOCS}
    for doc in shipped.DOCS:  # and from there nowhere else
        text = (shipped.folder("docs") / doc).read_text(encoding="utf-8")
        assert {*LINK.findall(text)} <= {*shipped.DOCS}


def test_the_docs_are_pages_beside_the_lessons(tmp_path):
    main(["lessons", "--folder", str(tmp_path), "--copy-only"])
    with start_pages(tmp_path) as address:
        for doc in shipped.DOCS:
            page = fetch(urljoin(f"{address}voila/render/01_earth_size.ipynb", f"../docs/{doc}"))
            title = re.match("# (.*)", (shipped.folder("docs") / doc).read_text("utf-8"))[1]
            assert f"<title>{title}</title>" in page and "<table>" in page and "| --" not in page
        with pytest.raises(urllib.error.HTTPError, match="404"):
            fetch(f"{address}voila/docs/unit.md")
