"""Whether splits made on the day are in time: drones must fly, and their own bees come before the frost.

Each date that is missed is named. Where the beekeeper has not said a date, nothing is said of it.
"""

from collections.abc import Iterator
from datetime import date, timedelta

from routeplan.colony.follow_ups import sale_days
from routeplan.colony.timeline import Span, Timeline, timeline, whole_days
from routeplan.operation.findings import Finding
from routeplan.operation.settings import Settings, Year
from routeplan.operation.world import Operation, Order, Yard

MATING = "drones fly from {first} and a young queen flies to mate from {flies} to {last}"
TOO_EARLY = "too early: {mating}"
NO_DRONES = "too late: drones fly until {until} and a young queen still flies to mate on {flies}"
PAST_LAST = "too late: the last day to split is {last}"
PAST_FROST = "too late: the first frost comes on {frost} and its own bees only from {first} to {last}"
FLOW_OVER = (
    "the flow at {yard} ends on {until}, before its own first bees ({first} to {last}): it lives on feed"
)
NOT_READY = "ready to sell on {ready} at the earliest, not by {by}"
READY_WAYS = ("ripe cell", "mated")
"""Ways to a queen that may take the place of another (a parent's queen is not to be had for the asking)."""
CURE = "Split earlier another year, bring a mated queen, or correct the date under [year] in settings.toml."
EARLY_CURE = "Wait, bring a mated queen, or correct the date under [year] in settings.toml."


def missed(settings: Settings, day: date, times: Timeline) -> Iterator[str]:
    """Name each date a split made on `day` misses, in words; nothing where no winter stops the bees.

    Drones are needed wherever a young queen has yet to mate, also where there is no winter.
    """
    year = settings.year
    if times.flies is not None:
        yield from _drones(year, day, times.flies)
    if not year.winter:
        return
    last, frost = _date(year.last_split), _date(year.first_frost)
    if last is not None and day > last:
        yield PAST_LAST.format(last=last)
    own = days(day, times.new_bees)
    if frost is not None and own[1] >= frost:
        yield PAST_FROST.format(frost=frost, first=own[0], last=own[1])


def _drones(year: Year, day: date, flies: Span) -> Iterator[str]:
    since, until = _date(year.drones_from), _date(year.drones_until)
    first, last = days(day, flies)
    if since is not None and first < since:
        yield TOO_EARLY.format(mating=MATING.format(first=since, flies=first, last=last))
    if until is not None and last > until:
        yield NO_DRONES.format(until=until, flies=last)


def flow_over(day: date, yard: Yard, times: Timeline) -> str:
    """Say that a yard's flow ends before a split there has bees of its own; nothing when it does not."""
    first, last = days(day, times.new_bees)
    if yard.flow_until is None or yard.flow_until >= first:
        return ""
    return FLOW_OVER.format(yard=yard.id, until=yard.flow_until, first=first, last=last)


def late_orders(operation: Operation) -> list[Finding]:
    """Return one warning for each date that an order of splits misses on the operation's day, sale too."""
    return [finding for order in operation.orders for finding in _of_order(operation, order)]


def _of_order(operation: Operation, order: Order) -> Iterator[Finding]:
    kit = operation.kit(order.kit)
    times = timeline(order.queen, operation.settings.queens, kit.open > 0)
    yield from _not_ready(operation, order)
    for words in missed(operation.settings, operation.day, times):
        yield _finding(order, words, EARLY_CURE if words.startswith("too early") else CURE)
    if order.to_yard is not None and operation.settings.year.winter:
        words = flow_over(operation.day, operation.yard(order.to_yard), times)
        if words:
            yield _finding(order, words, "Feed it until it stores, or place it where a flow lasts.")


def _not_ready(operation: Operation, order: Order) -> Iterator[Finding]:
    """Say that a split would be ready to sell after the day it must be, and which way to a queen would do."""
    ready = operation.day + timedelta(sale_days(order.queen)[0])
    if order.ready_by is None or ready <= order.ready_by:
        return
    left = (order.ready_by - operation.day).days
    quick = [way for way in READY_WAYS if sale_days(way)[0] <= left]
    cure = (
        f"Try another way to a queen: {' or '.join(quick)}." if quick else "No way to a queen is that quick."
    )
    yield _finding(order, NOT_READY.format(ready=ready, by=order.ready_by), cure)


def _finding(order: Order, words: str, cure: str) -> Finding:
    message = f"Order “{order.id}”: {words}."
    return Finding("warning", "splits", order.row or None, "queen", order.queen, message, cure)


def days(day: date, span: Span) -> tuple[date, date]:
    """Return the first and the last date of a range of days after `day`."""
    first, last = whole_days(span)
    return day + timedelta(first), day + timedelta(last)


def _date(text: str) -> date | None:
    return date.fromisoformat(text) if text else None
