"""Days that hold with a box of two yards: S3 is begun at Acacia, completed at Borehole, placed at Cedar.

Beside the day worked out by hand: loading the begun box takes 60 s at Acacia, nothing is carried there.
Acacia - Cedar is 0.11 degrees, 12 245.14 m.
"""

from collections.abc import Callable
from dataclasses import replace

from routeplan.operation.world import Order, Pair
from routeplan.plan import Plan, Take
from tests.audit.edit import with_count, with_settings, with_split, with_stop, with_way
from tests.audit.retell import standing_by, taking
from tests.audit.sound import OP, PLAN, Day, added_up
from tests.tiny import DAY

NEAR = 4000.0
"""Metres between Acacia and Cedar where they are said to be near."""


def begun(plan: Plan, kind: str, hive: str, bees: bool = True) -> Plan:
    """S3 gets one frame of a kind from Acacia instead of B1: 90 s less at Borehole."""
    plan = with_stop(
        with_split(plan, "S3", begun_at=1, begun_yard="Acacia", begun_m=12245), 1, begins=("S3",)
    )
    plan = taking(plan, 1, Take(hive, kind, 1, "S3", bees))
    return with_stop(taking(plan, 2, less=(("B1", kind),)), 2, hive_s=630)


def food_first(bees: bool = True) -> Day:
    """A1 gives two frames of food: 14 - 4.6 = 9.4 bees, 5 - 2.2 = 2.8 food stay; 1440 s of hives.

    The crew leaves Acacia 150 s later, at 10:36:00, and Borehole at 11:26:11; at Cedar S3 is opened at
    11:59:06: shut in 4986 s, from Borehole only 1975 s.
    """
    operation = with_count(with_settings(OP, "limits", yards_per_split=2), "A1", bees=14.0, food=5.0)
    plan = with_stop(begun(PLAN, "food", "A1", bees), 1, hive_s=1440, make_s=420)
    return operation, added_up(plan)


def food_without_bees() -> Day:
    """Food free of bees makes no parent: Cedar may be as near as it likes. 4.1 - 0.5 frames of bees."""
    operation, plan = food_first(bees=False)
    operation = replace(with_settings(operation, "limits", own_queen_bees=3.6), pairs=near())
    return operation, with_split(plan, "S3", begun_m=4000)


def near() -> tuple[Pair, ...]:
    """Acacia and Cedar said to be 4 km apart for bees."""
    return (*OP.pairs, Pair("Acacia", "Cedar", flying_m=NEAR))


def brood_first(bees: bool = False) -> Day:
    """A3 gives one capped frame, all it can: 5 brood, 2.0 food and 8 bees stay; 300 + 90 s more at Acacia.

    Without bees it waits from leaving Acacia until hives are opened at Borehole, 701 + 600 + 600 = 1901 s.
    S3 has 4.1 - 1 frames of bees. B1 could now give one more frame of eggs.
    """
    operation = with_count(OP, "A3", inspected=DAY, bees=9.0, capped=4.0, open=2.0, food=2.1)
    operation = with_settings(
        operation, "limits", yards_per_split=2, bare_brood_min=1901 / 60, own_queen_bees=3.1
    )
    plan = added_up(with_stop(begun(PLAN, "capped", "A3", bees), 1, hive_s=1740, make_s=420))
    lines = (
        replace(h, could=(("capped", 1), ("open", 1), ("shake", 1))) if h.hive == "A3" else h
        for h in plan.hives
    )
    return operation, standing_by(replace(plan, hives=tuple(lines)), "Borehole", "eggs", ("B1", 1))


def queen_first(bees: bool = True) -> Day:
    """A1's queen goes with S3 and its food: found first, 300 + 240 + 4 x 48 + 2 x 15 = 762 s, Acacia 1482 s.

    A3 and A2 could part with theirs; B1's eggs are an open frame now.
    """
    operation, plan = food_first(bees)
    rest = tuple(o for o in operation.orders if o.id != "eggs")
    operation = replace(operation, orders=(rest[0], Order("eggs", 1, "three-frame", "parent's"), *rest[1:]))
    plan = taking(with_split(plan, "S3", queen="parent's"), 1, Take("A1", "queen", 1, "S3"))
    plan = taking(plan, 2, Take("B1", "open", 1, "S3"), less=(("B1", "eggs"),))
    plan = added_up(with_stop(with_way(plan, 1, "A1", "hunt"), 1, hive_s=1482))
    return operation, standing_by(plan, "Acacia", "queen", ("A3", 1), ("A2", 1))


SOUND_POOLED: dict[str, Callable[[], Day]] = {
    "food of another yard, with its bees": food_first,
    "food of another yard, free of bees": food_without_bees,
    "brood of another yard, with its bees": lambda: brood_first(bees=True),
    "brood of another yard, free of bees": brood_first,
    "a queen of another yard, with bees of hers": queen_first,
}
