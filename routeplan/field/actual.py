"""What was found overrides what was recorded: the operation as it really is."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta

from routeplan.colony.counts import count_on
from routeplan.field.entries import COUNTS, Entry, Found
from routeplan.operation.world import HEALTH_USABLE, Count, Hive, Operation

Key = tuple[str, str]


def as_found(
    operation: Operation, looks: Iterable[tuple[str, Entry]], closed: Iterable[str], suspect: Iterable[str]
) -> Operation:
    """Return the operation with what was found in hives, yards that cannot be entered today, and yards under
    suspicion.

    Parameters
    ----------
    looks : (yard, entry) of what was found, in order; the last word on a thing holds.
    """
    by_key: dict[Key, list[Found]] = {}
    for yard, entry in looks:
        if entry.hive:
            by_key.setdefault((yard, entry.hive), []).append(entry.found)
    hives = []
    for hive in operation.hives:
        for found in by_key.get(hive.key, ()):
            hive = _found(operation, hive, found)
        hives.append(hive)
    shut, ill, tomorrow = set(closed), set(suspect), operation.day + timedelta(days=1)
    yards = []
    for one in operation.yards:
        if one.id in shut and (one.closed_until is None or one.closed_until < tomorrow):
            one = replace(one, closed_until=tomorrow)
        if one.id in ill and one.health in HEALTH_USABLE:
            one = replace(one, health="suspected")
        yards.append(one)
    return replace(operation, hives=tuple(hives), yards=tuple(yards))


def _found(operation: Operation, hive: Hive, found: Found) -> Hive:
    count = hive.count
    if any(getattr(found, name) is not None for name in COUNTS):
        count = _counted(operation, hive, count, found)
    if found.queen_cells is not None:
        count = replace(count, queen_cells="charged" if found.queen_cells else "none")
    queen = "queenless" if found.queen == "gone" else hive.queen
    return replace(hive, health=found.health or hive.health, queen=queen, count=count)


def _counted(operation: Operation, hive: Hive, count: Count, found: Found) -> Count:
    """The counts of the day; what was not counted is rolled forward from the look before."""
    before, limits = count_on(hive, operation.day), operation.settings.limits

    def said(value: float | None, else_: float | None) -> float | None:
        return else_ if value is None else value

    return replace(
        count,
        inspected=operation.day,
        bees=said(found.bees, before.bees),
        brood=None,
        capped=said(found.capped, before.capped),
        open=said(found.open, before.open),
        food=said(found.food, before.food),
        eggs_seen=count.eggs_seen if before.age_days <= limits.eggs_days else None,
        queen_cells=count.queen_cells if before.age_days <= limits.cells_days else "not stated",
    )
