"""The planner with floors that must hold against the exact answer."""

from collections.abc import Callable
from dataclasses import replace
from random import Random

import pytest

from routeplan.audit import audit
from routeplan.operation.colony_settings import Floors
from routeplan.operation.settings import Swaps
from routeplan.operation.world import Kit, Operation, Order
from routeplan.planning.solve import plan_day
from tests.oracle import exact
from tests.oracle.asked import boxes
from tests.oracle.floors import lowest_of_split
from tests.oracle.test_against_planner import differences, judge, report
from tests.planning import make
from tests.planning.make import hive, yard
from tests.seeded import rich_operation, small_operation

SHORT, LONG = range(4), range(120)


def with_floors(operation: Operation, seed: int) -> Operation:
    """Floors that some hives and kits hold and others do not; one frame format; kits with a range."""
    rng = Random(f"floors/{seed}")
    floors = Floors(
        "hold", rng.choice((3_000.0, 4_500.0, 6_000.0)), rng.choice((9_000.0, 16_000.0, 18_000.0))
    )
    kits = tuple(
        replace(k, frame=None, capped_most=k.capped + 1, shakes_most=k.shakes + rng.choice((0, 2)))
        for k in operation.kits
    )
    stock = {
        (s.item, "deep" if s.frame else ""): replace(s, frame="deep" if s.frame else "")
        for s in operation.stock
    }
    return replace(
        operation,
        hives=tuple(replace(h, frame="deep") for h in operation.hives),
        kits=kits,
        stock=tuple(stock[key] for key in sorted(stock)),
        settings=replace(operation.settings, floors=floors, frame="deep"),
    )


def floored(seed: int) -> Operation:
    return with_floors(small_operation(seed), seed)


def rich_floored(seed: int) -> Operation:
    """A rich one without swaps and mixed frames: these ask for another kit each."""
    operation = with_floors(rich_operation(seed), seed)
    return replace(operation, settings=replace(operation.settings, swaps=type(operation.settings.swaps)()))


def choosing(seed: int, rich: bool = False) -> Operation:
    """Floors that the first order's kit misses, and holds with one frame of capped brood more or with shakes
    more."""
    base = with_floors((rich_operation if rich else small_operation)(seed), seed)
    kits = tuple(
        replace(k, capped_most=k.capped + 1, shakes_most=k.shakes + 2, fill=max(1, k.fill)) for k in base.kits
    )
    order = base.orders[0]
    kit = next(k for k in kits if k.name == order.kit)
    more = (replace(kit, capped=kit.capped + 1), replace(kit, shakes=kit.shakes + 2))
    floor = min(lowest_of_split(base, k, order.queen, "deep") for k in more)
    settings = replace(base.settings, swaps=Swaps(), floors=Floors("hold", floor, 9_000.0))
    return replace(base, kits=kits, settings=settings)


def rich_choosing(seed: int) -> Operation:
    return choosing(seed, rich=True)


@pytest.mark.parametrize("make", [choosing, rich_choosing])
def test_same_as_exact_where_there_is_a_choice_of_kits(make: Callable[[int], Operation]) -> None:
    assert sum(any(b.others for b in boxes(make(seed))) for seed in SHORT) >= len(SHORT) - 1
    wrong, compared, _ = differences(make, SHORT, exact_seconds=8.0)
    assert not wrong, report(wrong)
    assert len(compared) >= len(SHORT) // 2


def test_same_as_exact_with_floors() -> None:
    wrong, compared, _ = differences(floored, SHORT, exact_seconds=8.0)
    assert not wrong, report(wrong)
    assert len(compared) >= len(SHORT) * 2 // 3


def test_same_as_exact_with_floors_on_rich_operations() -> None:
    wrong, compared, _ = differences(rich_floored, SHORT, exact_seconds=8.0)
    assert not wrong, report(wrong)
    assert len(compared) >= len(SHORT) * 2 // 3


@pytest.mark.long
@pytest.mark.parametrize("make", [floored, rich_floored, choosing, rich_choosing])
def test_same_as_exact_with_floors_on_many_operations(make: Callable[[int], Operation]) -> None:
    wrong, compared, _ = differences(make, LONG, exact_seconds=60.0)
    assert not wrong, report(wrong)
    assert len(compared) >= 100


def test_floors_make_a_difference_and_every_plan_holds() -> None:
    changed = 0
    for seed in SHORT:
        held = floored(seed)
        free = replace(
            held, settings=replace(held.settings, floors=replace(held.settings.floors, act="warn"))
        )
        plan, without = plan_day(held, seconds=20.0), plan_day(free, seconds=20.0)
        assert audit(held, plan) == []
        changed += plan.stops != without.stops
    assert changed >= 2


def test_a_broken_up_hive_is_planned_as_exactly_as_it_is_audited() -> None:
    kit = Kit("two", capped=1, open=1, food=1, shakes=1, drawn=1, fill=1)
    whole = hive("H", "Y", queen="queenless", capped=4.0, open=4.0, food=4.0, bees=13.5)
    order = Order("A", 4, kit.name, "mated", from_yard="Y", hive="H", break_up=True)
    one = make.operation((yard("Y", 3.0), yard("Z", 12.0, room=6)), (whole,), (order,), (kit,))
    plan = plan_day(one, seconds=10.0)
    truth = exact.best(one, 10.0)
    assert isinstance(truth, exact.Answer)
    assert judge(0, one, truth, plan) == []
    assert len(plan.splits) == 4
    assert audit(one, plan) == []
    stays = replace(one, orders=(replace(order, break_up=False),))
    assert audit(stays, plan)[0].rule == "R1"
    assert len(plan_day(stays, seconds=10.0).splits) < 4
