"""From a day written down (boxes, who gives what, which way) to its plan, by the plain sums of the project.

Only clock, trips and totals are worked out here; two people work, so every minute of the settings is one.
"""

from dataclasses import dataclass, field, replace

from geopy.distance import geodesic

from routeplan.operation.world import Hive, Kit, Operation, Place, Yard
from routeplan.plan import (
    After,
    HiveLine,
    Plan,
    Proof,
    PutBack,
    Split,
    Standby,
    Stop,
    Take,
    TakeRule,
    Totals,
    Unplaced,
)
from routeplan.planning.skips import skips_of


@dataclass(frozen=True)
class Box:
    """One split as written down: what is asked for, its stops, and (hive, kind, frames) that go in."""

    id: str
    order: str
    kit: str
    queen: str
    made_at: int
    placed_at: int
    takes: tuple[tuple[str, str, int], ...]
    swap: str = ""


def box(
    name: str, order: str, kit: str, queen: str, made_at: int, placed_at: int, filled: str, swap: str = ""
) -> Box:
    """Write down a box; `filled` is "A1 capped 1, A2 shake 2"."""
    parts = (part.split() for part in filled.split(", "))
    takes = tuple((h, kind, int(n)) for h, kind, n in parts)
    return Box(name, order, kit, queen, made_at, placed_at, takes, swap)


@dataclass(frozen=True)
class Written:
    """A day: boxes, yards in driving order, ways that are not "look", hives in working order."""

    operation: Operation
    boxes: tuple[Box, ...]
    route: tuple[str, ...]
    unplaced: tuple[Unplaced, ...]
    why: dict[str, str]
    gap_s: int
    standbys: tuple[Standby, ...]
    notes: tuple[str, ...]
    ways: dict[str, str] = field(default_factory=dict)
    opens: dict[str, tuple[str, ...]] = field(default_factory=dict)


COULD = (("capped", 3), ("open", 3), ("food", 2), ("shake", 2))


def _drive(here: Place, there: Place) -> tuple[int, int]:
    km = geodesic((here.lat, here.lon), (there.lat, there.lon)).km
    return round(1.3 * km * 1000), round(60 * (3 + 1.3 * km / 60 * 60))


def _opening_s(hive: Hive, way: str) -> int:
    """Opening and closing a hive, without a search for its queen."""
    return 240 if way == "supers" else round(60 * (4 + 1.5 * (hive.boxes - 1 + hive.supers) + 1))


def _hive_s(hive: Hive, way: str, takes: list[Take]) -> int:
    frames = sum(t.frames for t in takes if t.kind not in ("shake", "queen"))
    shakes = sum(t.frames for t in takes if t.kind == "shake")
    search = 240 if hive.queen == "marked" else 900 if hive.boxes > 1 else 600
    if way == "hunt":
        return _opening_s(hive, way) + search + 30 * frames + 15 * shakes
    return _opening_s(hive, way) + 90 * frames + 30 * shakes


def _combs_back(takes: list[Take]) -> int:
    return sum(t.frames for t in takes if t.kind not in ("shake", "queen"))


def _stop(day: Written, number: int, came_from: Place, left: int, full: int, empty: int) -> Stop:
    yard = day.operation.yard(day.route[number - 1])
    places = tuple(b for b in day.boxes if b.placed_at == number)
    makes = tuple(b for b in day.boxes if b.made_at == number)
    takes = tuple(Take(h, kind, n, b.id) for b in makes for h, kind, n in b.takes)
    opens = day.opens.get(yard.id) or tuple(dict.fromkeys(t.hive for t in takes))
    hives = {h.id: h for h in day.operation.hives if h.yard == yard.id}
    of_hive = {h: [t for t in takes if t.hive == h] for h in opens}
    ways = {h: day.ways.get(h, "look") for h in opens}
    drive_m, drive_s = _drive(came_from, yard.stop)
    arrive = left + drive_s
    early = max(0, 60 * (yard.opens_min or 0) - arrive)
    set_up, leave = (600, 300) if opens else (300, 0)
    fence = 2700 if places and yard.bear and not yard.fence else 0
    place = sum(round(60 * (4 + (b.queen == "mated") + 2 * yard.carry_min)) for b in places)
    opened = arrive + early + set_up + fence + place
    wait = max(0, 36000 - opened) if opens else 0
    hive_s = sum(_hive_s(hives[h], ways[h], of_hive[h]) for h in opens)
    make = sum(round(60 * (3 + 2 * yard.carry_min)) for _ in makes)
    return Stop(
        yard=yard.id, drive_m=drive_m, drive_s=drive_s, arrive=arrive, early_s=early, set_up_s=set_up,
        fence_s=fence, place_s=place, wait_s=wait, hive_s=hive_s, make_s=make, leave_s=leave,
        depart=opened + wait + hive_s + make + leave, opened=opened if places else None,
        full=full + len(makes) - len(places), empty=empty - len(makes),
        places=tuple(b.id for b in places), makes=tuple(b.id for b in makes), opens=opens,
        ways=tuple(ways.items()), sets=(), takes=takes,
        puts_back=tuple(PutBack(h, n) for h in opens if (n := _combs_back(of_hive[h]))),
    )  # fmt: skip


def _split(day: Written, stops: tuple[Stop, ...], box: Box) -> Split:
    made, placed = stops[box.made_at - 1], stops[box.placed_at - 1]
    a, b = day.operation.yard(made.yard).place, day.operation.yard(placed.yard).place
    assert placed.opened is not None
    return Split(
        id=box.id, order=box.order, kit=box.kit, queen=box.queen, frame="deep",
        made_at=box.made_at, placed_at=box.placed_at, from_yard=made.yard, to_yard=placed.yard,
        flying_m=round(geodesic((a.lat, a.lon), (b.lat, b.lon)).m),
        shut_in_s=placed.opened - made.depart, donors=tuple(dict.fromkeys(h for h, _, _ in box.takes)),
        swap=box.swap,
    )  # fmt: skip


def _hive_line(day: Written, hive: Hive, stops: tuple[Stop, ...]) -> HiveLine:
    sums: dict[str, int] = {}
    for take in (t for s in stops if s.yard == hive.yard for t in s.takes if t.hive == hive.id):
        sums[take.kind] = sums.get(take.kind, 0) + take.frames
    reason = day.why.get(hive.id, "gives" if sums else "could give; not needed")
    could = (
        ()
        if reason.startswith(("gives nothing", "health", "may not give", "split in its own right"))
        else COULD
    )
    return HiveLine(hive.yard, hive.id, could, tuple(sums.items()), reason)


def _after(day: Written, yard: Yard) -> After:
    operation = day.operation
    here = [b for b in day.boxes if day.route[b.placed_at - 1] == yard.id]
    later, alone = operation.settings.later, not yard.looked_after
    flow = yard.has_flow(operation.day, operation.settings.dearth)
    out, back = _drive(operation.crew.home, yard.stop), _drive(yard.stop, operation.crew.home)
    strong = sum(
        h.yard == yard.id and h.count.capped is not None and h.count.capped >= 6 for h in operation.hives
    )
    return After(
        yard=yard.id, splits=len(here), trips=later.trips * alone,
        feeding_trips=later.feeding_trips * (alone and not flow),
        cell_trips=int(any(b.queen == "ripe cell" for b in here)),
        trip_s=out[1] + back[1] + 300, trip_m=out[0] + back[0],
        few_s=round(60 * later.few_min) * max(0, later.few_splits - len(here)) * alone,
        robbing_s=0 if flow else round(60 * later.robbing_min) * strong,
    )  # fmt: skip


def _rule(day: Written, stop: Stop) -> TakeRule:
    settings, keep = day.operation.settings, day.operation.settings.keep_back
    kinds = ("capped", "open", "eggs", "mixed", "food", "shake", "queen")
    needs = ((k, sum(t.frames for t in stop.takes if t.kind == k)) for k in kinds)
    next_hives = [h for row in day.standbys if row.yard == stop.yard for h, _ in row.hives]
    return TakeRule(
        stop.yard, tuple((k, n) for k, n in needs if n), settings.limits.brood_per_donor,
        settings.limits.brood_per_strong_donor,
        (("bees", keep.bees), ("brood", keep.brood), ("open", keep.open), ("food", keep.food)),
        tuple(dict.fromkeys((*stop.opens, *next_hives))),
    )  # fmt: skip


def _kit(operation: Operation, box: Box) -> Kit:
    return operation.kit(box.kit)


def _making_s(day: Written, stops: tuple[Stop, ...]) -> int:
    """Closing, placing, and every frame and shake at the pace of looking each over."""
    fill = sum(90 * _kit(day.operation, b).frames + 30 * _kit(day.operation, b).shakes for b in day.boxes)
    return fill + sum(s.make_s + s.place_s for s in stops)


def build(day: Written, **more: object) -> Plan:
    """Return the plan of a written day; `more` are parts of Plan that are written by hand."""
    operation, stops = day.operation, list[Stop]()
    first = operation.yard(day.route[0])
    here = operation.crew.home
    leave_home = 60 * (first.opens_min or 8 * 60) + 6300 - _drive(here, first.stop)[1]
    left, full, empty = leave_home, 0, len(day.boxes)
    for number in range(1, len(day.route) + 1):
        stops.append(_stop(day, number, here, left, full, empty))
        here, left = operation.yard(day.route[number - 1]).stop, stops[-1].depart
        full, empty = stops[-1].full, stops[-1].empty
    done = tuple(stops)
    receiving = dict.fromkeys(s.yard for s in done if s.places)
    after = tuple(_after(day, operation.yard(y)) for y in receiving)
    totals = _totals(day, done, leave_home, _drive(here, operation.crew.home), after)
    gap = Proof(
        "feasible",
        "optimal",
        len(day.boxes),
        totals.counted_s,
        totals.counted_s - day.gap_s,
        _making_s(day, done),
    )
    plan = Plan(
        title=operation.settings.title, day=operation.day, crew=operation.crew.name,
        people=operation.crew.people, stops=done, splits=tuple(_split(day, done, b) for b in day.boxes),
        unplaced=day.unplaced, hives=tuple(_hive_line(day, h, done) for h in operation.hives),
        totals=totals, proof=gap, after=after, take_rules=tuple(_rule(day, s) for s in done if s.makes),
        standbys=day.standbys, notes=day.notes, **more,  # type: ignore[arg-type]
    )  # fmt: skip
    return replace(plan, skips=skips_of(operation, plan))


def _totals(
    day: Written, stops: tuple[Stop, ...], leave: int, home: tuple[int, int], after: tuple[After, ...]
) -> Totals:
    operation, (home_m, home_s) = day.operation, home
    settings, back = operation.settings, stops[-1].depart + home_s
    hives = {h.key: h for h in operation.hives}
    due = sum(
        _opening_s(hives[s.yard, h], way)
        for s in stops
        for h, way in s.ways
        if hives[s.yard, h].due or operation.yard(s.yard).due
    )
    alone = sum(not operation.yard(a.yard).looked_after for a in after)
    swaps = sum(b.swap != "" for b in day.boxes)
    swaps += sum(n for b in day.boxes for _, kind, n in b.takes if kind == "mixed")
    against = sum(a.few_s + a.robbing_s for a in after) + swaps * round(60 * settings.swaps.minutes)
    against += round(60 * settings.later.over_min) * max(0, alone - settings.later.most_yards)
    later = sum((a.trips + a.feeding_trips + a.cell_trips) * a.trip_s for a in after)
    return Totals(
        asked=len(day.boxes) + sum(u.count for u in day.unplaced), placed=len(day.boxes), leave_home=leave,
        back_home=back, home_drive_m=home_m, home_drive_s=home_s, paid_s=back - leave,
        drive_s=home_s + sum(s.drive_s for s in stops), drive_m=home_m + sum(s.drive_m for s in stops),
        yard_s=sum(s.set_up_s + s.leave_s for s in stops), hive_s=sum(s.hive_s for s in stops),
        make_s=sum(s.make_s for s in stops), place_s=sum(s.place_s for s in stops),
        wait_s=sum(s.wait_s + s.early_s for s in stops), hives_opened=sum(len(s.opens) for s in stops),
        frames_taken=sum(p.combs for s in stops for p in s.puts_back),
        later_s=later, against_s=against, due_s=due, road_s=0, stuff_s=0,
        counted_s=back - leave + later + against - due,
    )  # fmt: skip
