"""Hives that are broken up, against the exact answer: all their parts or none, the queen with one of them."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from random import Random

import pytest

from routeplan.audit import audit
from routeplan.operation.settings import Swaps
from routeplan.operation.world import Count, Hive, Kit, Operation, Order
from routeplan.planning.solve import plan_day
from tests.oracle import exact
from tests.oracle.test_against_planner import judge, report
from tests.oracle.test_floors import with_floors
from tests.seeded import rich_operation, small_operation

SHORT, FLOORED, LONG = range(10), (9, 20, 25, 38), range(150)
"""Floored 9: the yard of the hive makes both its parts or nothing, and the day is tight."""
OTHERS = ("mated", "ripe cell", "raise own", "own cells")


def broken_up(seed: int) -> Operation:
    """A small operation with one hive to be broken up into two or three, in most of them with its queen; it
    may hold more brood than its parts ask for, or less."""
    rng = Random(f"broken up/{seed}")
    base = rich_operation(seed) if seed % 2 else small_operation(seed)
    free = [h for h in base.hives if h.key not in {(o.from_yard, o.hive) for o in base.orders}]
    hive = rng.choice(free)
    kit = replace(rng.choice(base.kits), frame=None, fill=rng.choice((1, 2, 3)))
    queen = rng.choice(("marked", "unmarked", "unknown", "unknown", "queenless"))
    others, way = rng.choice((1, 2)) + (queen == "queenless"), rng.choice(OTHERS)
    along = () if queen == "queenless" else (_order("whole", 1, kit.name, "parent's", hive),)
    orders = (*along, _order("rest", others, kit.name, way, hive))
    count = _enough(rng, hive, kit, len(along) + others)
    cells = "charged" if way == "own cells" and rng.random() < 0.9 else "none"
    whole = replace(hive, queen=queen, health="clear", may_give=True, count=replace(count, queen_cells=cells))
    kept = tuple(o for o in base.orders if (o.from_yard, o.hive) != hive.key)[: rng.choice((1, 2))]
    return replace(
        base,
        hives=tuple(whole if h.key == hive.key else h for h in base.hives),
        kits=tuple(kit if k.name == kit.name else k for k in base.kits),
        orders=tuple(sorted((*(replace(o, count=1) for o in kept), *orders), key=lambda o: o.id)),
    )


def _order(name: str, count: int, kit: str, queen: str, hive: Hive) -> Order:
    return Order(name, count, kit, queen, hive.yard, hive=hive.id, break_up=True)


def _enough(rng: Random, hive: Hive, kit: Kit, parts: int) -> Count:
    """A count with about as much brood as the parts of the hive ask for, some more or less."""
    more = rng.choice((-0.5, 0.0, 0.0, 0.4, 0.9, 1.0, 1.0, 2.0))
    return replace(
        hive.count,
        capped=max(0.0, kit.capped * parts + more),
        open=float(kit.open * parts + rng.choice((0, 0, 1))),
        brood=None,
        food=kit.food * parts + rng.choice((0.0, 1.5)),
        bees=(kit.frames + 3.0) * parts + 3.0,
        inspected=None,
        eggs_seen=True,
    )


def floored(seed: int) -> Operation:
    """The same with floors that some parts hold and others do not."""
    base = broken_up(seed)
    return with_floors(replace(base, settings=replace(base.settings, swaps=Swaps())), seed)


def differences(
    make: Callable[[int], Operation], seeds: Iterable[int], exact_seconds: float
) -> tuple[list[str], int, int]:
    """Compare seed by seed, plans audited: sentences about differences, how many were compared, and in how
    many of those the hive is broken up."""
    wrong, compared, whole = [], 0, 0
    for seed in seeds:
        operation = make(seed)
        truth = exact.best(operation, exact_seconds)
        if isinstance(truth, exact.Unproved):
            continue
        plan = plan_day(operation, seconds=60.0)
        compared, whole = compared + 1, whole + any(s.order == "rest" for s in plan.splits)
        wrong += judge(seed, operation, truth, plan)
        wrong += [f"seed {seed}: {violation.sentence()}" for violation in audit(operation, plan)]
    return wrong, compared, whole


def test_same_as_exact_with_a_hive_broken_up() -> None:
    wrong, compared, whole = differences(broken_up, SHORT, exact_seconds=8.0)
    assert not wrong, report(wrong)
    assert compared >= len(SHORT) * 2 // 3
    assert whole >= 3


def test_same_as_exact_with_a_hive_broken_up_and_floors() -> None:
    wrong, compared, whole = differences(floored, FLOORED, exact_seconds=8.0)
    assert not wrong, report(wrong)
    assert (compared >= 2, whole >= 1) == (True, True)


@pytest.mark.long
@pytest.mark.parametrize("make", [broken_up, floored])
def test_same_as_exact_with_a_hive_broken_up_on_many_operations(make: Callable[[int], Operation]) -> None:
    wrong, compared, whole = differences(make, LONG, exact_seconds=60.0)
    assert not wrong, report(wrong)
    assert (compared >= 100, whole >= 50) == (True, True), f"{compared} compared, {whole} broken up"
