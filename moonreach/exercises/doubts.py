"""What is impossible or unlikely in a group's readings, said in one sentence each.

Limits are common practice, no source, but for these. The Moon's geocentric angle is 29.4' to 33.5'
(Krisciunas 2010, Am. J. Phys. 78, 834); from the ground up to 1/56 more. Totality lasts at most
1 h 47 min (from memory; that of 2000 July 16 lasted 1 h 46.4 min, NASA/GSFC, F. Espenak). Over
the eclipses of 2001 to 2100 the shadow ratio is 2.62 to 2.77 by Danjon's rule.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from astropy import units as u

from moonreach.lessons import eclipse_timing, sun_distance
from moonreach.lessons.refuse import Impossible
from moonreach.reduction import chain, further
from moonreach.reduction.further import BY_ALTITUDES
from moonreach.reduction.results import MEASUREMENTS
from moonreach.reduction.steps import work_out
from moonreach.sheet import timeline
from moonreach.sheet.quantities import CONTACTS, GNOMONS
from moonreach.sheet.reading import Reading

LEAST_ANGLE, GREATEST_ANGLE = 29.4 * u.arcmin, 34.1 * u.arcmin
_OFF_HALF = 15 * u.deg  # far beyond what an eye mistakes for half; common practice, no source
_SAME_KIND = ((u.mm, u.cm, u.m, u.km), (u.s, u.min, u.h))


@dataclass(frozen=True)
class Doubt:
    """One sentence about a reading that cannot be or is not likely."""

    reading: Reading
    sentence: str


def doubts(readings):
    """Return the `Doubt`s about one group's readings, in the order of the lessons.

    Parameters: a list of `Reading`. Nothing is refused here; a doubt is to be talked over.
    """
    group = {}
    for reading in readings:
        group.setdefault(reading.quantity, []).append(reading)
    middles = {name: _middle(rows) for name, rows in group.items()}
    middles = {name: value for name, value in middles.items() if value is not None}
    checks = _shadows, _earth, _contacts, _phases, _hole, _rod, _photograph, _altitude
    checks += _half_moon, _pair, _apart, _solar_eclipse
    found = [*_far_from_the_rest(group)]
    for check in checks:
        found += check(group, middles)
    return [Doubt(*doubt) for doubt in found]


def _middle(rows):
    try:
        values = u.Quantity([row.value for row in rows])
    except (TypeError, u.UnitConversionError):  # words, clock times; px mixed with mm
        return None
    return np.median(values)


def _far_from_the_rest(group):
    for name, rows in group.items():
        if len(rows) < 2 or _middle(rows) is None:
            continue
        middle = _middle(rows[:1] if len(rows) == 2 else rows)
        if not middle > 0 * middle.unit:
            continue
        limit = 1.15 if name in ("vanish_distance", "rim_distance") else 1.5
        for row in rows:
            ratio = (row.value / middle).to_value(u.one)
            # A shadow's end is a blur of some centimetres, however short the shadow.
            near = name.endswith("shadow_length") and abs(row.value - middle) < 4 * u.cm
            if not near and not 1 / limit <= ratio <= limit:
                meant = _meant(row.value, lambda v, middle=middle: 0.67 < v / middle < 1.5)
                rest = "the other reading" if len(rows) == 2 else "the middle one of the readings"
                yield row, f"{row.value:g} is far from {rest}, {middle:.4g}{meant}"


def _meant(value, fits):
    """Return the question which unit was meant, if the same number fits in another one."""
    for units in _SAME_KIND:
        if value.unit in units:
            for unit in units:
                if unit != value.unit and fits(value.value * unit):
                    return f": did you mean {unit}?"
    return ""


def _shadows(group, middles):
    for place in ("north", "south"):
        height = middles.get(f"{place}_gnomon_height")
        for row in group.get(f"{place}_gnomon_height", ()):
            if not 5 * u.cm <= row.value <= 30 * u.m:
                meant = _meant(row.value, lambda v: 0.2 * u.m < v < 5 * u.m)
                yield row, f"a gnomon of {row.value:g} is unlikely{meant}"
        for row in group.get(f"{place}_shadow_length", ()) if height is not None else ():
            ratio = row.value / height
            meant = _meant(row.value, lambda v, height=height: 0.02 < v / height < 4)
            if ratio > 6 or (0 < ratio < 0.01 and meant):
                low = "" if meant else ", with the Sun that low at noon, is unlikely"
                yield row, f"a shadow of {row.value:g} from a {height:g} gnomon{meant or low}"


def _earth(group, middles):
    distance = "north_south_distance" if "north_south_distance" in group else "road_distance"
    for row in group.get(distance, ()):
        if row.value < 100 * u.km:
            meant = _meant(row.value, lambda v: 300 * u.km < v < 5000 * u.km)
            text = "leaves an arc of less than a degree, too little to measure with shadows"
            yield row, f"a distance of {row.value:g} {text}{meant}"
            return
    words = {name: rows[0].value for name, rows in group.items() if name not in middles}
    if MEASUREMENTS["earth"].lacks(middles):
        return
    row = group[GNOMONS[1]][0]
    values = middles | words
    found = work_out(chain.EARTH, values)
    if found.refused:
        yield row, next(iter(found.refused.values())).partition(": ")[2]
        return
    diameter = values["earth_diameter"].to_value(u.km)
    if not 6_000 < diameter < 25_000:
        text = "look again at the four lengths, the distance and their units"
        yield row, f"together these readings make the Earth {diameter:,.0f} km wide: {text}"


def _contacts(group, middles):
    rows = [group[name][0] for name in CONTACTS if name in group]
    try:
        times = timeline.place([row.value for row in rows]) if rows else []
    except Impossible as error:
        yield rows[0], str(error)
        return
    at = {row.quantity: (row, time.to(u.min)) for row, time in zip(rows, times, strict=True)}
    for first, second in pairwise(at):
        (row, time), before = at[second], at[first][1]
        if time <= before:
            yield row, f"U{second[-1]} is not later than U{first[-1]}"
            return
    spans = {
        second: at[second][1] - at[first][1]
        for first, second in pairwise(CONTACTS)
        if {first, second} <= set(at)
    }
    found = []
    for name, lasts in spans.items():
        found += _duration(at[name][0], lasts, name == CONTACTS[2])
    if len(spans) == 3 and not found:
        enter, total, leave = spans.values()
        if abs(enter - leave) > 12 * u.min:
            text = f"the Moon took {enter:.0f} to enter and {leave:.0f} to leave"
            found.append((at[CONTACTS[3]][0], f"{text}, but the two are alike"))
        found += _ratio(at[CONTACTS[2]][0], (enter + leave) / 2, total)
    yield from found


def _phases(group, middles):
    found = []
    for name in ("partial_phase", "total_phase"):
        for row in group.get(name, ()):
            found += _duration(row, row.value, name == "total_phase")
    if not found and {"partial_phase", "total_phase"} <= set(middles):
        row = group["total_phase"][0]
        found += _ratio(row, middles["partial_phase"], middles["total_phase"])
    return found


def _duration(row, lasts, total):
    least, greatest = (0 * u.min, 110 * u.min) if total else (50 * u.min, 115 * u.min)
    if not least <= lasts <= greatest:
        phase = "total" if total else "partial"
        limits = "at most 1 h 47 min" if total else "55 to 110 min when it is total"
        clock = not hasattr(row.value, "unit")
        meant = "" if clock else _meant(row.value, lambda v: 20 * u.min < v < 110 * u.min)
        yield row, f"a {phase} phase of {lasts:.4g} cannot be (it lasts {limits}){meant}"


def _ratio(row, partial, total):
    if total > 0 * u.s and (ratio := eclipse_timing.ratio_through_middle(partial, total)) > 2.95:
        text = "but Earth's shadow is never more than 2.8 Moons wide"
        yield row, f"these times make the shadow at least {ratio:.2f} Moons wide, {text}"


def _hole(group, middles):
    disc = middles.get("disc_diameter")
    for row in group.get("hole_diameter", ()) if disc is not None else ():
        if row.value >= disc:
            yield row, f"a hole of {row.value:g} is not smaller than the disc of {disc:g}"
        elif row.value > disc / 2:
            yield row, f"a hole of {row.value:g} is very wide for a disc of {disc:g}"


def _rod(group, middles):
    vanish, rim = (middles.get(f"{seen}_distance") for seen in ("vanish", "rim"))
    if vanish is not None and rim is not None and vanish > rim:
        text = "but the rim shows only farther out: were the two swapped?"
        yield group["vanish_distance"][0], f"vanish {vanish:.4g} is beyond rim {rim:.4g}, {text}"
    hole = middles.get("hole_diameter", 1 * u.mm)
    if MEASUREMENTS["angle"].lacks(middles) or hole >= middles["disc_diameter"]:
        return

    def angle(disc):
        values = {"hole_diameter": hole} | middles | {"disc_diameter": disc}
        work_out(chain.SIGHTING, values)
        return values["angle"]

    def fits(disc):
        return disc > hole and LEAST_ANGLE * 0.95 < angle(disc) < GREATEST_ANGLE * 1.05

    disc = middles["disc_diameter"]
    # One reading of a beginner scatters by a few per cent; only beyond that it is worth a word.
    if not LEAST_ANGLE * 0.98 <= angle(disc) <= GREATEST_ANGLE * 1.02:
        radius = ": is this the disc's radius and not its diameter?" if fits(2 * disc) else ""
        yield (
            group["disc_diameter"][0],
            f"these readings make the Moon {angle(disc).to_value(u.arcmin):.3g}′ wide, but from "
            f"the ground it is 29.4′ to 34.1′{radius or _meant(disc, fits)}",
        )


def _photograph(group, middles):
    names = "photo_shadow_radius", "photo_moon_radius"
    if not set(names) <= set(middles):
        return
    row, (shadow, moon) = group[names[0]][0], (middles[name] for name in names)
    if not shadow.unit.is_equivalent(moon.unit):
        yield row, "one radius is in px and the other in a length, so they cannot be compared"
    elif shadow <= moon:
        yield row, "the shadow's circle is not larger than the Moon's: were the two swapped?"
    elif not 2.2 < (ratio := (shadow / moon).to_value(u.one)) < 3.3:
        yield row, f"the shadow is {ratio:.2f} Moons wide here; in the sky it is 2.6 to 2.8"


def _altitude(group, middles):
    for row in group.get("moon_altitude", ()):
        if row.value < 5 * u.deg:
            yield row, f"a Moon at an altitude of {row.value:g} is hardly to be seen"


def _half_moon(group, middles):
    words = "from the Sun, but a Moon that looks half is"
    for row in group.get("half_moon_elongation", ()):
        if abs(row.value - 90 * u.deg) > _OFF_HALF:
            yield row, f"this Moon is {row.value:g} {words} within 15° of 90°"
    if set(BY_ALTITUDES) <= set(middles):
        found = sun_distance.elongation_from_altitudes(*(middles[name] for name in BY_ALTITUDES))
        if abs(found - 90 * u.deg) > _OFF_HALF:
            text = f"these three angles put the Moon {found.value:.0f}° {words} within 15° of 90°"
            yield group[BY_ALTITUDES[2]][0], text


def _pair(group, middles):
    words = {name: rows[0].value for name, rows in group.items() if name not in middles}
    if MEASUREMENTS["pair"].lacks(middles) or "pair_shift" in middles:
        return
    values = {further.GLOBE: 1 * u.one} | middles | words
    work_out(further.PAIR, values)
    if "pair_shift" not in values:  # azimuths and longitudes are there
        return
    shift = values["pair_shift"].to_value(u.deg)
    if not -1 <= shift <= 3:
        yield (
            group["pair_north_zenith_distance"][0],
            f"these angles shift the Moon by {shift:.1f}°, but at most 2° is possible: look at the "
            "signs of the latitudes, and whether the Moon stood between the zeniths (pair_moon)",
        )


def _apart(group, middles):
    names = [f"pair_{where}_longitude" for where in ("north", "south")]
    anywhere = {*further.PLACED, further.ZENITHS[1]} <= set(middles)
    if set(names) <= set(middles) and not anywhere:
        apart = ((middles[names[0]] - middles[names[1]]).to_value(u.deg) + 180) % 360 - 180
        if abs(apart) > 1.5 and "pair_shift" not in middles:
            text = "of longitude apart: without both azimuths that spoils the distance"
            yield group[names[0]][0], f"the places are {abs(apart):.0f}° {text}"


def _solar_eclipse(group, middles):
    names = [f"solar_eclipse_{where}_part" for where in ("north", "south")]
    if not set(names) <= set(middles):
        return
    deeper, other = sorted((middles[name] for name in names), reverse=True)
    row = group[names[0]][0]
    if deeper == other:
        yield row, "the Sun is covered alike at both places, which leaves the Moon no shift"
    elif deeper < 0.97:
        yield row, f"at neither place is the eclipse total ({deeper:g} at most), as it should be"
