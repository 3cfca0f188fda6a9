"""Text that a cell of a notebook shows as it is."""

import html


class Said(str):
    """Text that a cell shows as it is: lines on paper, paragraphs in a browser."""

    def __repr__(self):
        return str(self)

    def _repr_html_(self):
        lines = "<br>".join(html.escape(line) for line in self.splitlines())
        return f'<div style="max-width: 46em; line-height: 1.5">{lines}</div>'
