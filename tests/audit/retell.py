"""Take more or less at a stop, and let every list of the plan tell it as the stops do."""

from collections import Counter
from dataclasses import replace

from routeplan.plan import Plan, PutBack, Take, TakeRule
from tests.audit.edit import with_stop


def taking(plan: Plan, number: int, *more: Take, less: tuple[tuple[str, str], ...] = ()) -> Plan:
    """Take more at a stop and nothing of some (hive, kind); combs go back, lists tell it as the stops do."""
    stop = plan.stops[number - 1]
    takes = tuple(t for t in stop.takes if (t.hive, t.kind) not in less) + more
    opens = tuple(dict.fromkeys((*(h for h in stop.opens if h in {t.hive for t in takes}), *_hives(takes))))
    known = dict(stop.ways)
    out = {h: sum(t.frames for t in takes if t.hive == h and t.kind not in ("shake", "queen")) for h in opens}
    return listed(
        with_stop(
            plan,
            number,
            takes=takes,
            opens=opens,
            ways=tuple((hive, known.get(hive, "look")) for hive in opens),
            puts_back=tuple(PutBack(hive, combs) for hive, combs in out.items() if combs),
        )
    )


def _hives(takes: tuple[Take, ...]) -> tuple[str, ...]:
    return tuple(take.hive for take in takes)


def listed(plan: Plan) -> Plan:
    """Write what is taken now into the list of hives, the donors of splits, and the order of take rules."""
    gives: dict[tuple[str, str], Counter[str]] = {}
    fed: dict[str, dict[str, None]] = {}
    begun: dict[str, dict[str, None]] = {}
    for stop in plan.stops:
        for take in stop.takes:
            kind = "open" if take.kind in ("eggs", "mixed") else take.kind
            gives.setdefault((stop.yard, take.hive), Counter())[kind] += take.frames
            (begun if take.split in stop.begins else fed).setdefault(take.split, {})[take.hive] = None
    lines = (replace(h, gives=tuple(gives.get((h.yard, h.hive), Counter()).items())) for h in plan.hives)
    splits = (
        replace(s, donors=tuple(fed.get(s.id, ())), begun_donors=tuple(begun.get(s.id, ())))
        for s in plan.splits
    )
    plan = replace(plan, hives=tuple(lines), splits=tuple(splits))
    return replace(plan, take_rules=tuple(_ordered(plan, rule) for rule in plan.take_rules))


def standing_by(plan: Plan, yard_id: str, kind: str, *hives: tuple[str, int]) -> Plan:
    """Say which hives stand by for one kind; they come last in the order of the crew."""
    rows_now = (replace(s, hives=hives) if (s.yard, s.kind) == (yard_id, kind) else s for s in plan.standbys)
    plan = replace(plan, standbys=tuple(rows_now))
    return replace(plan, take_rules=tuple(_ordered(plan, rule) for rule in plan.take_rules))


def _ordered(plan: Plan, rule: TakeRule) -> TakeRule:
    opened = [hive for stop in plan.stops if stop.yard == rule.yard for hive in stop.opens]
    waiting = [hive for row in plan.standbys if row.yard == rule.yard for hive, _ in row.hives]
    return replace(rule, order=tuple(dict.fromkeys(opened + waiting)))
