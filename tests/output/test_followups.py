"""The calendar, read back by an independent reader (vobject) and held against RFC 5545."""

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
import vobject

from routeplan.operation.world import Operation
from routeplan.output.day import day_of
from routeplan.output.followups import CalendarFormatError, followups_ics
from routeplan.output.looks import Look, looks
from routeplan.plan import Plan
from tests.output.rich import OPERATION, rich_plan
from tests.output.sample import BAD, HOSTILE, hostile, no_plan

PLAN = rich_plan()
FIRST, SECOND, THIRD = (datetime(2026, 5, n, 12, tzinfo=UTC) for n in (1, 2, 3))


def written(
    operation: Operation = OPERATION,
    plan: Plan = PLAN,
    stamp: datetime = FIRST,
    before: bytes | None = None,
) -> bytes:
    return followups_ics(day_of(operation, plan), stamp, before)


def events(content: bytes) -> list[Any]:
    return list(vobject.readOne(content.decode()).vevent_list)


def by_name(content: bytes) -> dict[str, Any]:
    found = {e.uid.value: e for e in events(content)}
    assert len(found) == len(events(content)), "a name twice"
    return found


def in_zone(zone: str) -> Operation:
    return replace(OPERATION, settings=replace(OPERATION.settings, zone=zone))


def test_what_every_event_must_have() -> None:
    """RFC 5545, 3.6 and 3.6.1: PRODID and VERSION once; UID, DTSTAMP once, DTSTART, end after start."""
    content = written()
    text = content.decode()
    assert (text.count("\r\nVERSION:2.0\r\n"), text.count("\r\nPRODID:")) == (1, 1)
    for event in events(content):
        assert [len(event.contents[name]) for name in ("uid", "dtstamp", "dtstart", "dtend")] == [1] * 4
        assert event.dtend.value > event.dtstart.value
        assert event.dtstamp.value == FIRST


def test_lines_are_folded_at_75_octets_and_end_as_they_must() -> None:
    """RFC 5545, 3.1; no letter is cut in two."""
    long = replace(OPERATION, settings=replace(OPERATION.settings, title="x"))
    title = "Vérifier les œufs, rucher Ste-Élise; " + 60 * "é"
    content = written(long, replace(PLAN, title=title))
    assert content.endswith(b"\r\n")
    assert b"\n" not in content.replace(b"\r\n", b"")
    for line in content.split(b"\r\n"):
        assert len(line) <= 75
        line.decode()
    assert any(e.description.value.endswith(f"{title}.)") for e in events(content))


def test_every_look_is_a_whole_day_that_ends_the_day_after() -> None:
    """RFC 5545, 3.6.1: DTEND is not part of the event."""
    day = day_of(OPERATION, PLAN)
    found = [e for e in events(written()) if not isinstance(e.dtstart.value, datetime)]
    spans = sorted((e.dtstart.value, e.dtend.value) for e in found)
    assert spans == sorted(
        (PLAN.day + timedelta(look.first), PLAN.day + timedelta(look.last + 1)) for look in looks(day)
    )
    assert all(e.transp.value == "TRANSPARENT" for e in found)
    cell = next(e for e in found if e.summary.value.endswith("ripe cell in"))
    assert (cell.dtstart.value, cell.dtend.value) == (date(2026, 5, 10), date(2026, 5, 11))


def test_a_look_on_the_last_of_a_month_ends_on_the_first() -> None:
    last = replace(PLAN, day=date(2026, 5, 24))  # a look seven days later is on 31 May
    ends = {e.dtstart.value: e.dtend.value for e in events(written(plan=last))}
    assert ends[date(2026, 5, 31)] == date(2026, 6, 1)


def day_itself(content: bytes) -> Any:
    return next(e for e in events(content) if isinstance(e.dtstart.value, datetime))


def test_without_a_zone_the_day_is_by_the_clock_on_the_wall() -> None:
    content = written()
    event = day_itself(content)
    assert event.dtstart.value == datetime(2026, 5, 9, 9, 39)  # leaves home
    assert event.dtstart.value.tzinfo is None
    assert b"VTIMEZONE" not in content
    assert b"TZID" not in content


@pytest.mark.parametrize(("zone", "utc_hour"), [("America/Toronto", 13), ("Europe/London", 8), ("UTC", 9)])
def test_with_a_zone_the_moment_is_that_of_the_zone(zone: str, utc_hour: int) -> None:
    """9 May 2026: Toronto is 4 h behind UTC, London 1 h ahead (IANA time zone data)."""
    content = written(in_zone(zone))
    start = day_itself(content).dtstart.value
    assert start.astimezone(UTC) == datetime(2026, 5, 9, utc_hour, 39, tzinfo=UTC)
    named = set(re.findall(rb"TZID=([^:]+):", content))
    assert named == set(re.findall(rb"\nTZID:([^\r]+)", content)), "a block for each zone that is named"
    assert not re.search(rb"DTSTART[^\r]*[+-]\d{4}\r", content)


def numbers(found: dict[str, Any]) -> dict[str, int]:
    return {uid: int(e.sequence.value) for uid, e in found.items()}


@pytest.mark.parametrize("zone", ["", "America/Toronto"])
def test_planned_again_the_same_nothing_changes(zone: str) -> None:
    first = written(in_zone(zone))
    assert written(in_zone(zone), stamp=SECOND, before=first) == first


def test_a_changed_event_keeps_its_name_and_gets_the_next_number() -> None:
    first = written()
    later = replace(PLAN, totals=replace(PLAN.totals, leave_home=PLAN.totals.leave_home - 600))
    second = written(plan=later, stamp=SECOND, before=first)
    old, new = by_name(first), by_name(second)
    assert set(old) == set(new)
    changed = [uid for uid in new if numbers(new)[uid] != numbers(old)[uid]]
    assert [type(new[uid].dtstart.value) for uid in changed] == [datetime]
    assert numbers(new)[changed[0]] == 1
    assert new[changed[0]].dtstamp.value == SECOND
    third = by_name(written(stamp=THIRD, before=second))
    assert numbers(third)[changed[0]] == 2


def test_an_event_no_longer_needed_is_called_off_once() -> None:
    first = written()
    fewer = replace(PLAN, splits=tuple(s for s in PLAN.splits if s.to_yard != "Heath"))
    second = written(plan=fewer, stamp=SECOND, before=first)
    gone = {uid: e for uid, e in by_name(second).items() if e.status.value == "CANCELLED"}
    assert gone
    assert {e.location.value for e in gone.values()} == {"Heath"}
    assert set(numbers(gone).values()) == {1}
    assert written(plan=fewer, stamp=THIRD, before=second) == second
    back = by_name(written(stamp=THIRD, before=second))
    assert {numbers(back)[uid] for uid in gone} == {2}
    assert {back[uid].status.value for uid in gone} == {"CONFIRMED"}


def test_another_day_s_events_are_left_alone() -> None:
    other = written(plan=replace(PLAN, day=date(2026, 5, 16)), stamp=SECOND, before=written())
    assert {e.uid.value[:10] for e in events(other)} == {"2026-05-16"}


def test_box_numbers_do_not_name_an_event() -> None:
    boxes = replace(PLAN, splits=tuple(reversed(PLAN.splits)), stops=_turned(PLAN.stops))
    assert set(by_name(written(plan=boxes))) == set(by_name(written()))


def test_amounts_do_not_name_an_event(monkeypatch: pytest.MonkeyPatch) -> None:
    content = None
    for amount in ("2 litres", "3 litres"):
        fed = (Look(7, 7, "Heath", "boxes 1–2", f"feed {amount}", kind="feed"),)
        monkeypatch.setattr("routeplan.output.followups.looks", lambda day, fed=fed: fed)
        content = written(before=content)
    assert content is not None
    found = {e.summary.value: int(e.sequence.value) for e in events(content)}
    assert found["Heath, boxes 1–2: feed 3 litres"] == 1
    assert len(found) == 2


def _turned(stops: Sequence[Any]) -> tuple[Any, ...]:
    return tuple(replace(s, makes=s.makes[::-1]) for s in stops)


@pytest.mark.parametrize(
    "content", [b"no calendar", b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"]
)
def test_what_is_no_calendar_is_said(content: bytes) -> None:
    with pytest.raises(CalendarFormatError):
        written(before=content)


def test_no_gate_code_no_note_no_position() -> None:
    text = written().decode()
    for secret in (*(y.gate for y in OPERATION.yards), *(y.note for y in OPERATION.yards), "GEO"):
        assert not secret or secret not in text


def test_names_of_any_letters_survive() -> None:
    operation, plan = hostile(OPERATION, PLAN, HOSTILE[:5])
    places = {e.location.value for e in events(written(operation, plan)) if "location" in e.contents}
    assert places <= set(HOSTILE)
    assert len(places) >= 3
    assert all(
        BAD.replace("\u2028", "") in e.description.value.replace("\u2028", "")
        for e in events(written(operation, plan))
        if "location" in e.contents
    )


def test_a_day_without_a_plan_has_no_event() -> None:
    content = followups_ics(day_of(OPERATION, no_plan()), FIRST)
    assert "vevent" not in vobject.readOne(content.decode()).contents
