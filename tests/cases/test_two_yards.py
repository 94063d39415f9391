"""A split of two yards: one has the brood, the other the food. Rules are common practice."""

from dataclasses import replace

import pytest

from routeplan.operation.settings import Limits
from routeplan.operation.world import Hive, Operation, Order, Yard
from routeplan.plan import Plan
from tests.cases.planned import planned, visits, why
from tests.planning.make import DAY_ALONE, ONE, hive, one_kit_hive, operation, yard

POOLED = replace(DAY_ALONE, limits=Limits(yards_per_split=2))
BROOD = hive("B1", "Brood", food=2.3)
"""Gives brood and bees, no frame of food: 2.3 - 0.2 = 2.1 stay."""
FOOD = hive("F1", "Food", capped=3.0, open=2.0)
"""Gives food and bees, no brood: 5 frames must stay."""


def day(
    new_km: float = 30.0, allowed: bool = True, *, order: Order | None = None, **more: object
) -> Operation:
    """Brood 10 km and Food 14 km east of home, room only at a third yard, one split asked for."""
    yards: tuple[Yard, ...] = (yard("Brood", 10.0, room=0), yard("Food", 14.0, room=0), yard("New", new_km))
    hives: tuple[Hive, ...] = (BROOD, FOOD)
    orders = (order or Order("A", 1, ONE.name, "mated"),)
    settings = POOLED if allowed else DAY_ALONE
    return operation(yards, hives, orders, settings=settings, **more)  # type: ignore[arg-type]


def sides(plan: Plan) -> dict[str, set[str]]:
    """What the one split gets, by yard."""
    found: dict[str, set[str]] = {}
    for stop in plan.stops:
        for take in stop.takes:
            found.setdefault(stop.yard, set()).add(take.kind)
    return found


def test_neither_yard_has_a_whole_kit() -> None:
    alone = planned(day(allowed=False))
    assert (len(alone.splits), why(alone).rule) == (0, "R1")
    plan = planned(day())
    (split,) = plan.splits
    assert visits(plan) == ["Brood*", "Food*", "New"]
    assert (split.begun_yard, split.from_yard, split.to_yard) == ("Brood", "Food", "New")
    assert (split.begun_m, split.flying_m) == (20000, 16000)
    assert {"capped", "open"} <= sides(plan)["Brood"]
    assert "food" in sides(plan)["Food"]
    assert plan.proof.status == plan.proof.count_status == "optimal"


def test_shut_in_and_aboard_from_the_first_yard() -> None:
    plan = planned(day())
    brood, food, new = plan.stops
    assert brood.begins == food.makes == new.places == ("S1",)
    assert [(s.full, s.empty) for s in plan.stops] == [(1, 0), (1, 0), (0, 0)]
    assert new.opened is not None
    assert plan.splits[0].shut_in_s == new.opened - brood.depart


def test_food_without_bees_makes_no_parent() -> None:
    """New is 2 km from Food and 6 km from Brood: only food shaken free of bees may come from there."""
    plan = planned(day(new_km=16.0))
    takes = {t.kind: t.bees for s in plan.stops for t in s.takes}
    assert takes == {"capped": True, "open": True, "food": False, "shake": True}
    assert sides(plan) == {"Brood": {"capped", "open", "shake"}, "Food": {"food"}}


@pytest.mark.parametrize("new_km", [12.0, 14.0])
def test_too_near_to_both(new_km: float) -> None:
    """2 km from Brood at most, or 4: bees of neither yard may stand there."""
    plan = planned(day(new_km=new_km))
    assert (len(plan.splits), why(plan).rule) == (0, "R5")


def test_parents_fixed_by_the_order_are_one_yard() -> None:
    plan = planned(day(order=Order("A", 1, ONE.name, "mated", from_yard="Brood")))
    assert (len(plan.splits), why(plan).rule) == (0, "R1")


def test_not_pooled_where_it_does_not_pay() -> None:
    """Each yard has a whole kit in one hive: opening two would take longer."""
    base = day()
    hives = (one_kit_hive("B1", "Brood"), one_kit_hive("F1", "Food"))
    plan = planned(replace(base, hives=hives))
    assert [s.begun_at for s in plan.splits] == [0]
    alone = planned(replace(base, hives=hives, settings=DAY_ALONE))
    assert plan.totals.counted_s == alone.totals.counted_s


def test_pooling_saves_a_hive() -> None:
    """Two kits: each yard's second hive has brood and no food, and either yard's first has food over."""
    hives = (
        one_kit_hive("B1", "Brood"),
        one_kit_hive("F1", "Food", food=5.3, bees=14.0),
        one_kit_hive("B2", "Brood", food=2.3),
    )
    base = replace(day(order=Order("A", 3, ONE.name, "mated")), hives=hives)
    assert len(planned(replace(base, settings=DAY_ALONE)).splits) == 2
    plan = planned(base)
    assert len(plan.splits) == 3
    assert sum(s.begun_at > 0 for s in plan.splits) == 1
