"""The printed kit: parts true to scale, cards and forms, in one PDF.

    Kit(disc=15 * u.mm).save("kit.pdf")

Every page carries a check bar of 100 mm in both directions. Angles on the rod's scale and on the
gnomon's rings come from the lessons' own functions.
"""

import io
from dataclasses import dataclass

from astropy import units as u
from matplotlib.backends.backend_pdf import PdfPages

from moonreach.figures import style
from moonreach.kit import cards, gnomon, quadrant, rod
from moonreach.kit.page import PAGES, PAPERS, WORDS, Page
from moonreach.lessons import sighting_angle, today
from moonreach.lessons.refuse import require
from moonreach.sheet import writing

# In this order they leave the printer: rod, gnomon, quadrant, eclipse, the sheets to fill in.
PARTS = (
    rod.assembled,
    rod.discs,
    rod.sight_hole,
    rod.scales,
    rod.target,
    gnomon.base,
    gnomon.tapes,
    cards.noon_log,
    quadrant.page,
    cards.timing,
    cards.log,
    cards.class_sheet,
)
_LIMITS = {"disc": (5, 40, u.mm), "hole": (0.3, 5, u.mm), "rod": (0.5, 6, u.m)}


@dataclass(frozen=True)
class Kit:
    """What the parts are printed for: a paper, the rod's disc, sight hole and length, a latitude.

    The usual disc of 15 mm behind a hole of 1.5 mm covers every Moon within a rod of 2 m. Raises
    `Impossible` for a paper that is not known, for parts that no one could build, and for a rod
    on which no Moon vanishes.
    """

    paper: str = "a4"
    disc: u.Quantity = 15 * u.mm
    hole: u.Quantity = 1.5 * u.mm
    rod: u.Quantity = 2 * u.m
    latitude: u.Quantity = 50 * u.deg

    def __post_init__(self):
        unknown = "found the paper {!r}; accepted are a4 and letter"
        require(self.paper in PAPERS, unknown, self.paper)
        for name, (least, most, unit) in _LIMITS.items():
            found = getattr(self, name)
            wanted = f"the kit's {name} is {{}}; accepted is {least} to {most} {unit}"
            require(least * unit <= found <= most * unit, wanted, found)
        needed = self.reading(today.MOON_GREATEST_DIAMETER, "vanish").to(u.m)
        sentence = "a disc of {} covers even the nearest Moon only at {}, beyond the rod of {}"
        require(needed < self.rod, sentence, self.disc, needed, self.rod)

    def reading(self, angle, seen):
        """Return where the disc must stand for a Moon of this angle; see `sighting_angle`."""
        return sighting_angle.expected_reading(self.disc, angle, self.hole, seen)

    def reach(self):
        """Return in one sentence where this disc will stand, and whether the rod is long enough."""
        nearest = self.reading(today.MOON_GREATEST_DIAMETER, "vanish").to_value(u.m)
        farthest = self.reading(today.MOON_LEAST_DIAMETER, "rim").to(u.m)
        reach = WORDS["reach"].format(nearest=nearest, farthest=farthest.value, **vars(self))
        suits = "enough" if farthest <= self.rod else "too_short"
        return WORDS[suits].format(reach=reach, rod=self.rod)

    def page(self, title, landscape=False):
        """Begin a page of this kit."""
        return Page(title, self.paper, WORDS["foot"].format(**vars(self)), landscape)

    def begin(self, name, landscape=False, size=9, **values):
        """Begin a page of `kit.toml`: title, cautions, how it is used.

        Parameters: its name there, whether it lies on its side, the size of its words, and what
        the words ask for. Returns the page and the height from which it is free.
        """
        words = PAGES[name]
        values = vars(self) | values
        page = self.page(words["title"].format(**values), landscape)
        page.copies, y = words["copies"], page.top
        if "cautions" in words:
            y = page.caution(y, " ".join(WORDS["cautions"][hazard] for hazard in words["cautions"]))
        if "how" in words:
            y = page.paragraph(y, words["how"].format(**values), size)
        return page, y

    def printing_list(self, groups, numbers=None):
        """Return the lines that say how often each page is printed for so many groups.

        `numbers` are those of the pages to print, as `save` takes them.
        """
        lines, sheets = [], 0
        for number, page in enumerate(self.pages(), start=1):
            if number in (numbers or [number]):
                copies = groups if page.copies == "group" else 1 + (groups - 1) // 6
                sheets += copies
                row = {"number": number, "copies": copies, "title": page.title}
                lines.append(WORDS["list_row"].format(**row))
        return [WORDS["list"].format(groups=groups, sheets=sheets), *lines]

    def pages(self):
        """Return the kit's pages in their order."""
        with style.look():
            pages = [page for part in PARTS for page in part(self)]
            for number, page in enumerate(pages, start=1):
                page.number(number, len(pages))
            return pages

    def save(self, path, numbers=None):
        """Write the kit as a PDF, whole or not at all; return the pages that were written.

        `numbers` are those of the pages to write, from 1; all of them where it is None.
        """
        pages, file = self.pages(), io.BytesIO()
        beyond = max(numbers or [1]) <= len(pages)
        require(beyond, "the kit has pages 1 to {}, found {}", len(pages), max(numbers or [1]))
        pages = [pages[number - 1] for number in numbers] if numbers else pages
        about = {"Title": "moonreach: the printed kit", "CreationDate": None}
        with style.look(), PdfPages(file, metadata=about) as pdf:
            for page in pages:
                pdf.savefig(page.figure)
        writing.replace(path, file.getvalue())
        return pages
