"""What `moonreach photo` does with the time of pictures: clocks, contacts, the sky, progress."""

import sys
from contextlib import contextmanager

import numpy as np
from astropy import units as u

from moonreach.lessons.refuse import require
from moonreach.photo.night import ANY_MOON
from moonreach.photo.times import Timing, read_times
from moonreach.sheet import clocks, tables
from moonreach.sheet.group_sheet import GroupSheet, Row
from moonreach.sheet.quantities import CONTACTS, QUANTITIES

SPARE = np.timedelta64(10, "m")  # a camera's clock may be off by so much
NO_ECLIPSE = (
    "at {} UTC no eclipse of the Moon was to be seen: is the clock right, and is it the shadow?"
)
FEW = "no contact was written: that takes two pictures with times at least, far apart"
BAR = 20  # letters


def timing_of(arguments):
    """Return the `Timing` that dates the pictures."""
    table = read_times(arguments.times) if arguments.times else None
    return Timing(table, arguments.utc_offset, arguments.time_in_name)


def moon_of(arguments):
    """Return the Moon's semidiameter and its standard uncertainty, today's where none is given."""
    diameter, sd = arguments.moon, arguments.moon_uncertainty
    if diameter is None:
        return ANY_MOON
    require(29 < diameter < 34, "--moon must be from 29 to 34 arcminutes, found {}", diameter)
    require(0 < sd < 5, "--moon-uncertainty must be above 0 and below 5 arcminutes, found {}", sd)
    return diameter / 2 * u.arcmin, sd / 2 * u.arcmin


def contacts_of(path, made_by):
    """Return the contacts that a class called by eye, as `fit_night` takes them.

    Those without a date or a zone are left out, as they have no moment of their own, and so are
    those that this command wrote.
    """
    contacts = []
    for reading in tables.read(path).readings:
        if reading.quantity in CONTACTS and not reading.note.startswith(made_by):
            clock = reading.value
            if clock.day is not None and clock.offset is not None:
                sd = reading.uncertainty
                sd = QUANTITIES[reading.quantity].typical if sd is None else sd
                moment = clocks.instant(clock)
                contacts.append((_short(reading.quantity), moment, float(sd.to_value(u.s))))
    return contacts


def _short(quantity):
    return f"U{quantity[-1]}"


def write_contacts(night, arguments, made_by):
    """Write the contacts of a `Night` into the group's sheet; return what to say."""
    require(night and night.contacts, FEW)
    sheet, written, kept = GroupSheet(None, arguments.group, arguments.sheet), [], []
    for quantity in CONTACTS:
        rows = sheet.rows((quantity,))
        if any(not row.cells["note"].startswith(made_by) for row in rows):
            kept.append(_short(quantity))
            continue
        for row in rows:
            row.cells = dict.fromkeys(row.cells, "")
            sheet.store(row)
        if _short(quantity) in night.contacts:
            moment, sd = night.contacts[_short(quantity)]
            value = f"{moment.astype('M8[s]')}Z"
            note = f"{made_by}: {len(night.used.times)} timed photographs"
            texts = {"value": value, "unit": "s", "uncertainty": f"{sd:.0f}", "note": note}
            sheet.store(Row(quantity, texts))
            written.append(_short(quantity))
    by_eye = f"; {', '.join(kept)} by eye stayed as they were" if kept else ""
    return f"{sheet.path}: {', '.join(written) or 'no contact'} written for {sheet.group}{by_eye}"


def doubt_by_the_sky(measured):
    """Say of each timed photograph that no eclipse was going on then, where that is so."""
    from moonreach import sky

    for photograph in measured.photographs:
        if photograph.time is None or not photograph.moon:
            continue
        try:
            contacts = sky.eclipse_on(str(photograph.time)[:10]).contacts[[1, 4]]
            going_on = contacts[0] - SPARE <= photograph.time <= contacts[1] + SPARE
        except ValueError:
            going_on = False
        if not going_on and not photograph.message.startswith("full Moon"):
            shown = f"{photograph.time.astype('M8[m]').item():%Y-%m-%d %H:%M}"
            doubt = NO_ECLIPSE.format(shown)
            photograph.message = "; ".join(filter(None, [photograph.message, doubt]))


@contextmanager
def progress():
    """Draw a bar on the screen while pictures are measured, if somebody looks at it."""
    shown = sys.stderr.isatty()

    def told(done, of):
        full = BAR * done // of
        print(
            f"\rmeasuring [{'#' * full}{'.' * (BAR - full)}]", end="", file=sys.stderr, flush=True
        )

    if shown:
        told(0, 1)
    yield told if shown else lambda *done: None
    if shown:
        print("\r" + " " * (BAR + 12) + "\r", end="", file=sys.stderr)
