"""What is due on a day, from the plans of the weeks before: yard by yard, so that one trip does it."""

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from routeplan.operation.settings import Queens
from routeplan.operation.world import Look as Seen
from routeplan.output import measures
from routeplan.output.done import Done, frames_given
from routeplan.output.looks import Look, looks_of
from routeplan.plan import Plan, box_numbers

AHEAD_DAYS = 7
"""So many days before and after are told too."""

ON = "Due on {day}"
LATE = "In the week before, if not done yet"
SOON = "In the seven days after"
SHUT = "Not to be opened on {day}"
NOTHING = "Nothing is due on {day}."
HOW = (
    "A look in the hives table takes out what it did: its day under inspected, eggs_seen if you saw eggs. "
    "Box 1 of 9 May stands there as 0509-1."
)
LINE = "  {who} of {made}, {when}: {words}"


@dataclass(frozen=True)
class Due:
    """A look of one plan, or at a test frame given on the day `made`; its days as dates."""

    made: date
    first: date
    last: date
    look: Look


def due_of(
    plans: Iterable[Plan], queens: Queens, seen: Collection[Seen] = (), until: date = date.max
) -> tuple[Due, ...]:
    """Return the looks of these plans, and at test frames given, that are not done by what was seen until a
    day; by date, then yard."""
    found = []
    for plan in plans:
        done = Done(plan, seen, until)
        for look in looks_of(plan, box_numbers(plan), queens):
            if (left := done.left(look)) is not None:
                first, last = plan.day + timedelta(look.first), plan.day + timedelta(look.last)
                found.append(Due(plan.day, first, last, left))
    for given, look in frames_given(seen, until):
        found.append(Due(given, given + timedelta(look.first), given + timedelta(look.last), look))
    return tuple(sorted(found, key=lambda due: (due.first, due.last, due.look.yard, due.made)))


def due_lines(
    plans: Iterable[Plan], on: date, queens: Queens, seen: Collection[Seen] = ()
) -> tuple[str, ...]:
    """Say what is due on a day, what was in the week before, what comes in the week after.

    What the looks in `seen` did until that day is left out. Hives that were known to have no queen on the
    splitting day are told like every hive that gave.
    """
    dues, week = due_of(plans, queens, seen, on), timedelta(AHEAD_DAYS)
    now = [d for d in dues if d.first <= on <= d.last]
    parts = (
        (ON, [d for d in now if d.look.kind != "closed"]),
        (SHUT, [d for d in now if d.look.kind == "closed"]),
        (LATE, [d for d in dues if on - week <= d.last < on and d.look.kind != "closed"]),
        (SOON, [d for d in dues if on < d.first <= on + week and d.look.kind != "closed"]),
    )
    today = measures.day_words(on, year=True)
    lines = [] if parts[0][1] else [NOTHING.format(day=today)]
    for heading, listed in parts:
        if listed:
            lines += [f"{heading.format(day=today)}:", *_by_yard(listed)]
    if parts[0][1] or parts[2][1]:
        lines.append(HOW)
    return tuple(line.replace(measures.HARD, " ") for line in lines)


def _by_yard(dues: Sequence[Due]) -> Iterator[str]:
    for yard in sorted({d.look.yard for d in dues}):
        yield f" {yard}"
        for due in (d for d in dues if d.look.yard == yard):
            when = measures.days_after(due.first, 0, (due.last - due.first).days)
            made = measures.day_words(due.made)
            yield LINE.format(who=due.look.who, made=made, when=when, words=due.look.words)
