"""A small day, built by hand: seven yards, four stops, five of six splits placed.

Only the plan's clock is worked out here, by the plain sums every part of the project follows; who gives
what to whom is written out below.
"""

from dataclasses import dataclass, replace
from datetime import date

from geopy.distance import geodesic

from routeplan.operation.settings import Settings, ShutIn
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
from routeplan.plan import HiveLine, Plan, Proof, PutBack, Split, Stop, Take, Totals, Unplaced

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
    settings=Settings(title="Spring increase", day=DAY.isoformat(), shut_in=ShutIn(warmest_c=22.0)),
)


@dataclass(frozen=True)
class Box:
    """One split as written down: order, kit, queen, stops, and (hive, kind, frames) that go in."""

    id: str
    order: str
    kit: str
    queen: str
    made_at: int
    placed_at: int
    takes: tuple[tuple[str, str, int], ...]


FILLED = {
    "s1": "A1 capped 1, A1 eggs 1, A2 food 1, A2 shake 2",
    "s2": "A1 eggs 1, A1 food 1, A1 shake 2, A2 capped 1",
    "s3": "A3 capped 1, A3 open 1, A3 food 1, A3 shake 2",
    "s4": "B1 capped 2, B1 food 1, B2 open 1, B2 shake 2",
    "s5": "B2 capped 1, B2 food 1, B3 capped 1, B3 open 1, B3 shake 2",
}


def _box(name: str, order: str, kit: str, queen: str, made_at: int, placed_at: int) -> Box:
    parts = (part.split() for part in FILLED[name].split(", "))
    return Box(name, order, kit, queen, made_at, placed_at, tuple((h, kind, int(n)) for h, kind, n in parts))


BOXES = (
    _box("s1", "own", "three-frame", "raise own", 1, 2),
    _box("s2", "own", "three-frame", "raise own", 1, 3),
    _box("s3", "cells", "three-frame", "ripe cell", 1, 3),
    _box("s4", "mated", "four-frame", "mated", 2, 4),
    _box("s5", "mated", "four-frame", "mated", 2, 4),
)
ROUTE = ("Alder", "Birch", "Gorse", "Heath")
COULD = (("capped", 3), ("open", 3), ("food", 2), ("shake", 2))
WHY = {
    "A5": "gives nothing; held back by: bees (7, must keep 8)",
    "M1": "yard closed on Saturdays",
    "Q1": "health suspected: nothing leaves",
    "T1": "gives up to 3 brood; not needed today",
}


def _drive(here: Place, there: Place) -> tuple[int, int]:
    km = geodesic((here.lat, here.lon), (there.lat, there.lon)).km
    return round(1.3 * km * 1000), round(60 * (3 + 1.3 * km / 60 * 60))


def _stop(operation: Operation, number: int, came_from: Place, left: int, full: int, empty: int) -> Stop:
    yard = operation.yards[number - 1]
    places = tuple(b for b in BOXES if b.placed_at == number)
    makes = tuple(b for b in BOXES if b.made_at == number)
    takes = tuple(Take(h, kind, n, b.id) for b in makes for h, kind, n in b.takes)
    opens = tuple(dict.fromkeys(t.hive for t in takes))
    hives = {h.id: h for h in operation.hives if h.yard == yard.id}
    drive_m, drive_s = _drive(came_from, yard.stop)
    arrive = left + drive_s
    early = max(0, 60 * (yard.opens_min or 0) - arrive)
    set_up, leave = (600, 300) if opens else (300, 0)
    place = sum(round(60 * (4 + (b.queen == "mated") + 2 * yard.carry_min)) for b in places)
    opened = arrive + early + set_up + place
    wait = max(0, 36000 - opened) if opens else 0
    look = sum(round(60 * (4 + 1.5 * (hives[h].boxes - 1 + hives[h].supers) + 1)) for h in opens)
    frames = {h: sum(t.frames for t in takes if t.hive == h and t.kind != "shake") for h in opens}
    hive_s = look + 90 * sum(frames.values()) + 30 * sum(t.frames for t in takes if t.kind == "shake")
    make = sum(round(60 * (3 + 2 * yard.carry_min)) for _ in makes)
    return Stop(
        yard=yard.id, drive_m=drive_m, drive_s=drive_s, arrive=arrive, early_s=early, set_up_s=set_up,
        place_s=place, wait_s=wait, hive_s=hive_s, make_s=make, leave_s=leave,
        depart=opened + wait + hive_s + make + leave, opened=opened if places else None,
        full=full + len(makes) - len(places), empty=empty - len(makes),
        places=tuple(b.id for b in places), makes=tuple(b.id for b in makes), opens=opens, takes=takes,
        puts_back=tuple(PutBack(h, n) for h, n in frames.items() if n),
    )  # fmt: skip


def _split(operation: Operation, stops: tuple[Stop, ...], box: Box) -> Split:
    made, placed = stops[box.made_at - 1], stops[box.placed_at - 1]
    a, b = operation.yard(made.yard).place, operation.yard(placed.yard).place
    assert placed.opened is not None
    return Split(
        id=box.id, order=box.order, kit=box.kit, queen=box.queen, frame="deep",
        made_at=box.made_at, placed_at=box.placed_at, from_yard=made.yard, to_yard=placed.yard,
        flying_m=round(geodesic((a.lat, a.lon), (b.lat, b.lon)).m),
        shut_in_s=placed.opened - made.depart, donors=tuple(dict.fromkeys(h for h, _, _ in box.takes)),
    )  # fmt: skip


def _hive_line(hive: Hive, stops: tuple[Stop, ...]) -> HiveLine:
    sums: dict[str, int] = {}
    for take in (t for s in stops for t in s.takes if t.hive == hive.id):
        kind = "open" if take.kind == "eggs" else take.kind
        sums[kind] = sums.get(kind, 0) + take.frames
    could = () if hive.id in ("A5", "Q1") else COULD
    reason = WHY.get(hive.id, "gives" if sums else "could give; not needed")
    return HiveLine(hive.yard, hive.id, could, tuple(sums.items()), reason)


def plan_of(operation: Operation = OPERATION) -> Plan:
    """Return the plan of the hand-made day."""
    stops: list[Stop] = []
    here = operation.crew.home
    leave_home = 60 * (operation.yards[0].opens_min or 0) + 6300 - _drive(here, operation.yards[0].stop)[1]
    left, full, empty = leave_home, 0, len(BOXES)
    for number in range(1, len(ROUTE) + 1):
        stops.append(_stop(operation, number, here, left, full, empty))
        here, left, full, empty = (
            operation.yards[number - 1].stop,
            stops[-1].depart,
            stops[-1].full,
            stops[-1].empty,
        )
    home_m, home_s = _drive(here, operation.crew.home)
    done = tuple(stops)
    totals = Totals(
        asked=6, placed=5, leave_home=leave_home, back_home=left + home_s, home_drive_m=home_m,
        home_drive_s=home_s, paid_s=left + home_s - leave_home,
        drive_s=home_s + sum(s.drive_s for s in done), drive_m=home_m + sum(s.drive_m for s in done),
        yard_s=sum(s.set_up_s + s.leave_s for s in done), hive_s=sum(s.hive_s for s in done),
        make_s=sum(s.make_s for s in done), place_s=sum(s.place_s for s in done),
        wait_s=sum(s.wait_s + s.early_s for s in done), hives_opened=sum(len(s.opens) for s in done),
        frames_taken=sum(t.frames for s in done for t in s.takes if t.kind != "shake"),
    )  # fmt: skip
    return Plan(
        title=operation.settings.title, day=DAY, crew=operation.crew.name, people=2, stops=done,
        splits=tuple(_split(operation, done, b) for b in BOXES),
        unplaced=(Unplaced("cells", 1, "R1", "No other hive at Birch can spare a frame of capped brood."),),
        hives=tuple(_hive_line(h, done) for h in operation.hives), totals=totals,
        proof=Proof("feasible", "optimal", 5, totals.paid_s, totals.paid_s - 180, 4410),
        notes=("Drive times are estimated.", "Counts of 7 May are rolled forward 2 days."),
    )  # fmt: skip


HOSTILE = (
    "O'Shea's \"old\" gate",
    "Creek`s",
    "C:\\2026\\maps",
    "a</script><b>x",
    "<img src=x onerror=alert(1)>",
    "${alert(1)}",
    "{{7*7}}",
)


def hostile() -> tuple[Operation, Plan]:
    """Return the same day with every text of the tables made of markup, script and quotes."""
    yards = dict(zip((y.id for y in YARDS), HOSTILE, strict=True))
    bad = "</script><script>alert(2)</script><img src=x onerror=alert(3)>&amp;\u2028"
    hives = {h.id: f"{h.id}{bad}" for h in HIVES}
    kits = {k.name: f"{k.name}{bad}" for k in TRADE_KITS}
    orders = {o.id: f"{o.id}{bad}" for o in ORDERS}
    operation = replace(
        OPERATION,
        yards=tuple(replace(y, id=yards[y.id], note=bad, access=bad, gate=bad) for y in YARDS),
        hives=tuple(replace(h, id=hives[h.id], yard=yards[h.yard], note=bad) for h in HIVES),
        kits=tuple(replace(k, name=kits[k.name]) for k in TRADE_KITS),
        orders=tuple(replace(o, id=orders[o.id], kit=kits[o.kit]) for o in ORDERS),
        crew=replace(OPERATION.crew, name=bad),
        settings=replace(OPERATION.settings, title=bad),
    )
    plan = plan_of()
    renamed = replace(
        plan,
        title=bad,
        crew=bad,
        notes=(bad,),
        stops=tuple(
            replace(
                s,
                yard=yards[s.yard],
                opens=tuple(hives[h] for h in s.opens),
                takes=tuple(replace(t, hive=hives[t.hive]) for t in s.takes),
                puts_back=tuple(replace(p, hive=hives[p.hive]) for p in s.puts_back),
            )
            for s in plan.stops
        ),
        splits=tuple(
            replace(
                s,
                order=orders[s.order],
                kit=kits[s.kit],
                from_yard=yards[s.from_yard],
                to_yard=yards[s.to_yard],
                donors=tuple(hives[d] for d in s.donors),
            )
            for s in plan.splits
        ),
        unplaced=tuple(replace(u, order=orders[u.order], reason=bad) for u in plan.unplaced),
        hives=tuple(replace(h, yard=yards[h.yard], hive=hives[h.hive], reason=bad) for h in plan.hives),
    )
    return operation, renamed


def hostile_plan() -> Plan:
    """Return the plan of the hostile day."""
    return hostile()[1]
