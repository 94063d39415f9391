"""Small ways to change the day worked out by hand, keeping every other number consistent."""

from collections import Counter
from dataclasses import replace
from typing import Any

from routeplan.audit.after import rows
from routeplan.audit.case import Case
from routeplan.audit.roads import Roads
from routeplan.audit.skips import skip_rows
from routeplan.operation.world import Operation
from routeplan.plan import After, HiveLine, Plan, Split, Standby, Stop, TakeRule
from tests.tiny import tiny_operation


def with_yard(operation: Operation, yard_id: str, **changes: Any) -> Operation:
    """Change one yard."""
    yards = tuple(replace(y, **changes) if y.id == yard_id else y for y in operation.yards)
    return replace(operation, yards=yards)


def with_hive(operation: Operation, hive_id: str, **changes: Any) -> Operation:
    """Change one hive."""
    hives = tuple(replace(h, **changes) if h.id == hive_id else h for h in operation.hives)
    return replace(operation, hives=hives)


def with_count(operation: Operation, hive_id: str, **changes: Any) -> Operation:
    """Change the count of one hive."""
    count = next(h.count for h in operation.hives if h.id == hive_id)
    return with_hive(operation, hive_id, count=replace(count, **changes))


def with_settings(operation: Operation, section: str, **changes: Any) -> Operation:
    """Change one section of the settings ("" for the top)."""
    settings = operation.settings
    if section:
        changes = {section: replace(getattr(settings, section), **changes)}
    return replace(operation, settings=replace(settings, **changes))


def with_crew(operation: Operation, **changes: Any) -> Operation:
    """Change the crew."""
    return replace(operation, crew=replace(operation.crew, **changes))


def with_stock(operation: Operation, item: str, count: int) -> Operation:
    """Change how many of one thing are at home."""
    stock = tuple(replace(s, count=count) if s.item == item else s for s in operation.stock)
    return replace(operation, stock=stock)


def with_stop(plan: Plan, number: int, **changes: Any) -> Plan:
    """Change one stop (counted from 1)."""
    stops = list(plan.stops)
    stops[number - 1] = replace(stops[number - 1], **changes)
    return replace(plan, stops=tuple(stops))


def with_split(plan: Plan, split_id: str, **changes: Any) -> Plan:
    """Change one split."""
    return replace(plan, splits=tuple(replace(s, **changes) if s.id == split_id else s for s in plan.splits))


def with_line(plan: Plan, hive_id: str, **kinds: int) -> Plan:
    """Change what a hive is said to be able to give, by kind."""

    def changed(line: HiveLine) -> HiveLine:
        return replace(line, could=tuple((dict(line.could) | kinds).items()))

    return replace(plan, hives=tuple(changed(h) if h.hive == hive_id else h for h in plan.hives))


def nothing(plan: Plan, *hive_ids: str) -> Plan:
    """Say of hives that they could give nothing."""
    for hive_id in hive_ids:
        plan = with_line(plan, hive_id, capped=0, open=0, food=0, shake=0)
    return plan


def settled(
    plan: Plan,
    making_s: int | None = None,
    leave_home: int | None = None,
    after: tuple[After, ...] | None = None,
    beside_s: int = 0,
) -> Plan:
    """Add the day up again from the stated lengths: clock, loads, totals, shut in, objective and bound.

    The weeks after are `after`, or what the day worked out by hand costs; `beside_s` counts against the plan
    beside them. What is due, and what road and stuff are worth, stay as they are stated.
    """
    now = plan.totals.leave_home if leave_home is None else leave_home
    totals = replace(plan.totals, leave_home=now)
    full, empty, stops = 0, len(plan.splits), []
    begun: set[str] = set()
    for stop in plan.stops:
        filled = len({*stop.makes, *stop.begins} - begun)
        begun |= {*stop.begins, *stop.makes}
        full, empty = full + filled - len(stop.places), empty - filled
        stop = _timed(stop, now + stop.drive_s, full, empty)
        stops.append(stop)
        now = stop.depart
    back = now + totals.home_drive_s
    totals = replace(
        totals,
        placed=len(plan.splits),
        back_home=back,
        paid_s=back - totals.leave_home,
        drive_s=sum(s.drive_s for s in stops) + totals.home_drive_s,
        drive_m=sum(s.drive_m for s in stops) + totals.home_drive_m,
        yard_s=sum(s.set_up_s + s.leave_s for s in stops),
        hive_s=sum(s.hive_s for s in stops),
        make_s=sum(s.make_s for s in stops),
        place_s=sum(s.place_s for s in stops),
        wait_s=sum(s.early_s + s.wait_s for s in stops),
        hives_opened=sum(len(s.opens) for s in stops),
        frames_taken=sum(t.frames for s in stops for t in s.takes if t.kind not in ("shake", "queen")),
    )
    if after is None:
        after = tuple(rows(Case(tiny_operation(), plan, Roads(tiny_operation()))))
    against_s = beside_s + sum(a.few_s + a.robbing_s for a in after)
    later_s = sum((a.trips + a.feeding_trips + a.cell_trips) * a.trip_s for a in after)
    counted_s = totals.paid_s + later_s + against_s - totals.due_s + totals.road_s + totals.stuff_s
    totals = replace(totals, later_s=later_s, against_s=against_s, counted_s=counted_s)
    proof = replace(
        plan.proof,
        objective_s=counted_s,
        bound_s=counted_s,
        making_s=plan.proof.making_s if making_s is None else making_s,
    )
    splits = tuple(_shut(s, stops) for s in plan.splits)
    rules = tuple(_rule(r, stops) for r in plan.take_rules)
    return replace(
        plan,
        stops=tuple(stops),
        totals=totals,
        proof=proof,
        splits=splits,
        after=after,
        take_rules=rules,
        standbys=_standbys(plan, rules),
    )


def with_totals(plan: Plan, **changes: int) -> Plan:
    """Change figures of the whole day."""
    return replace(plan, totals=replace(plan.totals, **changes))


def with_after(plan: Plan, yard_id: str, **changes: int) -> Plan:
    """Change what is said of one yard in the weeks after."""
    return replace(plan, after=tuple(replace(a, **changes) if a.yard == yard_id else a for a in plan.after))


def with_way(plan: Plan, number: int, hive_id: str, way: str) -> Plan:
    """Say another way to be sure of one hive's queen at a stop."""
    ways = tuple((hive, way if hive == hive_id else as_is) for hive, as_is in plan.stops[number - 1].ways)
    return with_stop(plan, number, ways=ways)


def retold(plan: Plan) -> Plan:
    """Write what is taken now into take rules and standbys."""
    rules = tuple(_rule(r, list(plan.stops)) for r in plan.take_rules)
    return replace(plan, take_rules=rules, standbys=_standbys(plan, rules))


def ruled(operation: Operation, plan: Plan) -> Plan:
    """Write what a donor keeps and gives at most into the take rules, as the settings say it, and what falls
    away without each stop."""
    settings = operation.settings
    keeps = tuple((k, getattr(settings.keep_back, k)) for k in ("bees", "brood", "open", "food"))
    early = settings.season == "early spring"
    most = settings.limits.brood_per_donor
    strong = most if early else settings.limits.brood_per_strong_donor
    rules = tuple(replace(r, keeps=keeps, most_brood=most, most_strong=strong) for r in plan.take_rules)
    return skipping(operation, replace(plan, take_rules=rules))


def skipping(operation: Operation, plan: Plan) -> Plan:
    """Write what falls away without each stop as it is now."""
    return replace(plan, skips=tuple(skip_rows(Case(operation, plan, Roads(operation)))))


def _rule(rule: TakeRule, stops: list[Stop]) -> TakeRule:
    """The same rule for what is taken now."""
    taken = Counter[str]()
    for stop in stops:
        if stop.yard == rule.yard:
            for take in stop.takes:
                taken[take.kind] += take.frames
    order = ("capped", "open", "eggs", "mixed", "food", "shake", "queen")
    return replace(rule, needs=tuple((kind, taken[kind]) for kind in order if taken[kind]))


def _standbys(plan: Plan, rules: tuple[TakeRule, ...]) -> tuple[Standby, ...]:
    """A row for each kind taken now; those that were there stay as they are."""
    known = {(s.yard, s.kind): s for s in plan.standbys}
    return tuple(
        known.get((rule.yard, kind), Standby(rule.yard, kind, ())) for rule in rules for kind, _ in rule.needs
    )


def _timed(stop: Stop, arrive: int, full: int, empty: int) -> Stop:
    opened = arrive + stop.early_s + stop.set_up_s + stop.fence_s + stop.place_s
    depart = opened + stop.wait_s + stop.hive_s + stop.make_s + stop.leave_s
    return replace(
        stop, arrive=arrive, opened=opened if stop.places else None, depart=depart, full=full, empty=empty
    )


def _shut(split: Split, stops: list[Stop]) -> Split:
    opened = stops[split.placed_at - 1].opened
    assert opened is not None
    begun = stops[split.begun_at - 1] if split.begun_at else None
    bees = begun is not None and any(t.split == split.id and t.bees for t in begun.takes)
    first = min(split.begun_at, split.made_at) if bees else split.made_at
    return replace(split, shut_in_s=opened - stops[first - 1].depart)
