"""The sighting rod: how it is put together, discs, sight-hole card, scales to glue."""

import numpy as np
from astropy import units as u

from moonreach.figures import style
from moonreach.kit import strips

NIGHT = (
    "For the Moon at night only. Never look at or near the Sun with it. Keep the soft, wide stop "
    "at the eye, stand still, and never walk with the rod raised. The rules of the school and the "
    "place come first."
)
TOOLS = (
    "Craft knife and drill: used by an adult or beside one, on a cutting mat, the work held fast. "
    "The school's rules for tools come first."
)
_PARTS = """\
• 1 straight batten, {rod:g} long or a little more, about 20 by 40 mm: curtain rail, roofing batten
• 1 sight-hole card and 1 disc from this kit, glued on stiff card (cereal box, back of a pad)
• 1 soft eye stop: a ring of foam, 40 mm wide or more (pipe insulation, a bath sponge)
• 1 slider: a strip of card folded round the batten, or a wooden clothes peg
• 1 stalk for the disc: a bamboo skewer with both points cut off
• the scale strips of this kit, glue stick, clear tape, a steel tape measure to check them
• a rest: the back of a chair, a fence post or a camera tripod
• a calliper or a good ruler: the disc as cut is what counts, so measure it three ways across
• by night: a watch, a pencil, a lamp with red paper before it"""
_EXTREMES = (36 * u.arcmin, 27 * u.arcmin)  # the scales go somewhat beyond every Moon


def assembled(kit):
    """Yield the page with the drawing of the rod, its parts, and how it is put together."""
    page = kit.page("The sighting rod, put together")
    y = page.caution(page.top, NIGHT)
    _drawing(page, y - 68)
    y = page.paragraph(page.left, y - 74, page.right - page.left, kit.reach())
    y = page.paragraph(page.left, y - 1, page.right - page.left, "Parts to find in a school", 10)
    y = page.paragraph(page.left, y, page.right - page.left, _PARTS.format(rod=kit.rod), 8.5)
    page.paragraph(
        page.left,
        y - 1,
        page.right - page.left,
        "The scale counts from the sight hole: set the tape measure's zero at the hole, glue the "
        "first strip by it, and check every join. Two readings: slide the disc out from the eye; "
        "just before the Moon's edge shows anywhere is VANISH; where the rim first shows all round "
        "is RIM. Take the two in turn, five times each.",
        8.5,
    )
    yield page


def _drawing(page, y):
    """Draw the rod from the side; `y` is the lower edge of the picture, 64 mm high."""
    x, end = page.left + 10, page.right - 22
    axis, disc = y + 38, page.left + 112
    page.rectangle(x, y + 24, end - x, 5, facecolor="#e8d9bf")
    page.line([x + 55, end], [y + 26.5] * 2, lw=3, color=style.PALE)
    page.strokes([((m, y + 25.2), (m, y + 27.8)) for m in np.arange(x + 56, end, 3)])
    page.rectangle(x + 3, y + 29, 1.2, 17, facecolor=style.PALE)
    page.circle(x + 3.6, axis, 0.7, facecolor="white")
    page.rectangle(x - 3, axis - 6, 6, 12, facecolor="#f2c9b0")
    page.rectangle(disc - 4, y + 22.5, 8, 8, facecolor="white")
    page.line([disc] * 2, [y + 30.5, axis], lw=1.4)
    page.line([disc] * 2, [axis - 2.4, axis + 2.4], lw=4, color=style.OWN)
    moon = page.right - 8
    page.circle(moon, axis, 5, facecolor=style.MOON)
    for side in (1, -1):
        page.line([x + 3.6, moon], [axis, axis + 5 * side], lw=0.6, color=style.FAINT)
    page.area([(disc - 34, y + 24), (disc - 42, y + 6), (disc - 26, y + 6)], facecolor=style.PALE)
    labels = (
        ("soft eye stop", (x, axis + 6), (x + 4, y + 58)),
        ("sight-hole card", (x + 4, axis + 8), (x + 34, y + 58)),
        ("disc", (disc, axis + 2.6), (disc, y + 58)),
        ("stalk", (disc, y + 33), (disc + 20, y + 49)),
        ("slider: read the scale below the disc", (disc + 3, y + 22.4), (disc + 12, y + 13)),
        ("rest", (disc - 34, y + 10), (disc - 60, y + 12)),
        ("scale strips", (x + 62, y + 25), (x + 26, y + 13)),
        ("the Moon, at night", (moon, axis + 5.2), (moon - 10, y + 58)),
    )
    for text, point, at in labels:
        arrow = {"arrowstyle": "-", "lw": 0.5, "color": style.FAINT, "shrinkA": 1, "shrinkB": 0}
        page.axes.annotate(text, point, at, fontsize=8, ha="center", va="center", arrowprops=arrow)
    note = "Not to scale: the rod is drawn far too short, disc and Moon far too large."
    page.words(page.left, y - 3, note, 8, color=style.FAINT)


def discs(kit):
    """Yield the page of disc and cap outlines of the rod's disc, and of other diameters."""
    diameter = kit.disc.to_value(u.mm)
    page = kit.page(f"Discs and caps, {diameter:g} mm")
    y = page.caution(page.top, TOOLS)
    how = (
        "Cut a disc along its outer edge and measure it: the diameter as cut goes into the class "
        "sheet. Glue the tail to the stalk, so that nothing but the stalk stands out below."
    )
    y = page.paragraph(page.left, y, page.right - page.left, how) - diameter / 2 - 3
    step = diameter + 10
    count = int((page.right - page.left) // step)
    for row in range(2 if diameter <= 20 else 1):  # enough for a class, where they fit
        y -= row * (diameter + 20)
        for x in page.left + step * (np.arange(count) + 0.5):
            page.circle(x, y, diameter / 2)
            _centre(page, x, y)
            page.rectangle(x - 2, y - diameter / 2 - 12, 4, 12)
    y -= diameter / 2 + 18
    how = (
        "A cap for a cylinder (a dowel, a cork, a bottle top) of nearly this diameter: fold the "
        "teeth back and glue them round it; the strip then goes over the teeth."
    )
    y = page.paragraph(page.left, y, page.right - page.left, how) - diameter / 2 - 8
    for number in range(3):
        x = page.left + (diameter + 16) * (number + 0.5)
        if x + diameter / 2 + 8 < page.right:
            _cap(page, x, y, diameter / 2)
    y -= diameter / 2 + 20
    page.rectangle(page.left, y, np.pi * diameter + 8, 8)
    page.strokes([((page.left + np.pi * diameter, y), (page.left + np.pi * diameter, y + 8))])
    page.words(
        page.left + 2, y + 4, f"strip, {np.pi * diameter:.1f} mm to the mark", 7, va="center"
    )
    others = [size for size in (10, 12, 14, 16, 18, 20) if size != diameter]
    how = "Other diameters, for comparing. The printed scale does not belong to them."
    y = page.paragraph(page.left, y - 6, page.right - page.left, how) - 14
    x = page.left
    for size in others:
        page.circle(x + size / 2, y, size / 2)
        page.words(x + size / 2, y, f"{size}", 7, ha="center", va="center")
        x += size + 9
    yield page


def _centre(page, x, y):
    page.strokes([((x - 2, y), (x + 2, y)), ((x, y - 2), (x, y + 2))])


def _cap(page, x, y, radius, teeth=12):
    """Draw a circle with teeth to fold back."""
    page.circle(x, y, radius, ls="--")
    _centre(page, x, y)
    turns = np.arange(2 * teeth + 1) * np.pi / teeth
    reach = np.where(np.arange(2 * teeth + 1) % 2, radius + 0.4, radius + 6)
    page.line(x + reach * np.cos(turns), y + reach * np.sin(turns))


def sight_hole(kit):
    """Yield the page of sight-hole cards and eye stops."""
    hole = kit.hole.to_value(u.mm)
    page = kit.page(f"Sight-hole card, hole {hole:g} mm")
    y = page.caution(page.top, f"{NIGHT} {TOOLS}")
    how = (
        f"Glue on stiff card, cut out, and make a round hole of {hole:g} mm at the cross with a "
        "drill or a needle, from the printed side; then smooth the edge. "
        "Measure the hole with a drill shank or against a ruler under a lens: its width goes into "
        "the class sheet. Fold the foot back along the dashed line and fix it upright to the rod."
    )
    y = page.paragraph(page.left, y, page.right - page.left, how) - 4
    for number in range(2):
        x, low = page.left + 4 + 72 * number, y - 85
        page.rectangle(x, low, 60, 85)
        page.line([x, x + 60], [low + 25] * 2, ls="--")
        page.words(x + 30, low + 12, "foot: fold back, fix to the rod", 7, ha="center")
        middle = (x + 30, low + 55)
        page.circle(*middle, hole / 2, lw=0.3)
        for radius in (10, 20):
            page.circle(*middle, radius, lw=0.3, ls=":")
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            page.strokes([[(middle[0] + r * dx, middle[1] + r * dy) for r in (hole / 2 + 0.5, 24)]])
        page.words(x + 2, low + 81, "this side to the Moon", 7, va="center")
    how = (
        "Eye stop: cut the ring from soft foam, 10 mm thick or more, and glue it to the eye's side "
        "of the card, its middle on the hole. It keeps card and rod away from the eye."
    )
    y = page.paragraph(page.left, y - 93, page.right - page.left, how) - 26
    for radius in (22, 7):
        page.circle(page.left + 30, y, radius)
    page.words(page.left + 58, y, "ring of foam, 44 mm wide, opening 14 mm", 8, va="center")
    yield page


def scales(kit):
    """Yield the pages of scale strips: distance from the hole, and the Moon's angle by it."""
    first = kit.reading(_EXTREMES[0], "vanish").to_value(u.mm)
    first = max(0, np.floor(first / strips.LENGTH) * strips.LENGTH)
    angles = np.arange(_EXTREMES[1].value, 60.01, 0.1).round(1)
    marks = {
        seen: (angles, kit.reading(angles * u.arcmin, seen).to_value(u.mm))
        for seen in ("vanish", "rim")
    }
    how = (
        f"{kit.reach()} Cut out the strips and glue them to the rod end to end; the first mark is "
        f"{first / 1000:g} m from the sight hole by a steel tape. On the lower rows stands the "
        "Moon's angle in arcminutes: one row for the vanish reading, one for the rim reading. Both "
        "should tell the same angle. Only for this disc and hole; for another, write down "
        "centimetres alone."
    )
    yield from strips.pages(
        kit, "Rod scale", how, NIGHT, first, kit.rod.to_value(u.mm), marks, "from the hole"
    )
