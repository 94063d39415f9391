"""Days that hold broken in one thing: the weeks after, what counts, money; a twin is as in broken_queens."""

from dataclasses import replace
from datetime import timedelta

from tests.audit.broken_queens import Twin
from tests.audit.edit import (
    with_after,
    with_count,
    with_settings,
    with_totals,
    with_yard,
)
from tests.audit.sound import added_up
from tests.audit.sound_after import dearth, money
from tests.tiny import DAY, tiny_operation, tiny_plan

OP, PLAN = tiny_operation(), tiny_plan()


def weeks_after() -> list[Twin]:
    """R14: each figure of each receiving yard, added up with the fault in it; yards too many and too few."""
    operation, plan = dearth()

    def but(yard: str, off: float, words: str, **change: int) -> Twin:
        wrong = added_up(with_after(plan, yard, **change), 2430, 1200)
        return (
            f"{yard}: {words}",
            operation,
            wrong,
            [("R14", off, f"the weeks after at {yard}: {words} is given")],
        )

    def rows(what: str, words: str, off: float, over: int, *kept: int) -> Twin:
        wrong = replace(plan, after=tuple(plan.after[n] for n in kept))
        return (what, operation, added_up(wrong, 2430, over), [("R14", off, f"the weeks after: {words}")])

    dam = replace(plan, after=(*plan.after, replace(plan.after[0], yard="Dam")))
    return [
        but("Cedar", 1, "splits", splits=2),
        but("Cedar", 1, "trips", trips=2),
        but("Borehole", 3, "trips", trips=3),
        but("Cedar", 2, "trips to feed", feeding_trips=0),
        but("Borehole", 1, "trips with cells", cell_trips=0),
        but("Cedar", 1, "trips with cells", cell_trips=1),
        but("Cedar", 300, "a trip", trip_s=3312),
        but("Borehole", 8684, "a trip", trip_m=26048),
        but("Cedar", 60, "counted against few splits", few_s=240),
        but("Borehole", 120, "counted against few splits", few_s=120),
        but("Borehole", 180, "counted against strong hives", robbing_s=0),
        but("Cedar", 180, "counted against strong hives", robbing_s=180),
        rows("Borehole left out", "Borehole is not listed", 1, 1200, 1),
        rows("Cedar left out", "Cedar is not listed", 1, 0, 0),
        rows("Cedar twice", "Cedar is listed 2 times", 1, 2400, 0, 1, 1),
        rows("in another order", "the yards stand as Cedar, Borehole", 1, 1200, 1, 0),
        (
            "a yard that gets none",
            operation,
            added_up(dam, 2430, 2400),
            [("R14", 1, "the weeks after: Dam receives nothing")],
        ),
        (
            "a yard too many not counted",
            operation,
            added_up(plan, 2430),
            [("R13", 1200, "what counts against it")],
        ),
        (
            "strong or not is not known",
            with_count(operation, "B2", capped=None, open=None),
            plan,
            [("R14", 180, "the weeks after at Borehole: counted against strong hives")],
        ),
        (
            "looked after",
            with_yard(OP, "Cedar", looked_after=True),
            PLAN,
            [
                ("R14", 3, "the weeks after at Cedar: trips is given"),
                ("R14", 180, "the weeks after at Cedar: counted against few splits"),
            ],
        ),
        (
            "not looked after",
            with_yard(OP, "Borehole", looked_after=False),
            PLAN,
            [
                ("R14", 3, "the weeks after at Borehole: trips is given"),
                ("R14", 120, "the weeks after at Borehole: counted against few splits"),
            ],
        ),
        (
            "the flow ended yesterday",
            with_yard(OP, "Cedar", flow_until=DAY - timedelta(days=1)),
            PLAN,
            [("R14", 2, "the weeks after at Cedar: trips to feed")],
        ),
        (
            "the flow begins tomorrow",
            with_yard(OP, "Cedar", flow_from=DAY + timedelta(days=1)),
            PLAN,
            [("R14", 2, "the weeks after at Cedar: trips to feed")],
        ),
    ]


def worth() -> list[Twin]:
    """R13: with the least money wanted, what road, queens, cells, combs and sugar are worth, in seconds."""
    operation, plan = money()

    def but(what: str, words: str, off: int, **change: int) -> Twin:
        wrong = replace(added_up(with_totals(plan, **change), 2430), cost=plan.cost)
        return (what, operation, wrong, [("R13", off, f"the whole day: what {words} is given")])

    road, stuff = "the road is worth", "queens, combs and sugar are worth"
    return [
        but("the day's road left out", road, 2085, road_s=12190 - 2085),
        but("the road of trips left out", road, 10105, road_s=2085),
        but("a trip with a cell left out", road, 1250, road_s=10940),
        but("no queen", stuff, 2000, stuff_s=3850),
        but("a queen for a cell", stuff, 1200, stuff_s=7050),
        but("no combs", stuff, 2250, stuff_s=3600),
        but("no sugar", stuff, 800, stuff_s=5050),
        but("sugar for all", stuff, 1600, stuff_s=7450),
        (
            "the least time wanted",
            with_settings(operation, "", objective="minutes"),
            plan,
            [("R13", 12190, road), ("R13", 5850, stuff)],
        ),
        (
            "money and no word of its cost",
            operation,
            replace(plan, cost=None),
            [("R13", 1, "prices are set, but the cost is not given")],
        ),
    ]
