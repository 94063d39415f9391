"""Days with a hive split in its own right, broken in one thing; a twin is as in broken_queens."""

from dataclasses import replace
from datetime import timedelta

from routeplan.operation.world import Operation
from routeplan.plan import Plan, PutBack, Take, Unplaced
from tests.audit.broken_queens import Twin
from tests.audit.edit import (
    with_count,
    with_hive,
    with_settings,
    with_split,
    with_stock,
    with_stop,
    with_totals,
    with_way,
)
from tests.audit.retell import standing_by, taking
from tests.audit.sound import (
    added_up,
    in_stock,
    own_cells,
    own_right,
    two_parts,
    whole_hive,
)
from tests.tiny import DAY


def own_splits() -> list[Twin]:
    """It feeds its own splits alone (R12), keeps what it must (R1), and goes by its order's way."""
    operation, plan = own_right()
    parts_of, parts = two_parts()
    own = {queen: own_right(queen) for queen in ("own cells", "raise own", "parent's")}
    # one more frame of food: 90 s, and four combs back
    gives = added_up(with_stop(taking(plan, 1, Take("A1", "food", 1, "S2")), 1, hive_s=1440), 2580)
    gets = added_up(with_stop(taking(plan, 1, Take("A2", "food", 1, "S1")), 1, hive_s=1440), 2580)
    charged_of, charged = own["own cells"]
    eggs_of, eggs = own["raise own"]
    queen_of, queen = own["parent's"]
    as_open = added_up(taking(eggs, 1, Take("A1", "open", 1, "S1"), less=(("A1", "eggs"),)), 2430)
    unseen = added_up(with_stop(with_way(queen, 1, "A1", "look"), 1, hive_s=1350), 2430)
    lost = with_count(with_hive(operation, "A1", queen="queenless"), "A1", inspected=DAY)
    sought = added_up(with_stop(with_way(plan, 1, "A1", "hunt"), 1, hive_s=1794))
    lost_queen = with_count(with_hive(queen_of, "A1", queen="queenless"), "A1", inspected=DAY)
    return [
        (
            "gives elsewhere too",
            with_count(operation, "A1", food=5.0),
            gives,
            [("R12", 1, "hive A1 at Acacia is split in its own right and gives to split S2")],
        ),
        (
            "gets from elsewhere too",
            with_count(operation, "A2", bees=12.6, food=5.0),
            gets,
            [("R12", 1, "split S1 of hive A1 at Acacia has frames of hive A2 at Acacia")],
        ),
        (
            "made at two stops",
            parts_of,
            in_two_stops(parts),
            [
                ("R3", 1, "hive A1 at Acacia is opened at 2 stops"),
                ("R12", 1, "hive A1 at Acacia is split at 2 stops"),
            ],
        ),
        (
            "bees",
            with_count(operation, "A1", bees=10.0),
            plan,
            [("R1", 0.1, "hive A1 at Acacia keeps 5.90"), ("R1", 0.1, "to cover its brood")],
        ),
        (
            "brood",
            with_settings(operation, "parted", brood=5.1),
            plan,
            [("R1", 0.1, "hive A1 at Acacia keeps 5.00 frames of brood")],
        ),
        (
            "open",
            with_count(operation, "A1", inspected=DAY, capped=5.0, open=2.0),
            plan,
            [("R1", 0.2, "hive A1 at Acacia keeps 0.80")],
        ),
        ("food", with_count(operation, "A1", food=3.1), plan, [("R1", 0.1, "hive A1 at Acacia keeps 1.90")]),
        ("may not give", with_hive(operation, "A1", may_give=False), plan, [("R1", 5, "hive A1 at Acacia")]),
        (
            "laying workers",
            with_hive(lost, "A1", queen="laying workers"),
            plan,
            [("R1", 5, "hive A1 at Acacia")],
        ),
        (
            "not healthy",
            with_hive(operation, "A1", health="suspected"),
            plan,
            [("R4", 5, "hive A1 at Acacia gives to split S1")],
        ),
        (
            "mites",
            with_count(operation, "A1", mites_per_100=3.5),
            plan,
            [("R4", 1, "hive A1 at Acacia gives to split S1")],
        ),
        (
            "no cells",
            with_count(charged_of, "A1", queen_cells="cups"),
            charged,
            [("R12", 1, "hive A1 at Acacia: no charged queen cells")],
        ),
        (
            "cells seen ten days ago",
            *own_cells(10),
            [("R12", 1, "hive A1 at Acacia: no charged queen cells")],
        ),
        (
            "old eggs",
            with_count(eggs_of, "A1", inspected=DAY - timedelta(days=5)),
            eggs,
            [("R2", 1, "split S1 has its eggs from hive A1 at Acacia")],
        ),
        (
            "open brood for eggs",
            eggs_of,
            as_open,
            [
                ("R2", 1, "split S1 gets 0 frames of eggs"),
                ("R2", 1, "split S1 (raise own) gets 1 frames as open"),
            ],
        ),
        (
            "its queen is not found first",
            queen_of,
            unseen,
            [("R8", 1, "hive A1 at Acacia: looking over the frames is not enough")],
        ),
        (
            "its queen leaves no eggs",
            with_count(queen_of, "A1", eggs_seen=None),
            queen,
            [("R12", 1, "hive A1 at Acacia gives its queen and has no fresh eggs")],
        ),
        (
            "its queen leaves with both parts",
            *both_with_her(),
            [
                ("R12", 1, "hive A1 at Acacia gives 2 queens"),
                ("R12", 2, "hive A1 at Acacia: its one queen cannot go with 2 splits"),
            ],
        ),
        (
            "the queen it has not is sought",
            lost,
            sought,
            [("R8", 1, "hive A1 at Acacia: it has no queen to look for")],
        ),
        (
            "the queen it has not leaves",
            lost_queen,
            unseen,
            [("R12", 1, "hive A1 at Acacia gives its queen, but is noted as: queenless")],
        ),
        (
            "stands by for others",
            operation,
            standing_by(plan, "Acacia", "shake", ("A1", 1)),
            [("R3", 1, "hive A1 at Acacia cannot stand by for shakes of bees: it is split in its own right")],
        ),
        (
            "something stands in for its food",
            *food_from_stock(),
            [("R2", 1, "split S1: 'food comb' may not stand in")],
        ),
        (
            "a mixed frame of it",
            with_settings(operation, "swaps", mixed_open=True),
            mixed_of_it(plan),
            [("R1", 5, "hive A1 at Acacia")],
        ),
    ]


def broken_up() -> list[Twin]:
    """All parts of a hive broken up are made, no brood stays, its queen goes along (R12), no comb comes back
    (R11)."""
    operation, plan = whole_hive()
    three = (replace(operation.orders[1], count=2), *operation.orders[2:])
    one_less = replace(
        with_totals(plan, asked=5), unplaced=(Unplaced("rest", 1, "R6", "no room"), *plan.unplaced)
    )
    caged = with_split(
        with_stop(taking(plan, 1, less=(("A1", "queen"),)), 2, place_s=600), "S1", queen="mated"
    )
    caged = added_up(with_stop(with_way(caged, 1, "A1", "hunt"), 1, puts_back=()), 2580)
    all_caged = replace(
        operation, orders=(replace(operation.orders[0], queen="mated"), *operation.orders[1:])
    )
    return [
        (
            "a part is not made",
            replace(operation, orders=(operation.orders[0], *three)),
            one_less,
            [("R12", 1, "hive A1 at Acacia is to be broken up into 3, 2 of its splits are made")],
        ),
        (
            "capped brood stays",
            with_count(operation, "A1", capped=4.0),
            plan,
            [("R12", 1, "hive A1 at Acacia is broken up and 1 frame of capped brood is left behind")],
        ),
        (
            "open brood stays",
            with_count(operation, "A1", open=4.5),
            plan,
            [("R12", 2, "hive A1 at Acacia is broken up and 2 frames of open brood are left behind")],
        ),
        (
            "its queen stays",
            all_caged,
            caged,
            [("R12", 1, "hive A1 at Acacia is broken up and its queen goes with no split")],
        ),
        (
            "more bees leave than are there",
            with_count(operation, "A1", bees=9.1),
            plan,
            [("R1", 0.1, "hive A1 at Acacia keeps -0.10 frames of bees")],
        ),
        (
            "combs are put back",
            operation,
            with_stop(plan, 1, puts_back=(PutBack("A1", 7),)),
            [("R11", 7, "stop 1: hive A1 at Acacia is broken up and gets 7 combs")],
        ),
        (
            "combs to fill its boxes",
            with_stock(operation, "foundation", 1),
            plan,
            [("R11", 1, "8 deep combs needed, 7 at home")],
        ),
    ]


def in_two_stops(plan: Plan) -> Plan:
    """Open A1 again for S2 after clearing up: 300 + 3 x 90 + 2 x 30 = 630 s each time."""
    first = plan.stops[0]
    halves = [
        replace(
            first,
            takes=tuple(t for t in first.takes if t.split == split),
            makes=(split,),
            puts_back=(PutBack("A1", 3),),
            hive_s=630,
            make_s=180,
        )
        for split in ("S1", "S2")
    ]
    again = replace(halves[1], drive_s=0, drive_m=0)
    plan = replace(plan, stops=(halves[0], again, *plan.stops[1:]))
    for split, made, placed in (("S1", 1, 3), ("S2", 2, 3), ("S3", 3, 4)):
        plan = with_split(plan, split, made_at=made, placed_at=placed)
    return added_up(plan)


def both_with_her() -> tuple[Operation, Plan]:
    """Both parts take A1's queen: 300 + 240 + 6 x 48 + 4 x 15 = 888 s, two placed without one in 480 s."""
    operation, plan = two_parts()
    for split in ("S1", "S2"):
        plan = taking(with_split(plan, split, queen="parent's"), 1, Take("A1", "queen", 1, split))
    plan = with_stop(with_stop(with_way(plan, 1, "A1", "hunt"), 1, hive_s=888), 2, place_s=480)
    order = replace(operation.orders[0], queen="parent's")
    return replace(operation, orders=(order, *operation.orders[1:])), added_up(plan, 2370)


def food_from_stock() -> tuple[Operation, Plan]:
    """A comb of food instead of A1's own in the part that is all of A1's."""
    operation, plan = own_right()
    operation = in_stock(with_settings(operation, "swaps", food_comb=True), "food comb", 1, "deep")
    plan = taking(with_split(plan, "S1", swap="food comb"), 1, less=(("A1", "food"),))
    return operation, added_up(with_stop(plan, 1, hive_s=1260), 2400, 900)


def mixed_of_it(plan: Plan) -> Plan:
    """A mixed frame instead of A1's open one."""
    return added_up(taking(plan, 1, Take("A1", "mixed", 1, "S1"), less=(("A1", "open"),)), beside_s=900)
