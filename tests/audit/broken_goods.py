"""Days that hold broken in one thing: swaps, mixed frames, cells, fences; a twin is as in broken_queens."""

from dataclasses import replace
from datetime import timedelta

from routeplan.operation.world import Operation
from routeplan.plan import Plan, Take
from tests.audit.broken_queens import Twin
from tests.audit.edit import (
    with_after,
    with_count,
    with_hive,
    with_line,
    with_settings,
    with_split,
    with_stock,
    with_stop,
    with_yard,
)
from tests.audit.retell import standing_by, taking
from tests.audit.sound import added_up, in_stock
from tests.audit.sound_after import fenced, mixed, mixed_eggs, swapped, with_cell
from tests.tiny import DAY, tiny_operation, tiny_plan

OP, PLAN = tiny_operation(), tiny_plan()


def swaps() -> list[Twin]:
    """What stands in for food is allowed (R2), there (R11), instead of the frame; it counts (R13)."""
    comb_of, comb = swapped()
    feeder_of, feeder = swapped("feeder")
    both = added_up(with_split(PLAN, "S1", swap="food comb"), beside_s=900)
    no_food = tuple(replace(k, food=0, fill=3) if k.name == "three-frame" else k for k in OP.kits)
    frame_of_food = replace(
        comb_of,
        stock=tuple(replace(s, frame="medium") if s.item == "food comb" else s for s in comb_of.stock),
    )
    not_allowed = "split S1: {!r} may not stand in for its food frames"
    return [
        (
            "a comb not allowed",
            with_settings(comb_of, "swaps", food_comb=False),
            comb,
            [("R2", 1, not_allowed.format("food comb"))],
        ),
        (
            "a feeder not allowed",
            with_settings(feeder_of, "swaps", feeder=False, food_comb=True),
            feeder,
            [("R2", 1, not_allowed.format("feeder"))],
        ),
        (
            "something else",
            feeder_of,
            with_split(feeder, "S1", swap="syrup"),
            [("R2", 1, not_allowed.format("syrup"))],
        ),
        (
            "no comb of food left",
            with_stock(comb_of, "food comb", 0),
            comb,
            [("R11", 1, "1 deep food comb needed, 0 at home")],
        ),
        (
            "no comb of food listed",
            replace(comb_of, stock=OP.stock),
            comb,
            [("R11", 1, "1 deep food comb needed, 0 at home")],
        ),
        ("combs of another format", frame_of_food, comb, [("R11", 1, "1 deep food comb needed, 0 at home")]),
        (
            "no feeder left",
            with_stock(feeder_of, "feeder", 0),
            feeder,
            [("R11", 1, "1 feeder needed, 0 at home")],
        ),
        (
            "no feeder listed",
            replace(feeder_of, stock=OP.stock),
            feeder,
            [("R11", 1, "1 feeder needed, 0 at home")],
        ),
        (
            "thirteen combs for fourteen",
            with_stock(comb_of, "foundation", 7),
            comb,
            [("R11", 1, "14 deep combs needed, 13 at home: 1 short")],
        ),
        (
            "the frame taken all the same",
            comb_of,
            both,
            [("R2", 1, "split S1 has a food comb and 1 frames of food from hives too")],
        ),
        (
            "a kit without food",
            replace(comb_of, kits=no_food),
            comb,
            [("R2", 1, not_allowed.format("food comb"))],
        ),
        (
            "not counted",
            comb_of,
            standing_by(added_up(comb, 2400), "Acacia", "food", ("A1", 1)),
            [("R13", 900, "what counts against it")],
        ),
    ]


def mixed_frames() -> list[Twin]:
    """Mixed frames are allowed, hold fresh eggs, are in the hive half and half (R1), and count (R13)."""
    operation, plan = mixed()
    eggs_of, eggs = mixed_eggs()
    no_open = with_count(operation, "A1", inspected=DAY, capped=5.4, open=1.6)
    no_capped = with_count(operation, "A1", inspected=DAY, capped=1.4, open=5.6)
    gives = "hive A1 at Acacia gives 1 capped, 1 food, 2 of bees shaken in, 1 mixed, but "
    return [
        (
            "not allowed",
            with_settings(operation, "swaps", mixed_open=False),
            plan,
            [("R1", 5, f"{gives}mixed frames are not allowed")],
        ),
        (
            "no eggs seen",
            with_count(operation, "A1", eggs_seen=None),
            plan,
            [("R1", 5, f"{gives}no fresh eggs")],
        ),
        (
            "eggs five days old",
            with_count(operation, "A1", inspected=DAY - timedelta(days=5)),
            plan,
            [("R1", 5, f"{gives}no fresh eggs")],
        ),
        # 1.6 - 0.5 - 0.2 = 0.9
        (
            "open",
            no_open,
            with_line(plan, "A1", open=0),
            [("R1", 0.1, "hive A1 at Acacia keeps 0.90 frames of open brood")],
        ),
        # 1 + 0.5 leave
        (
            "capped",
            no_capped,
            with_line(plan, "A1", capped=1),
            [("R1", 0.1, "hive A1 at Acacia has 1.40 frames of capped brood for what leaves")],
        ),
        (
            "eggs of no queen mother",
            with_hive(with_hive(eggs_of, "B1", queen_mother=False), "A3", queen_mother=True),
            eggs,
            [("R2", 1, "split S3 has its eggs from hive B1 at Borehole")],
        ),
        (
            "instead of capped brood",
            operation,
            added_up(taking(plan, 1, Take("A1", "open", 1, "S1"), less=(("A1", "capped"),)), beside_s=900),
            [("R2", 1, "split S1 gets 0 frames of capped")],
        ),
        ("not counted", operation, added_up(plan), [("R13", 900, "what counts against it")]),
    ]


def cells() -> list[Twin]:
    """Ripe cells can be used the day after (R12); putting them in is a trip (R14)."""
    operation, plan = with_cell()
    short = [("R12", 1.0, "1 ripe cell needed on 2027-05-16, 0 can be used")]

    def ready(number: int, first: int, last: int) -> Operation:
        days = {"from_day": DAY + timedelta(days=first), "until_day": DAY + timedelta(days=last)}
        return in_stock(replace(operation, stock=OP.stock), "ripe cell", number, **days)

    return [
        ("none there", ready(0, 1, 1), plan, short),
        (
            "one caged queen for two",
            in_stock(OP, "mated queen", 1),
            PLAN,
            [("R12", 1, "2 mated queens needed on 2027-05-15, 1 can be used: 1 short")],
        ),
        ("ripe too late", ready(9, 2, 5), plan, short),
        ("hatched too early", ready(9, -1, 0), plan, short),
        (
            "no trip with cells",
            operation,
            added_up(with_after(plan, "Borehole", cell_trips=0), 2430),
            [("R14", 1, "the weeks after at Borehole: trips with cells")],
        ),
        (
            "a queen put in that is not there yet",
            operation,
            added_up(with_stop(plan, 2, place_s=600), 2430),
            [("R13", 60, "stop 2 at Borehole: placing boxes")],
        ),
    ]


def fences() -> list[Twin]:
    """Where bears come there is a kit (R11), the time for it (R13), and one stop only that places (R6)."""
    operation, plan = fenced()
    said = "stop 2 at Borehole: setting up a fence"
    return [
        (
            "one kit for two yards",
            with_yard(operation, "Cedar", bear=True),
            added_up(with_stop(plan, 3, fence_s=2700)),
            [("R11", 1, "2 fence kits needed, 1 at home: 1 short")],
        ),
        (
            "no kit left",
            with_stock(operation, "fence kit", 0),
            plan,
            [("R11", 1, "1 fence kit needed, 0 at home")],
        ),
        (
            "no kit listed",
            replace(operation, stock=OP.stock),
            plan,
            [("R11", 1, "1 fence kit needed, 0 at home")],
        ),
        ("not set up", operation, PLAN, [("R13", 2700, said)]),
        (
            "set up where one stands",
            with_yard(operation, "Borehole", fence=True),
            plan,
            [("R13", 2700, said)],
        ),
        ("set up where no bears come", OP, plan, [("R13", 2700, said)]),
        (
            "none stands, and none set up",
            with_yard(operation, "Borehole", fence=False),
            PLAN,
            [("R13", 2700, said)],
        ),
        (
            "placed at two stops",
            operation,
            placed_twice(plan),
            [("R6", 1, "Borehole needs a fence and is placed at at 2 stops")],
        ),
    ]


def placed_twice(plan: Plan) -> Plan:
    """Come back to Borehole at once for S2, with another fence: 300 s to set up, 300 s to place it."""
    before, here, last = plan.stops
    again = replace(last, yard="Borehole", drive_s=0, drive_m=0, fence_s=2700, place_s=300, places=("S2",))
    plan = replace(plan, stops=(before, replace(here, places=("S1",), place_s=300), again, last))
    plan = with_split(with_split(plan, "S2", placed_at=3), "S3", placed_at=4)
    return added_up(plan)
