"""`moonreach plan`: eclipses that a place sees, evenings for the rod, half Moons, noon shadows."""

import json
from datetime import UTC, date, datetime

from moonreach import sky
from moonreach.commands import named, place_of
from moonreach.lessons.refuse import require
from moonreach.sheet import cells, writing
from moonreach.sky import plan_words, planning


def run(arguments):
    """Print the plan and return 0."""
    a = arguments
    begin, end = getattr(a, "from"), a.to
    first = _date(begin, "--from") if begin else datetime.now(UTC).date()
    last = _date(end, "--to") if end else _ten_years_after(first)
    require(last >= first, f"--to {last} is before --from {first}")
    plan = planning.Plan(
        first=first,
        last=last,
        place=place_of(a),
        evenings=a.evenings,
        half_moons=a.half_moons,
        partner_latitude=a.partner_latitude and sky.angle_of(a.partner_latitude, "latitude"),
        **{name: cells.length(getattr(a, name), f"--{name}") for name in ("disc", "hole", "rod")},
    )
    picture = ""
    if a.figure:
        from moonreach.figures import plan as figure  # matplotlib only when a picture is wanted

        drawn = figure.save(a.figure, plan)
        picture = f"\n\n{a.figure}: the picture of the paths through the shadow; eclipses: {drawn}."
    if a.calendar:
        picture += f"\n\n{a.calendar}: {_write_calendar(a.calendar, plan)} events for a calendar."
    if a.json:
        print(json.dumps(plan.as_object(), indent=1, ensure_ascii=False))
    else:
        print(plan_words.as_text(plan) + picture)
    return 0


def _write_calendar(path, plan):
    """Write a plan's calendar file and return how many events it has."""
    from moonreach.sky import plan_calendar  # icalendar only when a calendar is wanted

    named(path, ".ics", "--calendar {}: the name of a calendar")
    content, events = plan_calendar.as_file(plan)
    writing.replace(path, content)
    return events


def _date(text, option):
    """Return the date of an option, or refuse it in one sentence."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise ValueError(f"{option} {text!r} is no date: write 2026-12-01") from None
    outside = f"{option} {text} lies outside 1900 to 2100, the years a plan covers"
    require(1900 <= day.year <= 2100, outside)
    return day


def _ten_years_after(day):
    """Return the date ten years on, 2100 at most; a 29 February becomes the 28th."""
    is_leap_day = (day.month, day.day) == (2, 29)
    return day.replace(year=min(day.year + 10, 2100), day=28 if is_leap_day else day.day)
