"""What a night's photographs, a group's sheet and the sky tell one another."""

from collections.abc import Iterable

import numpy as np
from astropy import units as u

from moonreach.lessons import moon_distance, shadow_cone
from moonreach.lessons.refuse import require
from moonreach.photo.measure import Measurement
from moonreach.photo.night import ANY_MOON, Night
from moonreach.reduction.group import GroupResult
from moonreach.sheet import clocks
from moonreach.sheet.group_sheet import GroupSheet
from moonreach.sheet.quantities import CONTACTS, QUANTITIES
from moonreach.sheet.reading import Reading

MADE_BY = "measured by moonreach photo"
SPARE = np.timedelta64(10, "m")  # a camera's clock may be off by so much
RADII = ("photo_shadow_radius", "photo_moon_radius")
NO_ECLIPSE = (
    "at {} UTC no eclipse of the Moon was to be seen: is the clock right, and is it the shadow?"
)
FEW = "no contact was written: that takes two pictures with times at least, far apart"
OTHERS = (
    "{} has photograph radii of {} already, in px of another picture perhaps; take them out first. "
    "Nothing was written"
)


def contacts_called(readings: Iterable[Reading]) -> list[tuple[str, np.datetime64, float]]:
    """Return the contacts that were called by eye, as `photo.night.fit_night` takes them.

    Those without a date or a zone are left out, as they have no moment of their own, and so are
    those that came from photographs.
    """
    contacts = []
    for reading in readings:
        clock = reading.value
        if reading.quantity not in CONTACTS or reading.note.startswith(MADE_BY):
            continue
        if clock.day is not None and clock.offset is not None:
            sd = reading.uncertainty
            sd = QUANTITIES[reading.quantity].typical if sd is None else sd
            moment = clocks.instant(clock)
            contacts.append((_short(reading.quantity), moment, float(sd.to_value(u.s))))
    return contacts


def moon_of(group: GroupResult | None) -> tuple[u.Quantity, u.Quantity]:
    """Return the Moon's semidiameter from Earth's centre, as a group's rod shows it.

    Parameters: the `GroupResult`, or None. Returns it and its standard uncertainty, as
    `photo.night.fit_night` takes them: those of any night, where no rod's angle is better known.
    """
    angle = group and group.outcome("angle")
    if not angle or angle.standard / angle.value > ANY_MOON[1] / ANY_MOON[0]:
        return ANY_MOON
    ratio = group["ratio" if "ratio" in group else "usual_shadow_ratio"]
    moons = shadow_cone.earth_in_moons(ratio)
    wide = moon_distance.geocentric_angle(angle.value * u.arcmin, group["moon_altitude"], moons)
    return wide / 2, wide / 2 * (angle.standard / angle.value)


def write_radii(
    sheet: GroupSheet, radii: Iterable[tuple[float, float]], made_by: str, note: str
) -> str:
    """Write the shadow's and the Moon's radius into a `GroupSheet`; return what to say.

    Those made in the same way before are replaced. Parameters: the sheet; radius and standard
    uncertainty of each in px; how they were made, with which their note begins, and its end.
    Errors: `Impossible` where the sheet has radii made in another way; as `GroupSheet.store`.
    """
    require(not sheet.made_otherwise(RADII, made_by), OTHERS, str(sheet.path), sheet.group)
    for name, (radius, sd) in zip(RADII, radii, strict=True):
        cells = {"value": f"{radius:.1f}", "unit": "px", "uncertainty": f"{sd:.2g}"}
        sheet.put(name, cells | {"note": f"{made_by}{note}"}, made_by)
    return f"both radii written for {sheet.group} into {sheet.path}"


def write_measured(measured: Measurement, sheet: GroupSheet) -> str:
    """Write both radii of a `Measurement` as `write_radii` does; return what to say."""
    count = len(measured.photographs)
    note = f": {f'{count} photographs, on a Moon of 100 px' if count > 1 else '1 picture'}"
    return write_radii(sheet, measured.radii(), MADE_BY, note)


def write_contacts(night: Night | None, sheet: GroupSheet) -> str:
    """Write the contacts of a `Night`, or None, into a `GroupSheet`; return what to say.

    A contact that was called by eye stays, and none is written beside it. Errors: `Impossible`
    where there is no contact.
    """
    require(night and night.contacts, FEW)
    note, written, kept = f"{MADE_BY}: {len(night.used.times)} timed photographs", [], []
    for quantity in CONTACTS:
        name, cells = _short(quantity), {}
        if sheet.made_otherwise((quantity,), MADE_BY):
            kept.append(name)
            continue
        if name in night.contacts:
            moment, sd = night.contacts[name]
            cells = {"value": f"{moment.astype('M8[s]')}Z", "unit": "s"}
            cells |= {"uncertainty": f"{sd:.0f}", "note": note}
            written.append(name)
        sheet.put(quantity, cells, MADE_BY)
    by_eye = f"; called by eye and left as they were: {', '.join(kept)}" if kept else ""
    names = ", ".join(written) or "no contact"
    return f"{names} written for {sheet.group} into {sheet.path}{by_eye}"


def doubt_by_the_sky(measured: Measurement) -> None:
    """Say in each timed `Photograph`'s message that no eclipse was going on then, if so."""
    from moonreach import sky  # which takes a while, and most pictures have no time

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


def _short(quantity):
    return f"U{quantity[-1]}"
