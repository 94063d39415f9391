"""Days that hold: the day worked out by hand with one newer thing in it, every changed number by hand.

Two people, so the minutes of a pair stand as they are. Opening A1 takes 300 s, A2 (two boxes) and B1 390 s.
A frame looked over takes 90 s, a shake 30 s; once the queen is found 48 s and 15 s (0.8 and 0.25 min, common
practice, as all minutes here).
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

from routeplan.operation.world import Operation, Order, Stock
from routeplan.plan import Plan, Take
from tests.audit.edit import (
    nothing,
    settled,
    with_after,
    with_count,
    with_hive,
    with_settings,
    with_split,
    with_stop,
    with_totals,
    with_way,
)
from tests.audit.retell import listed, standing_by, taking
from tests.tiny import DAY, tiny_operation, tiny_plan

Day = tuple[Operation, Plan]
OP, PLAN = tiny_operation(), tiny_plan()


def added_up(plan: Plan, making_s: int = 2490, beside_s: int = 0) -> Plan:
    """Add up a day whose weeks after are as stated."""
    return listed(settled(plan, making_s, after=plan.after, beside_s=beside_s))


def ordered(operation: Operation, first: Order, *rest: Order) -> Operation:
    """Ask for other splits instead of the two with caged queens."""
    return replace(operation, orders=(first, *rest, *operation.orders[1:]))


def in_stock(operation: Operation, item: str, number: int, frame: str = "", **days: date) -> Operation:
    """Add a row of stock."""
    return replace(operation, stock=(*operation.stock, Stock(item, frame, number, **days)))


def hunted() -> Day:
    """A1's queen is marked and found first: 300 + 240 + 3 x 48 + 2 x 15 = 714 s, not 630; Acacia 1434 s."""
    return OP, added_up(with_stop(with_way(PLAN, 1, "A1", "hunt"), 1, hive_s=1434))


def from_supers() -> Day:
    """S1's bees come from above the excluder of A3: 240 + 2 x 30 = 300 s; A1 less 60 s, 1590 s of Acacia.

    A3 has 5 brood and 2 food, exactly what stays, and 12 frames of bees: 12 - 1.6 = 10.4. A1 could now shake
    in two: 13 - 2.5 - 1.6 = 8.9.
    """
    operation = with_hive(OP, "A3", excluder=True, supers=1)
    operation = with_count(operation, "A3", inspected=DAY, bees=12.0, food=2.0)
    plan = taking(PLAN, 1, Take("A3", "shake", 2, "S1"), less=(("A1", "shake"),))
    plan = added_up(with_stop(with_way(plan, 1, "A3", "supers"), 1, hive_s=1590))
    plan = replace(
        plan, hives=tuple(replace(h, could=(("shake", 2),)) if h.hive == "A3" else h for h in plan.hives)
    )
    return operation, standing_by(plan, "Acacia", "shake", ("A1", 2))


def due() -> Day:
    """A2 is due for a look anyway: 390 s do not count."""
    return with_hive(OP, "A2", due=True), added_up(with_totals(PLAN, due_s=390))


def due_above() -> Day:
    """A3 of the day from supers is due: only its top is opened, 240 s do not count."""
    operation, plan = from_supers()
    return with_hive(operation, "A3", due=True), added_up(with_totals(plan, due_s=240))


def queen_leaves() -> Day:
    """A1's queen goes with S1 and is found first (1434 s); no queen is put in at Borehole: 540 s there.

    10.1 - 4.1 = 6.0 frames of bees stay, exactly what is asked of a hive that parts with its queen; 5 + 1
    cover its brood. A3 (4.92 brood) and A2 could part with theirs as well.
    """
    operation = ordered(
        with_count(OP, "A1", bees=10.1),
        Order("caged", 1, "three-frame", "mated"),
        Order("old", 1, "three-frame", "parent's"),
    )
    plan = taking(with_split(PLAN, "S1", order="old", queen="parent's"), 1, Take("A1", "queen", 1, "S1"))
    plan = with_stop(with_stop(with_way(plan, 1, "A1", "hunt"), 1, hive_s=1434), 2, place_s=540)
    return operation, standing_by(added_up(plan, 2430), "Acacia", "queen", ("A3", 1), ("A2", 1))


def another_queen() -> Day:
    """A2's queen, unmarked in two boxes, goes with S1, frames of A1: 390 + 900 + 144 + 30 = 1464 s."""
    operation, plan = queen_leaves()
    plan = taking(plan, 1, Take("A2", "queen", 1, "S1"), less=(("A1", "queen"),))
    plan = with_stop(with_way(with_way(plan, 1, "A1", "look"), 1, "A2", "hunt"), 1, hive_s=2094)
    plan = standing_by(added_up(plan, 2430), "Acacia", "queen", ("A3", 1), ("A1", 1))
    return with_count(operation, "A1", bees=13.0), plan


def her_hive_only(way: str = "hunt", seconds: int = 540) -> Day:
    """A3's queen goes with S1, and nothing else of A3: 300 + 240 s beside the 1350 s of A1 and A2.

    A1 and A2 could part with theirs. A3 may now give what a hive without its queen may: of 4.92 brood a
    third, one frame; of 4 food two; two shakes.
    """
    operation, plan = queen_leaves()
    plan = taking(plan, 1, Take("A3", "queen", 1, "S1"), less=(("A1", "queen"),))
    plan = with_stop(with_way(with_way(plan, 1, "A1", "look"), 1, "A3", way), 1, hive_s=1350 + seconds)
    plan = standing_by(added_up(plan, 2430), "Acacia", "queen", ("A1", 1), ("A2", 1))
    for kind, more in (("capped", 1), ("open", 1), ("food", 2), ("shake", 2)):
        plan = standing_by(plan, "Acacia", kind, ("A3", more))
    return with_count(operation, "A1", bees=13.0), plan


def hunted_only_for_her() -> Day:
    """Finding a queen is not allowed but where she leaves."""
    operation, plan = queen_leaves()
    return with_settings(operation, "sure", hunt=False), plan


def own_cells(days: int) -> Day:
    """Charged cells seen some days ago; 4 capped and 3 open frames stay so for twelve days."""
    operation, plan = own_right("own cells")
    return with_count(operation, "A1", inspected=DAY - timedelta(days=days)), plan


def queen_leaves_cells() -> Day:
    """A1 split in its own right parts with its queen and has charged cells, no eggs seen."""
    operation, plan = own_right("parent's")
    return with_count(operation, "A1", queen_cells="charged", eggs_seen=None), plan


def not_today() -> Day:
    """A3 would be split in its own right, has no cells, and is not split."""
    order = replace(OP.orders[2], queen="own cells", from_yard="Acacia", hive="A3")
    return replace(OP, orders=(*OP.orders[:2], order)), PLAN


def own_right(queen: str = "mated") -> Day:
    """S1 is A1 split in its own right; all else stays, but A1 could give nothing to others.

    Only a mated queen takes 60 s to put in. Eggs are A1's own. The parent's queen is found first.
    """
    order = Order("part", 1, "three-frame", queen, from_yard="Acacia", hive="A1")
    operation = ordered(OP, order, Order("caged", 1, "three-frame", "mated"))
    plan = with_split(nothing(PLAN, "A1"), "S1", order="part", queen=queen)
    if queen == "own cells":
        operation = with_count(operation, "A1", queen_cells="charged")
    if queen == "raise own":
        plan = taking(plan, 1, Take("A1", "eggs", 1, "S1"), less=(("A1", "open"),))
    if queen == "parent's":
        plan = taking(with_stop(plan, 1, hive_s=1434), 1, Take("A1", "queen", 1, "S1"))
        plan = with_way(plan, 1, "A1", "hunt")
    if queen == "ripe cell":
        plan = with_after(plan, "Borehole", cell_trips=1)
    if queen == "mated":
        return operation, added_up(plan)
    return operation, added_up(with_stop(plan, 2, place_s=540), 2430)


TWO_KITS = tuple(
    Take("A1", kind, number, split)
    for split in ("S1", "S2")
    for kind, number in (("capped", 1), ("open", 1), ("food", 1), ("shake", 2))
)


def two_parts() -> Day:
    """S1 and S2 both come out of A1, more than any donor gives: four frames of brood, four shakes.

    Counted on the day with 15 bees, 5 capped, 4 open, 6 food: 15 - 8.2 = 6.8 bees, 9 - 4 + 1 = 6 needed;
    4 - 2 - 0.4 = 1.6 open, 6 - 2 - 0.4 = 3.6 food. 300 + 6 x 90 + 4 x 30 = 960 s.
    """
    operation = replace(
        with_count(OP, "A1", inspected=DAY, bees=15.0, capped=5.0, open=4.0, food=6.0),
        orders=(Order("parts", 2, "three-frame", "mated", from_yard="Acacia", hive="A1"), *OP.orders[1:]),
    )
    plan = with_split(with_split(nothing(PLAN, "A1"), "S1", order="parts"), "S2", order="parts")
    plan = taking(plan, 1, *TWO_KITS, less=tuple((t.hive, t.kind) for t in PLAN.stops[0].takes))
    return operation, added_up(with_stop(plan, 1, hive_s=960))


def whole_hive() -> Day:
    """A1 is broken up: S1 gets its queen and the frame of capped brood that no kit asks for, S2 a caged one.

    Counted on the day with 9.3 bees, 3 capped, 2 open, 2 food: 2 x 4.1 + 1 = 9.2 frames of bees ride along.
    Nothing is put back. 300 + 240 + 7 x 48 + 4 x 15 = 936 s; one queen is put in at Borehole: 540 s.
    """
    orders = (
        Order("hers", 1, "three-frame", "parent's", from_yard="Acacia", hive="A1", break_up=True),
        Order("rest", 1, "three-frame", "mated", from_yard="Acacia", hive="A1", break_up=True),
    )
    operation = replace(
        with_count(OP, "A1", inspected=DAY, bees=9.3, capped=3.0, open=2.0, food=2.0),
        orders=(*orders, *OP.orders[1:]),
    )
    plan = with_split(nothing(PLAN, "A1"), "S1", order="hers", queen="parent's")
    plan = with_split(plan, "S2", order="rest")
    more = (Take("A1", "capped", 1, "S1"), Take("A1", "queen", 1, "S1"))
    plan = taking(plan, 1, *TWO_KITS, *more, less=tuple((t.hive, t.kind) for t in PLAN.stops[0].takes))
    plan = with_stop(with_way(plan, 1, "A1", "hunt"), 1, hive_s=936, puts_back=())
    return operation, added_up(with_stop(plan, 2, place_s=540), 2520)


SOUND: dict[str, Callable[[], Day]] = {
    "the queen is found first": hunted,
    "bees from above the excluder": from_supers,
    "a hive is due": due,
    "a hive is due and only its top opened": due_above,
    "the queen leaves": queen_leaves,
    "the queen of another hive leaves": another_queen,
    "the queen of a hive that gives nothing else": her_hive_only,
    "finding her allowed only where she leaves": hunted_only_for_her,
    "a hive split for a mated queen": own_right,
    "a hive split, cells seen nine days ago": lambda: own_cells(9),
    "a hive split, its queen leaves cells": queen_leaves_cells,
    "a hive split in its own right, not today": not_today,
    "a hive split, own cells": lambda: own_right("own cells"),
    "a hive split, own eggs": lambda: own_right("raise own"),
    "a hive split, its queen leaves": lambda: own_right("parent's"),
    "a hive split for a ripe cell": lambda: own_right("ripe cell"),
    "two parts of one hive": two_parts,
    "a hive broken up": whole_hive,
}
