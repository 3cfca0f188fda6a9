"""The plan of a school's nights as text, each block with its caution."""

from datetime import date, datetime

import numpy as np
from astropy import units as u

from moonreach import sky
from moonreach.sky import planning

CAUTION_NIGHT = (
    "A lunar eclipse is safe to look at. Nights out: with permission, in pairs, warm, away from\n"
    "roads; the school's and the place's own rules go first."
)
CAUTION_ROD = (
    "The rod is for the Moon at night only: never point it at or near the Sun. Soft, wide eye\n"
    "stop; feet still; nobody walks with it up."
)
CAUTION_HALF_MOON = (
    "Never look for the angle to the Sun by eye or instrument: the Sun's place comes from a\n"
    "shadow, and the half Moon stands a quarter of the sky away from it."
)
CAUTION_SUN = "Nobody looks at the Sun: read the shadows on the ground."


def as_text(plan):
    """Return the plan as text: eclipses, evenings, half Moons, noon shadows, with cautions."""
    blocks = [_heading(plan), _eclipse_text(plan)]
    if plan.place:
        blocks.append(_evening_text(plan))
        if plan.half_moons:
            blocks.append(_half_moon_text(plan))
    if plan.noons:
        blocks.append(_noon_text(plan))
    note = sky.clock_note(str(plan.last))
    return "\n\n".join(blocks + ([note] if note else []))


def _heading(plan):
    span = f"From {plan.first} to {plan.last}"
    if plan.place is None:
        return f"{span}, anywhere on Earth. Times are UTC."
    clocks = f"Times are those of {plan.place.zone}."
    if plan.place.zone == "UTC":
        clocks = "Times are UTC: give --zone for the place's own clocks."
    return f"{span}, at {degrees_of(plan.place)}. {clocks}"


def _eclipse_text(plan):
    chosen = plan.umbral_in_sight
    lines = ["LUNAR ECLIPSES" + (" in sight there" if plan.place else "")]
    for i in range(len(chosen)):
        lines += _one_eclipse(chosen[i], plan.place)
    if not len(chosen):
        lines.append("  No total or partial eclipse in this span; a longer one will have some.")
    umbral = int((plan.found.kind != "penumbral").sum())
    left = {
        "below the horizon": umbral - len(chosen),
        "penumbral, hardly to be noticed": len(plan.found) - umbral,
    }
    if any(left.values()):
        left = "; ".join(f"{count} {why}" for why, count in left.items() if count)
        lines.append(f"  Not listed: {left}.")
    return "\n".join([*lines, CAUTION_NIGHT])


def _one_eclipse(one, place):
    """Return the lines of one eclipse."""
    moments = sky.moments_of(one)[1:-1]
    sight = sky.seen_from(one, place) if place else None
    parts = []
    for k, (name, instant) in enumerate(zip(sky.MOMENTS[1:-1], moments, strict=True)):
        if np.isnat(instant):
            continue
        part = f"{name} {clock(instant, place)}"
        if place:
            height = sight.altitude[k + 1].to_value(u.deg)
            part += f" ({height:.0f}°)" if height > 0 else " (below)"
        parts.append(part)
    seen = {"all": "all in sight", "part": "part in sight"}[str(sight.visible)] if place else ""
    measure = f"{planning.advice(one)}"
    if one.kind == "total":
        error = round(100 * float(one.simple_timing_error), 1) + 0.0  # no "-0.0"
        measure += f' ("through the middle" would be {error:+.1f} %)'
        if place and not sight.above[[1, 2, 4, 5]].all():
            measure += "; not all of U1 to U4 in sight"
    head = f"  {day(one.greatest, place)}  {one.kind}, magnitude {one.umbral_magnitude:.2f}"
    return [
        head + (f", {seen}" if place else ""),
        "      " + "  ".join(parts),
        f"      shadow/Moon {one.shadow_ratio:.2f}, path {one.path_offset:.2f} of the shadow's "
        "radius from its middle:",
        f"      {measure}",
    ]


def _evening_text(plan):
    """Return the block on evenings for the sighting rod."""
    found = plan.sighting_evenings
    lines = ["EVENINGS FOR THE SIGHTING ROD (Moon nearly full, 15° or higher, 18 to 22 h, dark)"]
    if plan.place.zone == "UTC":
        lines.append("  (Times are UTC; without a zone the evening is reckoned by the Sun there.)")
    for one in found:
        line = (
            f"  {date.fromisoformat(one['date']):%a %d %b %Y}  {one['from_local']} to "
            f"{one['until_local']}  Moon {one['altitude_deg']:.0f}° high at first, "
            f"{one['moon_angle_arcmin']:.1f}′ wide"
        )
        if one["rim_distance_m"] is not None:
            line += f"; vanishes {one['vanish_distance_m']:.2f} m, "
            line += f"rim {one['rim_distance_m']:.2f} m"
        lines.append(line)
    if found and plan.rod is not None:
        enough = sum(one["rod_long_enough"] for one in found)
        lines.append(
            f"  A rod of {plan.rod:g} is long enough for both readings on {enough} of these "
            f"{len(found)} evenings."
        )
    if not found:
        lines.append("  None in this span: at high latitudes try another season.")
    return "\n".join([*lines, CAUTION_ROD])


def _half_moon_text(plan):
    """Return the block on half Moons for the Sun's distance."""
    lines = ["HALF MOONS for the Sun's distance (Moon 10° or higher at the instant of half phase)"]
    for one in plan.half_moons_in_sight:
        at = datetime.fromisoformat(one["half_local"])
        apart = np.datetime64(one["quadrature_utc"][:-1]) - np.datetime64(one["half_utc"][:-1])
        minutes = round(apart / np.timedelta64(1, "m"))
        side = f"{abs(minutes)} min {'before first' if one['waxing'] else 'after last'} quarter"
        sun = f"Sun {one['sun_altitude_deg']:.0f}° high" if one["shadow"] else "no Sun for a shadow"
        moon = f"Moon {one['moon_altitude_deg']:.0f}° high"
        lines.append(f"  {at:%a %d %b %Y  %H:%M}  half, {side}; {moon}, {sun}")
    if len(lines) == 1:
        lines.append("  None in this span: a longer one will have some.")
    return "\n".join([*lines, CAUTION_HALF_MOON])


def _noon_text(plan):
    """Return the block on the noon shadows of the first date."""
    pair = plan.noons
    lines = [f"NOON SHADOWS of {plan.first}, gnomon {planning.GNOMON:.0f} high"]
    latitudes = (plan.place.latitude, plan.partner_latitude)
    for noon, latitude in zip((pair.here, pair.partner), latitudes, strict=True):
        if noon.altitude <= noon.semidiameter:
            shadow = "no shadow: the Sun stays below the horizon"
        else:
            full, middle = (length.to_value(u.m) for length in noon.shadow(planning.GNOMON))
            shadow = f"full shadow {full:.3f} m, to the blur's middle {middle:.3f} m, "
            shadow += f"pointing {noon.shadow_points}"
        lines += [
            f"  latitude {latitude.to_value(u.deg):+.2f}°  noon {clock(noon.instant, plan.place)}"
            f"  Sun {noon.altitude.to_value(u.deg):.1f}° high",
            f"      {shadow}",
        ]
    worth = "worth measuring" if pair.worth_measuring else "not worth measuring"
    span = f"arc {pair.arc.to_value(u.deg):.2f}°, about {pair.distance.to_value(u.km):.0f} km"
    lines.append(f"  {span}: {worth}")
    if np.isfinite(pair.uncertainty):
        lines.append(
            "      shadows read to 2 mm and a tenth of their blur leave the arc good to "
            f"{100 * pair.uncertainty:.1f} %"
        )
    return "\n".join([*lines, CAUTION_SUN])


def degrees_of(place):
    """Return a place's latitude and longitude as text."""
    latitude = place.latitude.to_value(u.deg)
    longitude = (place.longitude.to_value(u.deg) + 180) % 360 - 180
    return (
        f"{abs(latitude):.2f}° {'N' if latitude >= 0 else 'S'}, "
        f"{abs(longitude):.2f}° {'E' if longitude >= 0 else 'W'}"
    )


def clock(instant, place):
    """Return hours and minutes, on the place's clocks or in UTC, rounded to the minute."""
    rounded = (np.datetime64(instant, "s") + np.timedelta64(30, "s")).astype("M8[m]")
    return f"{place.local(rounded):%H:%M}" if place else f"{rounded.item():%H:%M}"


def day(instant, place):
    """Return weekday and date on the place's calendar, or in UTC."""
    return f"{place.local(instant) if place else np.datetime64(instant, 's').item():%a %d %b %Y}"
