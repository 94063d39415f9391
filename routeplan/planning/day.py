"""Write a plan from what the search found: stops with their clock, splits, load, totals and proof."""

from dataclasses import dataclass, replace
from itertools import pairwise

from routeplan.operation import units
from routeplan.operation.world import Hive, Operation
from routeplan.plan import (
    After,
    HiveLine,
    Plan,
    Proof,
    PutBack,
    SetAbove,
    Split,
    Stop,
    Take,
    Totals,
    Unplaced,
)
from routeplan.planning.case import Case
from routeplan.planning.frames import (
    NamedSplit,
    as_worked,
    collected,
    evened,
    named_splits,
    opened_in_order,
    set_above,
    takes_of,
    way_of,
)
from routeplan.planning.limits import Clock
from routeplan.planning.order import Round
from routeplan.planning.parts import begin_s
from routeplan.planning.stages import Outcome
from routeplan.planning.stronger import stronger_kits
from routeplan.planning.two_yard_judge import TwoYardJudge
from routeplan.planning.two_yard_names import named_pooled
from routeplan.planning.work import Work

FRAME_KINDS = ("capped", "open", "eggs", "mixed", "food")


def plan_of(outcome: Outcome, unplaced: tuple[Unplaced, ...], asked: int, clock: Clock) -> Plan:
    """Write the plan of an outcome; without a round it has no stops and status "none"."""
    case, found = outcome.case, outcome.found.best
    operation = case.operation
    splits: tuple[NamedSplit, ...] = ()
    stops: tuple[Stop, ...] = ()
    if found is not None:
        if found.pooled:
            found = TwoYardJudge(case, clock).evened(found)
            splits = named_pooled(case, found)
        else:
            found = replace(found, boxes=evened(case, found, clock))
            splits = named_splits(case, found, found.boxes)
            found = as_worked(case, found, splits)
        stops = tuple(_stop(case, found, splits, i) for i in range(len(found.order)))
    after = _after(case, splits, found)
    totals = _with_what_counts(case, stops, splits, after, _totals(case, found, stops, asked, len(splits)))
    return Plan(
        title=operation.settings.title,
        day=operation.day,
        crew=operation.crew.name,
        people=operation.crew.people,
        stops=stops,
        splits=tuple(_split(case, stops, s) for s in splits),
        unplaced=unplaced,
        hives=_hive_lines(case, splits),
        totals=totals,
        proof=_proof(outcome, splits, totals.counted_s),
        after=after,
        notes=(*_notes(case), *stronger_kits(case, [(s.id, s.line) for s in splits])),
    )


def _stop(case: Case, found: Round, splits: tuple[NamedSplit, ...], i: int) -> Stop:
    visit = found.order[i]
    yard = case.operation.yards[visit.yard]
    at, came = visit.yard + 1, found.order[i - 1].yard + 1 if i else 0
    left = found.times.leave_home if i == 0 else _depart(case, found, splits, i - 1)
    arrive = left + case.drive(came, at)
    set_up, leaving = case.opening if visit.opens else case.placing
    here = [s for s in splits if s.made_at == i]
    placed = [s for s in splits if s.placed_at == i]
    spent = _spent(case, found, splits, i)
    opened = found.times.begin[i] + set_up + spent.fence_s + spent.place_s
    takes = takes_of(splits, i)
    hives = opened_in_order(case, splits, i)
    two = collected(found, i)
    filled = sum(1 for s in splits if (s.made_at if s.begun_at is None else s.begun_at) <= i)
    return Stop(
        yard=yard.id,
        drive_m=int(case.travel.drive_m[came, at]),
        drive_s=case.drive(came, at),
        arrive=arrive,
        early_s=found.times.begin[i] - arrive,
        set_up_s=set_up,
        fence_s=spent.fence_s,
        place_s=spent.place_s,
        wait_s=found.times.hives[i] - opened if visit.opens else 0,
        hive_s=spent.hive_s,
        make_s=spent.make_s,
        leave_s=leaving,
        depart=_depart(case, found, splits, i),
        opened=opened if placed else None,
        full=filled - sum(1 for s in splits if s.placed_at <= i),
        empty=len(splits) - filled,
        places=tuple(s.id for s in placed),
        makes=tuple(s.id for s in here),
        begins=tuple(s.id for s in splits if s.begun_at == i),
        opens=tuple(h.id for h in hives),
        ways=tuple((h.id, way_of(case, h, _of_hive(takes, h), h.key in two)[0]) for h in hives),
        sets=_sets(case, found, splits, i),
        takes=takes,
        puts_back=tuple(
            PutBack(h.id, n)
            for h in hives
            if h.key not in case.operation.broken_up
            and (n := sum(t.frames for t in takes if t.hive == h.id and t.kind in FRAME_KINDS))
        ),
    )


@dataclass(frozen=True)
class _Spent:
    """Seconds of one visit's work, in its order."""

    fence_s: int
    place_s: int
    hive_s: int
    make_s: int


def _of_hive(takes: tuple[Take, ...], hive: Hive) -> tuple[Take, ...]:
    return tuple(t for t in takes if t.hive == hive.id)


def _sets(case: Case, found: Round, splits: tuple[NamedSplit, ...], i: int) -> tuple[SetAbove, ...]:
    """First passes of a visit: they come before its other work on hives."""
    hives, work = set_above(found, i), Work(case.operation)
    ends = found.times.hives[i] + sum(work.first_pass_s(hive) for hive, _ in hives)
    ready = ends + case.above_s[0]
    return tuple(SetAbove(hive.id, _combs_above(splits, hive, j), j + 1, ready) for hive, j in hives)


def _combs_above(splits: tuple[NamedSplit, ...], hive: Hive, visit: int) -> int:
    """Combs set above an excluder for what leaves a hive at a visit: its frames, and one for every shake."""
    return sum(t.frames for t in takes_of(splits, visit) if t.hive == hive.id)


def _spent(case: Case, found: Round, splits: tuple[NamedSplit, ...], i: int) -> _Spent:
    """Seconds of setting up a fence, placing, hive work and making up at one visit."""
    placed, yard, work = [s for s in splits if s.placed_at == i], found.order[i].yard, Work(case.operation)
    takes, two = takes_of(splits, i), collected(found, i)
    first_s = sum(work.first_pass_s(hive) for hive, _ in set_above(found, i))
    return _Spent(
        fence_s=int(case.fence_s[yard]) if placed else 0,
        place_s=sum(int(case.place_s[yard, s.line]) for s in placed),
        hive_s=first_s
        + sum(way_of(case, h, _of_hive(takes, h), h.key in two)[1] for h in opened_in_order(case, splits, i)),
        make_s=sum(int(case.make_s[yard, s.line]) for s in splits if s.made_at == i)
        + begin_s(case, yard) * sum(s.begun_at == i for s in splits),
    )


def _depart(case: Case, found: Round, splits: tuple[NamedSplit, ...], i: int) -> int:
    visit = found.order[i]
    set_up, leaving = case.opening if visit.opens else case.placing
    spent = _spent(case, found, splits, i)
    if visit.opens:
        return found.times.hives[i] + spent.hive_s + spent.make_s + leaving
    return found.times.begin[i] + set_up + spent.fence_s + spent.place_s + leaving


def _split(case: Case, stops: tuple[Stop, ...], s: NamedSplit) -> Split:
    batch = case.demand.of(s.line)
    made, placed = stops[s.made_at], stops[s.placed_at]
    assert placed.opened is not None
    yards = {y.id: i for i, y in enumerate(case.operation.yards)}
    begun = None if s.begun_at is None else stops[s.begun_at]
    return Split(
        id=s.id,
        order=s.order,
        kit=batch.kit.name,
        queen=batch.queen,
        frame=case.demand.lines[s.line].frame,
        made_at=s.made_at + 1,
        placed_at=s.placed_at + 1,
        from_yard=made.yard,
        to_yard=placed.yard,
        flying_m=round(case.travel.flying[yards[made.yard], yards[placed.yard]]),
        shut_in_s=placed.opened - stops[s.first_bees].depart,
        donors=tuple(dict.fromkeys(hive.id for hive, _, _ in s.takes)),
        swap=case.demand.lines[s.line].swap,
        begun_at=0 if s.begun_at is None else s.begun_at + 1,
        begun_yard="" if begun is None else begun.yard,
        begun_m=0 if begun is None else round(case.travel.flying[yards[begun.yard], yards[placed.yard]]),
        begun_donors=tuple(dict.fromkeys(hive.id for hive, _, _ in s.begun_takes)),
    )


def _hive_lines(case: Case, splits: tuple[NamedSplit, ...]) -> tuple[HiveLine, ...]:
    given: dict[tuple[str, str], dict[str, int]] = {}
    for split in splits:
        for hive, kind, n in split.all_takes:
            gives = given.setdefault(hive.key, {})
            gives[kind] = gives.get(kind, 0) + n
    lines = []
    for key, own in case.surplus.items():
        could = own.could
        kinds = (("capped", could.capped), ("open", could.open), ("food", could.food), ("shake", could.shake))
        gives = given.get(key, {})
        reason = own.reason
        if not gives and any(n for _, n in kinds):
            reason = f"not asked for today; {reason}" if reason else "not asked for today"
        lines.append(
            HiveLine(
                key[0], key[1], tuple((k, n) for k, n in kinds if n), tuple(sorted(gives.items())), reason
            )
        )
    return tuple(lines)


def _totals(case: Case, found: Round | None, stops: tuple[Stop, ...], asked: int, placed: int) -> Totals:
    last = found.order[-1].yard + 1 if found else 0
    home_s, home_m = case.drive(last, 0), int(case.travel.drive_m[last, 0])
    leave = found.times.leave_home if found else case.start
    back = stops[-1].depart + home_s if stops else leave
    return Totals(
        asked=asked,
        placed=placed,
        leave_home=leave,
        back_home=back,
        home_drive_m=home_m,
        home_drive_s=home_s,
        paid_s=back - leave,
        drive_s=sum(s.drive_s for s in stops) + home_s,
        drive_m=sum(s.drive_m for s in stops) + home_m,
        yard_s=sum(s.set_up_s + s.leave_s for s in stops),
        hive_s=sum(s.hive_s for s in stops),
        make_s=sum(s.make_s for s in stops),
        place_s=sum(s.place_s for s in stops),
        wait_s=sum(s.early_s + s.wait_s for s in stops),
        hives_opened=sum(len(s.opens) for s in stops),
        frames_taken=sum(t.frames for s in stops for t in s.takes if t.kind in FRAME_KINDS),
        later_s=0,
        against_s=0,
        due_s=0,
        road_s=0,
        stuff_s=0,
        counted_s=0,
    )


def _after(case: Case, splits: tuple[NamedSplit, ...], found: Round | None) -> tuple[After, ...]:
    """What each receiving yard costs in the weeks after, in the order of first placing."""
    here: dict[int, list[NamedSplit]] = {}
    for split in sorted(splits, key=lambda s: s.placed_at):
        assert found is not None
        here.setdefault(found.order[split.placed_at].yard, []).append(split)
    costs = case.after
    return tuple(
        After(
            yard=case.operation.yards[z].id,
            splits=len(placed),
            trips=int(costs.trips[z]) + costs.more_trips(z, {case.demand.of(s.line).queen for s in placed}),
            feeding_trips=int(costs.feeding[z]),
            cell_trips=int(any(case.demand.of(s.line).queen == "ripe cell" for s in placed)),
            trip_s=int(costs.trip_s[z]),
            trip_m=int(costs.trip_m[z]),
            few_s=costs.few(z, len(placed)),
            robbing_s=int(costs.robbing_s[z]),
        )
        for z, placed in here.items()
    )


def _with_what_counts(
    case: Case,
    stops: tuple[Stop, ...],
    splits: tuple[NamedSplit, ...],
    after: tuple[After, ...],
    totals: Totals,
) -> Totals:
    """Add what counts beside the clock, from the plan's own parts."""
    operation, work = case.operation, Work(case.operation)
    yards = {y.id: i for i, y in enumerate(operation.yards)}
    trips = [(a, a.trips + a.feeding_trips + a.cell_trips) for a in after]
    swaps = sum(case.demand.lines[s.line].swap != "" for s in splits)
    mixed = sum(t.frames for s in stops for t in s.takes if t.kind == "mixed")
    against = sum(a.few_s + a.robbing_s for a in after) + case.after.over({yards[a.yard] for a in after})
    against += (swaps + mixed) * round(60 * operation.settings.swaps.minutes)
    hives = {h.key: h for h in operation.hives}
    due_yards = {y.id for y in operation.yards if y.due}
    due = sum(
        work.due_s(hives[s.yard, hive], way)
        for s in stops
        for hive, way in s.ways
        if hives[s.yard, hive].due or s.yard in due_yards
    )
    places = [0, *(yards[s.yard] + 1 for s in stops), 0]
    road = sum(int(case.leg_extra_s[a, b]) for a, b in pairwise(places)) if stops else 0
    road += sum(n * int(case.after.trip_road_s[yards[a.yard]]) for a, n in trips)
    later = sum(n * a.trip_s for a, n in trips)
    swap_s = swaps * round(60 * operation.settings.swaps.minutes)
    stuff = sum(int(case.extra_s[yards[stops[s.placed_at].yard], s.line]) for s in splits) - swap_s
    return replace(
        totals,
        later_s=later,
        against_s=against,
        due_s=due,
        road_s=road,
        stuff_s=stuff,
        counted_s=totals.paid_s + later + against - due + road + stuff,
    )


def _proof(outcome: Outcome, splits: tuple[NamedSplit, ...], counted_s: int) -> Proof:
    case, found = outcome.case, outcome.found.best
    making = sum(
        int(case.fill_s[s.line])
        + int(case.make_s[found.order[s.made_at].yard, s.line])
        + int(case.place_s[found.order[s.placed_at].yard, s.line])
        for s in splits
        if found is not None
    )
    proved = outcome.found.proved and counted_s <= outcome.found.bound_s
    status = "none" if found is None else "optimal" if proved else "feasible"
    return Proof(
        status=status,
        count_status="optimal" if outcome.count_proved else "feasible",
        most_splits=outcome.most_splits,
        objective_s=counted_s if found else 0,
        bound_s=min(outcome.found.bound_s, counted_s) if found else 0,
        making_s=making,
    )


def _notes(case: Case) -> tuple[str, ...]:
    """What was assumed, in plain sentences."""
    operation = case.operation
    drive, estimated = operation.settings.drive, any(s.count.estimated for s in case.surplus.values())
    notes = [
        f"Drive times are estimates: {drive.access_min:g} min a leg, {drive.detour:g} times the straight "
        f"line, {units.speed(drive.speed_kmh, operation.settings.units)}.",
        "Counts are rolled forward from the day each hive was looked at; bees and food are taken as counted.",
        "A flying distance is the straight line on the earth's surface (WGS-84 geodesic).",
    ]
    if estimated:
        notes.append("Where only total brood was counted the kinds are estimated, capped to open as 12 to 9.")
    if case.places is None:
        notes.append("No number of places on the truck is given: the load is not limited.")
    if operation.settings.shut_in.warmest_c is None and not _has_forecast(operation):
        usual = units.temperatures(20, 25, operation.settings.temperature)
        notes.append(f"No temperature is given: boxes may be shut in as long as on a day of {usual}.")
    if not operation.stock:
        notes.append("No stock is given: combs and boxes are taken to be there.")
    if case.demand.not_weighed:
        weighed = len(case.demand.lines)
        notes.append(
            f"Of {weighed + case.demand.not_weighed} kits that splits might be made of {weighed} were "
            "weighed, those of least work first: with all there would be too many ways to share them out."
        )
    return tuple(notes)


def _has_forecast(operation: Operation) -> bool:
    return any(w.day == operation.day for w in operation.weather)
