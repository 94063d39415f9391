"""The limit of the rest of a day: never above what a rest counts, and exact where a rest is only a drive."""

from dataclasses import replace

import numpy as np
import pytest

from routeplan.field.entries import Entry
from routeplan.field.log import log_of
from routeplan.field.notes import Notes
from routeplan.field.state import State, state_of
from routeplan.operation.world import Operation, Pair
from routeplan.plan import Plan
from routeplan.planning.limits import Clock
from routeplan.planning.near_travel import near_travel
from routeplan.planning.reduced import reduced
from routeplan.planning.replan import _found
from routeplan.planning.rest import base_of, rest_of
from routeplan.planning.rest_bound import rest_bound_s
from routeplan.planning.solve import plan_day
from routeplan.planning.travel import travel_of
from tests.practice import practice_operation
from tests.seeded import bench_operation
from tests.tiny import tiny_operation, tiny_plan


def after(operation: Operation, plan: Plan, stops: int) -> State:
    """The day when so many stops are done as planned."""
    entries = (Entry("left", (plan.stops[stops - 1].depart + 59) // 60, stops, place="test"),)
    log, faults = log_of(operation, plan, [Notes(entries)])
    assert faults == []
    assert log is not None
    state, faults = state_of(operation, plan, log)
    assert faults == []
    assert state is not None
    return state


def limit_and_found(state: State) -> tuple[int, int]:
    """The limit as it comes, and what the rest found counts."""
    travel = near_travel(state.operation)
    small = reduced(state, travel)
    rest = rest_of(state, small, base_of(state, small), ())
    found = _found(state, rest, Clock(2.0))
    assert found is not None
    index = {y.id: i for i, y in enumerate(state.operation.yards)}
    start = 0 if state.yard is None else index[state.yard] + 1
    made = sum(map(sum, found.counts.made))
    return rest_bound_s(state, travel, start, travel.drive_s[:, 0].copy(), rest.case, made), found.counted_s


@pytest.mark.parametrize("stops", [1, 2])
def test_the_day_at_the_equator(stops: int) -> None:
    limit, found = limit_and_found(after(tiny_operation(), tiny_plan(), stops))
    assert 0 < limit <= found


def test_nothing_left_is_the_drive_home() -> None:
    """From Cedar home: 1656 s (tests/tiny.py)."""
    limit, found = limit_and_found(after(tiny_operation(), tiny_plan(), 3))
    assert found == 1656
    assert limit in (1655, 1656)


@pytest.mark.parametrize("make", [bench_operation, practice_operation])
def test_never_above_what_a_rest_counts(make) -> None:  # type: ignore[no-untyped-def]
    operation = make(12, 150, 8, 3)
    plan = plan_day(operation, 6.0)
    assert len(plan.stops) > 1
    for stops in range(1, len(plan.stops)):
        limit, found = limit_and_found(after(operation, plan, stops))
        assert 0 < limit <= found, stops


def test_hurried_distances_are_never_longer_and_nearly_exact() -> None:
    """Against geodesics: within 1.2 % (the flattening of WGS-84 allows 0.6 % either way)."""
    operation = bench_operation(50, 300, 5, 2)
    near, exact = near_travel(operation), travel_of(operation)
    assert (near.quick_s <= exact.quick_s).all()
    assert (near.drive_m <= exact.drive_m).all()
    assert not (exact.far & ~near.far).any()
    off = ~np.eye(len(exact.drive_m), dtype=bool)
    assert (near.drive_m[off] >= 0.985 * exact.drive_m[off] - 1).all()


@pytest.mark.parametrize("seed", [2, 4])
def test_short_cuts_are_taken_in_a_hurry_too(seed: int) -> None:
    """A road known to be quick, and two yards side by side."""
    operation = bench_operation(50, 300, 5, seed)
    first, second, third = operation.yards[:3]
    beside = replace(third, place=second.place, parking=second.parking)
    pairs = (Pair(first.id, second.id, drive_min=1.0),)
    known = replace(operation, yards=(first, second, beside, *operation.yards[3:]), pairs=pairs)
    near, exact = near_travel(known), travel_of(known)
    assert near.quick_s[1, 3] == 60
    assert (near.quick_s <= exact.quick_s).all()
    assert (near.quick_s >= 0.98 * exact.quick_s - 60).all()
