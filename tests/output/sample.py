"""A small day, built by hand: seven yards, four stops, five of six splits placed.

Who gives what to whom is written out; clock and totals are worked out in build.py. Nothing but the day itself
counts here, but for the ripe cell's trip the day after.
"""

import dataclasses
from dataclasses import replace
from datetime import date
from typing import Any

from routeplan.operation.settings import NO_LATER, Settings, ShutIn
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
from routeplan.plan import Plan, Proof, Standby, Totals, Unplaced
from tests.output.build import Written, box, build

DAY = date(2026, 5, 9)

YARDS = (
    Yard(
        "Alder",
        Place(52.2000, -1.5000),
        access="Close the field gate behind you; bull in the second field.",
        gate="4471",
        opens_min=8 * 60,
        health="clear",
    ),
    Yard("Birch", Place(52.2500, -1.4500), room=3, carry_min=1.0, health="clear", note="Wasps by the hedge."),
    Yard("Gorse", Place(52.1600, -1.4000), room=6, closes_min=18 * 60, parking=Place(52.1605, -1.4040)),
    Yard("Heath", Place(52.2800, -1.3600), room=4),
    Yard("Mill", Place(52.2300, -1.5600), closed_days=(6, 7)),
    Yard("Quarry", Place(52.1800, -1.4400), health="suspected"),
    Yard("Thorn", Place(52.2900, -1.5200), takes_splits=False),
)


def _hive(name: str, yard: str, bees: float = 18, capped: float = 6, food: float = 6, **more: object) -> Hive:
    count = Count(date(2026, 5, 7), bees=bees, capped=capped, open=capped * 0.75, food=food, eggs_seen=True)
    return Hive(name, yard, "deep", count, **{"queen": "marked", "boxes": 2, **more})  # type: ignore[arg-type]


HIVES = (
    _hive("A1", "Alder", queen_mother=True, temper="calm"),
    _hive("A2", "Alder", queen="unmarked", supers=1),
    _hive("A3", "Alder", temper="bad"),
    _hive("A4", "Alder"),
    _hive("A5", "Alder", bees=7, capped=3),
    _hive("B1", "Birch", queen="unknown"),
    _hive("B2", "Birch"),
    _hive("B3", "Birch", boxes=1),
    _hive("M1", "Mill"),
    _hive("Q1", "Quarry", health="suspected"),
    _hive("T1", "Thorn"),
)

ORDERS = (
    Order("cells", 2, "three-frame", "ripe cell", priority=2),
    Order("mated", 2, "four-frame", "mated"),
    Order("own", 2, "three-frame", "raise own"),
)

OPERATION = Operation(
    day=DAY,
    yards=YARDS,
    hives=HIVES,
    orders=ORDERS,
    kits=TRADE_KITS,
    crew=Crew("Crew A", Place(52.2100, -1.4700), places=8),
    stock=(Stock("drawn comb", "deep", 30), Stock("foundation", "deep", 40), Stock("nuc box", "deep", 10)),
    weather=(Weather(DAY, None, 22.0),),
    settings=Settings(
        title="Spring increase", day=DAY.isoformat(), shut_in=ShutIn(warmest_c=22.0), later=NO_LATER
    ),
)


BOXES = (
    box("s1", "own", "three-frame", "raise own", 1, 2, "A1 capped 1, A1 eggs 1, A2 food 1, A2 shake 2"),
    box("s2", "own", "three-frame", "raise own", 1, 3, "A1 eggs 1, A1 food 1, A1 shake 2, A2 capped 1"),
    box("s3", "cells", "three-frame", "ripe cell", 1, 3, "A3 capped 1, A3 open 1, A3 food 1, A3 shake 2"),
    box("s4", "mated", "four-frame", "mated", 2, 4, "B1 capped 2, B1 food 1, B2 open 1, B2 shake 2"),
    box(
        "s5",
        "mated",
        "four-frame",
        "mated",
        2,
        4,
        "B2 capped 1, B2 food 1, B3 capped 1, B3 open 1, B3 shake 2",
    ),
)
ROUTE = ("Alder", "Birch", "Gorse", "Heath")
STANDBYS = (
    Standby("Alder", "capped", (("A4", 3), ("A2", 2), ("A3", 1))),
    Standby("Alder", "open", (("A4", 3), ("A2", 2), ("A3", 1))),
    Standby("Alder", "eggs", ()),
    Standby("Alder", "food", (("A4", 2), ("A1", 1), ("A2", 1), ("A3", 1))),
    Standby("Alder", "shake", (("A4", 2),)),
    Standby("Birch", "capped", (("B1", 1), ("B2", 1), ("B3", 1))),
    Standby("Birch", "open", (("B1", 1), ("B2", 1), ("B3", 1))),
    Standby("Birch", "food", (("B3", 2), ("B1", 1), ("B2", 1))),
    Standby("Birch", "shake", (("B1", 2),)),
)
DAY_WRITTEN = Written(
    operation=OPERATION,
    boxes=BOXES,
    route=ROUTE,
    unplaced=(Unplaced("cells", 1, "R1", "No other hive at Birch can spare a frame of capped brood."),),
    why={
        "A5": "gives nothing; held back by: bees (7, must keep 8)",
        "M1": "yard closed on Saturdays",
        "Q1": "health suspected: nothing leaves",
        "T1": "gives up to 3 brood; not needed today",
    },
    gap_s=180,
    standbys=STANDBYS,
    notes=("Drive times are estimated.", "Counts of 7 May are rolled forward 2 days."),
)


def plan_of(operation: Operation = OPERATION) -> Plan:
    """Return the plan of the hand-made day."""
    return build(replace(DAY_WRITTEN, operation=operation))


HOSTILE = (
    "O'Shea's \"old\" gate",
    "Creek`s",
    "C:\\2026\\maps",
    "a</script><b>x",
    "<img src=x onerror=alert(1)>",
    "${alert(1)}",
    "{{7*7}}",
)


BAD = "</script><script>alert(2)</script><img src=x onerror=alert(3)>&amp;\u2028"


def renamed(value: Any, names: dict[str, str]) -> Any:
    """Return a plan, or a part of one, with every text that is one of the names changed."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        fields = {f.name: renamed(getattr(value, f.name), names) for f in dataclasses.fields(value)}
        return replace(value, **fields)
    if isinstance(value, tuple):
        return tuple(renamed(v, names) for v in value)
    return names.get(value, value) if isinstance(value, str) else value


def hostile(
    operation: Operation = OPERATION, plan: Plan | None = None, ids: tuple[str, ...] = HOSTILE
) -> tuple[Operation, Plan]:
    """Return the same day with every text of the tables made of markup, script and quotes."""
    yards = dict(zip((y.id for y in operation.yards), ids, strict=True))
    hives = {h.id: f"{h.id}{BAD}" for h in operation.hives}
    kits = {k.name: f"{k.name}{BAD}" for k in operation.kits}
    orders = {o.id: f"{o.id}{BAD}" for o in operation.orders}
    changed = replace(
        operation,
        yards=tuple(replace(y, id=yards[y.id], note=BAD, access=BAD, gate=BAD) for y in operation.yards),
        hives=tuple(replace(h, id=hives[h.id], yard=yards[h.yard], note=BAD) for h in operation.hives),
        kits=tuple(replace(k, name=kits[k.name]) for k in operation.kits),
        orders=tuple(
            replace(o, id=orders[o.id], kit=kits[o.kit], hive=hives.get(o.hive or "", o.hive))
            for o in operation.orders
        ),
        crew=replace(operation.crew, name=BAD),
        settings=replace(operation.settings, title=BAD),
    )
    plan = plan or plan_of()
    named = renamed(plan, {**yards, **hives, **kits})
    assert isinstance(named, Plan)
    return changed, replace(
        named,
        title=BAD,
        crew=BAD,
        notes=(BAD,),
        splits=tuple(replace(s, order=orders[s.order]) for s in named.splits),
        unplaced=tuple(replace(u, order=orders[u.order], reason=BAD) for u in named.unplaced),
        hives=tuple(replace(h, reason=BAD) for h in named.hives),
    )


def no_plan() -> Plan:
    """Return the day without a plan: proved that nothing can be placed."""
    return replace(
        plan_of(),
        stops=(),
        splits=(),
        totals=Totals(6, *([0] * (len(dataclasses.fields(Totals)) - 1))),
        proof=Proof("none", "optimal", 0, 0, 0, 0),
        after=(),
        take_rules=(),
        standbys=(),
    )
