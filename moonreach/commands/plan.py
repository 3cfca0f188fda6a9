"""`moonreach plan`: eclipses that a place sees, evenings for the rod, half Moons, noon shadows."""

import json
from datetime import UTC, date, datetime

from astropy import units as u

from moonreach.commands import place_of
from moonreach.sheet import cells
from moonreach.sky import plan_words, planning


def add_arguments(parser):
    """Declare what the command takes."""
    parser.add_argument("--latitude", type=float, help="of the place, degrees, north positive")
    parser.add_argument("--longitude", type=float, help="of the place, degrees, east positive")
    parser.add_argument("--zone", help="IANA name of the place's time zone (UTC)")
    parser.add_argument("--from", dest="first", metavar="DATE", help="first date (today)")
    parser.add_argument("--to", dest="last", metavar="DATE", help="last date (ten years later)")
    parser.add_argument("--disc", metavar="LENGTH", help="diameter of the rod's disc, as 20mm")
    parser.add_argument("--rod", metavar="LENGTH", help="length of the rod, as 2.4m")
    parser.add_argument("--hole", metavar="LENGTH", default="1mm", help="sight hole (1mm)")
    parser.add_argument("--evenings", type=int, default=8, help="how many evenings to list (8)")
    parser.add_argument(
        "--half-moons", type=int, metavar="COUNT", help="list that many half Moons (none)"
    )
    parser.add_argument("--partner-latitude", type=float, help="of the partner for noon shadows")
    parser.add_argument("--figure", metavar="PNG", help="draw each eclipse's path there")
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def run(arguments):
    """Print the plan and return 0."""
    a = arguments
    first = _date(a.first, "--from") if a.first else datetime.now(UTC).date()
    last = _date(a.last, "--to") if a.last else _ten_years_after(first)
    if last < first:
        raise ValueError(f"--to {last} is before --from {first}")
    for name in ("evenings", "half_moons"):
        if (count := getattr(a, name) or 0) < 0:
            raise ValueError(f"--{name.replace('_', '-')} must be 0 or more, found {count}")
    if a.rod and not a.disc:
        raise ValueError("--rod needs --disc: how far a disc stands depends on its diameter")
    plan = planning.Plan(
        first=first,
        last=last,
        place=_place(a),
        disc=cells.length(a.disc, "--disc"),
        hole=cells.length(a.hole, "--hole"),
        rod=cells.length(a.rod, "--rod"),
        evenings=a.evenings,
        half_moons=a.half_moons or 0,
        partner_latitude=None if a.partner_latitude is None else a.partner_latitude * u.deg,
    )
    drawn = None
    if a.figure:
        from moonreach.figures import plan as figure  # matplotlib only when a picture is wanted

        drawn = figure.save(a.figure, plan.umbral_in_sight, plan.place)
    if a.json:
        print(json.dumps(plan.as_object(), indent=1, ensure_ascii=False))
    else:
        print(plan_words.as_text(plan))
        if drawn is not None:
            print(f"\n{a.figure}: the picture of the paths through the shadow; eclipses: {drawn}.")
    return 0


def _place(a):
    """Return the place of the options, or None; half a place is refused."""
    if place := place_of(a):
        return place
    for name in ("zone", "disc", "rod", "partner_latitude", "half_moons"):
        if getattr(a, name) is not None:
            option = name.replace("_", "-")
            raise ValueError(f"--{option} needs a place: give --latitude and --longitude")
    return None


def _date(text, option):
    """Return the date of an option, or refuse it in one sentence."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise ValueError(f"{option} {text!r} is no date: write 2026-12-01") from None
    if not 1900 <= day.year <= 2100:
        raise ValueError(f"{option} {text} lies outside 1900 to 2100, the years a plan covers")
    return day


def _ten_years_after(day):
    """Return the date ten years on, 2100 at most; a 29 February becomes the 28th."""
    is_leap_day = (day.month, day.day) == (2, 29)
    return day.replace(year=min(day.year + 10, 2100), day=28 if is_leap_day else day.day)
