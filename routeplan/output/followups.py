"""The day and the dated looks of the weeks after, for a calendar: iCalendar as in RFC 5545.

An event keeps its name (UID) when the same day is planned again. The file written before, if there is one,
says what has changed since: a changed event gets the next number (SEQUENCE), one that is no longer needed is
called off, one that is the same stays as it was. Positions, gate codes and notes are left out.
"""

import hashlib
from collections import Counter
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event

from routeplan.output import measures
from routeplan.output.day import Day
from routeplan.output.inert import writable
from routeplan.output.looks import Look, looks, when


class CalendarFormatError(ValueError):
    """The file written before is not a calendar; the message says why."""


SAME = ("SUMMARY", "LOCATION", "DESCRIPTION", "DTSTART", "DTEND", "STATUS")
"""What a person sees of an event; anything else changed is no change."""
FEED = "feed"
"""A look whose words say amounts, which a new plan may change: it is known by its day alone."""
CALLED_OFF = "CANCELLED"
"""A word of RFC 5545 (section 3.8.1.11)."""
LOOK = "{who}: {what}"
DATES = "{when}: {words} (From the splitting day {day}: {title}.)"
DAY_ITSELF = "Splitting day: {splits}, {stops}"
ROUTE = "Leave {leave}, back {back}. {stops}."


def followups_ics(day: Day, stamp: datetime, before: bytes | None = None) -> bytes:
    """Return the events: looks as whole days, the day itself by the clock.

    Parameters
    ----------
    day : the day and its plan.
    stamp : when the plan was made, UTC.
    before : the file written for the plan before this one.

    Raises
    ------
    CalendarFormatError
        When `before` cannot be read as a calendar.
    """
    calendar = Calendar()
    calendar.add("prodid", "-//routeplan//splitting day//EN")
    calendar.add("version", "2.0")
    old = _events(before, f"{day.plan.day.isoformat()}-") if before else {}
    new = {str(event["UID"]): event for event in _planned(day)}
    for uid, event in new.items():
        calendar.add_component(_numbered(event, old.get(uid), stamp))
    for uid, event in old.items():
        if uid not in new:
            calendar.add_component(_called_off(event, stamp))
    year = timedelta(366)
    calendar.add_missing_timezones(first_date=day.plan.day - year, last_date=day.plan.day + year)
    return bytes(calendar.to_ical())


def _planned(day: Day) -> list[Event]:
    if not day.plan.stops:
        return []
    seen: Counter[tuple[object, ...]] = Counter()
    events = [_day_itself(day)]
    for look in looks(day):
        key = (look.yard, look.first, look.kind, "" if look.kind == FEED else look.what)
        events.append(_look(day, look, (*key, seen[key])))
        seen[key] += 1
    return events


def _look(day: Day, look: Look, key: tuple[object, ...]) -> Event:
    event = _event(day, key, LOOK.format(who=f"{look.yard}, {look.who}", what=look.what), look.yard)
    said = DATES.format(
        when=when(day.plan.day, look),
        words=look.words,
        day=measures.day_words(day.plan.day),
        title=day.plan.title,
    )
    event.add("description", writable(said))
    event.add("dtstart", day.plan.day + timedelta(look.first))
    event.add("dtend", day.plan.day + timedelta(look.last + 1))  # the first day after: section 3.6.1
    event.add("transp", "TRANSPARENT")  # the days stay free for other work
    return event


def _day_itself(day: Day) -> Event:
    plan, totals = day.plan, day.plan.totals
    splits, stops = measures.counted(totals.placed, "split"), measures.counted(len(plan.stops), "stop")
    event = _event(day, ("day",), DAY_ITSELF.format(splits=splits, stops=stops), "")
    said = ROUTE.format(
        leave=measures.clock(totals.leave_home),
        back=measures.clock(totals.back_home),
        stops=", ".join(f"{n} {s.yard} {measures.clock(s.arrive)}" for n, s in enumerate(plan.stops, 1)),
    )
    event.add("description", writable(said))
    event.add("dtstart", _moment(plan.day, totals.leave_home, day.operation.settings.zone))
    event.add("dtend", _moment(plan.day, totals.back_home, day.operation.settings.zone))
    return event


def _event(day: Day, key: tuple[object, ...], summary: str, yard: str) -> Event:
    """Begin an event; its name comes from the day and from what it is for, never from box numbers."""
    digest = hashlib.sha256(repr((day.plan.crew, *key)).encode()).hexdigest()[:24]
    event = Event()
    event.add("uid", f"{day.plan.day.isoformat()}-{digest}@routeplan")
    event.add("summary", writable(summary))
    if yard:
        event.add("location", writable(yard))
    event.add("status", "CONFIRMED")
    return event


def _moment(day: date, seconds: int, zone: str) -> datetime:
    """Return a clock time of the day; without a zone it is the clock on the wall, wherever that is."""
    moment = datetime.combine(day, datetime.min.time()) + timedelta(minutes=round(seconds / 60))
    return moment.replace(tzinfo=ZoneInfo(zone)) if zone else moment


def _numbered(event: Event, old: Event | None, stamp: datetime) -> Event:
    """Give an event its number: the old one if nothing changed, else the next."""
    same = old is not None and _seen(event) == _seen(old)
    number = 0 if old is None else old.sequence + (not same)
    event.add("sequence", number)
    event.add("dtstamp", old.DTSTAMP if old is not None and same else stamp)
    return event


def _called_off(event: Event, stamp: datetime) -> Event:
    if event.get("STATUS") != CALLED_OFF:
        event["STATUS"] = CALLED_OFF
        event["SEQUENCE"] = event.sequence + 1
        del event["DTSTAMP"]
        event.add("dtstamp", stamp)
    return event


def _seen(event: Event) -> list[object]:
    return [(name, event[name].to_ical()) for name in SAME if name in event]


def _events(content: bytes, start: str) -> dict[str, Event]:
    """Return the events of a calendar whose names begin so."""
    try:
        named = {str(event["UID"]): event for event in Calendar.from_ical(content).events}
    except (ValueError, KeyError) as fault:
        raise CalendarFormatError(str(fault)) from fault
    return {uid: event for uid, event in named.items() if uid.startswith(start)}
