"""R12 for hives that are broken up: all parts or none, no brood left behind, the queen with one part."""

from collections import Counter
from collections.abc import Iterator
from math import floor

from routeplan.audit.case import Case, Key, named
from routeplan.audit.hives import EPS
from routeplan.audit.violation import Violation, count
from routeplan.operation.world import QUEENS_NOT_LAYING


def broken_up(case: Case) -> Iterator[Violation]:
    """R12: of a hive that is broken up all parts asked for are made, and nothing that lives stays."""
    asked: Counter[Key] = Counter()
    for order in case.operation.orders:
        if order.break_up and order.from_yard and order.hive:
            asked[order.from_yard, order.hive] += order.count
    for key, parts in asked.items():
        made = sum(
            order is not None and order.break_up and (order.from_yard, order.hive) == key
            for order in (case.orders.get(split.order) for split in case.splits.values())
        )
        if made and key in case.hives:
            yield from _whole(case, key, made, parts)


def _whole(case: Case, key: Key, made: int, parts: int) -> Iterator[Violation]:
    give, strength = case.gives.get(key, Counter()), case.strengths[key]
    if made != parts:
        text = f"{named(key)} is to be broken up into {parts}, {made} of its splits are made"
        yield Violation("R12", text, abs(parts - made), "splits", key)
    for kind, there, gone in (
        ("capped brood", strength.capped, give["capped"]),
        ("open brood", strength.open, give["open"] + give["eggs"]),
    ):
        left = floor((there or 0.0) + EPS) - gone
        if left > 0:
            text = f"{named(key)} is broken up and {count(left, 'frame')} of {kind} {_are(left)} left behind"
            yield Violation("R12", text, left, "frames", key)
    if not give["queen"] and case.hives[key].queen not in QUEENS_NOT_LAYING:
        yield Violation(
            "R12", f"{named(key)} is broken up and its queen goes with no split", 1, "queens", key
        )


def _are(n: int) -> str:
    return "is" if n == 1 else "are"
