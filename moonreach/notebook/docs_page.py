"""The docs that the lessons lead to, as pages beside them: ``../docs/sources.md`` and its like."""

from nbconvert.filters import markdown2html
from tornado.web import authenticated

from moonreach.notebook import shipped
from moonreach.notebook.own_page import OwnPage

# From a lesson at voila/render/ the links of its notebook lead here, as in a clone and in Lab.
PLACE = rf"voila/docs/({'|'.join(shipped.DOCS)})"


class DocsPage(OwnPage):
    """One file of the docs as a page."""

    @authenticated
    def get(self, name):
        """Answer with the file, its Markdown set as a page."""
        text = (shipped.folder("docs") / name).read_text(encoding="utf-8")
        title = text.partition("\n")[0].strip("# ")
        self.show("docs.html", title=title, words=markdown2html(text))
