"""A plan's nights, evenings and noons as a calendar file (iCalendar, RFC 5545), with reminders."""

from datetime import UTC, datetime, timedelta

from icalendar import Alarm, Calendar, Event

from moonreach.sky import plan_words
from moonreach.sky.planning import WORDS

_WORDS = WORDS["calendar"]
_NOON_WATCH = timedelta(minutes=30)  # before and after


def as_file(plan):
    """Return the bytes of the calendar of a plan with a place, and how many events it has.

    Times stand in UTC, which every calendar turns to its own clocks; each event carries the
    caution of its night and reminds a week and a day before.
    """
    calendar = Calendar()
    calendar.add("prodid", "-//moonreach//plan//EN")
    calendar.add("version", "2.0")
    for event in _events(plan):
        calendar.add_component(event)
    return calendar.to_ical(), len(calendar.subcomponents)


def _events(plan):
    told = plan_words.told(plan.place)
    for row in plan.eclipse_rows:
        if row["timing_here"] != "no":
            more = {"timing": told.timing(row), "kind": row["kind"].title()}
            lines = plan_words.times(row, plan.place)
            yield _event("eclipse", row | more, lines, "out_from_utc", "out_until_utc")
    for row in plan.evening_rows:
        lines = [] if row["rim_distance_m"] is None else [told.readings(row)]
        yield _event("evening", row, lines, "from_utc", "until_utc")
    if plan.noon_row:
        yield _event("noon", plan.noon_row["here"], [], "noon_utc", "noon_utc", _NOON_WATCH)


def _event(name, row, lines, begin, end, around=timedelta(0)):
    """Return one event with its reminders, from and until the named instants of a row."""
    event = Event()
    first, last = (datetime.fromisoformat(row[key]) for key in (begin, end))
    summary = _WORDS[name].format(**row)
    caution = " ".join(WORDS["cautions"][name].split())
    event.add("uid", f"{name}-{first:%Y%m%dT%H%M}@moonreach")
    event.add("dtstamp", datetime.now(UTC))
    event.add("dtstart", first - around)
    event.add("dtend", last + around)
    event.add("summary", summary)
    event.add("description", "\n".join([*lines, caution]))
    for days in _WORDS["reminders"]:
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("trigger", timedelta(days=-days))
        alarm.add("description", _WORDS["reminder"].format(summary=summary))
        event.add_component(alarm)
    return event
