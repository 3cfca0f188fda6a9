"""A night's photographs on a page: which belong together, and the machine at work beside all else.

The fit runs in a thread of this process, from the third try on: by the time somebody asks for it,
it is mostly ready.
"""

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from moonreach.notebook.shipped import PICTURE, picture
from moonreach.photo import measure_photographs
from moonreach.photo.night import ANY_MOON
from moonreach.photo.times import Timing
from moonreach.reduction.photographs import contacts_called, doubt_by_the_sky, moon_of

ENDINGS = (".jpg", ".jpeg", ".png")
_QUARTERS = {23, 35, 51}  # of an hour from UTC, beside the half hours: the zones that there are
CLOCKS = {"as written in each picture": None} | {
    f"UTC{'-+'[quarters >= 0]}{abs(quarters) // 4}:{abs(quarters) % 4 * 15:02}": quarters / 4
    for quarters in range(-48, 57)
    if quarters % 2 == 0 or quarters in _QUARTERS
}  # what a group may say of its camera's clock: hours from UTC
_AT_ONCE = 2  # a newer night need not wait for an older one
_WORKERS = ThreadPoolExecutor(_AT_ONCE, "photograph")
_FITS = {}  # of nights, by all that is asked of them


def folder_of(sheet):
    """Return the folder of a `GroupSheet`'s group's photographs."""
    return sheet.path.with_suffix("") / "photographs"


def own_pictures(sheet):
    """Return the paths of a `GroupSheet`'s group's photographs, or of nobody's."""
    every = sorted(folder_of(sheet).glob("*.*")) if sheet else ()
    return [path for path in every if path.suffix.lower() in ENDINGS]


def night_of(path, night=(), sheet=None):
    """Return the paths of one night as texts, the given picture first, each once.

    Parameters: the picture; the night's pictures, or nothing: then the shipped picture has the
    shipped night, one of the group's has all of the group's, and any other stands alone; the
    group's sheet.
    """
    if not night and path == picture(PICTURE):
        night = sorted(path.parent.glob("*.jpg"))
    elif not night and path in (own := own_pictures(sheet)):
        night = own
    others = [other for other in map(Path, night) if other.resolve() != path.resolve()]
    return (str(path), *map(str, others))


def begin(desk, path, night=()):
    """Begin to measure a picture with all of its night; return the `Future` of a `Measurement`.

    Its attribute ``steps`` is a list of how many are done and of how many, the last at its end.

    The contacts that the `Desk`'s group called belong to its own pictures, and so do the Moon's
    size by its rod and the clock's offset that it told. What was begun before is not measured
    twice; what waits for its turn, as others are at work, gives way to this one.
    """
    offset, contacts, moon = None, (), ANY_MOON
    if path != picture(PICTURE) and desk.sheet:
        offset = CLOCKS.get(desk.page_notes.get(desk.lesson, "clock"))
        if own := desk.own()[0]:  # what a damaged sheet lacks is said on the page already
            contacts, moon = tuple(contacts_called(own.rows)), moon_of(own)
    asked = night_of(path, night, desk.sheet), offset, contacts, moon
    if sum(fit.running() for fit in _FITS.values()) >= _AT_ONCE:
        for other in [other for other in _FITS if other != asked and _FITS[other].cancel()]:
            del _FITS[other]
    if asked not in _FITS:
        steps = [(0, 1)]
        fit = _WORKERS.submit(_measured, *asked, told=lambda *step: steps.append(step))
        fit.steps, _FITS[asked] = steps, fit
    return _FITS[asked]


def _measured(paths, offset, contacts, moon, told):
    measured = measure_photographs(paths, Timing(offset=offset), moon, contacts, told)
    doubt_by_the_sky(measured)
    return measured
