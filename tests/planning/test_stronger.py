"""Floors that hold, through to the plan: stronger kits by name, what is missing where none holds."""

from collections import Counter
from dataclasses import replace
from datetime import timedelta
from math import comb, prod

import pytest

from routeplan.audit import audit
from routeplan.colony.held_kits import held_kits, split_troughs
from routeplan.operation.colony_settings import Floors
from routeplan.operation.world import Kit, Operation, Order
from routeplan.plan import Plan
from routeplan.planning.demand import MOST_MIXES, Demand, Line, demand_of
from routeplan.planning.solve import plan_day
from tests.oracle import exact
from tests.oracle.test_against_planner import judge
from tests.planning.make import DAY, DAY_ALONE, hive, operation, yard

RANGE = Kit("range", capped=1, open=1, food=1, shakes=2, drawn=1, fill=1, capped_most=2, shakes_most=3)
HOLD = replace(DAY_ALONE, floors=Floors("hold"))


def of(*orders: Order, kit: Kit = RANGE, floors: Floors | None = None) -> Operation:
    """Strong deep hives in one yard, room in another."""
    hives = tuple(hive(f"H{n}", queen_mother=True, boxes=2) for n in range(6))
    settings = replace(HOLD, floors=floors or HOLD.floors)
    return operation((yard("Y", 3.0), yard("Z", 12.0)), hives, orders, (kit,), settings=settings)


def got(plan: Plan, split: str) -> dict[str, int]:
    """What a split is made of, by kind."""
    found: dict[str, int] = {}
    for take in (t for stop in plan.stops for t in stop.takes if t.split == split):
        found[take.kind] = found.get(take.kind, 0) + take.frames
    return found


def test_an_own_queen_gets_a_stronger_kit_and_the_plan_says_so() -> None:
    """A third shake would do too, but no hive gives three: a second hive takes longer than one more frame."""
    one = of(Order("own", 1, "range", "raise own"), Order("mated", 1, "range", "mated"))
    plan = plan_day(one, seconds=20.0)
    assert audit(one, plan) == []
    made = {s.order: got(plan, s.id) for s in plan.splits}
    assert made["mated"] == {"capped": 1, "open": 1, "food": 1, "shake": 2}
    assert made["own"] == {"capped": 2, "eggs": 1, "food": 1, "shake": 2}
    (said,) = [note for note in plan.notes if "rather than" in note]
    assert said.startswith("Order “own” on deep frames gets 2 capped rather than 1, so that ")
    assert said.endswith("a split keeps 4,500 bees at its lowest.")


def test_each_yard_uses_the_kit_its_hives_can_make() -> None:
    """One capped frame more or one shake more would do. A has one capped frame to give and shakes enough, B
    capped frames enough and two shakes; with either kit alone one of them could make no split."""
    hives = (
        hive("A1", "A", bees=20.0, capped=1.4, open=7.0, queen_mother=True, boxes=2),
        hive("A2", "A", bees=20.0, capped=0.5, open=7.0, boxes=2),
        hive("B1", "B", bees=15.2, capped=8.0, open=4.0, queen_mother=True, boxes=2),
        hive("B2", "B", bees=8.6, capped=4.0, open=2.0, boxes=2),
    )
    yards = (yard("A", 3.0), yard("B", 14.0), yard("Z", 25.0, room=2))
    one = operation(yards, hives, (Order("own", 2, "range", "raise own"),), (RANGE,), settings=HOLD)
    plan = plan_day(one, seconds=20.0)
    assert audit(one, plan) == []
    assert {s.from_yard: got(plan, s.id) for s in plan.splits} == {
        "A": {"capped": 1, "eggs": 1, "food": 1, "shake": 3},
        "B": {"capped": 2, "eggs": 1, "food": 1, "shake": 2},
    }
    names = {s.from_yard: s.id for s in plan.splits}
    said = [note.split(", so that")[0] for note in plan.notes if "rather than" in note]
    assert sorted(said) == [
        f"Order “own” ({names['A']}) on deep frames gets 3 shakes rather than 2",
        f"Order “own” ({names['B']}) on deep frames gets 2 capped rather than 1",
    ]
    truth = exact.best(one, 30.0)
    assert isinstance(truth, exact.Answer)
    assert judge(0, one, truth, plan) == []
    for alone in (replace(RANGE, capped_most=None), replace(RANGE, shakes_most=None)):
        assert len(plan_day(replace(one, kits=(alone,)), seconds=10.0).splits) == 1


def choice(count: int, n: int = 1) -> Operation:
    """So many orders of so many splits, each with three kits that hold: a capped frame more, an open one, or
    shakes."""
    kit = replace(RANGE, fill=2, open_most=2, shakes_most=6)
    orders = (Order(f"own {i}", count, "range", "raise own", priority=i + 1) for i in range(n))
    low = min(
        float(split_troughs([k], "raise own", "deep", HOLD)[0][0])
        for k in (replace(kit, capped=2), replace(kit, open=2), replace(kit, shakes=4))
    )
    return of(*orders, kit=kit, floors=Floors("hold", low))


def ways_of(demand: Demand) -> int:
    lines = Counter(line.batch for line in demand.lines)
    return prod(comb(batch.count + lines[b], lines[b]) for b, batch in enumerate(demand.batches))


@pytest.mark.parametrize(
    ("count", "n"), [(3, 1), (40, 1), (60, 1), (100, 1), (300, 1), (5, 4), (8, 4), (30, 4)]
)
def test_as_many_kits_are_weighed_as_stay_few_ways(count: int, n: int) -> None:
    one = choice(count, n)
    demand = demand_of(one)
    every = held_kits(one.kits[0], "raise own", "deep", one.settings)
    assert len(every) >= 3
    assert demand.not_weighed == n * len(every) - len(demand.lines)
    for b in range(n):
        mine = [line.kit for line in demand.lines if line.batch == b]
        assert mine[0] == every[0]
        assert mine == [k for k in every if k in mine]
    assert ways_of(demand) <= MOST_MIXES or len(demand.lines) == n
    for b in {b for b in range(n) if sum(line.batch == b for line in demand.lines) < len(every)}:
        more = Line(b, "deep", every[-1])
        assert ways_of(replace(demand, lines=(*demand.lines, more))) > MOST_MIXES


def test_second_kits_of_all_come_before_third_ones() -> None:
    demand = demand_of(choice(8, 4))
    of_batch = Counter(line.batch for line in demand.lines)
    assert demand.not_weighed
    assert max(of_batch.values()) - min(of_batch.values()) <= 1
    few = demand_of(choice(3, 1))
    assert (few.not_weighed, len(few.lines)) == (0, len(few.lines))


def test_the_plan_says_how_many_kits_were_weighed() -> None:
    one = choice(8, 4)
    said = [note for note in plan_day(one, seconds=8.0).notes if "were weighed" in note]
    demand = demand_of(one)
    assert said[0].startswith(
        f"Of {len(demand.lines) + demand.not_weighed} kits that splits might be made of "
    )
    assert not [n for n in plan_day(choice(1, 1), seconds=5.0).notes if "were weighed" in n]


def test_orders_for_an_early_sale_are_told_apart() -> None:
    early = Order("early", 1, "range", "ripe cell", ready_by=DAY + timedelta(days=34))
    one = of(early, Order("late", 1, "range", "ripe cell"), floors=Floors("hold", 3_000.0, 9_000.0, 4.5))
    plan = plan_day(one, seconds=20.0)
    assert audit(one, plan) == []
    made = {s.order: got(plan, s.id) for s in plan.splits}
    assert sum(made["early"].values()) > sum(made["late"].values())
    assert any("as its day of sale" in note for note in plan.notes)


def test_where_no_kit_holds_the_plan_says_what_would() -> None:
    weak = replace(RANGE, capped_most=None, shakes_most=None)
    plan = plan_day(of(Order("own", 1, "range", "raise own"), kit=weak), seconds=10.0)
    assert plan.splits == ()
    (missing,) = plan.unplaced
    assert missing.rule == "R16"
    assert missing.reason.endswith("With one frame of capped brood more it holds")
    assert "under the floor of 4,500" in missing.reason


def test_donors_give_less_where_their_floor_is_higher() -> None:
    order = Order("A", 6, "range", "mated")
    free = plan_day(of(order), seconds=20.0)
    held = of(order, floors=Floors("hold", 4_500.0, 33_000.0))
    plan = plan_day(held, seconds=20.0)
    assert len(free.splits) == 6
    assert audit(held, plan) == []
    assert len(plan.splits) < 6
