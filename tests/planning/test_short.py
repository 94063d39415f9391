"""Why a split is not in the plan: each reason on a day worked out by hand, each order by its own."""

from dataclasses import replace
from datetime import timedelta

from routeplan.operation.settings import NO_LATER, Settings
from routeplan.operation.world import Hive, Kit, Operation, Order, Stock
from routeplan.planning.solve import plan_day
from tests.planning.make import DAY, ONE, hive, one_kit_hive, operation, yard

NOW = Settings(minimum_distance_m=5000.0, later=NO_LATER)
YARDS = (yard("Creek", 10.0, takes_splits=False), yard("Ridge", 20.0))
THREE = tuple(one_kit_hive(name, "Creek") for name in "ABC")


def why(day: Operation) -> dict[str, tuple[int, str, str]]:
    """What is missing of each order, the rule and the reason."""
    plan = plan_day(day, 10.0)
    assert len(plan.splits) + sum(u.count for u in plan.unplaced) == sum(o.count for o in day.orders)
    return {u.order: (u.count, u.rule, u.reason) for u in plan.unplaced}


def creek(orders: tuple[Order, ...], hives: tuple[Hive, ...] = THREE, **more: object) -> Operation:
    return operation(YARDS, hives, orders, **{"settings": NOW, **more})  # type: ignore[arg-type]


def test_mated_queens_and_ripe_cells_each_by_their_dates() -> None:
    """A queen is used on the day, a cell the day after; five queens come too late, the cells are over."""
    stock = (
        Stock("mated queen", "", 1),
        Stock("mated queen", "", 5, from_day=DAY + timedelta(1)),
        Stock("ripe cell", "", 3, until_day=DAY),
    )
    orders = (Order("cells", 1, ONE.name, "ripe cell"), Order("queens", 2, ONE.name, "mated"))
    assert why(creek(orders, stock=stock)) == {
        "cells": (1, "R12", "no ripe cell can be used on the day after, when cells go in"),
        "queens": (1, "R12", "only 1 mated queen can be used on the day"),
    }


def test_orders_of_one_priority_each_have_their_own_reason() -> None:
    stock = (Stock("mated queen", "", 1),)
    orders = (Order("own", 3, ONE.name, "raise own"), Order("queens", 2, ONE.name, "mated"))
    mothers = (*THREE, replace(one_kit_hive("M", "Creek"), queen_mother=True))
    found = why(creek(orders, mothers, stock=stock))
    assert found["queens"] == (1, "R12", "only 1 mated queen can be used on the day")
    # M gives two open frames: 3 - 2 = 1 is its keep-back
    assert found["own"] == (
        1,
        "R1",
        "short of 1 frame of eggs from a queen mother that donors can give and keep their keep-back",
    )


def test_boxes_and_combs_at_home() -> None:
    boxes = why(creek((Order("A", 3, ONE.name, "mated"),), stock=(Stock("nuc box", "deep", 2),)))
    assert boxes["A"] == (1, "R11", "only 2 nuc boxes at home (deep): not enough for one more")
    combs = (Stock("drawn comb", "deep", 4), Stock("foundation", "deep", 8))
    found = why(creek((Order("A", 3, ONE.name, "mated"),), stock=combs))
    assert found["A"] == (
        1,
        "R11",
        "only 12 combs and sheets of foundation at home (deep): not enough for one more",
    )


def test_a_yard_where_bears_come_needs_a_fence_kit() -> None:
    bears = (YARDS[0], replace(YARDS[1], bear=True))
    day = replace(creek((Order("A", 1, ONE.name, "mated"),)), yards=bears)
    assert why(day)["A"] == (1, "R11", "no fence kit at home is left for a yard where bears come")
    assert why(replace(day, stock=(Stock("fence kit", "", 1),))) == {}
    fenced = (YARDS[0], replace(YARDS[1], bear=True, fence=True))
    assert why(replace(day, yards=fenced)) == {}


def test_a_second_yard_with_bears_and_one_kit() -> None:
    bears = (
        YARDS[0],
        *(replace(yard(n, km), bear=True, room=2) for n, km in (("Ridge", 20.0), ("Top", 22.0))),
    )
    day = replace(creek((Order("A", 3, ONE.name, "mated"),)), yards=bears, stock=(Stock("fence kit", "", 1),))
    assert why(day)["A"][:2] == (1, "R11")


def own_right(**count: object) -> dict[str, tuple[int, str, str]]:
    """The hive at Creek split in its own right into two parts that leave, each one capped, open and food."""
    order = Order("A", 2, ONE.name, "mated", from_yard="Creek", hive="A")
    return why(creek((order,), (hive("A", "Creek", **count), *THREE[1:])))


def test_a_hive_split_in_its_own_right_names_the_count_that_is_short() -> None:
    """6 bees stay: two parts take 2 x (1 + 1 + 0.5 + 0.8) = 6.6, so of 12 frames 0.6 are missing."""
    assert own_right() == {}
    assert own_right(bees=12.0, capped=4.0, open=4.0)["A"] == (
        1,
        "R1",
        "hive A at Creek cannot give 2 splits in its own right: bees it must keep; short of 1 shake of bees",
    )
    one_capped = own_right(capped=1.0, open=6.0)["A"]
    assert one_capped[:2] == (1, "R1")
    assert one_capped[2].endswith("no more capped brood; short of 1 capped frame")


def test_a_hive_that_cannot_be_split_at_all_says_why() -> None:
    assert own_right(health="suspected")["A"] == (
        2,
        "R4",
        "hive A at Creek cannot be split in its own right: health suspected: nothing leaves",
    )
    no_bees = own_right(bees=None)["A"]
    assert no_bees[:2] == (2, "R1")
    assert no_bees[2].endswith("bees not counted")


def test_queens_that_can_leave() -> None:
    """B and C were looked at six days ago: no fresh eggs, so they could raise no new queen."""
    hives = tuple(hive(name, "Creek", days=6 * (name != "A")) for name in "ABC")
    assert why(creek((Order("A", 2, ONE.name, "parent's"),), hives))["A"] == (
        1,
        "R1",
        "the queen can leave only 1 hive: fresh eggs and enough bees must stay behind",
    )


def test_frames_that_are_short_at_a_named_yard() -> None:
    """Creek could give enough, but the order is for frames from Hut, whose hives give one food frame each."""
    yards = (*YARDS, yard("Hut", 12.0, takes_splits=False))
    hives = (*THREE, hive("H", "Hut", food=3.3), hive("I", "Hut", food=3.3))
    day = replace(creek((Order("A", 3, ONE.name, "mated", from_yard="Hut"),), hives), yards=yards)
    count, rule, reason = why(day)["A"]
    assert (count, rule) == (1, "R1")
    assert reason.startswith("short of 1 food frame at Hut that donors can give")


def test_room_says_how_many_there_is() -> None:
    small = (YARDS[0], replace(YARDS[1], room=2))
    day = replace(creek((Order("A", 3, ONE.name, "mated"),)), yards=small)
    assert why(day)["A"] == (1, "R6", "not enough room at the yards for more than 2")


def test_a_kit_too_big_for_all_hives() -> None:
    big = Kit("big", capped=9, drawn=1)
    count, rule, reason = why(creek((Order("A", 1, big.name, "mated"),), kits=(big,)))["A"]
    assert (count, rule) == (1, "R1")
    assert reason.startswith("short of 3 capped frames"), "three hives give two each"
