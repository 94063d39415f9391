"""Days that hold broken in one thing about queens: ways to be sure, hives due, queens that leave.

Each twin is (what is wrong, operation, plan, what the audit must say: rule, amount, words of its sentence).
"""

from dataclasses import replace
from datetime import timedelta

from routeplan.operation.world import Operation
from routeplan.plan import Plan, Take
from tests.audit.edit import (
    nothing,
    with_count,
    with_hive,
    with_line,
    with_settings,
    with_split,
    with_stop,
    with_totals,
    with_way,
    with_yard,
)
from tests.audit.retell import standing_by, taking
from tests.audit.sound import (
    added_up,
    another_queen,
    due,
    due_above,
    from_supers,
    her_hive_only,
    hunted,
    queen_leaves,
)
from tests.tiny import DAY, tiny_operation, tiny_plan

Said = tuple[str, float, str]
Twin = tuple[str, Operation, Plan, list[Said]]
OP, PLAN = tiny_operation(), tiny_plan()


def ways() -> list[Twin]:
    """The queen is known not to be on what leaves (R8), and the time is that of the way (R13)."""
    (hunt_of, hunt), (above_of, above) = hunted(), from_supers()
    in_other_order = with_stop(PLAN, 1, ways=(("A2", "look"), ("A1", "look")))
    excluded = with_hive(OP, "A1", excluder=True, supers=1)
    # 240 + 3 x 90 + 2 x 30 = 570 s, as if frames could come from there
    frames_above = added_up(with_stop(with_way(PLAN, 1, "A1", "supers"), 1, hive_s=1290))
    return [
        (
            "looking over is not allowed",
            with_settings(OP, "sure", look=False),
            added_up(PLAN, 2022),  # frames and shakes now count 9 x 48 + 6 x 15 = 522 s, not 990
            [
                ("R8", 1, f"hive {hive}: looking over is not allowed")
                for hive in ("A1 at Acacia", "A2 at Acacia", "B1 at Borehole")
            ],
        ),
        (
            "finding her is not allowed",
            with_settings(hunt_of, "sure", hunt=False),
            hunt,
            [("R8", 1, "hive A1 at Acacia: finding the queen first is not allowed")],
        ),
        (
            "supers are not allowed",
            with_settings(above_of, "sure", supers=False),
            above,
            [("R8", 1, "hive A3 at Acacia: it has no supers")],
        ),
        (
            "no excluder",
            with_hive(above_of, "A3", excluder=False),
            above,
            [("R8", 1, "hive A3 at Acacia: it has no supers")],
        ),
        (
            "no super",
            with_hive(above_of, "A3", supers=0),
            above,
            [("R8", 1, "hive A3 at Acacia: it has no supers")],
        ),
        ("frames from supers", excluded, frames_above, [("R8", 1, "hive A1 at Acacia: 3 frames cannot")]),
        (
            "no way anybody knows",
            OP,
            with_way(PLAN, 1, "A1", "guess"),
            [("R8", 1, "hive A1 at Acacia: 'guess'")],
        ),
        ("ways of other hives", OP, in_other_order, [("R8", 1, "stop 1 at Acacia: ways")]),
        (
            "found in no time",
            OP,
            with_way(PLAN, 1, "A1", "hunt"),
            [("R13", 84, "stop 1 at Acacia: work on hives")],
        ),
        # ten minutes instead of four
        (
            "found as if she were marked",
            with_hive(hunt_of, "A1", queen="unmarked"),
            hunt,
            [("R13", 360, "stop 1 at Acacia: work on hives")],
        ),
        # fifteen minutes instead of ten
        (
            "found as if in one box",
            with_hive(hunt_of, "A1", queen="unmarked", boxes=2),
            added_up(with_stop(hunt, 1, hive_s=1884)),
            [("R13", 300, "stop 1 at Acacia: work on hives")],
        ),
        # 300 + 90 s instead of 240
        (
            "all of it opened for its supers",
            above_of,
            added_up(with_stop(above, 1, hive_s=1740)),
            [("R13", 150, "stop 1 at Acacia: work on hives")],
        ),
    ]


def hives_due() -> list[Twin]:
    """Opening a hive that is due anyway is not counted, and nothing else is taken off."""
    (due_of, a2_due), (above_of, above) = due(), due_above()
    words = "hives that are due anyway"
    return [
        ("due and counted", due_of, PLAN, [("R13", 390, words)]),
        ("its whole yard due", with_yard(OP, "Acacia", due=True), a2_due, [("R13", 300, words)]),
        ("nothing due and not counted", OP, a2_due, [("R13", 390, words)]),
        (
            "due and not opened",
            with_hive(OP, "A3", due=True),
            added_up(with_totals(PLAN, due_s=300)),
            [("R13", 300, words)],
        ),
        ("taken off for all of it", above_of, added_up(with_totals(above, due_s=390)), [("R13", 150, words)]),
    ]


def queens_leave() -> list[Twin]:
    """The parent's queen goes along: what stays (R1), who she is (R12), kit, donors, way."""
    operation, plan = queen_leaves()
    other_of, other = another_queen()
    above_of, above = her_hive_only("supers", 240)
    above_of = with_hive(above_of, "A3", excluder=True, supers=1)
    eggs, queens = (
        with_count(operation, "A1", inspected=DAY - timedelta(days=5)),
        "hive A1 at Acacia gives its queen",
    )
    # not marked: 600 s to find her, so 1794 s; a drone layer's brood is 4 and 2 on the day
    drones = added_up(with_stop(nothing(plan, "A1"), 1, hive_s=1794), 2430)
    two = taking(with_split(plan, "S2", order="old", queen="parent's"), 1, Take("A1", "queen", 1, "S2"))
    two = added_up(with_stop(two, 2, place_s=480), 2370)
    kept = added_up(taking(plan, 1, less=(("A1", "queen"),)), 2430)
    to_mated = with_stop(with_split(plan, "S1", order="caged", queen="mated"), 2, place_s=600)
    return [
        (
            "bees",
            with_count(operation, "A1", bees=10.0),
            plan,
            [("R1", 0.1, "hive A1 at Acacia keeps 5.90"), ("R1", 0.1, "to cover its brood")],
        ),
        (
            "open",
            with_count(operation, "A1", inspected=DAY, capped=5.0, open=2.0),
            with_line(plan, "A1", open=1),
            [("R1", 0.2, "hive A1 at Acacia keeps 0.80")],
        ),
        (
            "food",
            with_count(operation, "A1", food=3.1),
            with_line(plan, "A1", food=1),
            [("R1", 0.1, "hive A1 at Acacia keeps 1.90")],
        ),
        (
            "a drone layer",
            with_hive(operation, "A1", queen="drone layer"),
            drones,
            [("R1", 5, "hive A1 at Acacia"), ("R12", 1, f"{queens}, but is noted as: drone layer")],
        ),
        ("eggs five days old", eggs, plan, [("R12", 1, f"{queens} and has no fresh eggs")]),
        (
            "no eggs seen",
            with_count(operation, "A1", eggs_seen=None),
            plan,
            [("R12", 1, f"{queens} and has no fresh eggs")],
        ),
        (
            "two of her",
            replace(operation, orders=(replace(operation.orders[1], count=2), *operation.orders[2:])),
            two,
            [("R12", 1, "hive A1 at Acacia gives 2 queens")],
        ),
        (
            "she is not found first",
            operation,
            added_up(with_stop(with_way(plan, 1, "A1", "look"), 1, hive_s=1350), 2430),
            [("R8", 1, "hive A1 at Acacia: looking over the frames is not enough")],
        ),
        (
            "she leaves from above the excluder",
            above_of,
            above,
            [("R8", 1, "hive A3 at Acacia: its queen cannot come from above the excluder")],
        ),
        (
            "she stays",
            with_count(operation, "A1", bees=13.0),
            kept,
            [("R2", 1, "split S1 (parent's) gets 0 queens")],
        ),
        (
            "she goes with a queen of its own",
            with_count(OP, "A1", bees=10.1),
            added_up(to_mated),
            [("R2", 1, "split S1 (mated) gets 1 queens")],
        ),
        (
            "her hive is a donor too",
            with_settings(other_of, "limits", donors_per_split=1),
            other,
            [("R3", 1, "split S1 has 2 donors")],
        ),
        (
            "eggs not seen, and it stands by with its queen",
            with_count(operation, "A3", eggs_seen=None),
            plan,
            [("R3", 1, "hive A3 at Acacia cannot stand by for queens")],
        ),
        (
            "could part with its queen, and is not named",
            operation,
            standing_by(plan, "Acacia", "queen", ("A3", 1)),
            [("R3", 1, "hive A2 at Acacia could give 1 queen more")],
        ),
    ]
