"""Broken twins of R16: floors that must hold, broken by a known amount."""

from collections import Counter
from dataclasses import replace

import pytest

from routeplan.audit import audit
from routeplan.audit.floors import lowest_of_donor
from routeplan.operation.world import Operation
from tests.audit.edit import with_count, with_settings
from tests.tiny import tiny_operation, tiny_plan

OP, PLAN = tiny_operation(), tiny_plan()


def holding(operation: Operation, split: float = 1.0, donor: float = 1.0) -> Operation:
    return with_settings(operation, "floors", act="hold", split_bees=split, donor_bees=donor)


def broken(operation: Operation) -> list[tuple[str, float, tuple[str, ...]]]:
    return [(v.rule, v.amount, v.where) for v in audit(operation, PLAN) if v.rule == "R16"]


def test_nothing_is_broken_under_low_floors_or_where_they_only_warn() -> None:
    assert audit(holding(OP), PLAN) == []
    warned = with_settings(OP, "floors", act="warn", split_bees=1e6, donor_bees=1e6)
    assert audit(warned, PLAN) == []


def test_each_split_below_its_floor_is_named_with_what_is_missing() -> None:
    found = broken(holding(OP, split=1e6))
    assert [where for _, _, where in found] == [(s.id,) for s in PLAN.splits]
    again = broken(holding(OP, split=1e6 + 500))
    assert [b - a for (_, a, _), (_, b, _) in zip(found, again, strict=True)] == pytest.approx(
        [500] * len(found)
    )
    low = max(1e6 - amount for _, amount, _ in found)
    assert len(broken(holding(OP, split=low + 0.4))) == len(found) - sum(
        abs(1e6 - amount - low) < 1e-6 for _, amount, _ in found
    )


def test_a_donor_at_the_edge_of_its_floor() -> None:
    hive = next(h for h in OP.hives if h.id == "A1")
    give = {"capped": 1, "open": 1, "food": 1, "shake": 2}
    found = lowest_of_donor(OP, hive, Counter(give), None)
    assert found is not None
    low = found[0]
    there = [where for _, _, where in broken(holding(OP, donor=low + 0.4))]
    assert hive.key not in there
    rows = {where: amount for _, amount, where in broken(holding(OP, donor=low + 10))}
    assert rows[hive.key] == pytest.approx(10)


def test_fewer_bees_in_a_donor_break_its_floor_alone() -> None:
    # A1 keeps its 8 frames of bees, but not so many bees as the floor asks for
    base = holding(OP, donor=0.0)
    hive = next(h for h in OP.hives if h.id == "A1")
    low = min(1e9 - a for _, a, w in broken(holding(OP, donor=1e9)) if w == hive.key)
    poorer = with_count(holding(OP, donor=low), "A1", bees=(hive.count.bees or 0) - 0.5)
    others = {w for _, _, w in broken(holding(OP, donor=low))}
    assert {w for _, _, w in broken(poorer)} == others | {hive.key}
    assert broken(base) == []


def test_frames_without_bees_bring_none() -> None:
    bare = tuple(
        replace(stop, takes=tuple(replace(t, bees=t.kind == "shake") for t in stop.takes))
        for stop in PLAN.stops
    )
    full = broken(holding(OP, split=1e6))
    poor = [v for v in audit(holding(OP, split=1e6), replace(PLAN, stops=bare)) if v.rule == "R16"]
    assert all(v.amount > a for v, (_, a, _) in zip(poor, full, strict=True))
