"""A day with everything a plan can say: queens that leave, a hive split for its cells, swaps, a fence.

Who gives what to whom is written out; clock and totals are from build.py. Eight of ten splits are placed.
"""

from dataclasses import replace
from datetime import date

from routeplan.operation.settings import Costs, Later, Settings, ShutIn, Swaps
from routeplan.operation.world import (
    TRADE_KITS,
    Count,
    Crew,
    Hive,
    Operation,
    Order,
    Place,
    Stock,
    Weather,
    Yard,
)
from routeplan.plan import Alternative, Change, Cost, Plan, Saving, Standby, Unplaced
from tests.output.build import Written, box, build

DAY = date(2026, 5, 9)

YARDS = (
    Yard("Alder", Place(52.2000, -1.5000), gate="4471", opens_min=8 * 60, health="clear"),
    Yard(
        "Birch", Place(52.2500, -1.4500), room=6, carry_min=1.0, health="clear", due=True, looked_after=True
    ),
    Yard(
        "Gorse",
        Place(52.1600, -1.4000),
        room=6,
        bear=True,
        fence=False,
        flow_from=date(2026, 4, 10),
        flow_until=date(2026, 5, 1),
    ),
    Yard("Heath", Place(52.2800, -1.3600), room=4),
    Yard("Moor", Place(52.1500, -1.4600), room=8),
)


def _hive(
    name: str, yard: str, bees: float = 18, capped: float = 6, cells: str = "none", **more: object
) -> Hive:
    count = Count(
        date(2026, 5, 7),
        bees=bees,
        capped=capped,
        open=capped * 0.75,
        food=6,
        eggs_seen=True,
        queen_cells=cells,
    )
    return Hive(name, yard, "deep", count, **{"queen": "marked", **more})  # type: ignore[arg-type]


HIVES = (
    _hive("A1", "Alder", queen_mother=True, temper="calm"),
    _hive("A2", "Alder"),
    _hive("A3", "Alder", queen="unmarked", temper="bad"),
    _hive("A4", "Alder"),
    _hive("A5", "Alder", cells="charged", queen="unmarked", boxes=2),
    _hive("A6", "Alder", supers=1, excluder=True),
    _hive("A7", "Alder", bees=7, capped=3),
    _hive("A8", "Alder", temper="calm"),
    _hive("B1", "Birch", queen="unmarked"),
    _hive("B2", "Birch", queen="unknown"),
    _hive("B3", "Birch"),
    _hive("G1", "Gorse", may_give=False),
    _hive("G2", "Gorse", may_give=False),
)

ORDERS = (
    Order("cells", 2, "three-frame", "ripe cell", priority=2),
    Order("mated", 2, "four-frame", "mated"),
    Order("own", 2, "three-frame", "raise own"),
    Order("parted", 2, "three-frame", "own cells", from_yard="Alder", hive="A5"),
    Order("queen along", 2, "three-frame", "parent's"),
)

OPERATION = Operation(
    day=DAY,
    yards=YARDS,
    hives=HIVES,
    orders=ORDERS,
    kits=TRADE_KITS,
    crew=Crew("Crew A", Place(52.2100, -1.4700), places=12),
    stock=(
        Stock("drawn comb", "deep", 30),
        Stock("foundation", "deep", 40),
        Stock("nuc box", "deep", 12),
        Stock("food comb", "deep", 2),
        Stock("feeder", "", 2),
        Stock("mated queen", "", 4),
        Stock("fence kit", "", 1),
    ),
    weather=(Weather(DAY, None, 22.0),),
    settings=Settings(
        title="Spring increase",
        day=DAY.isoformat(),
        shut_in=ShutIn(warmest_c=22.0),
        swaps=Swaps(food_comb=True, feeder=True, mixed_open=True),
        later=Later(most_yards=1),
        costs=Costs(
            "EUR",
            per_km=0.68,
            per_hour=25.0,
            queen=30.0,
            cell=4.0,
            comb=2.5,
            sugar_kg=1.2,
            sugar_per_split_kg=4.0,
        ),
    ),
)

BOXES = (
    box("s1", "parted", "three-frame", "own cells", 1, 2, "A5 capped 1, A5 open 1, A5 food 1, A5 shake 2"),
    box("s2", "parted", "three-frame", "own cells", 1, 2, "A5 capped 1, A5 open 1, A5 food 1, A5 shake 2"),
    box("s3", "own", "three-frame", "raise own", 1, 3, "A1 capped 1, A1 eggs 1, A6 shake 2, A3 food 1"),
    box("s4", "own", "three-frame", "raise own", 1, 3, "A1 mixed 1, A3 capped 1, A3 food 1, A3 shake 2"),
    box(
        "s5",
        "queen along",
        "three-frame",
        "parent's",
        1,
        3,
        "A2 capped 1, A2 open 1, A2 food 1, A2 shake 2, A2 queen 1",
    ),
    box("s6", "mated", "four-frame", "mated", 2, 4, "B1 capped 2, B2 open 1, B2 shake 2", "food comb"),
    box(
        "s7",
        "mated",
        "four-frame",
        "mated",
        2,
        4,
        "B2 capped 1, B3 capped 1, B3 open 1, B3 shake 2",
        "feeder",
    ),
    box("s8", "cells", "three-frame", "ripe cell", 2, 4, "B2 capped 1, B1 open 1, B1 shake 2, B3 food 1"),
)
ROUTE = ("Alder", "Birch", "Gorse", "Heath")

STANDBYS = (
    Standby("Alder", "capped", (("A8", 3), ("A4", 3), ("A6", 3), ("A2", 1), ("A3", 2))),
    Standby("Alder", "open", (("A8", 3), ("A4", 3), ("A6", 3), ("A2", 1), ("A3", 2))),
    Standby("Alder", "eggs", ()),
    Standby("Alder", "mixed", ()),
    Standby("Alder", "food", (("A8", 2), ("A4", 2), ("A1", 2), ("A6", 2), ("A2", 1))),
    Standby("Alder", "shake", (("A8", 2), ("A4", 2), ("A1", 2))),
    Standby("Alder", "queen", (("A8", 1), ("A4", 1), ("A7", 1), ("A1", 1), ("A6", 1), ("A3", 1))),
    Standby("Birch", "capped", (("B3", 1),)),
    Standby("Birch", "open", (("B3", 1),)),
    Standby("Birch", "food", (("B1", 2), ("B2", 2), ("B3", 1))),
    Standby("Birch", "shake", ()),
)

WRITTEN = Written(
    operation=OPERATION,
    boxes=BOXES,
    route=ROUTE,
    unplaced=(
        Unplaced("cells", 1, "R1", "No other hive in reach can spare a frame of open brood."),
        Unplaced("queen along", 1, "R6", "Heath has room for one more only."),
    ),
    why={
        "A5": "split in its own right: queen cells",
        "A7": "gives nothing; held back by: bees (7, must keep 8)",
        "G1": "may not give",
        "G2": "may not give",
    },
    gap_s=0,
    standbys=STANDBYS,
    notes=("Drive times are estimated.", "Counts of 7 May are rolled forward 2 days."),
    ways={"A2": "hunt", "A6": "supers", "B1": "hunt"},
    opens={"Alder": ("A5", "A1", "A2", "A6", "A3"), "Birch": ("B1", "B2", "B3")},
)

CHANGES = (
    Change(
        "open frames",
        1,
        "frames",
        "Birch",
        1,
        "1 more open frame, with its bees, in hive B3 at Birch: 1 more split.",
    ),
    Change("room", 1, "splits", "Heath", 1, "Room for 1 more at Heath: 1 more split."),
    Change("distance", 4120, "m", "Moor", 0, "The farthest yard with room is Moor, 4.12 km from Alder."),
    Change("stay put", 1, "splits", "Alder", 1, "A fallback, not a success: 1 split could stay at Alder."),
)
SAVINGS = (
    Saving("one more person", 2520, True),
    Saving("one more place on the truck", 0, True),
    Saving("frames from Gorse, if its hives may give", 900, False),
)
ALTERNATIVES = (
    Alternative(
        differs="the quickest day: splits to Moor rather than Heath",
        without=("Heath",),
        receiving=(("Birch", 2), ("Gorse", 3), ("Moor", 3)),
        giving=(("Alder", 5), ("Birch", 3)),
        stops=("Alder", "Birch", "Gorse", "Moor"),
        today_s=-540,
        later_s=3960,
        counted_s=3420,
        proved=True,
    ),
    Alternative(
        differs="no splits to Gorse",
        without=(),
        receiving=(("Birch", 5), ("Heath", 3)),
        giving=(("Alder", 5), ("Birch", 3)),
        stops=("Alder", "Birch", "Heath"),
        today_s=1200,
        later_s=10,
        counted_s=1210,
        proved=False,
    ),
)


def rich_cost(plan: Plan) -> Cost:
    """Return the money of the plan, from hours and kilometres by hand's sums."""
    totals, km, hour = plan.totals, 0.68 / 1000, 25.0 / 3600
    trips = {a.yard: a.trips + a.feeding_trips + a.cell_trips for a in plan.after}
    later = {a.yard: trips[a.yard] * (a.trip_m * km + a.trip_s * hour) for a in plan.after}
    yards, left = dict.fromkeys(ROUTE, 0.0), totals.leave_home
    for stop in plan.stops:
        yards[stop.yard] = stop.drive_m * km + (stop.depart - left) * hour + later.get(stop.yard, 0.0)
        left = stop.depart
    drive, hours, trips_all = totals.drive_m * km, totals.paid_s * hour, sum(later.values())
    queens, combs, sugar = 2 * 30.0 + 1 * 4.0, (5 * 8 - 2) * 2.5, 3 * 4.0 * 1.2
    total = drive + hours + trips_all + queens + combs + sugar
    home = totals.home_drive_m * km + totals.home_drive_s * hour
    parts = (drive, hours, trips_all, queens, combs, sugar, total, total / 8, home)
    return Cost("EUR", *(round(p, 2) for p in parts), tuple((y, round(m, 2)) for y, m in yards.items()))


def rich_plan() -> Plan:
    """Return the plan of the day with everything."""
    plan = build(WRITTEN, changes=CHANGES, savings=SAVINGS, alternatives=ALTERNATIVES)
    proof = replace(plan.proof, status="optimal")
    return replace(plan, proof=proof, cost=rich_cost(plan))
