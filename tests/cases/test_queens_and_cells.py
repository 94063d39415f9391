"""How splits get their queens, and what stays behind. Common practice; days and frames are settings."""

from dataclasses import replace
from datetime import timedelta

import pytest

from routeplan.operation.settings import NO_LATER, Settings, Swaps
from routeplan.operation.world import Hive, Kit, Operation, Order, Stock
from tests.cases.planned import gives, planned, reasons, why
from tests.planning.make import DAY, ONE, hive, one_kit_hive, operation, yard

Y, Z = yard("Y", 10.0, room=0), yard("Z", 20.0)


def asked(order: Order, *hives: Hive, kit: Kit = ONE, **more: object) -> Operation:
    """One order of one kit, from hives of one yard."""
    return operation((Y, Z), hives, (order,), (kit,), **more)


# --- the parent's queen -------------------------------------------------------------------------------------

WITH_QUEEN = Order("A", 1, ONE.name, "parent's")


def parent(**more: object) -> Hive:
    """A hive that gives ONE and keeps 6.2 frames of bees, 4 of brood, 1.8 of them open, 2.8 of food."""
    return hive("H", days=2, **({"bees": 9.5, "capped": 3.0, "open": 3.0, "food": 4.0} | more))


def test_a_parent_keeps_less_when_its_queen_leaves() -> None:
    """6 bees, 2 brood, 1 of it open with eggs, 2 food; a hive that keeps its queen keeps 8 bees, 5 brood."""
    plan = planned(asked(WITH_QUEEN, parent()))
    assert gives(plan) == {"H": {"capped": 1, "open": 1, "food": 1, "shake": 1, "queen": 1}}
    assert plan.stops[0].ways == (("H", "hunt"),)
    assert planned(asked(Order("A", 1, ONE.name, "mated"), parent())).splits == ()


@pytest.mark.parametrize(
    "poor",
    [
        {"bees": 9.2},  # 5.9 would stay
        {"eggs_seen": None},
        {"days": 5},  # eggs seen too long ago
        {"queen": "queenless"},
        {"food": 3.1},  # 1.9 would stay
    ],
)
def test_a_queen_leaves_only_where_the_parent_can_raise_another(poor: dict[str, object]) -> None:
    days = poor.get("days", 2)
    one = hive("H", **({"bees": 9.5, "capped": 3.0, "open": 3.0, "food": 4.0} | poor | {"days": days}))
    plan = planned(asked(WITH_QUEEN, one))
    assert (plan.splits, why(plan).rule) == ((), "R1")


def test_one_queen_a_hive() -> None:
    two = Order("A", 2, ONE.name, "parent's")
    strong = hive("H", capped=8.0, open=6.0, bees=30.0)
    assert len(planned(asked(two, strong)).splits) == 1
    assert len(planned(asked(two, strong, replace(parent(), id="I"))).splits) == 2


# --- bought queens and cells --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("queen", "stock", "placed"),
    [
        ("mated", Stock("mated queen", "", 1), 1),
        ("mated", Stock("mated queen", "", 5, from_day=DAY + timedelta(days=1)), 0),
        ("mated", Stock("mated queen", "", 5, until_day=DAY), 2),
        ("ripe cell", Stock("ripe cell", "", 5, from_day=DAY + timedelta(days=1)), 2),  # goes in tomorrow
        ("ripe cell", Stock("ripe cell", "", 5, until_day=DAY), 0),
        ("ripe cell", Stock("mated queen", "", 0), 2),  # cells are not listed: not limited
    ],
)
def test_queens_and_cells_are_counted_and_have_their_days(queen: str, stock: Stock, placed: int) -> None:
    hives = tuple(one_kit_hive(f"{i}", "Y") for i in range(2))
    plan = planned(asked(Order("A", 2, ONE.name, queen), *hives, stock=(stock,)))
    assert len(plan.splits) == placed
    if placed < 2:
        assert (why(plan).rule, why(plan).count) == ("R12", 2 - placed)


def test_a_cell_means_a_second_trip_a_caged_queen_none() -> None:
    """To Z at 20 km and back 2 x 29 min, 5 min to set up: tomorrow, though somebody comes by every week."""
    after = {}
    for queen in ("ripe cell", "mated"):
        plan = planned(
            operation(
                (Y, yard("Z", 20.0, looked_after=True)),
                (one_kit_hive("H", "Y"),),
                (Order("A", 1, ONE.name, queen),),
                settings=Settings(minimum_distance_m=5000.0),
            )
        )
        after[queen] = plan.totals.later_s
        assert plan.after[0].cell_trips == (queen == "ripe cell")
    assert after == {"ripe cell": 60 * (2 * 29 + 5), "mated": 0}


# --- hives split in their own right -------------------------------------------------------------------------


def test_charged_cells_are_not_pooled_and_come_first() -> None:
    charged = one_kit_hive("Q", "Y", queen_cells="charged")
    others = tuple(one_kit_hive(name, "Y") for name in "AB")
    orders = (
        Order("own", 1, ONE.name, "own cells", from_yard="Y", hive="Q"),
        Order("pooled", 3, ONE.name, "mated"),
    )
    plan = planned(operation((Y, Z), (charged, *others), orders))
    donors = {s.order: set(s.donors) for s in plan.splits if s.order == "own"}
    assert donors == {"own": {"Q"}}
    assert all("Q" not in s.donors for s in plan.splits if s.order == "pooled")
    assert plan.stops[0].opens[0] == "Q"
    assert (why(plan).order, why(plan).count) == ("pooled", 1)


def test_charged_cells_that_nobody_asks_for_give_nothing() -> None:
    plan = planned(asked(Order("A", 1, ONE.name, "mated"), one_kit_hive("Q", "Y", queen_cells="charged")))
    assert plan.splits == ()
    assert "cells" in reasons(plan)["Q"]


@pytest.mark.parametrize(("days", "placed"), [(9, 1), (10, 0)])
def test_cells_seen_too_long_ago_may_be_gone(days: int, placed: int) -> None:
    charged = hive("Q", days=days, queen_cells="charged", eggs_seen=None)
    order = Order("A", 1, ONE.name, "own cells", from_yard="Y", hive="Q")
    assert len(planned(asked(order, charged)).splits) == placed


@pytest.mark.parametrize(
    ("queen", "placed"), [("queenless", 2), ("laying workers", 0), ("drone layer", 0), ("unknown", 2)]
)
def test_a_queenless_hive_may_be_broken_up_laying_workers_not(queen: str, placed: int) -> None:
    one = hive("H", queen=queen, capped=6.0, open=5.0, bees=20.0)
    order = Order("A", 2, ONE.name, "ripe cell", from_yard="Y", hive="H")
    plan = planned(asked(order, one))
    assert len(plan.splits) == placed
    if placed:
        assert gives(plan)["H"] == {"capped": 2, "open": 2, "food": 2, "shake": 2}
        assert {s.made_at for s in plan.splits} == {1}


def test_without_a_queen_frames_do_not_go_into_other_hives_splits() -> None:
    assert (
        planned(asked(Order("A", 1, ONE.name, "mated"), one_kit_hive("H", "Y", queen="queenless"))).splits
        == ()
    )


# --- what stands in for a frame -----------------------------------------------------------------------------


def swapped(swaps: Swaps, one: Hive, *stock: Stock) -> Operation:
    settings = Settings(minimum_distance_m=5000.0, later=NO_LATER, swaps=swaps)
    return asked(Order("A", 1, ONE.name, "mated"), one, settings=settings, stock=stock)


NO_FOOD = one_kit_hive("H", "Y", food=2.3)  # 2 stay, 0.2 leaves with two brood frames


@pytest.mark.parametrize(
    ("swaps", "stock", "swap"),
    [
        (Swaps(feeder=True), (Stock("feeder", "", 1),), "feeder"),
        (Swaps(food_comb=True), (Stock("food comb", "deep", 1),), "food comb"),
        (Swaps(), (Stock("feeder", "", 1), Stock("food comb", "deep", 1)), None),  # not allowed
        (Swaps(feeder=True), (), None),  # none at home
        (Swaps(food_comb=True), (Stock("food comb", "medium", 1),), None),
    ],
)
def test_food_from_home_where_that_is_allowed_and_there(
    swaps: Swaps, stock: tuple[Stock, ...], swap: str | None
) -> None:
    """Each swap counts a quarter of an hour against the plan and is written on the split."""
    plan = planned(swapped(swaps, NO_FOOD, *stock))
    assert [s.swap for s in plan.splits] == ([swap] if swap else [])
    if swap:
        assert "food" not in gives(plan)["H"]
        assert plan.totals.against_s == 15 * 60
        assert plan.stops[0].puts_back[0].combs == 2


@pytest.mark.parametrize(
    ("mixed", "eggs_seen", "placed"), [(True, True, 1), (False, True, 0), (True, None, 0)]
)
def test_a_mixed_frame_with_eggs_for_an_open_one(mixed: bool, eggs_seen: bool | None, placed: int) -> None:
    """2 open frames: a whole one leaves 0.8 after the capped one's share, a mixed one 1.3; 1 must stay."""
    poor = hive("H", capped=6.0, open=2.0, bees=20.0, eggs_seen=eggs_seen)
    plan = planned(swapped(Swaps(mixed_open=mixed), poor))
    assert len(plan.splits) == placed
    if placed:
        assert gives(plan)["H"] == {"capped": 1, "mixed": 1, "food": 1, "shake": 1}
        assert plan.totals.against_s == 15 * 60
